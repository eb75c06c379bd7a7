"""The page of the weather: whole, closed to the outside, escaped, in the party's units, plain about what is missing."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from handline.brief.still_page import still_page
from handline.brief.weather_page import weather_sheet, write_weather
from handline.brief.weather_words import (
    NO_INDEX,
    NO_SUN,
    SUN_ALL_DAY,
    as_sentence,
    dark_sentence,
    first_sun_words,
    last_sun_words,
    weather_shown,
)
from handline.day.plan_weather import PlaceSun
from tests.brief.closed_page import assert_closed
from tests.brief.read_page import visible
from tests.brief.sample_weather import (
    no_weather,
    polar_sky,
    sample_light,
    sample_sky,
    sample_weather_report,
    typed_weather,
)

REPORT = sample_weather_report()
HOSTILE = '<script>alert("x")</script><img src=x onerror=alert(1)>\'"&</style>{{ 7 * 7 }}'
VARIANTS = {
    "as sampled": REPORT,
    "si": replace(REPORT, units="si"),
    "typed": replace(REPORT, weather=typed_weather()),
    "nothing": replace(REPORT, weather=no_weather()),
    "polar day": replace(REPORT, sky=polar_sky(True)),
    "polar night": replace(REPORT, sky=polar_sky(False)),
    "nothing found": replace(REPORT, findings=(), level="note"),
}


@pytest.fixture(scope="module")
def pages():
    return {which: still_page(weather_sheet(report)) for which, report in VARIANTS.items()}


def test_same_report_same_bytes(pages):
    assert still_page(weather_sheet(REPORT)) == pages["as sampled"]


@pytest.mark.parametrize("which", VARIANTS)
def test_it_is_closed_to_the_outside_and_runs_nothing(pages, which):
    page = pages[which]
    assert_closed(page)


@pytest.mark.parametrize("which", VARIANTS)
def test_what_is_missing_is_said_in_plain_words(pages, which):
    words = visible(pages[which])
    assert not re.search(r"\b(nan|NaN|inf|None|undefined)\b", words)
    assert not re.search(r"\b(un)?safe(ly|ty|r)?\b", words, re.IGNORECASE)


@pytest.mark.parametrize("which", VARIANTS)
def test_every_sentence_of_the_report_is_told(pages, which):
    words, report = visible(pages[which]), VARIANTS[which]
    weather = report.weather
    for sentence in (
        report.headline,
        *(finding.sentence for finding in report.findings),
        *report.cautions,
        report.sky.moon_says,
        *(place.horizon_says for place in report.sky.places),
        *(note for place in report.sky.places for note in place.notes),
        weather.says,
        *weather.notes,
        weather.rock_says,
        weather.storm_says,
        weather.attribution,
        report.storm.source,
        report.provenance.inputs_sha256,
        "10,000",
    ):
        assert sentence in words, sentence


def test_findings_come_first_and_cautions_and_provenance_last(pages):
    page = pages["as sampled"]
    order = [
        page.index(f'id="{name}"') for name in ("answer", "findings", "light", "weather", "cautions", "provenance")
    ]
    assert order == sorted(order)


@pytest.mark.parametrize("level", ["stop", "heed", "note"])
def test_a_level_is_said_in_words(level):
    words = {"stop": "Stop: do not go like this", "heed": "Heed: act on this", "note": "Note"}[level]
    told = still_page(weather_sheet(replace(REPORT, level=level, findings=())))
    assert words in re.search(r'<section class="decision".*?</section>', told, flags=re.S)[0]


def test_nothing_found_is_no_promise(pages):
    assert "That is not a promise: read the cautions." in visible(pages["nothing found"])


@pytest.mark.parametrize(("which", "count"), [("as sampled", 2), ("typed", 0), ("nothing", 0), ("polar day", 2)])
def test_there_are_pictures_of_what_there_is(pages, which, count):
    assert pages[which].count("<figure") == count
    assert pages[which].count('src="data:image/svg+xml') == 2 * count


def test_hostile_names_stay_text():
    there = tuple(replace(row, name=HOSTILE) for row in REPORT.weather.there)
    places = tuple(replace(place, name=HOSTILE, notes=(HOSTILE,)) for place in REPORT.sky.places)
    weather = replace(REPORT.weather, there=there, attribution=HOSTILE, says=HOSTILE)
    report = replace(REPORT, name=HOSTILE, weather=weather, sky=replace(REPORT.sky, places=places))
    page = still_page(weather_sheet(report))
    assert "<script" not in page
    assert "onerror" not in re.sub(r"&lt;img.*?&gt;", "", page)
    assert visible(page).count(HOSTILE) >= len(there) + len(places) + 3


# --- units ---------------------------------------------------------------------------------------------------------


def test_units_are_the_partys():
    us, si = (weather_shown(replace(REPORT, units=units)) for units in ("us", "si"))
    assert (us.there[1].temperature, si.there[1].temperature) == ("43 to 52 °F", "6 to 11 °C")
    assert (us.there[1].wind, si.there[1].wind) == ("8 to 18 mph", "13 to 29 km/h")
    assert (us.there[1].where, si.there[1].where) == ("up · 8,271 ft", "up · 2,521 m")
    assert (us.there[1].felt_index, si.there[1].felt_index) == ("Wind chill 22 °F", "Wind chill -5 °C")
    at_15 = next(i for i, row in enumerate(us.hours) if row.clock == "15:00")
    assert (us.hours[at_15].rain_amount, si.hours[at_15].rain_amount) == ("0.04 in", "0.9 mm")
    assert us.sun[0].height == "8,376 ft"


@pytest.mark.parametrize("which", ["as sampled", "si"])
def test_no_unit_of_the_other_kind_is_told(pages, which):
    words = visible(pages[which])
    other = {"as sampled": r"\d (°C|km/h)", "si": r"\d (°F|mph|ft|in)\b"}[which]
    assert not re.search(other, words)


# --- the weather met -------------------------------------------------------------------------------------------------


def test_each_passing_has_its_row():
    rows = weather_shown(REPORT).there
    assert [row.place for row in rows] == [there.name for there in REPORT.weather.there]
    assert (rows[1].clock, rows[1].clock_span, rows[1].rain) == ("10:30", "10:00 to 11:09", "11 %")
    assert rows[0].clock_span == "", "a start at one time has no range"
    assert (rows[0].felt_index, rows[0].felt_says) == (NO_INDEX, "")
    assert (rows[1].felt_index, rows[1].felt_says) == ("Wind chill 22 °F", REPORT.weather.there[1].felt.says)
    assert (rows[2].felt_index, rows[2].felt_says) == ("Wind chill 22 °F", ""), "words stand where they change"
    last = rows[-1]
    assert {last.temperature, last.wind, last.felt_index, last.rain} == {"not known"}


def test_an_index_without_words_is_told_by_itself():
    there = replace(REPORT.weather.there[1], felt=replace(REPORT.weather.there[1].felt, says=""))
    (row,) = weather_shown(replace(REPORT, weather=replace(REPORT.weather, there=(there,)))).there
    assert (row.felt_index, row.felt_says) == ("Wind chill 22 °F", "")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [("from the forecast", "From the forecast."), ("It rains.", "It rains."), ("", ""), ("8 mm fall", "8 mm fall.")],
)
def test_words_become_sentences(words, sentence):
    assert as_sentence(words) == sentence


def test_typed_rock_tells_no_shares():
    weather = replace(REPORT.weather, rock_typed=True, rock="wet")
    told = weather_shown(replace(REPORT, weather=weather))
    assert told.rocks == ()
    assert "as the trip file says" in [fact.small for fact in told.first_facts]
    page = still_page(weather_sheet(replace(REPORT, weather=weather)))
    assert 'id="rock-hours"' not in page
    assert 'id="weather-hours"' in page


def test_hours_not_known_say_so_once_for_the_rock(pages):
    table = re.search(r'<section aria-labelledby="hours">.*?</section>', pages["as sampled"], flags=re.S)[0]
    gaps = re.findall(r"<tr><th[^>]*>2[01]:00</th>(.*?)</tr>", table, flags=re.S)
    assert len(gaps) == 2
    assert all('colspan="4">not known' in gap for gap in gaps)
    assert table.count("<tr>") == len(REPORT.weather.hours) + 1


# --- light -----------------------------------------------------------------------------------------------------------


def place(spans_h, first_h=math.nan, last_h=math.nan):
    spans_s = tuple((from_h * 3600.0, to_h * 3600.0) for from_h, to_h in spans_h)
    return PlaceSun("there", 2000.0, spans_s, first_h * 3600.0, last_h * 3600.0, math.nan, "a flat horizon", ())


@pytest.mark.parametrize(
    ("there", "first", "last"),
    [
        (place([(8.0, 17.5)], 8.0, 17.5), "08:00", "17:30"),
        (place([]), NO_SUN, NO_SUN),
        (place([(-12.0, 36.0)]), SUN_ALL_DAY, SUN_ALL_DAY),
        (place([(-12.0, 17.5)], last_h=17.5), "there before this day", "17:30"),
        (place([(8.0, 36.0)], first_h=8.0), "08:00", "stays past this day"),
    ],
)
def test_the_sun_comes_and_goes_or_not(there, first, last):
    assert (first_sun_words(there), last_sun_words(there)) == (first, last)


def test_a_note_on_several_places_is_told_once():
    note = "trees are not counted"
    sky = sample_sky()
    places = tuple(replace(there, notes=(note,)) for there in sky.places)
    told = weather_shown(replace(REPORT, sky=replace(sky, places=places)))
    assert told.sun_notes == (f"The slab, Tamsin summit, Larch Landing: {note}.",)


@pytest.mark.parametrize(
    ("dark_s", "lit_s", "words"),
    [
        ((1800.0, 2100.0, 3100.0), (0.0, 900.0, 1500.0), "half the days up to 35 min, one day in ten over 52 min."),
        ((7490.0, 7500.0, 7510.0), (0.0, 900.0, 1500.0), "Walked in the dark: 2 h 05 min."),
        ((0.0, 0.0, 1200.0), (0.0, 0.0, 600.0), "On half the days or more the moon lights none of it."),
        ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), "On nine days in ten you walk in the light all the way."),
        ((1800.0, 2100.0, 3100.0), (math.nan,) * 3, "How much of it the moon lights is not known."),
        ((math.nan,) * 3, (math.nan,) * 3, "How long you walk in the dark is not known."),
    ],
)
def test_dark_and_moonlit_walking(dark_s, lit_s, words):
    light, sky = replace(sample_light(), dark_walking_s=dark_s), replace(sample_sky(), moonlit_walking_s=lit_s)
    assert words in dark_sentence(light, sky)


def test_written_into_a_folder(pages, tmp_path):
    path = write_weather(REPORT, tmp_path / "new")
    assert path == tmp_path / "new" / "weather.html"
    assert path.read_text(encoding="utf-8") == pages["as sampled"]
