"""The chance of a permit from what the file says: against closed forms and whole-number odds, and None for nothing."""

from __future__ import annotations

from datetime import date
from math import comb

import pytest

from handline.day import permit_chances
from handline.day.permit_chances import SURE_SHARE, all_together, by_any_way, way_chance
from handline.day.plan_permits import PermitChance
from handline.season.draw_chances import rate_met, walk_up
from handline.trip.permit_model import Permit, PermitWay
from tests.day.permit_trips import permit_trip
from tests.referees.plain_draw import every_order

SATURDAY, SUNDAY, TUESDAY = date(2027, 7, 17), date(2027, 7, 18), date(2027, 7, 20)
DRAW = 'way = "draw", opens = "1 May", closes = "2 May", result = "3 May"'


def _permit(ways: str, places: str = "places_per_day = 40") -> Permit:
    return permit_trip(f'\n[[permits]]\nname = "P"\n{places}\nways = [{ways}]\n').permits[0]


def _chance(way: str, day: date = SATURDAY, size: int = 3, places: str = "places_per_day = 40") -> PermitChance | None:
    permit = _permit(f"{{ {way} }}", places)
    return way_chance(permit, permit.ways[0], day, size, parties_of=2, seed=1)


def test_nothing_said_is_no_chance() -> None:
    for way in (DRAW, 'way = "first come", opens = "1 May"', 'way = "walk-up", given_out = "07:00"'):
        assert _chance(way) is None
    assert _chance(DRAW, places="") is None


@pytest.mark.parametrize("way", [DRAW, 'way = "first come", opens = "1 May"', 'way = "walk-up", given_out = "07:00"'])
def test_a_typed_chance_is_as_typed(way: str) -> None:
    found = _chance(f'{way}, chance = "12.5 %"')
    assert found is not None
    assert (found.share, found.error, found.low, found.high) == (0.125, None, None, None)
    assert "as typed" in found.says


def test_rates_by_weekday_and_time_of_year_in_their_order() -> None:
    rates = (
        '{ weekdays = ["Saturday", "Sunday"], periods = ["18 July to 31 August"], chance = 0.1 }, '
        '{ weekdays = ["Saturday", "Sunday"], granted = 30, asked = 200 }, { chance = 0.6 }'
    )
    met = rate_met(30, 200, SURE_SHARE)
    saturday, sunday, tuesday = (_chance(f"{DRAW}, rates = [{rates}], chance = 0.9", day)
                                 for day in (SATURDAY, SUNDAY, TUESDAY))  # fmt: skip
    assert saturday is not None
    assert (saturday.share, saturday.low, saturday.high) == (0.15, float(met.low), float(met.high))
    assert saturday.says == "30 of 200 applications were granted on Saturdays of other years"
    assert sunday is not None
    assert (sunday.share, sunday.low) == (0.1, None)
    assert "this part of the year" in sunday.says
    assert tuesday is not None
    assert tuesday.share == 0.6
    leap = 'rates = [{ periods = ["29 February to 1 September"], chance = 0.2 }], chance = 0.9'
    for day, share in ((SATURDAY, 0.9), (date(2028, 7, 15), 0.2)):
        found = _chance(f"{DRAW}, {leap}", day)
        assert found is not None
        assert found.share == share
    only = _chance(f'{DRAW}, rates = [{{ weekdays = ["Monday"], chance = 0.2 }}], chance = 0.9')
    assert only is not None
    assert only.share == 0.9


def test_a_draw_of_whole_applications_is_every_order() -> None:
    others = [(3, (0,)), (3, (0,)), (2, (0,)), (4, (0,))]
    applicants = "{ applications = 2, people = 3 }, { applications = 1, people = 2 }, { applications = 1, people = 4 }"
    for fits, ends in (("passed over", False), ("ends", True)):
        for own in (1, 2):
            way = f'{DRAW}, places = 7, fits = "{fits}", applicants = [{applicants}], applications_per_party = {own}'
            expected = every_order([7], [*[(3, (0,))] * own, *others], ends_when_full=ends, own=own)
            found = _chance(way)
            assert found is not None
            assert found.share == pytest.approx(float(expected[0]), abs=1e-12)
            assert found.error is None


def test_one_place_each_is_the_closed_form() -> None:
    others = "applicants = [{ applications = 98, people = 5 }]"
    found = _chance(f'{DRAW}, fits = "one place each", {others}, applications_per_party = 2')
    assert found is not None
    assert found.share == pytest.approx(1.0 - comb(98, 40) / comb(100, 40), abs=1e-12)


