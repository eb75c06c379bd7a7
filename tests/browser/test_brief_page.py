"""The brief in a real browser with the network off: drawn, readable on a phone, printable, and silent."""

from __future__ import annotations

from dataclasses import replace

import pytest

from handline.brief.figures.picture import WIDTH_PX
from handline.brief.writing import write_brief
from tests.brief.sample_plan import sample_plan
from tests.brief.written_plans import petrel, tamsin
from tests.browser.contrast import contrast
from tests.browser.opened_page import SIZES, OpenedPage

PRINTED = (725, 960)
"""What Letter paper leaves between the margins, in CSS pixels."""
PICTURES = (
    "day-strip",
    "start-chance",
    "slab-section",
    "slip-lengths",
    "stopping-forces",
    "load-curve",
    "weather-hours",
    "rock-hours",
    "sketch-map",
)
MOST_PAGES = 11
"""The whole brief on paper, part after part; the card is the two pages to carry."""

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    page, *_ = write_brief(sample_plan(), tmp_path_factory.mktemp("brief"))
    return page


@pytest.fixture(scope="module")
def demo_file(tmp_path_factory):
    page, *_ = write_brief(tamsin(), tmp_path_factory.mktemp("demo"))
    return page


@pytest.fixture(scope="module")
def southern_file(tmp_path_factory):
    page, *_ = write_brief(petrel(), tmp_path_factory.mktemp("southern"))
    return page


@pytest.fixture(scope="module")
def crowded_file(tmp_path_factory):
    """A large party that reaches every place near its latest times, up and down close together."""
    plan = sample_plan()
    latest_h = {"up": (3.1, 4.9, 6.6, 9.9, 10.4, 12.1, 12.35), "down": (13.0, 14.1, 15.0, 16.8, 18.2, 19.5)}
    clocks_s = [hour * 3600.0 for hour in (*latest_h["up"], *latest_h["down"])]
    timetable = tuple(
        replace(passing, latest_clock_s=clock_s) for passing, clock_s in zip(plan.timetable, clocks_s, strict=True)
    )
    page, *_ = write_brief(replace(plan, timetable=timetable), tmp_path_factory.mktemp("crowded"))
    return page


class Opened(OpenedPage):
    """The brief in one window, its pictures drawn where scripts may run."""

    def __init__(self, browser, page_file, size=SIZES["desktop"], script=True):
        super().__init__(browser, page_file, size, java_script_enabled=script)
        if script:
            for picture in PICTURES:
                self.page.locator(f"#{picture}.is-live").wait_for()


@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_asked_for_and_nothing_complains(browser, page_file, size):
    with Opened(browser, page_file, SIZES[size]) as opened:
        opened.assert_silent()


@pytest.mark.parametrize("size", SIZES)
def test_nothing_sticks_out_sideways(browser, page_file, size):
    with Opened(browser, page_file, SIZES[size]) as opened:
        opened.assert_fits()


def test_a_policy_breach_would_be_seen(browser, page_file, tmp_path):
    # The check of the checks: a page with one more script than its policy names must complain.
    harmed = tmp_path / "harmed.html"
    before, end, after = page_file.read_text(encoding="utf-8").rpartition("</body>")
    harmed.write_text(f"{before}<script>let more = 1;</script>{end}{after}", encoding="utf-8")
    with Opened(browser, harmed) as opened:
        assert any("Content Security Policy" in complaint for complaint in opened.complaints)


def test_the_policy_forbids_evaluating_text(browser, page_file):
    with Opened(browser, page_file) as opened:
        outcome = opened.page.evaluate(
            "() => { const script = document.createElement('script'); script.textContent = 'window.ran = true';"
            " document.body.append(script); return window.ran === true; }"
        )
        assert outcome is False


@pytest.mark.parametrize("size", ["phone", "desktop"])
@pytest.mark.parametrize("picture", PICTURES)
def test_pictures_are_drawn(browser, page_file, size, picture):
    with Opened(browser, page_file, SIZES[size]) as opened:
        figure = opened.page.locator(f"#{picture}")
        assert figure.locator(".live svg path").count() > 10
        assert figure.locator(".live svg text").count() > 10
        assert figure.locator("img.still").is_visible() is False
        drawn, frame = figure.locator(".live svg").bounding_box(), figure.locator(".frame").bounding_box()
        assert drawn["width"] <= frame["width"] + 1
        assert drawn["width"] > 0.9 * min(frame["width"], 718)


def test_every_passing_has_its_dot_and_its_latest_time(browser, page_file):
    plan = sample_plan()
    with Opened(browser, page_file) as opened:
        texts = opened.page.locator("#day-strip .live svg text").all_text_contents()
        for name in {passing.name for passing in plan.timetable}:
            assert name in texts
        assert "11:18" in texts
        assert "21:30" in texts


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_words_in_pictures_stay_inside_them(browser, page_file, size):
    with Opened(browser, page_file, SIZES[size]) as opened:
        outside = opened.page.evaluate(
            """() => [...document.querySelectorAll('figure[data-picture]')].flatMap(figure => {
                 const frame = figure.querySelector('.frame').getBoundingClientRect();
                 return [...figure.querySelectorAll('.live svg text')].filter(text => {
                   const box = text.getBoundingClientRect();
                   return text.textContent && (box.left < frame.left - 1 || box.right > frame.right + 1);
                 }).map(text => figure.id + ': ' + text.textContent);
               })"""
        )
        assert outside == []


