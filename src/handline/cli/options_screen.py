"""Ways of doing the trip on one screen: what is recommended and why, every way, raised against lowered."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.measure import Measurement
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.brief.options_shown import Column, TableShown, table_shown
from handline.choose.options_words import tether_words
from handline.cli.screen_parts import entry, level_line, open_console, plain_table, say_page

if TYPE_CHECKING:
    from handline.choose.options_report import Option, OptionsReport

# What has a column here; the rest is on the page, and in the rows about raised and lowered.
_OF_DAY = ("date", "start", "latest", "chance", "permits", "home")
_OF_LINE = ("line", "untied", "slide", "force", "not_stopped", "pack")
_ANY_WIDTH = 1000
_RECOMMENDED, _AGAINST, _COMPARE, _UNBEATEN, _PLANNED = ">", "x", "~", "*", "="
_LEGEND = (
    f"{_RECOMMENDED} recommended; {_AGAINST} something speaks against it; {_COMPARE} only to compare, the line is not "
    f"so that day; {_UNBEATEN} not beaten by another in everything that counts; {_PLANNED} as planned. Minutes on the "
    "line are both ways, on nine days in ten less."
)


def show_options(report: OptionsReport, written: Path | None) -> None:
    """Print the report on stdout."""
    console = open_console()
    console.print(Text(f"{report.name}  party of {report.party_size}  clock: {report.timezone}", style="bold"))
    console.print(report.dates_say)
    console.print()
    console.print(level_line(report.level, report.headline))
    for words in report.why:
        console.print(Padding(Text(words), (0, 0, 0, 2)))
    console.print()
    _say_changes(console, report)
    _say_ways(console, report)
    _say_sides(console, report)
    for finding in report.findings:
        if finding.level != "note":
            console.print(entry(finding.level, finding.sentence))
    console.print(Text(" ".join(report.cautions[:2]), style="italic"))
    say_page(console, written, "Picture, reasons against each way, rules")


def _say_changes(console: Console, report: OptionsReport) -> None:
    for change in report.changes:
        console.print(entry("turn", change.says))
    if report.changes:
        console.print()


def _say_ways(console: Console, report: OptionsReport) -> None:
    """One table, or two where one does not fit the terminal; what is the same for all is said once below."""
    shown = table_shown(report)
    whole = _ways(report, shown, (*_OF_DAY, *_OF_LINE))
    fits = Measurement.get(console, console.options.update(max_width=_ANY_WIDTH), whole).maximum <= console.width
    for table in [whole] if fits else [_ways(report, shown, keys) for keys in (_OF_DAY, _OF_LINE)]:
        console.print(table)
        console.print()
    console.print(Text(_LEGEND, style="italic"))
    once = "; ".join(f"{words[:1].lower()}{words[1:]} {value}" for words, value in shown.once)
    if once:
        console.print(Text(f"The same for all: {once}."))
    console.print()


def _ways(report: OptionsReport, shown: TableShown, keys: Sequence[str]) -> Table:
    """A row for each group with what all of it shares, and one for each option with what it does not."""
    inside, between = (tuple(c for c in columns if c.key in keys) for columns in (shown.columns, shown.by_group))
    columns = sorted((*inside, *between), key=lambda column: keys.index(column.key))
    table = plain_table(apart=1)
    table.add_column("")
    for column in columns:
        head = column.head.format(column.unit(report.units))
        table.add_column(head, justify="right", no_wrap=column.key != "date")
    for group in shown.groups:
        table.add_row(Text(group.title, style="bold"), *_cells(report, group.options[0], columns, between))
        for option in group.options:
            table.add_row(_named(report, option), *_cells(report, option, columns, inside))
    return table


def _cells(report: OptionsReport, option: Option, columns: Sequence[Column], told: Sequence[Column]) -> Iterator[str]:
    for column in columns:
        yield column.bare(option, report.units) if column in told else ""


def _named(report: OptionsReport, option: Option) -> Text:
    recommended = option.key == report.recommended
    first = _COMPARE if not option.state_on_date else _AGAINST if option.against else " "
    others = (_UNBEATEN if option.best else " ") + (_PLANNED if option.as_planned else " ")
    mark = (_RECOMMENDED if recommended else first) + others
    return Text(f"{mark} {tether_words(option.tether)}", style="bold" if recommended else "")


def _say_sides(console: Console, report: OptionsReport) -> None:
    """What tells raised from lowered; rows that read alike on both sides are said once."""
    if not report.sides:
        return
    table = plain_table()
    for heading in ("With your way and tether", "raised", "lowered", "speaks for"):
        table.add_column(heading, overflow="fold")
    differ = [side for side in report.sides if side.raised != side.lowered]
    for side in differ:
        table.add_row(Text(side.what), Text(side.raised), Text(side.lowered), side.speaks_for or "neither")
    console.print(Text(report.sides_say))
    console.print()
    console.print(table)
    alike = "; ".join(f"{s.what[:1].lower()}{s.what[1:]}: {s.raised}" for s in report.sides if s not in differ)
    if alike:
        console.print(Text(f"The same raised and lowered: {alike}."))
    console.print()
