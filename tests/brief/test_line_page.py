"""The page of a line report shows what the report holds, in words and three pictures, and needs no script."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from handline.brief.figures.force_trace import force_trace_picture
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.slab_section import slab_section
from handline.brief.figures.slip_ends import slip_ends_picture
from handline.brief.line_page import line_sheet, write_line
from handline.brief.line_words import both_ends, changes_words, forces_words, hands_words
from handline.brief.still_page import still_page
from handline.day.line_what_if import WhatIf
from handline.line.slip_chances import ENDS
from handline.quantity import show_length, show_share
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.closed_page import assert_closed
from tests.brief.read_page import plain, text_of
from tests.day.line_reports import tamsin_line

LOWERED = WhatIf(state="lowered", rock="wet", tether="one sling")
NOTHING = WhatIf(tether="none")
QUESTIONS = {"as planned": None, "lowered": LOWERED, "nothing": NOTHING}
PICTURES = {"slab-section": slab_section, "slip-ends": slip_ends_picture, "force-trace": force_trace_picture}


@pytest.mark.parametrize("key", PICTURES)
@pytest.mark.parametrize("which", QUESTIONS)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_spec_obeys_the_published_schema(key, which, width):
    picture = PICTURES[key](tamsin_line(QUESTIONS[which]))
    assert_obeys_the_schema(picture, width)


@pytest.mark.parametrize("key", PICTURES)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_layer_reads_data_that_is_there(key, width):
    picture = PICTURES[key](tamsin_line())
    assert_reads_its_data(picture, width)


def test_the_section_has_a_bar_for_every_tether_that_slides():
    report = tamsin_line()
    bars = {row["tether"] for row in slab_section(report).datasets["slips"]}
    assert bars == {str(tether.number) for tether in report.line.tethers}


def test_bars_of_ends_are_whole_and_in_the_order_of_the_ends():
    report = tamsin_line()
    rows = slip_ends_picture(report).datasets["ends"]
    for tether_row in {row["row"] for row in rows}:
        for column, rock in enumerate(report.line.rocks):
            pieces = [row for row in rows if (row["row"], row["rock"]) == (tether_row, rock)]
            assert sum(piece["size"] for piece in pieces) == pytest.approx(1.0)
            assert pieces[0]["from"] == pytest.approx(column * 1.06)
            order = [ENDS.index(piece["end"]) for piece in pieces]
            assert order == sorted(order, reverse=True)
            for before, after in pairwise(pieces):
                assert before["to"] == pytest.approx(after["from"])


def test_every_case_has_a_row_and_says_its_chance():
    report = tamsin_line()
    rows = slip_ends_picture(report).datasets["cases"]
    said = {(row["title"].split("  ")[1], row["case"]): row["words"] for row in rows}
    for tether in report.line.tethers:
        for case in tether.today:
            assert said[tether.title, case.case] == f"{show_share(case.stopped_share)} stopped"


def test_ends_differ_by_more_than_colour():
    picture = slip_ends_picture(tamsin_line())
    bars, *bands = [layer for layer in picture.specs["wide"]["layer"] if layer["mark"]["type"] == "rect"]
    colour = bars["encoding"]["color"]["scale"]
    assert colour["domain"] == list(ENDS)
    assert len(set(colour["range"])) == len(ENDS)
    assert [layer["transform"][0]["filter"] for layer in bands] == ["datum.bands == 'both'", "datum.bands != ''"]
    places = [(layer["mark"]["yOffset"], layer["mark"]["y2Offset"]) for layer in bands]
    assert (
        bars["mark"]["yOffset"] < places[0][0] < places[0][1] < places[1][0] < places[1][1] < bars["mark"]["y2Offset"]
    )
    # Neighbours in a bar: one is banded and the other plain, or one twice and the other once.
    seen = {row["end"]: row["bands"] for row in picture.datasets["ends"]}
    expected = dict(zip(ENDS, ["", "both", "lower", "", "lower", ""], strict=True))
    assert seen == {end: expected[end] for end in seen}


def test_traces_end_at_their_peaks_under_the_drawn_height():
    report = tamsin_line()
    datasets = force_trace_picture(report).datasets
    for index, trace in enumerate(report.traces):
        drawn = [row for row in datasets["traces"] if row["trace"] == str(index)]
        assert max(row["force"] for row in drawn) == pytest.approx(trace.peak_N / 1000.0, rel=1e-3)
        assert [row["what"] == "other" for row in drawn] == [trace.tether != report.chosen.name] * len(drawn)
    numbers = sorted(int(n) for row in datasets["peaks"] for n in row["words"].split(", "))
    assert numbers == [tether.number for tether in report.line.tethers if tether.kind != "none"]


def test_longer_slips_are_cut_where_the_picture_ends():
    report = tamsin_line(LOWERED)
    rows = force_trace_picture(report).datasets["traces"]
    own_ms = max(row["time"] for row in rows if row["what"] != "other")
    assert max(row["time"] for row in rows) == pytest.approx(3.0 * own_ms)
    longest = max(report.traces, key=lambda trace: trace.time_s[-1])
    assert 1000.0 * longest.time_s[-1] > 3.0 * own_ms


def test_limits_and_the_weakest_part_are_lines_of_the_trace():
    report = tamsin_line(LOWERED)
    limits = force_trace_picture(report).datasets["limits"]
    at = {row["what"]: row["at"] for row in limits}
    assert at["own"] == 6.0
    assert at["part"] == pytest.approx(report.chosen.weakest_N / 1000.0)
    assert [row["at"] for row in limits if row["what"] == "body"] == [4.0, 8.0, 12.0]
    places = sorted(row["name_at"] for row in limits)
    assert all(after - before > 0.0 for before, after in pairwise(places))


def test_where_nothing_stops_anything_there_is_no_trace():
    report = replace(tamsin_line(), traces=())
    assert force_trace_picture(report) is None
    assert 'id="force-trace"' not in still_page(line_sheet(report))


def test_every_tether_case_part_hitch_glove_and_source_stands_on_the_page():
    for question in (None, LOWERED):
        report = tamsin_line(question)
        text = text_of(still_page(line_sheet(report)))
        for tether in report.line.tethers:
            assert plain(tether.sentence) in text
            if tether.call_out:
                assert plain(tether.call_out.sentence) in text
            for part in tether.parts:
                assert plain(part.words) in text
                assert plain(part.certified_for) in text
                assert plain(part.not_for) in text
            for case in tether.today:
                assert f"{case.case} {show_share(case.stopped_share)}" in text
                assert f"at most {show_length(case.longest_m, report.units)}" in text
        said = [fail.says for fail in report.hands] + [glove.note for glove in report.gloves]
        said += [finding.sentence for finding in report.findings] + list(report.cautions)
        said += [part for a in report.assumptions for part in (a.what, a.value, a.source)]
        said += [limit.source for limit in report.limits] + [moved.words[1:] for moved in report.moves]
        assert report.soft_body is not None
        said += [report.soft_body.says, report.headline]
        for words in said:
            assert plain(words) in text, words
        assert text.count("Theory: does it lock?") == 2
        assert "Hang your whole weight on the hitch" in text
        assert not re.search(r"\bsafe\b", text, re.IGNORECASE)


def test_what_was_changed_stands_at_the_top():
    page = still_page(line_sheet(tamsin_line(LOWERED)))
    assert page.index('id="changed"') < page.index('id="answer"')
    assert "(the file: by season)" in text_of(page)
    assert 'id="changed"' not in still_page(line_sheet(tamsin_line()))


def test_the_page_runs_nothing_and_asks_for_nothing():
    page = still_page(line_sheet(tamsin_line()))
    assert_closed(page)
    assert len(page) < 1_200_000


def test_names_from_the_file_are_words_and_nothing_else():
    bad = '<img src=x onerror=alert(1)> & "quoted"'
    report = tamsin_line()
    first = replace(report.line.tethers[0], title=bad)
    line = replace(report.line, name=bad, tethers=(first, *report.line.tethers[1:]))
    page = still_page(line_sheet(replace(report, name=bad, line=line)))
    assert "<img src=x" not in page
    assert "&lt;img src=x" in page


def test_words_of_changeovers_and_ends():
    report = tamsin_line(LOWERED)
    sling = report.chosen
    lowered = [change for change in sling.changes if change.state == "lowered"]
    assert changes_words(sling, lowered) == "3 changeovers each way, 6 s each; wholly untied for 18 s up and 18 s down"
    two = next(tether for tether in report.line.tethers if tether.name == "two slings")
    assert changes_words(two, two.changes[:2]).endswith("never wholly untied")
    nothing = next(tether for tether in report.line.tethers if tether.name == "none")
    assert changes_words(nothing, nothing.changes[:2]) == "nothing to move over, and untied all the way"
    assert both_ends(["1 %", "1 %"]) == "1 %"
    assert forces_words((3000.0, 6000.0)) == "3.0 to 6.0 kN"
    assert forces_words((math.nan, 6000.0)) == "– to 6.0 kN"
    assert "iced, up at the foot, down at the head" in hands_words(report)


def test_it_is_written_whole(tmp_path):
    path = write_line(tamsin_line(), tmp_path / "new")
    assert path.name == "line.html"
    assert path.read_text(encoding="utf-8") == still_page(line_sheet(tamsin_line()))