@pytest.mark.parametrize("size", ["phone", "desktop"])
@pytest.mark.parametrize("which", ["page_file", "demo_file", "southern_file", "crowded_file"])
def test_words_in_pictures_do_not_run_into_each_other(browser, request, which, size):
    with Opened(browser, request.getfixturevalue(which), SIZES[size]) as opened:
        overlapping = opened.page.evaluate(
            """(ids) => ids.flatMap(id => {
                 const texts = [...document.querySelectorAll('#' + id + ' .live svg .mark-text text')]
                   .filter(text => text.textContent).map(text => [text.textContent, text.getBoundingClientRect()]);
                 const pairs = [];
                 texts.forEach(([one, a], i) => texts.slice(i + 1).forEach(([two, b]) => {
                   if (one !== two && a.left < b.right && b.left < a.right
                       && a.top + 3 < b.bottom && b.top + 3 < a.bottom)
                     pairs.push(id + ': ' + one + ' / ' + two);
                 }));
                 return pairs;
               })""",
            list(PICTURES),
        )
        assert overlapping == []


def test_without_script_the_still_pictures_show(browser, page_file):
    with Opened(browser, page_file, SIZES["phone"], script=False) as opened:
        stills = opened.page.locator("img.still")
        assert stills.count() == len(PICTURES)
        for index in range(len(PICTURES)):
            still = stills.nth(index)
            assert still.is_visible()
            assert still.bounding_box()["height"] > 150
            assert len(still.get_attribute("alt")) > 100
        assert opened.asked == []


def test_turning_the_window_redraws_for_its_width(browser, page_file):
    with Opened(browser, page_file, SIZES["desktop"]) as opened:
        opened.page.set_viewport_size({"width": 360, "height": 780})
        opened.page.locator(f"#day-strip .live svg[width='{WIDTH_PX['narrow']}']").wait_for()
        opened.assert_fits()
        assert opened.complaints == []


@pytest.mark.parametrize("width", [360, 500, 640, 1280])
def test_facts_leave_no_empty_cell(browser, page_file, width):
    with Opened(browser, page_file, (width, 900)) as opened:
        rights = opened.page.evaluate(
            """() => [...document.querySelectorAll('.facts')].map(facts => {
                 const rows = {};
                 [...facts.children].map(cell => cell.getBoundingClientRect()).forEach(box => {
                   const row = Math.round(box.top);
                   rows[row] = Math.max(rows[row] || 0, box.right);
                 });
                 return Object.values(rows).map(right => facts.getBoundingClientRect().right - right);
               })"""
        )
        assert all(abs(gap) < 2 for gaps in rights for gap in gaps), rights


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("which", ["page_file", "demo_file", "southern_file"])
@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_prints(browser, request, which, size, paper):
    with Opened(browser, request.getfixturevalue(which), SIZES[size]) as opened:
        assert 6 <= opened.printed_pages(paper) <= MOST_PAGES


def test_on_paper_every_picture_is_there_once_and_its_letters_can_be_read(browser, page_file):
    with Opened(browser, page_file, PRINTED) as opened:
        opened.page.emulate_media(media="print")
        for picture in PICTURES:
            figure = opened.page.locator(f"#{picture}")
            assert not figure.locator(".live").is_visible()
            box = figure.locator("img.still").bounding_box()
            # Letters are 11 px in the picture; 6 pt of paper is 8 px.
            assert box["width"] / WIDTH_PX["narrow"] * 11.0 >= 7.5, picture
            assert box["x"] + box["width"] <= PRINTED[0]
        opened.assert_fits()


def test_headings_go_down_one_step_at_a_time_and_the_page_has_a_language(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.assert_headings_go_down_one_step_at_a_time()
        assert opened.page.evaluate("document.documentElement.lang") == "en"


def test_skip_link_leads_to_the_decision_by_keyboard(browser, page_file):
    with Opened(browser, page_file) as opened:
        opened.page.keyboard.press("Tab")
        assert opened.page.evaluate("document.activeElement.textContent") == "Skip to the decision"
        opened.page.keyboard.press("Enter")
        assert opened.page.evaluate("location.hash") == "#decision"


def test_small_words_have_contrast(browser, page_file):
    # WCAG 2.2 contrast ratio, success criterion 1.4.3: at least 4.5 for text of this size.
    with Opened(browser, page_file) as opened:
        quiet, paper = opened.page.evaluate(
            "[getComputedStyle(document.querySelector('.quiet')).color,"
            " getComputedStyle(document.body).backgroundColor]"
        )
    assert contrast(quiet, paper) >= 4.5
