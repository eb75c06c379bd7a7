"""The permits of a trip as rules, which of them a day needs, and what cannot be, at its key."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from handline.day.file_checks import subject_problems
from handline.day.permit_setting import permit_problems, permit_rules, permits_of_trip, permits_on
from handline.day.setting import set_up
from handline.errors import Problem, TripError
from handline.season.permit_rules import ByDraw, DaysAfterResult, DaysBefore, FirstCome, OnDay, WalkUp
from handline.trip.reading import read_trip, read_trip_text
from tests.day.permit_trips import CAMP, LINE, TEXT, WALK_UP, permit_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
JULY = date(2027, 7, 17)


def _found(more: str) -> dict[str | None, Problem]:
    with pytest.raises(TripError) as refused:
        set_up(permit_trip(more))
    return {problem.key: problem for problem in refused.value.problems}


def test_the_file_as_rules() -> None:
    line, camp = permit_rules(permit_trip())
    draw, walk_up = line.ways
    assert isinstance(draw, ByDraw)
    assert isinstance(draw.opens, OnDay)
    assert (draw.opens.rule.on(2027), draw.opens_clock_s) == (date(2027, 3, 1), None)
    assert draw.closes_clock_s == 16 * 3600.0
    assert walk_up == WalkUp(7 * 3600.0, DaysBefore(1), "the hut")
    assert (line.pay_by, line.pick_up, line.pick_up_at) == (DaysAfterResult(10), DaysBefore(1), "the hut")
    assert [fee.words for fee in line.fees] == ["12.00 USD per person", "6.00 USD per application"]
    assert (line.when.states, line.when.night_out, camp.when.night_out) == (("raised",), None, True)
    assert camp.ways == (FirstCome(DaysBefore(100), 8 * 3600.0),)


@pytest.mark.parametrize(
    ("day", "state", "night_out", "names"),
    [
        (JULY, "raised", False, ["Line permit"]),
        (JULY, "raised", True, ["Line permit", "Camp permit"]),
        (JULY, "lowered", False, []),
        (date(2027, 10, 1), "raised", True, ["Camp permit"]),
    ],
)
def test_what_a_day_needs(day: date, state: str, night_out: bool, names: list[str]) -> None:
    asked = permits_of_trip(permit_trip(), day, state, night_out)  # type: ignore[arg-type]
    assert [rule.name for rule in asked.needed] == names
    assert (asked.against, asked.amiss) == ((), ())


def test_a_party_that_does_not_fit_is_told_and_not_refused() -> None:
    rules = permit_rules(permit_trip())
    assert [one.about for one in permits_on(rules, JULY, "raised", False, 7).against] == [("largest_party",)]
    assert permits_on(rules, JULY, "raised", False, 6).against == ()


@pytest.mark.parametrize(
    ("old", "new", "key", "said"),
    [
        ('"1 June to last Sunday of September"', '"1 Jun to 30 Septembre"', "permits[0].needed.periods[0]", "June"),
        ('"1 June to last Sunday of September"', '"fifth Monday of February to 1 June"', "permits[0].needed.periods[0]",
         "never happens"),
        ('"1 June to last Sunday of September"', '"1 June to 31 July", "17 July to 1 August"',
         "permits[0].needed.periods[1]", "lie over each other"),
        ('"second Monday of April"', '"20 July"', "permits[0].ways[0].result", "after the day itself"),
        ('"second Monday of April"', '"1 March"', "permits[0].ways[0].result", "before its window closes"),
        ('"1 March"', '"1 Marsh"', "permits[0].ways[0].opens", 'did you mean "March"'),
        ('"1 March"', '"29 February"', "permits[0].ways[0].opens", "2027 has no"),
        ('"1 March"', '"14 days after the result"', "permits[0].ways[0].opens", "only paying and picking up"),
        ('"31 March"', '"1 February"', "permits[0].ways[0].closes", "ends before it begins"),
        ('"10 days after the result"', '"10 days after the closing"', "permits[0].pay_by", "not counted from"),
        ('"the day before"', '"18 July"', "permits[0].pick_up", "after the day itself"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_key(old: str, new: str, key: str, said: str) -> None:
    assert LINE.count(old) == 1
    found = _found(LINE.replace(old, new))
    assert said in str(found[key])
    assert len(found) == 1 or new == '"20 July"'  # what hangs on the result is wrong with it


def test_a_29_february_is_refused_where_the_date_hangs_on_it() -> None:
    periods = '["1 October to 1 November", "29 February to 1 September"]'
    found = _found(f'\n[[permits]]\nname = "P"\nneeded = {{ periods = {periods} }}\n')
    assert list(found) == ["permits[0].needed.periods[1]"]
    assert "2027" in found["permits[0].needed.periods[1]"].what


def test_a_rate_has_periods_of_days_that_are_there() -> None:
    rates = 'rates = [{ periods = ["1 May to 1 June", "29 February to 1 September"], chance = 0.5 }]'
    found = _found(LINE + rates)
    assert list(found) == ["permits[0].ways[0].rates[0].periods[1]"]


def test_days_after_a_result_need_a_draw() -> None:
    draw = LINE[LINE.index("[[permits.ways]]") :]
    found = _found(LINE.replace(draw, '[[permits.ways]]\nway = "first come"\nopens = "1 March"\n'))
    assert "it has no draw" in found["permits[0].pay_by"].what


def test_permits_that_contradict_are_refused_whatever_the_day() -> None:
    more = LINE.replace('pick_up_at = "the hut"', 'pick_up_at = "the hut"\nneeds = ["Camp permit"]')
    found = _found(more + CAMP + 'excludes = ["Line permit"]\n')
    assert "excludes it" in found["permits[0].needs"].what


def test_moments_of_a_permit_that_the_date_does_not_need_do_not_matter() -> None:
    winter = LINE.replace('"1 June to last Sunday of September"', '"1 December to 31 March"')
    late = winter.replace('"second Monday of April"', '"20 July"')
    assert permit_problems(permit_trip(late)) == []


def test_everything_is_told_at_once_and_with_its_line() -> None:
    wrong = LINE.replace('"1 March"', '"1 Marsh"').replace('"31 March"', '"soon"') + CAMP.replace("100 days", "1 dai")
    text = TEXT + wrong
    with pytest.raises(TripError) as refused:
        read_trip_text(text, Path("trip.toml"), subject_problems)
    found = {problem.key: problem.line for problem in refused.value.problems}
    assert set(found) == {"permits[0].ways[0].opens", "permits[0].ways[0].closes", "permits[1].ways[0].opens"}
    lines = text.splitlines()
    assert all(line is not None and "=" in lines[line - 1] for line in found.values())


def test_a_holiday_code_is_looked_at() -> None:
    for code, said in (("us", 'did you mean "US"'), ("XX", "no holidays are known")):
        with pytest.raises(TripError) as refused:
            read_trip_text(TEXT + f'\n[season]\nholidays = "{code}"\n', Path("trip.toml"), subject_problems)
        (problem,) = refused.value.problems
        assert problem.key == "season.holidays"
        assert said in problem.what
        with pytest.raises(TripError, match=r"season\.holidays"):
            set_up(read_trip_text(TEXT + f'\n[season]\nholidays = "{code}"\n', Path("trip.toml")))


def test_a_moment_before_all_years_is_refused() -> None:
    """Years begin with 1, and rules of days with 1583."""
    drawn = LINE.replace('periods = ["1 June to last Sunday of September"]', "")
    for more, day in ((CAMP, date(1, 1, 20)), (drawn, date(1200, 7, 17))):
        trip = permit_trip(more)
        early = trip.model_copy(update={"about": trip.about.model_copy(update={"date": day})})
        assert [problem.key for problem in permit_problems(early)] == ["permits[0]"]


def test_the_examples_are_fine() -> None:
    tamsin, petrel = (
        read_trip(EXAMPLES / name / "trip.toml", subject_problems) for name in ("tamsin-dome", "petrel-slab")
    )
    assert petrel.permits == ()
    for night_out, names in ((False, ["Tamsin line permit"]), (True, ["Tamsin line permit", "Aldermere camp permit"])):
        asked = permits_of_trip(tamsin, tamsin.about.date, "raised", night_out)
        assert [rule.name for rule in asked.needed] == names


def test_walk_up_alone_reads() -> None:
    alone = '\n[[permits]]\nname = "P"\n' + WALK_UP
    (rule,) = permit_rules(permit_trip(alone))
    assert isinstance(rule.ways[0], WalkUp)
