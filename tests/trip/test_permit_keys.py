"""[[permits]]: every key is read, near misses are named, and what does not fit together is told at once."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from jsonschema import Draft202012Validator

from handline.errors import Problem
from handline.trip.model import Trip
from handline.trip.permit_model import MOST_APPLICATIONS
from handline.trip.schema import trip_schema

Read = Callable[[str], Trip]
Problems = Callable[[str], dict[str | None, Problem]]

WHOLE = """
[[permits]]
name = "Line permit"
places_per_day = 160
held = false
largest_party = 8
documents = ["list of names", "photo card"]
fees = [{ amount = 7.5, currency = "USD" }, { amount = 15, currency = "USD", per = "party" }]
pay_by = "10 days after the result"
pick_up = "the day before"
pick_up_at = "the hut"
needs = ["Valley permit"]
excludes = ["Group permit"]

[permits.needed]
periods = ["1 May to 31 October"]
state = "raised"
night_out = false
size_from = 2
size_to = 8

[[permits.ways]]
way = "draw"
opens = "1 January"
opens_at = "08:00"
closes = "31 January"
closes_at = "18:00"
result = "third Monday of February"
places = 140
applicants = [{ applications = 90, people = 2 }]
fits = "ends"
date_choices = 4
applications_per_party = 2

[[permits.ways]]
way = "walk-up"
given_out = "15:00"
days_before = 1
where = "the hut"
places = 20
people_ahead = 30
parties_of = 2

[[permits]]
name = "Valley permit"
ways = [{ way = "first come", opens = "24 weeks before", opens_at = "08:00", chance = "80 %" }]

[[permits]]
name = "Group permit"

