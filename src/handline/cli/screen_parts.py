"""What the screens share: their width, how a level looks, a sentence with its mark, tables, and where the page is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import IO

from rich.console import Console
from rich.table import Table
from rich.text import Text

from handline.quantity import Units

WIDEST = 100
# A word in front says the level; weight only helps the eye.
LEVEL_STYLE: Mapping[str, str] = MappingProxyType({"stop": "bold reverse", "heed": "bold", "note": ""})


def open_console(widest: int = WIDEST, file: IO[str] | None = None) -> Console:
    """What a screen is printed on: stdout, or another file, no wider than a screen is read."""
    console = Console(highlight=False, markup=False, soft_wrap=False, file=file)
    console.width = min(console.width, widest)
    return console


def level_line(level: str, headline: str) -> Text:
    """The level in capitals and what it comes to: "HEED: ..."."""
    return Text(f"{level.upper()}: {headline}", style=LEVEL_STYLE[level])


def entry(mark: str, sentence: str) -> Table:
    """A sentence beside its mark: its level, a number or a word."""
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True, width=4, style=LEVEL_STYLE.get(mark, ""))
    table.add_column(overflow="fold")
    table.add_row(mark, Text(sentence))
    return table


def facts_table() -> Table:
    """An empty table of facts: what each is about in bold, and its words."""
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True, style="bold")
    table.add_column(overflow="fold")
    return table


def plain_table(apart: int = 2) -> Table:
    """An empty table without any rules, its columns so many blanks apart."""
    return Table(box=None, padding=(0, apart, 0, 0), pad_edge=False)


def number_table(first: str, numbers: tuple[str, ...], words: str = "", apart: int = 2) -> Table:
    """An empty table of numbers between what each row is about and, where they have a heading, words."""
    table = plain_table(apart)
    table.add_column(first, overflow="fold")
    for heading in numbers:
        table.add_column(heading, justify="right", no_wrap=True)
    if words:
        table.add_column(words, overflow="fold")
    return table


def unit_of(show: Callable[[float, Units], str], units: Units) -> str:
    """The unit a quantity is shown in, for the heading of a column."""
    return show(0.0, units).split(" ")[1]


def say_page(console: Console, written: Path | None, it_has: str) -> None:
    """Say where the page is, or what it would have that the screen has not and how to come by it."""
    console.print(f"Page: {written}" if written is not None else f"{it_has}: add --out FOLDER.", soft_wrap=True)
