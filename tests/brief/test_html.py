"""The page: whole, closed to the outside, escaped, and honest in its words."""

from __future__ import annotations

import html
import json
import math
import re
from dataclasses import replace

import pytest

from handline.brief.html import brief_html
from handline.quantity import show_clock, show_duration
from tests.brief.read_page import markup, visible
from tests.brief.sample_crowd import typed_crowd
from tests.brief.sample_plan import sample_plan
from tests.brief.sample_weather import no_weather, polar_sky, typed_weather

PLAN = sample_plan()
HOSTILE = '<script>alert("x")</script><img src=x onerror=alert(1)>\'"&</style>{{ 7 * 7 }}'


@pytest.fixture(scope="module")
def page() -> str:
    return brief_html(PLAN)


def test_same_plan_same_bytes(page):
    assert brief_html(PLAN) == page


def test_size(page):
    assert len(page.encode()) < 1_600_000


def test_never_the_forbidden_word(page):
    assert not re.search(r"\b(un)?safe(ly|ty|r)?\b", visible(page), re.IGNORECASE)


def test_no_address_outside_the_page(page):
    for address in re.findall(r"""(?:src|href|action|srcset|poster)\s*=\s*["']([^"']*)""", markup(page)):
        assert address.startswith("#"), address
    assert not re.search(r"url\(|@import", markup(page))
    for source in re.findall(r'src="([^"]*)"', re.sub(r"<script\b[^>]*>.*?</script>", "", page, flags=re.S)):
        assert source.startswith("data:image/svg+xml"), source[:60]


def test_policy_names_every_script_and_nothing_looser(page):
    policy = html.unescape(re.search(r'Content-Security-Policy" content="([^"]*)"', page)[1])
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    runs = re.findall(r"<script>(.*?)</script>", page, flags=re.S)
    assert policy.count("'sha256-") == len(runs) + 1


def test_no_inline_handlers_and_no_inline_styles(page):
    tags = re.findall(r"<[a-z][^>]*>", markup(page))
    assert not [tag for tag in tags if re.search(r"\s(on\w+|style)\s*=", tag)]


def test_no_nan_and_no_none_in_words(page):
    words = visible(page)
    assert not re.search(r"\b(nan|NaN|inf|None|undefined)\b", words)


def test_findings_stand_in_order_of_gravity_before_the_day(page):
    words = visible(page)
    places = [words.index(finding.sentence) for finding in PLAN.findings]
    assert places == sorted(places)
    assert words.index(PLAN.decision.headline) < places[0]
    assert places[-1] < words.index("Latest passing times")


def test_every_time_of_the_timetable_is_there_with_its_range(page):
    table = re.search(r'<table class="timetable">(.*?)</table>', page, flags=re.S)[1]
    rows = re.findall(r"<tr.*?</tr>", table, flags=re.S)[1:]
    for row, passing in zip(rows, PLAN.timetable, strict=True):
        clocks_s = [*(passing.arrive_clock_s[index] for index in (1, 3, 5)), passing.latest_clock_s]
        assert re.findall(r"<td[^>]*>([^<]*)</td>", row) == [show_clock(clock_s) for clock_s in clocks_s]


def test_every_part_of_the_plan_is_said(page):
    words = visible(page)
    for sentence in (
        *(finding.sentence for finding in PLAN.findings),
        *(tether.sentence for tether in PLAN.line.tethers),
        *(tether.also for tether in PLAN.line.tethers),
        *(limit.source for limit in PLAN.line.limits),
        *(assumption.source for assumption in PLAN.assumptions),
        *(model.title for model in PLAN.models),
        *PLAN.route.notes,
        *PLAN.weather.notes,
        PLAN.weather.says,
        PLAN.weather.rock_says,
        PLAN.weather.storm_says,
        PLAN.weather.attribution,
        PLAN.sky.moon_says,
        *(place.horizon_says for place in PLAN.sky.places),
        *(note for place in PLAN.sky.places for note in place.notes),
        *PLAN.cautions,
        PLAN.provenance.inputs_sha256,
        PLAN.permits[0].name,
        "10,000",
        "common practice, no source",
        "from memory",
    ):
        assert sentence in words, sentence


