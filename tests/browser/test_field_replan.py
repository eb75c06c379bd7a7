""" "We are at ..." in a real browser with the network off: the program's own answers, by thumb, keyboard and ear."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from handline.brief.field_page import field_data
from handline.brief.html import brief_html
from handline.day.field_numbers import MOST_FIELD_DAYS
from handline.day.file_checks import subject_problems
from handline.day.passed_told import PassedAt
from handline.day.plan import Plan
from handline.day.planning import Simulated, make_plan, simulate
from handline.day.setting import set_up
from handline.day.subjects import Setting
from handline.trip.reading import read_trip
from tests.brief.field_cases import Apart, Told, many_told
from tests.browser.contrast import contrast
from tests.browser.opened_page import SIZES, OpenedPage
from tests.day.trips import night_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
STILL = '<svg xmlns="http://www.w3.org/2000/svg" width="8" height="8"/>'
TRIPS: dict[str, Callable[[], Any]] = {
    "tamsin-dome": lambda: read_trip(EXAMPLES / "tamsin-dome" / "trip.toml", subject_problems),
    "petrel-slab": lambda: read_trip(EXAMPLES / "petrel-slab" / "trip.toml", subject_problems),
    "a night out": lambda: night_trip(days=2000, limits='home_by = "14:30"\nchance = "80 %"', wait="20 min"),
}

pytestmark = pytest.mark.browser


@cache
def _plan(name: str) -> Plan:
    return make_plan(TRIPS[name]())


@cache
def _simulated(name: str) -> tuple[Setting, Simulated]:
    setting = set_up(TRIPS[name]())
    return setting, simulate(setting)


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    """The whole brief of a demo; its still pictures are not looked at here."""
    file = tmp_path_factory.mktemp("field") / "brief.html"
    file.write_text(brief_html(_plan("petrel-slab"), lambda specs: iter([STILL] * len(specs))), encoding="utf-8")
    return file


class Opened(OpenedPage):
    """The brief on a phone at a time of the day, and what is told to it."""

    def __init__(self, browser, page_file, now="2027-01-15T23:20:00Z", refuse_to_keep=False, **about):
        self.now, self.refuse_to_keep = now, refuse_to_keep
        super().__init__(browser, page_file, SIZES["phone"], **about)

    def prepare(self):
        self.page.clock.set_fixed_time(self.now)
        if self.refuse_to_keep:
            self.page.add_init_script(
                "Object.defineProperty(window, 'localStorage', { get() { throw new Error('private'); } });"
            )

    def told(self, passing: int, time: str) -> None:
        """Say a passing, and wait until it is worked out or refused."""
        self.page.select_option("#replan-at", str(passing))
        self.page.fill("#replan-time", time)
        self.page.click("#replan-go")
        self.settled()

    def settled(self) -> None:
        self.page.locator("#replan-go:enabled").wait_for()

    def text(self, name: str) -> str:
        return self.page.locator(f"#replan-{name}").inner_text()

    def problem(self, name: str) -> str:
        return self.text(f"{name}-problem") if self.page.locator(f"#replan-{name}-problem").is_visible() else ""


@pytest.fixture(scope="module")
def opened(browser, page_file) -> Iterator[Opened]:
    """One page for all that leaves no trace on it."""
    with Opened(browser, page_file) as one:
        yield one


# --- the same answers ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TRIPS)
def test_the_page_says_what_the_program_says(opened, name, record_property):
    setting, simulated = _simulated(name)
    told = many_told(setting, simulated)
    if setting.itinerary.night is None:
        assert len(told) >= 25
        assert setting.trip.about.days <= MOST_FIELD_DAYS
    found = opened.page.evaluate(
        "([plan, cases]) => cases.map((told) => window.handlineReplan(plan, told.passed, told.today))",
        [json.loads(json.dumps(field_data(_plan(name)))), [one.to_page() for one in told]],
    )
    apart = Apart()
    for one, answer in zip(told, found, strict=True):
        apart.take(one.replanned(setting, simulated), answer)
    record_property("apart", f"{apart}")
    assert len(apart.verdicts) >= 2
    # One point is what is promised; the days are the very same, so it is far less.
    assert apart.chance < 0.001, apart
    assert apart.clock_s < 1.0, apart
    assert apart.coin_flips == 0
    other = [pair for pair in apart.other_words if re.sub(r"\d+", "#", pair[0]) != re.sub(r"\d+", "#", pair[1])]
    assert other == []
    assert len(apart.other_words) <= 3, apart.other_words


def test_the_same_question_has_the_same_answer_on_another_phone(browser, page_file):
    question = """() => JSON.stringify(window.handlineReplan(
        JSON.parse(document.getElementById('field-data').textContent), [{ passing: 1, clockS: 36000 }]))"""
    answers = []
    for zone in ("Australia/Hobart", "America/Denver"):
        with Opened(browser, page_file, timezone_id=zone) as opened:
            answers.append(opened.page.evaluate(question))
    assert answers[0] == answers[1]
    assert len(answers[0]) > 1000


def test_what_is_typed_on_the_page_is_what_is_asked(browser, page_file):
    """By hand on the page, and by the program with the same passings, stay, storm and rock."""
    setting, simulated = _simulated("petrel-slab")
    with Opened(browser, page_file) as opened:
        page = opened.page
        page.click("#replan-more summary")
        for key, text in (("delay", "25"), ("storm", "35 %"), ("stormFrom", "14:30")):
            page.fill(f"#replan-{key}", text)
        page.select_option("#replan-rock", "damp")
        opened.told(1, "09:50")
        opened.told(2, "1140")
        expected = Told(
            (PassedAt(1, 35400.0), PassedAt(2, 42000.0)), 1500.0, _storm(0.35, 14.5 * 3600.0), "damp"
        ).replanned(setting, simulated)
        assert opened.text("headline") == f"{expected.advice.headline}."
        assert opened.text("sentence") == expected.advice.sentence
        assert opened.text("word").lower().startswith({"go_on": "note", "turn_by": "heed", "turn_now": "stop"}[
            expected.advice.key
        ])  # fmt: skip
        detail = opened.text("detail")
        for words in (expected.pace.says, expected.storm_says, expected.rock_says, *expected.notes):
            assert words in detail
        shapes = page.locator("#replan-answer .shape:visible")
        assert shapes.count() == 1
        for row in expected.ahead:
            assert row.name in detail
        assert page.locator("#replan-answer .first-caution").inner_text().startswith(setting_caution(3))
        assert setting_caution(1) in page.locator("#replan-answer").inner_text()
        assert opened.complaints == []
        assert opened.asked == []


def _storm(chance: float, from_clock_s: float | None) -> Any:
    from handline.day.today_typed import StormToday

    return StormToday(chance, from_clock_s)


def setting_caution(number: int) -> str:
    from handline.day.cautions import CAUTIONS

    return CAUTIONS[number]


# --- what is told, kept and taken back -------------------------------------------------------------------------------


def test_what_was_told_is_still_there_after_a_reload_and_gone_after_clear(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.told(1, "09:50")
        opened.told(2, "11:40")
        headline = opened.text("headline")
        opened.page.reload()
        opened.page.locator("#replan-answer").wait_for()
        assert opened.text("headline") == headline
        assert opened.page.locator("#replan-passed li").all_inner_texts() == [
            "Wren Creek (up), 09:50",
            "Foot of the slab (up), 11:40",
        ]
        opened.page.click("#replan-undo")
        opened.settled()
        assert opened.page.locator("#replan-passed li").all_inner_texts() == ["Wren Creek (up), 09:50"]
        opened.page.click("#replan-clear")
        opened.settled()
        assert not opened.page.locator("#replan-answer").is_visible()
        opened.page.reload()
        opened.page.locator("#replan-form").wait_for()
        assert opened.page.locator("#replan-passed li").count() == 0
        assert opened.complaints == []


def test_telling_a_place_again_mends_its_time_and_an_earlier_place_falls_into_its_order(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.told(2, "11:40")
        opened.told(1, "09:50")
        opened.told(2, "11:55")
        assert opened.page.locator("#replan-passed li").all_inner_texts() == [
            "Wren Creek (up), 09:50",
            "Foot of the slab (up), 11:55",
        ]


def test_where_nothing_may_be_kept_it_works_and_says_so(browser, page_file):
    with Opened(browser, page_file, refuse_to_keep=True) as opened:
        opened.told(1, "09:50")
        assert opened.text("headline")
        assert "keeps nothing" in opened.text("kept")
        assert opened.complaints == []


def test_what_was_kept_badly_is_passed_over(browser, page_file):
    with Opened(browser, page_file) as opened:
        inputs = _plan("petrel-slab").provenance.inputs_sha256
        for kept in ("not json", '{"told": [{"passing": "x"}]}', "7"):
            opened.page.evaluate(
                "([key, kept]) => localStorage.setItem(key, kept)", [f"handline-replan-{inputs}", kept]
            )
            opened.page.reload()
            opened.page.locator("#replan-form").wait_for()
            assert not opened.page.locator("#replan-answer").is_visible()
        assert opened.complaints == []


def test_it_begins_with_now_where_the_trip_is_and_the_place_ahead_that_fits(browser, page_file):
    """22:35 in universal time is 09:35 at Hobart in summer, by the rules of the time zone."""
    with Opened(browser, page_file, now="2027-01-15T22:35:00Z", timezone_id="America/Denver") as opened:
        assert opened.page.input_value("#replan-time") == "09:35"
        assert opened.page.locator("#replan-at option:checked").inner_text() == "Wren Creek (up)"
        opened.page.click("[data-minutes='-5']")
        assert opened.page.input_value("#replan-time") == "09:30"
        assert opened.text("go") == "We are at Wren Creek (up), 09:30: what now?"
        opened.page.click("#replan-now")
        assert opened.page.input_value("#replan-time") == "09:35"
        opened.page.click("#replan-go")
        opened.settled()
        assert opened.page.locator("#replan-passed li").all_inner_texts() == ["Wren Creek (up), 09:35"]
        assert opened.page.input_value("#replan-at") == "2"


def test_after_midnight_a_time_is_of_the_day_it_fits(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.told(1, "09:50")
        opened.told(7, "00:20")
        assert opened.page.locator("#replan-passed li").last.inner_text() == "Wren Creek (down), 00:20 the day after"


# --- what cannot be used ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("passing", "time", "key", "words"),
    [
        (1, "08:10", "time", "This is not after the planned start: 08:10 at Wren Creek (up). Allowed: a time after 09"),
        (1, "25:10", "time", "There is no such time of day: 25:10. Allowed: hours and minutes, 24-hour"),
        (1, "soon", "time", "This is not a clock time: soon. Allowed: hours and minutes, 24-hour"),
        (8, "16:00", "at", "The day ends there, so nothing is left to plan: Stringybark gate (down)."),
    ],
)  # fmt: skip
def test_a_bad_entry_is_told_beside_its_field(browser, page_file, passing, time, key, words):
    with Opened(browser, page_file) as opened:
        opened.told(passing, time)
        assert opened.problem(key).startswith(words)
        assert opened.page.get_attribute(f"#replan-{key}", "aria-invalid") == "true"
        assert opened.page.evaluate("document.activeElement.id") == f"replan-{key}"
        assert not opened.page.locator("#replan-told").is_visible()
        field, told = (opened.page.locator(f"#replan-{name}").bounding_box() for name in (key, f"{key}-problem"))
        assert 0.0 <= told["y"] - field["y"] - field["height"] < 20.0
        opened.told(1, "09:50")
        assert opened.problem(key) == ""
        assert opened.text("headline")


def test_times_out_of_order_are_refused_and_what_was_told_stays(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.told(2, "11:40")
        opened.told(3, "11:20")
        assert opened.problem("time").startswith(
            "Times are not in the order of the day: 11:40 at Foot of the slab (up), then 11:20 at Top of the slab (up)."
        )
        assert opened.page.locator("#replan-passed li").all_inner_texts() == ["Foot of the slab (up), 11:40"]
        for time in ("11:20", "25:00"):  # no earlier answer stands below as if it were to this
            opened.told(3, time)
            assert (opened.page.locator("#replan-answer").is_visible(), opened.text("detail")) == (False, "")


def test_a_stay_a_storm_and_a_time_for_it_are_checked(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.page.click("#replan-more summary")
        opened.page.fill("#replan-delay", "long")
        opened.page.fill("#replan-storm", "120")
        opened.told(1, "09:50")
        assert opened.problem("delay") == "This is no stay: long. Allowed: 0 to 24 h."
        assert opened.problem("storm") == "No chance of a storm is as low or high as that: 120. Allowed: 0 to 99 %."
        opened.page.fill("#replan-delay", "")
        opened.page.fill("#replan-storm", "")
        opened.page.fill("#replan-stormFrom", "14:00")
        opened.told(1, "09:50")
        assert opened.problem("stormFrom").startswith(
            "This says when a storm may begin, but not how likely one is: 14:00."
        )
        opened.page.fill("#replan-stormFrom", "")
        opened.page.fill("#replan-storm", "50")
        opened.told(7, "22:40")
        assert "storms are usually over by 22:40" in opened.problem("storm").lower()


# --- by thumb, keyboard and ear ---------------------------------------------------------------------------------------


def test_everything_to_touch_is_big_enough_and_nothing_sticks_out(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.page.click("#replan-more summary")
        opened.told(1, "09:50")
        small = opened.page.evaluate(
            """() => [...document.querySelectorAll('#replan :is(button, input, select, summary)')].filter((one) => {
                 const box = one.getBoundingClientRect();
                 return box.width < 44 || box.height < 44;
               }).map((one) => one.outerHTML)"""
        )
        assert small == []
        opened.assert_fits()


def test_it_works_by_keyboard(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.page.focus("#replan-at")
        opened.page.keyboard.press("Home")
        opened.page.keyboard.press("ArrowDown")
        for _ in range(2):
            opened.page.keyboard.press("Tab")
        assert opened.page.evaluate("document.activeElement.id") == "replan-time"
        opened.page.keyboard.press("Control+A")
        opened.page.keyboard.type("09:50")
        opened.page.keyboard.press("Enter")
        opened.page.locator("#replan-answer").wait_for()
        assert opened.page.locator("#replan-passed li").all_inner_texts() == ["Wren Creek (up), 09:50"]


def test_a_screen_reader_has_a_name_for_everything_and_hears_the_answer(opened):
    nameless = opened.page.evaluate(
        """() => [...document.querySelectorAll('#replan :is(input, select, button)')].filter((one) =>
             !(one.labels?.length || one.getAttribute('aria-label') || one.textContent.trim())
             || (one.getAttribute('aria-describedby') ?? '').split(' ').some((id) => id && !document.getElementById(id))
           ).map((one) => one.id)"""
    )
    assert nameless == []
    assert opened.page.get_attribute("#replan-status", "aria-live") == "polite"
    assert opened.page.locator("#replan-status #replan-headline").count() == 1
    assert opened.page.locator("#replan .problem:not([role=alert])").count() == 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_have_contrast(browser, page_file, scheme):
    """WCAG 2.2 contrast ratio, success criterion 1.4.3: at least 4.5."""
    with Opened(browser, page_file, color_scheme=scheme) as opened:
        opened.page.click("#replan-more summary")
        pairs = []
        for time in ("09:20", "08:00"):  # with an answer, then with a problem in its place
            opened.told(3, time)
            pairs += opened.page.evaluate(
                """() => [...document.querySelectorAll('#replan *')].filter((one) => one.offsetParent !== null
                 && [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())).map((one) => {
                 let behind = one;
                 while (getComputedStyle(behind).backgroundColor === 'rgba(0, 0, 0, 0)') behind = behind.parentElement;
                 return [getComputedStyle(one).color, getComputedStyle(behind).backgroundColor, one.textContent];
               })"""
            )
        assert opened.problem("time")
    assert len(pairs) > 40
    for ink, paper, words in pairs:
        assert contrast(ink, paper) >= 4.5, (ink, paper, words)


def test_it_is_not_printed(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.told(1, "09:50")
        opened.page.emulate_media(media="print")
        assert not opened.page.locator("#replan").is_visible()


def test_without_script_a_sentence_says_how_on_the_computer(browser, page_file):
    with Opened(browser, page_file, java_script_enabled=False) as opened:
        section = opened.page.locator("#replan")
        assert "handline replan trip.toml" in section.inner_text()
        assert not opened.page.locator("#replan-form").is_visible()