[[permits.ways]]
way = "draw"
opens = "1 January"
closes = "31 January"
result = "1 March"
rates = [{ weekdays = ["Saturday"], periods = ["1 July to 31 August"], granted = 3, asked = 40 }, { chance = 0.5 }]
"""


def permit(keys: str, name: str = "P") -> str:
    return f'\n[[permits]]\nname = "{name}"\n{keys}\n'


def test_every_key_in_si(read: Read, short: str) -> None:
    line, valley, group = read(short + WHOLE).permits
    draw, walk_up = line.ways
    assert (line.held, line.largest_party, line.places_per_day) == (False, 8, 160)
    assert (line.needed.periods, line.needed.state) == (("1 May to 31 October",), "raised")
    assert (line.needed.night_out, line.needed.size_from, line.needed.size_to) == (False, 2, 8)
    assert (draw.opens_clock_s, draw.closes_clock_s, draw.fits) == (8 * 3600.0, 18 * 3600.0, "ends")
    assert (draw.applicants[0].applications, draw.applicants[0].people) == (90, 2)
    assert (draw.date_choices, draw.applications_per_party, draw.places) == (4, 2, 140)
    assert (walk_up.given_out_clock_s, walk_up.days_before, walk_up.where) == (15 * 3600.0, 1, "the hut")
    assert (walk_up.people_ahead, walk_up.parties_of) == (30, 2)
    assert [(fee.amount, fee.currency, fee.per) for fee in line.fees] == [
        (7.5, "USD", "person"),
        (15.0, "USD", "party"),
    ]
    assert (line.pay_by, line.pick_up, line.pick_up_at) == ("10 days after the result", "the day before", "the hut")
    assert (line.needs, line.excludes, line.documents) == (
        ("Valley permit",),
        ("Group permit",),
        ("list of names", "photo card"),
    )
    assert valley.ways[0].chance == 0.8
    first, second = group.ways[0].rates
    assert (first.weekdays, first.granted, first.asked, second.chance) == (("Saturday",), 3, 40, 0.5)


def test_left_out_means_little(read: Read, short: str) -> None:
    (one,) = read(short + permit("")).permits
    assert (one.held, one.ways, one.fees, one.documents, one.needs, one.excludes) == (False, (), (), (), (), ())
    assert (one.needed.periods, one.needed.state, one.needed.night_out, one.needed.size_from) == ((), None, None, 1)
    assert one.for_everybody
    assert not read(short + permit("needed = { night_out = true }")).permits[0].for_everybody
    assert not read(short + permit("needed = { size_from = 2 }")).permits[0].for_everybody
    assert not read(short + permit("needed = { size_to = 9 }")).permits[0].for_everybody
    assert read(short + permit('needed = { state = "raised" }')).permits[0].for_everybody


def test_the_old_keys_still_do(read: Read, short: str) -> None:
    text = (
        short
        + '[[waypoints]]\nname = "Step"\nat = "1 km"\n'
        + permit('places_per_day = 60\nchecked_at = "Step"\nheld = true')
    )
    (one,) = read(text).permits
    assert (one.places_per_day, one.checked_at, one.held) == (60, "Step", True)


def test_the_schema_takes_it(short: str) -> None:
    import tomllib

    document = tomllib.loads(short + WHOLE)
    document["trip"]["date"] = "2027-07-17"
    validator = Draft202012Validator(trip_schema())
    validator.validate(document)
    document["permits"][0]["ways"][0]["way"] = "lottery"
    assert not validator.is_valid(document)


@pytest.mark.parametrize(
    ("keys", "key", "part"),
    [
        ('helt = true', "permits[0].helt", 'did you mean "held"?'),
        ('needed = { state = "risen" }', "permits[0].needed.state", 'did you mean "raised"?'),
        ('needed = { nightout = true }', "permits[0].needed.nightout", 'did you mean "night_out"?'),
        ('ways = [{ way = "first-come", opens = "1 May" }]', "permits[0].ways[0].way", 'did you mean "first come"?'),
        ('fees = [{ amount = 3, currency = "usd" }]', "permits[0].fees[0].currency", 'write "USD"'),
        ('fees = [{ amount = 3, currency = "USD", per = "persons" }]', "permits[0].fees[0].per", 'mean "person"?'),
        ('fees = [{ amount = -1, currency = "USD" }]', "permits[0].fees[0].amount", "too small"),
        ('fees = [{ amount = 1, currency = 3 }]', "permits[0].fees[0].currency", "not a currency"),
        ('needs = ["Q"]', "permits[0].needs[0]", "unknown permit"),
        ('needs = ["P"]', "permits[0].needs[0]", "not itself"),
        ('excludes = ["P"]', "permits[0].excludes[0]", "not itself"),
        ("needed = { size_from = 5, size_to = 4 }", "permits[0].needed.size_to", "at least 5"),
        ("documents = [3]", "permits[0].documents[0]", "this is not text"),
        ("largest_party = 0", "permits[0].largest_party", "from 1 to 60"),
    ],
)  # fmt: skip
def test_near_misses_and_limits(problems: Problems, short: str, keys: str, key: str, part: str) -> None:
    found = problems(short + permit(keys))
    assert list(found) == [key]
    assert part in str(found[key])


DRAW = 'way = "draw", opens = "1 May", closes = "2 May", result = "3 May"'


@pytest.mark.parametrize(
    ("way", "key", "part"),
    [
        ('way = "draw", opens = "1 May"', "closes", "a draw needs closes"),
        ('way = "draw", opens = "1 May"', "result", "a draw needs result"),
        ('way = "first come"', "opens", "first come needs opens"),
        ('way = "walk-up"', "given_out", "a walk-up needs given_out"),
        ('way = "walk-up", given_out = "07:00", result = "1 May"', "result", "result is for a draw only"),
        ('way = "walk-up", given_out = "07:00", opens = "1 May"', "opens", "opens is for a draw or first come only"),
        ('way = "first come", opens = "1 May", where = "hut"', "where", "where is for a walk-up only"),
        (f"{DRAW}, people_ahead = 3", "people_ahead", "for a walk-up only"),
        (f"{DRAW}, chance = 0.5, applicants = [{{ applications = 1, people = 1 }}], places = 3", "chance", "twice"),
        (f"{DRAW}, applicants = [{{ applications = 1, people = 1 }}]", "places", "only with the places"),
        ('way = "walk-up", given_out = "07:00", people_ahead = 3', "places", "only with the places"),
        (f"{DRAW}, rates = [{{ granted = 3 }}]", "rates[0]", "says nothing"),
        (f"{DRAW}, rates = [{{ granted = 3, asked = 4, chance = 0.5 }}]", "rates[0].chance", "given twice"),
        (f"{DRAW}, rates = [{{ granted = 5, asked = 4 }}]", "rates[0].granted", "at most 4"),
        (f'{DRAW}, rates = [{{ weekdays = ["Saterday"], chance = 0.5 }}]', "rates[0].weekdays[0]", '"Saturday"'),
        (f"{DRAW}, chance = 50", "chance", '"50 %"'),
    ],
)  # fmt: skip
def test_a_way_has_its_own_keys(problems: Problems, short: str, way: str, key: str, part: str) -> None:
    found = problems(short + permit(f"ways = [{{ {way} }}]"))
    assert part in str(found[f"permits[0].ways[0].{key}"])


def test_what_is_wrong_is_told_all_at_once(problems: Problems, short: str) -> None:
    text = short + permit(f'needs = ["Q"]\nways = [{{ {DRAW} }}, {{ {DRAW} }}, {{ way = "walk-up" }}]') + permit("")
    assert set(problems(text)) == {
        "permits[0].needs[0]",
        "permits[0].ways[1].way",
        "permits[0].ways[2].given_out",
        "permits[1].name",
    }


@pytest.mark.parametrize(
    ("keys", "key", "part"),
    [
        ("documents = [{}]", "documents", "at most 20"),
        ("needed = {{ periods = [{}] }}", "needed.periods", "at most 20"),
    ],
)
def test_lists_have_an_end(problems: Problems, short: str, keys: str, key: str, part: str) -> None:
    listed = ", ".join(f'"{number} May to {number} May"' for number in range(1, 22))
    assert part in str(problems(short + permit(keys.format(listed)))[f"permits[0].{key}"])
    fewer = ", ".join(f'"{number} May to {number} May"' for number in range(1, 21))
    assert f"permits[0].{key}" not in problems(short + permit(keys.format(fewer)) + "\n[extra]\n")


def test_no_more_applications_than_can_be_drawn(problems: Problems, short: str) -> None:
    kinds = f"{{ applications = {MOST_APPLICATIONS}, people = 1 }}, {{ applications = 1, people = 2 }}"
    found = problems(short + permit(f"places_per_day = 9\nways = [{{ {DRAW}, applicants = [{kinds}] }}]"))
    assert "5,001 applications" in found["permits[0].ways[0].applicants"].what


def test_a_permit_of_some_does_not_bound_the_crowd(read: Read, problems: Problems, short: str) -> None:
    crowd = "[crowd]\npeople_per_day = 61\n"
    camp = permit("places_per_day = 24\nneeded = { night_out = true }", "Camp")
    assert read(short + crowd + camp).crowd.people_per_day == 61
    assert "crowd.people_per_day" in problems(short + crowd + camp + permit("places_per_day = 60"))


def test_what_just_fits(read: Read, short: str) -> None:
    keys = f"needed = {{ size_from = 4, size_to = 4 }}\nways = [{{ {DRAW}, rates = [{{ granted = 4, asked = 4 }}] }}]"
    (one,) = read(short + permit(keys)).permits
    assert (one.needed.size_to, one.ways[0].rates[0].granted) == (4, 4)