@pytest.mark.parametrize("level", ["stop", "heed", "note"])
def test_the_decision_says_its_level_in_words(level):
    words = {"stop": "Stop: do not go like this", "heed": "Heed: act on this", "note": "Note"}[level]
    page = brief_html(replace(PLAN, decision=replace(PLAN.decision, level=level)))
    banner = re.search(r'<section class="decision level".*?</section>', page, flags=re.S)[0]
    assert words in banner


def test_hostile_names_stay_text(page):
    line = replace(PLAN.line, name=HOSTILE, tethers=(replace(PLAN.line.tethers[0], title=HOSTILE, sentence=HOSTILE),))
    timetable = tuple(replace(passing, name=f"{HOSTILE} {index % 7}") for index, passing in enumerate(PLAN.timetable))
    plan = replace(
        PLAN,
        name=HOSTILE,
        line=line,
        timetable=timetable,
        cautions=(HOSTILE, HOSTILE),
        contacts=replace(PLAN.contacts, leader=HOSTILE, call=(HOSTILE,), names=(HOSTILE,)),
        crowd=replace(PLAN.crowd, says=HOSTILE, ways=tuple(replace(way, place=HOSTILE) for way in PLAN.crowd.ways)),
        load=replace(PLAN.load, carried=(HOSTILE,), gear=(replace(PLAN.load.gear[0], name=HOSTILE),)),
    )
    page, own = brief_html(plan), page
    tags = markup(page)
    assert "<script" not in tags
    assert "onerror" not in re.sub(r"&lt;img.*?&gt;", "", tags)
    assert visible(page).count(HOSTILE) >= 3
    assert page.count("<script") == page.count("</script>") == own.count("<script")
    told = json.loads(re.search(r'id="picture-data">(.*?)</script>', page, flags=re.S)[1])
    assert told["slip-lengths"]["datasets"]["cases"][0]["title"] == f"1  {HOSTILE}"


def test_what_is_not_there_is_said_in_plain_words():
    decision = replace(PLAN.decision, leave_by_clock_s=None, turn_back_clock_s=None)
    timetable = tuple(replace(passing, latest_clock_s=None) for passing in PLAN.timetable)
    light = replace(
        PLAN.light,
        civil_dawn_clock_s=math.nan,
        sunrise_clock_s=math.nan,
        sunset_clock_s=math.nan,
        civil_dusk_clock_s=math.nan,
        dark_spans_clock_s=(),
        says="The sun does not set on this day.",
    )
    storm = replace(PLAN.storm, chance=0.0, begun_share=(0.0,) * len(PLAN.storm.clock_s))
    plan = replace(
        PLAN, decision=decision, timetable=timetable, light=light, storm=storm, findings=(), permits=(), models=()
    )
    words = visible(brief_html(plan))
    for sentence in (
        "no start meets the limits",
        "no time at Foot of the cables meets the limits",
        "no time meets the limits",
        "none on this day",
        "The sun does not set on this day.",
        "Nothing was found that needs acting on.",
        "The trip file names none.",
    ):
        assert sentence in words
    assert not re.search(r"\b(nan|None)\b", words)


def test_the_foot_of_the_line_is_the_first_place_to_turn_back_at(page):
    turns = re.search(r'<div class="turns">(.*?)</div>', page, flags=re.S)[1]
    assert re.findall(r"<dd>(.*?)</dd>", turns) == [
        "11:18<small>if not yet at Foot of the cables</small>",
        "12:42<small>if not yet at Tamsin summit</small>",
    ]


def test_a_day_without_limits_says_why_there_is_no_latest_time():
    decision = replace(PLAN.decision, leave_by_clock_s=None, turn_back_clock_s=None, top_clock_s=None)
    says = "any time meets the limits"
    timetable = tuple(replace(passing, latest_clock_s=None, latest_says=says) for passing in PLAN.timetable)
    page = brief_html(replace(PLAN, decision=decision, timetable=timetable))
    facts = re.search(r'<dl class="facts">(.*?)</dl>', page, flags=re.S)[1]
    assert facts.count(says) == 3
    assert "no start" not in facts


