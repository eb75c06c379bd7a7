"""What handline dates is asked with: read, refused in plain words, and the season where no dates are typed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from handline.choose.dates_asked import (
    MOST_DATES,
    DatesAsked,
    DatesAsking,
    asked_dates,
    dates_problems,
    parted,
    ways_asked,
)
from handline.choose.season_dates import season_dates
from handline.day.setting import set_up
from handline.errors import InputError, TripError
from handline.trip.model import Trip
from handline.trip.reading import read_trip
from tests.choose.season_trips import MONTHS, season_trip
from tests.day.trips import typed_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
USUAL = asked_dates(DatesAsking())


def _on(trip: Trip, date: dt.date) -> Trip:
    return trip.model_copy(update={"about": trip.about.model_copy(update={"date": date})})


def _span(trip: Trip, asked: DatesAsked = USUAL) -> tuple[dt.date, dt.date, str]:
    dates, says = season_dates(trip, asked)
    assert list(dates) == [dates[0] + dt.timedelta(days=i) for i in range(len(dates))]
    return dates[0], dates[-1], says


def test_nothing_typed_is_as_usual() -> None:
    assert USUAL.start_clock_s[0] == 0.0
    assert USUAL.start_clock_s[-1] == 11 * 3600 + 40 * 60
    assert len(USUAL.start_clock_s) == 36
    assert (USUAL.days, USUAL.workers, USUAL.dask, USUAL.ways, USUAL.first) == (500, None, None, (), None)


def test_everything_typed() -> None:
    typed = DatesAsking("2027-06-01", "2027-06-30", "night, push", "03:30", "05:00", "30 min", "200", "3", None)
    asked = asked_dates(typed)
    assert (asked.first, asked.last) == (dt.date(2027, 6, 1), dt.date(2027, 6, 30))
    assert asked.ways == ("night", "push")
    assert asked.start_clock_s == (12_600.0, 14_400.0, 16_200.0, 18_000.0)
    assert (asked.days, asked.workers) == (200, 3)
    assert asked_dates(DatesAsking(first_start="04:00", last_start="04:00")).start_clock_s == (14_400.0,)


@pytest.mark.parametrize(
    ("typed", "key", "says"),
    [
        ({"first": "17 July"}, "--from", "this is not a date"),
        ({"last": "2027-02-30"}, "--to", "no such day"),
        ({"first": "2027-07-02", "last": "2027-07-01"}, "--to", "lies before the first"),
        ({"first": "2027-01-01", "last": "2028-02-05"}, "--to", f"at most {MOST_DATES}"),
        ({"first": "2050-11-01", "last": "2051-01-05"}, "--to", "no sun and moon are known"),
        ({"ways": "pusch"}, "--ways", 'did you mean "push"?'),
        ({"ways": ""}, "--ways", "allowed: push, night"),
        ({"first_start": "7"}, "--first-start", "not a clock time"),
        ({"last_start": "noon"}, "--last-start", "not a clock time"),
        ({"first_start": "12:00"}, "--first-start", "the last start is before the first"),
        ({"last_start": "05:00", "first_start": "06:00"}, "--last-start", "the last start is before the first"),
        ({"step": "20"}, "--step", "unit"),
        ({"step": "0 min"}, "--step", "from 1 min to 6 h"),
        ({"step": "2 min"}, "--step", "at most 300"),
        ({"days": "99"}, "--days", "fewer days tell too little"),
        ({"days": "many"}, "--days", "not a number"),
        ({"workers": "0"}, "--workers", "too small"),
        ({"workers": "2", "dask": "tcp://10.0.0.5:8786"}, "--workers", "leave --workers or --dask"),
    ],
)
def test_what_cannot_be_used_is_refused_at_its_option(typed: dict[str, str], key: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        asked_dates(DatesAsking(**typed))
    (problem,) = refused.value.problems
    assert problem.key == key
    assert says in str(problem)


def test_all_that_is_wrong_is_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        asked_dates(DatesAsking("x", "y", "z", "a", "b", "c", "d", "e"))
    keys = ["--from", "--to", "--ways", "--first-start", "--last-start", "--step", "--days", "--workers"]
    assert [problem.key for problem in refused.value.problems] == keys


def test_the_open_season_that_holds_the_date_or_lies_next_to_it() -> None:
    trip = season_trip()
    season = (dt.date(2027, 5, 20), dt.date(2027, 7, 4))
    assert _span(_on(trip, dt.date(2027, 6, 10)))[:2] == season
    assert _span(_on(trip, dt.date(2027, 11, 1)))[:2] == season
    assert _span(_on(trip, dt.date(2028, 1, 20)))[:2] == (dt.date(2028, 5, 20), dt.date(2028, 7, 4))
    assert _span(trip)[2] == "the open period, 20 May 2027 to 4 July 2027"


def test_a_southern_summer_goes_over_the_new_year() -> None:
    trip = read_trip(EXAMPLES / "petrel-slab" / "trip.toml", dates_problems)
    assert _span(trip)[:2] == (dt.date(2026, 12, 1), dt.date(2027, 3, 31))


def test_else_the_raised_season_with_two_weeks_round_it() -> None:
    trip = typed_trip(more='\n[season]\nraised = ["12 June to 26 September"]\n')
    first, last, says = _span(trip)
    assert (first, last) == (dt.date(2027, 5, 29), dt.date(2027, 10, 10))
    assert says == "while the cables stand, and 14 days before and after"
    over = typed_trip(more='\n[season]\nraised = ["1 December to 31 March"]\n')
    assert _span(_on(over, dt.date(2027, 1, 16)))[:2] == (dt.date(2026, 11, 17), dt.date(2027, 4, 14))


def test_else_weeks_round_the_date() -> None:
    first, last, says = _span(typed_trip())
    assert (first, last) == (dt.date(2027, 6, 2), dt.date(2027, 8, 31))
    assert "45 days before and after 17 July 2027" in says


def test_one_end_typed_stands_for_the_date() -> None:
    trip = season_trip()
    first, last, says = _span(trip, asked_dates(DatesAsking(first="2028-05-30")))
    assert (first, last) == (dt.date(2028, 5, 30), dt.date(2028, 7, 4))
    assert says.startswith("as asked, and the open period")
    assert _span(trip, asked_dates(DatesAsking(last="2027-05-25")))[:2] == (dt.date(2027, 5, 20), dt.date(2027, 5, 25))
    # The last open period is nearer, and lies on the wrong side; of April and before the months say nothing.
    assert _span(trip, asked_dates(DatesAsking(first="2027-09-01")))[:2] == (dt.date(2028, 5, 1), dt.date(2028, 7, 4))


def test_without_being_asked_no_date_lies_outside_the_months_of_the_weather() -> None:
    trip = typed_trip(weather="", more=f"{MONTHS}\n[season]\nraised = ['12 June to 26 September']\n")
    first, last, says = _span(trip)
    assert (first, last) == (dt.date(2027, 5, 29), dt.date(2027, 7, 31))
    assert says.endswith("as far as the months of the file reach")
    with pytest.raises(TripError) as refused:
        season_dates(trip, asked_dates(DatesAsking(first="2027-04-28", last="2027-08-02")))
    (problem,) = refused.value.problems
    assert problem.key == "weather.months"
    assert "not told: April, August" in problem.what
    assert "month = 4" in (problem.mend or "")


def test_a_season_that_never_comes_is_told() -> None:
    trip = typed_trip(more='\n[season]\nopen = ["1 June to 31 August"]\n')
    odd = trip.model_copy(update={"season": trip.season.model_copy(update={"open": ("29 February to 1 March",)})})
    with pytest.raises(InputError, match=r"\[season.open\[0\]\]: this period does not come about") as refused:
        season_dates(_on(odd, dt.date(2101, 7, 1)), USUAL)
    assert refused.value.problems[0].read == "29 February to 1 March"


def test_ways_are_both_where_there_is_a_camp() -> None:
    camp, none = season_trip(), typed_trip()
    with_camp, without = set_up(_on(camp, dt.date(2027, 6, 1))).route, set_up(none).route
    assert ways_asked(camp, with_camp, USUAL) == ("push", "night")
    assert ways_asked(none, without, USUAL) == ("push",)
    assert ways_asked(camp, with_camp, asked_dates(DatesAsking(ways="night,push"))) == ("push", "night")
    assert ways_asked(camp, with_camp, asked_dates(DatesAsking(ways="Night"))) == ("night",)
    with pytest.raises(InputError, match=r"\[--ways\]: there is no camp for a night out") as refused:
        ways_asked(none, without, asked_dates(DatesAsking(ways="night")))
    assert 'kind = "camp"' in str(refused.value)


def test_pieces_are_even_and_hold_every_date_once() -> None:
    dates = [dt.date(2027, 6, 1) + dt.timedelta(days=i) for i in range(20)]
    pieces = list(parted(dates, 6))
    assert [date for piece in pieces for date in piece] == dates
    assert [len(piece) for piece in pieces] == [5, 5, 5, 5]
    assert list(parted(dates[:1], 6)) == [(dates[0],)]


def test_a_closed_date_in_the_file_is_no_problem_here(tmp_path: Path) -> None:
    text = (EXAMPLES / "petrel-slab" / "trip.toml").read_text(encoding="utf-8")
    assert "date = 2027-01-16" in text
    text = text.replace("date = 2027-01-16", "date = 2027-02-30").replace('chosen = "absorbing', 'chosen = "absorbin')
    path = tmp_path / "trip.toml"
    path.write_text(text.replace("2027-02-30", "2027-06-16"), encoding="utf-8")
    (tmp_path / "track.gpx").write_bytes((EXAMPLES / "petrel-slab" / "track.gpx").read_bytes())
    with pytest.raises(TripError) as refused:
        read_trip(path, dates_problems)
    keys = {problem.key for problem in refused.value.problems}
    assert "trip.date" not in keys
    assert "tethers.chosen" in keys, "all else is still told"
