"""Why a date is good: computed beside the middle of its season, and silent where nothing sets it apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from handline.choose.date_reasons import date_reasons, season_middle
from handline.choose.dates_report import DateRow, RockFrom, WayOnDate
from tests.choose.season_trips import season_report

REPORT = season_report()
LAST_S = REPORT.starts_clock_s[-1]
MIDDLE = season_middle(REPORT.rows, "push")
ROW = next(row for row in REPORT.rows if row.date == "2027-06-02")
EVEN = replace(ROW, light_s=MIDDLE.light_s, storm_chance=MIDDLE.storm, worth=1.0)
DRY = RockFrom(36_000.0, 0.0, 0.0, MIDDLE.not_dry)
PUSH = replace(ROW.ways[0], rock=DRY, permit_chance=MIDDLE.permit)


def _said(row: DateRow = EVEN, on_date: WayOnDate = PUSH, middle=MIDDLE, preferring: bool = False) -> list[str]:
    return list(date_reasons(row, on_date, middle, LAST_S, preferring))


def test_the_middle_is_of_all_open_dates() -> None:
    """By hand: 14 dates, on five of which the cables lie; the mean of the seventh and the eighth."""
    assert (MIDDLE.dates, MIDDLE.lying) == (14, 5)
    storms = sorted(row.storm_chance for row in REPORT.rows)
    assert pytest.approx((storms[6] + storms[7]) / 2.0) == MIDDLE.storm
    permits = sorted(row.ways[0].permit_chance for row in REPORT.rows)
    assert pytest.approx((permits[6] + permits[7]) / 2.0) == MIDDLE.permit
    closed = replace(ROW, closed=True, ways=(), storm_chance=float("nan"))
    assert season_middle((*REPORT.rows, closed), "push") == MIDDLE


def test_what_is_as_in_the_middle_is_not_told() -> None:
    alike = replace(MIDDLE, lying=0)
    assert _said(middle=alike) == [
        "Starts from 02:00 to 10:00 meet your limits.",
        "In line, light, storms and rock it is as the middle of the season.",
    ]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"light_s": MIDDLE.light_s + 1200.0}, "20 min more than on the middle date."),
        ({"light_s": MIDDLE.light_s - 3600.0}, "1 h 00 min less than on the middle date."),
        ({"storm_chance": MIDDLE.storm + 0.05}, "Storms on 18 % of such days; on the middle date 13 %."),
        ({"holiday": "Founders' Day"}, "A public holiday, Founders' Day: expect more people than are counted here."),
        ({"weekend": True}, "A weekend: expect more people than are counted here."),
        ({"raised": False}, "The cables lie on the rock, as on 5 of 14 dates."),
        ({"raised": True}, "The cables stand, as on 9 of 14 dates."),
        ({"weather_says": "forecast"}, "Its weather is the forecast's; other dates have what is usual."),
    ],
)
def test_what_sets_a_date_apart_is_told_with_its_numbers(change: dict[str, object], says: str) -> None:
    told = _said(replace(EVEN, **change))
    assert any(sentence.endswith(says) for sentence in told), told


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"rock": replace(DRY, not_dry=MIDDLE.not_dry + 0.2)},
         "Starting at 10:00 you find the rock not dry on 20 % of days; on the middle date not dry on under 1 %."),
        ({"rock": replace(DRY, iced=0.02, wet=0.02, not_dry=0.03)},
         "Starting at 10:00 you find the rock iced on 2 %, not dry on 3 % of days; on the middle date not dry on under "
         "1 %."),
        ({"permit_chance": 0.75}, "Permits by a chance of 75 %; on the middle date 30 %."),
        ({"permit_chance": 1.0}, "No permit has to be got; on the middle date 30 %."),
        ({"permit_chance": None, "permit_says": "Nothing is said of it"}, "Nothing is said of it."),
        ({"window_clock_s": (7200.0, 32_400.0)}, "the last is 1 h 00 min earlier than on the middle date."),
        ({"window_clock_s": (7200.0, LAST_S)}, "Starts from 02:00 to 12:00 meet your limits, as late as was tried."),
        ({"window_clock_s": (36_000.0, 36_000.0)}, "A start at 10:00 meets your limits, no later one."),
        ({"window_clock_s": None, "best_chance": 0.62, "best_clock_s": 7200.0},
         "No start meets your limits: the surest start, 02:00, keeps them in 62 % of days."),
    ],
)  # fmt: skip
def test_so_is_what_sets_its_way_apart(change: dict[str, object], says: str) -> None:
    told = _said(on_date=replace(PUSH, **change))
    assert any(sentence.endswith(says) for sentence in told), told


def test_rock_as_in_the_middle_is_told_only_where_ice_counts() -> None:
    for iced, told in ((0.0199, False), (0.02, True)):
        rock = replace(DRY, iced=iced, wet=iced, not_dry=max(iced, MIDDLE.not_dry))
        assert any("iced" in sentence for sentence in _said(on_date=replace(PUSH, rock=rock))) == told


def test_preferences_are_told_where_there_are_any() -> None:
    assert "One of the days you prefer." in _said(preferring=True)
    assert "Not a day you prefer: it counts 70 %." in _said(replace(EVEN, worth=0.7), preferring=True)
    assert not any("prefer" in sentence for sentence in _said(replace(EVEN, worth=0.7)))