def test_one_caution_comes_before_the_findings_and_leads_to_all_of_them(page):
    words = visible(page)
    assert words.index(PLAN.cautions[1]) < words.index(PLAN.findings[0].sentence)
    assert re.search(r'<a [^>]*href="#cautions">All cautions</a>', page)
    assert all(caution in visible(section(page, "cautions")) for caution in PLAN.cautions)


def test_two_times_that_read_the_same_are_said_once():
    light = replace(PLAN.light, dark_walking_s=(7490.0, 7500.0, 7510.0))
    words = visible(brief_html(replace(PLAN, light=light)))
    assert words.count("2 h 05 min") == 1
    assert "one day in ten over" not in words


def test_the_line_tells_its_length_on_the_map_from_that_along_the_cable(page):
    assert visible(page).count("262 ft on the map; along the cable 315 ft") == 2


def test_times_on_the_line_are_alone_and_what_others_cost_stands_beside_them(page):
    """In the table as such, they read as less than what the crowd's own part says of the same climb."""
    words = " ".join(visible(page).split())
    assert "On the line alone, up" in words
    assert (
        "Alone: with nobody else on the line to hold you up. What others cost, waiting and on the line together:"
        in words
    )
    up, down = PLAN.crowd.ways
    for way in (up, down):
        half, long = show_duration(way.half_s), show_duration(way.long_s)
        assert f"going {way.way} {half} or less on half the days, over {long} on one day in ten" in words
    typed = " ".join(visible(brief_html(replace(PLAN, crowd=typed_crowd()))).split())
    assert "Alone: with nobody else on the line to hold you up." in typed
    assert "What others cost, waiting" not in typed


def test_a_slab_that_holds_a_body_by_itself_says_no_slide():
    tethers = tuple(
        replace(tether, outcomes=tuple(_no_slide(outcome) for outcome in tether.outcomes))
        for tether in PLAN.line.tethers
    )
    words = visible(brief_html(replace(PLAN, line=replace(PLAN.line, tethers=tethers))))
    assert "no slide to stop" in words
    assert "nothing stops the slide" not in words


def _no_slide(outcome):
    return replace(
        outcome, free_m=(0.0, 0.0), slide_m=(0.0, 0.0), speed_m_s=(0.0, 0.0), force_N=(math.nan, math.nan),
        reach_foot_share=0.0, stopped_share=0.0, end_m=outcome.start_m, over_limits=(), part_breaks=False,
        verdict="holds",
    )  # fmt: skip


# --- light and weather -----------------------------------------------------------------------------------------------


def section(page: str, name: str) -> str:
    return re.search(rf'<section aria-labelledby="{name}">.*?</section>', page, flags=re.S)[0]


def test_light_weather_and_rock_stand_together(page):
    assert page.index('id="light"') < page.index('id="weather"')
    assert page.index('id="weather-hours"') < page.index('id="rock"') < page.index('id="rock-hours"')


def test_the_brief_tells_when_the_sun_is_on_each_place(page):
    rows = re.findall(r"<tr>.*?</tr>", section(page, "light"), flags=re.S)[1:]
    told = [re.findall(r"<td[^>]*><span>(.*?)</span>", row)[:2] for row in rows]
    assert told == [["07:36", "18:24"], ["05:36", "21:36"], ["06:24", "20:12"]]
    assert "sun 07:36 to 11:06, 12:12 to 18:24" in rows[0]
    assert "up to 24 deg high" in rows[0]
    assert "deg high" not in rows[2]


@pytest.mark.parametrize("weather", [typed_weather(), no_weather()])
def test_a_plan_without_weather_has_no_empty_pictures_or_tables(weather):
    page = brief_html(replace(PLAN, weather=weather))
    words = visible(section(page, "weather"))
    assert weather.says in words
    assert weather.rock_says in words
    assert "<table" not in section(page, "weather")
    assert "<figure" not in section(page, "weather")
    assert not re.search(r"\b(nan|None)\b", visible(page))


@pytest.mark.parametrize(("sun", "words"), [(True, "sun all day"), (False, "no sun on this day")])
def test_a_polar_day_and_a_polar_night_say_so_place_by_place(sun, words):
    page = brief_html(replace(PLAN, sky=polar_sky(sun)))
    told = visible(section(page, "light"))
    assert told.count(words) >= 2 * len(PLAN.sky.places)
    assert not re.search(r"\b(nan|None)\b", visible(page))