def test_places_of_the_way_come_before_those_of_the_day() -> None:
    applicants = "applicants = [{ applications = 99, people = 3 }]"
    day, way = _chance(f"{DRAW}, {applicants}"), _chance(f"{DRAW}, places = 12, {applicants}")
    assert day is not None
    assert way is not None
    assert (day.share, way.share) == (pytest.approx(13 / 100), pytest.approx(4 / 100))
    assert "for 12 places" in way.says


def test_enough_for_all() -> None:
    for fits in ("passed over", "ends"):
        found = _chance(f'{DRAW}, fits = "{fits}", applicants = [{{ applications = 12, people = 3 }}]', size=4)
        assert found is not None
        assert found.share == 1.0
        assert found.says.endswith("enough for all")
        short = _chance(f'{DRAW}, fits = "{fits}", applicants = [{{ applications = 12, people = 3 }}]', size=5)
        assert short is not None
        assert short.share < 1.0


def test_a_party_larger_than_the_places_has_none() -> None:
    for fits in ("passed over", "ends"):
        found = _chance(f'{DRAW}, places = 2, fits = "{fits}", applicants = [{{ applications = 1, people = 1 }}]')
        assert found is not None
        assert found.share == 0.0


def test_what_takes_long_exactly_is_simulated_with_its_error(monkeypatch: pytest.MonkeyPatch) -> None:
    kinds = ", ".join(
        f"{{ applications = {count}, people = {people} }}" for count, people in ((60, 1), (60, 2), (60, 3))
    )
    way = f"{DRAW}, places = 180, applicants = [{kinds}]"
    found = _chance(way)
    assert found is not None
    assert found.error is not None
    assert found.error == pytest.approx((found.share * (1.0 - found.share) / 4000) ** 0.5, rel=1e-9)
    assert 0.4 < found.share < 0.6  # half of the 360 people find room
    ends = f'{way}, fits = "ends"'
    exact = _chance(ends)
    monkeypatch.setattr(permit_chances, "MOST_EXACT_STEPS", 0)
    permit_chances._of_draw.cache_clear()
    drawn = _chance(ends)
    permit_chances._of_draw.cache_clear()
    assert exact is not None
    assert drawn is not None
    assert exact.error is None
    assert drawn.error is not None
    assert abs(drawn.share - exact.share) < 4.0 * drawn.error


def test_in_line_for_a_walk_up() -> None:
    found = _chance('way = "walk-up", given_out = "07:00", places = 8, people_ahead = 10, parties_of = 3')
    usual = _chance('way = "walk-up", given_out = "07:00", places = 8, people_ahead = 10')
    assert found is not None
    assert usual is not None
    assert found.share == float(walk_up(8, 10, 3, 3).chance)
    assert usual.share == float(walk_up(8, 10, 3, 2).chance)


def _known(
    share: float, error: float | None = None, low: float | None = None, high: float | None = None
) -> PermitChance:
    return PermitChance(share, error, low, high, f"says {share}")


WAYS: tuple[PermitWay, ...] = _permit(f'{{ {DRAW} }}, {{ way = "walk-up", given_out = "07:00" }}').ways


def test_one_way_after_the_other() -> None:
    both = by_any_way([_known(0.3, error=0.01), _known(0.5, low=0.4, high=0.6)], WAYS)
    assert both is not None
    assert both.share == pytest.approx(0.65)
    assert both.error == pytest.approx(0.005)
    assert (both.low, both.high) == (pytest.approx(1 - 0.7 * 0.6), pytest.approx(1 - 0.7 * 0.4))
    assert both.says == "says 0.3; then says 0.5"


def test_a_way_nobody_knows_counts_as_none_and_is_told() -> None:
    assert by_any_way([None, None], WAYS) is None
    one = by_any_way([_known(0.3), None], WAYS)
    assert one is not None
    assert one.share == pytest.approx(0.3)
    assert one.says == "says 0.3; nothing is said of the chance in person"


def test_all_together() -> None:
    assert all_together([]) is None
    assert all_together([("A", _known(0.5)), ("B", None)]) is None
    alone = _known(0.5)
    assert all_together([("A", alone)]) is alone
    both = all_together([("A", _known(0.8, error=0.01)), ("B", _known(0.5, error=0.02, low=0.4, high=0.6))])
    assert both is not None
    assert both.share == pytest.approx(0.4)
    assert both.error == pytest.approx(((0.01 * 0.5) ** 2 + (0.02 * 0.8) ** 2) ** 0.5)
    assert (both.low, both.high) == (pytest.approx(0.2), pytest.approx(0.6))
    assert both.says.startswith("A and B")
    rare = all_together([("A", _known(0.3)), ("B", _known(0.2))])
    assert rare is not None
    assert (rare.low, rare.high) == (0.0, 0.2)


def test_stated() -> None:
    assert (SURE_SHARE, permit_chances.MOST_EXACT_STEPS) == (0.9, 2e8)
