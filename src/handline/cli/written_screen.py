"""The files that were written and what each is for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from handline.brief.calendar import CALENDAR_NAME
from handline.brief.card import CARD_NAME
from handline.brief.gpx_out import GPX_NAME
from handline.brief.home_copy import HOME_NAME
from handline.brief.tables_out import TABLES_FOLDER
from handline.brief.whose_folder import MANIFEST_NAME
from handline.brief.writing import BRIEF_NAME, JSON_NAME

_FOR: Mapping[str, str] = MappingProxyType(
    {
        BRIEF_NAME: "for a phone without a signal",
        CARD_NAME: "to print, two pages",
        HOME_NAME: "to print, for whoever waits at home",
        GPX_NAME: "for a map",
        CALENDAR_NAME: "for your calendar",
        JSON_NAME: "for programs",
    }
)
"""What each file is for."""


def show_written(console: Console, written: Sequence[Path], no_track: str) -> None:
    """Say where the files are and what for; ``no_track`` says why the GPX file shows no way, or is empty."""
    folder = written[0].parent
    said = f"{'; '.join(_files([path.relative_to(folder) for path in written]))}."
    if no_track:
        said += f" In {GPX_NAME} there is {no_track}."
    console.print(f"Brief: {folder}", soft_wrap=True)
    console.print(Padding(Text(said), (0, 0, 0, 2)))


def _files(names: Sequence[Path]) -> Iterator[str]:
    """The files one by one, all tables together, and not the one that only tells whose they are."""
    for name in names:
        if name.as_posix() != MANIFEST_NAME and name.parent.name != TABLES_FOLDER:
            yield f"{name.as_posix()} {_FOR.get(name.as_posix(), '')}".rstrip()
    tables = sum(name.parent.name == TABLES_FOLDER for name in names)
    if tables:
        yield f"{TABLES_FOLDER}/, {tables} of them, for a spreadsheet"
