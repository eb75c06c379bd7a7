"""How ways side by side are said on screen and page: a column for each thing they differ in, the rest once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

from handline.brief.words import said, seconds_words
from handline.choose.options_report import Option, OptionsReport
from handline.choose.options_words import WAY_SHORT, tether_words
from handline.quantity import (
    Units,
    show_chance,
    show_clock,
    show_force,
    show_length,
    show_pack,
    show_pull,
    show_share,
    show_temperature,
)
from handline.season.day_words import day_words

NOTHING = "–"
ANY = "any"


@dataclass(frozen=True)
class Column:
    """One thing told of every option.

    ``words`` name it on the page and ``head`` over a narrow column, whose unit ``unit`` gives; ``show`` tells it with
    its unit.
    """

    key: str
    words: str
    head: str
    show: Callable[[Option, Units], str]
    unit: Callable[[Units], str] = lambda units: ""

    def title(self, units: Units) -> str:
        """As ``head``, on one line and with its unit."""
        return self.head.format(self.unit(units)).replace("\n", " ")

    def bare(self, option: Option, units: Units) -> str:
        """As ``show``, without the unit that stands over the column."""
        return self.show(option, units).removesuffix(f" {self.unit(units)}")


@dataclass(frozen=True)
class GroupShown:
    """The options of one way and state on one date. ``title`` names them; ``once`` is what all of them share."""

    title: str
    options: tuple[Option, ...]
    once: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class TableShown:
    """What the options differ in.

    ``columns`` differ inside at least one group; ``by_group`` differ only from one group to another; ``once`` are words
    and values that are the same for all.
    """

    columns: tuple[Column, ...]
    by_group: tuple[Column, ...]
    once: tuple[tuple[str, str], ...]
    groups: tuple[GroupShown, ...]


def table_shown(report: OptionsReport) -> TableShown:
    """The options as a table: each column that differs, and the rest once."""
    units, grouped = report.units, _groups(report.options)
    inside, between, once = [], [], []
    for column in COLUMNS:
        told = [{column.show(option, units) for option in options} for options in grouped]
        if any(len(each) > 1 for each in told):
            inside.append(column)
        elif len(set.union(*told)) > 1:
            between.append(column)
        else:
            once.append((column.words, told[0].pop()))
    return TableShown(
        columns=tuple(inside),
        by_group=tuple(between),
        once=tuple(once),
        groups=tuple(_group(options, between, units, len(grouped) > 1) for options in grouped),
    )


def _groups(options: Sequence[Option]) -> list[tuple[Option, ...]]:
    return [tuple(group) for _, group in groupby(options, key=lambda option: (option.way, option.state, option.date))]


def _group(options: tuple[Option, ...], between: Sequence[Column], units: Units, several: bool) -> GroupShown:
    first = options[0]
    title = f"{WAY_SHORT[first.way][:1].upper()}{WAY_SHORT[first.way][1:]}, {first.state}"
    once = tuple((column.words, column.show(first, units)) for column in between) if several else ()
    return GroupShown(title, options, once)


def option_name(option: Option) -> str:
    """An option inside its group: its tether, and its start where it is not the planned one."""
    planned = " (as planned)" if option.as_planned else ""
    return f"{tether_words(option.tether)}{planned}"


def latest_words(option: Option) -> str:
    """The latest start that meets the wanted chance."""
    if option.window_clock_s is None:
        return "none"
    return ANY if option.goes_on[1] else show_clock(option.window_clock_s[1])


def permits_short(option: Option) -> str:
    """The chance of the permits: a share, or that none is needed, or that nothing is said."""
    if not option.permits:
        return "none"
    return "not said" if option.permit_chance is None else show_share(option.permit_chance)


def stop_words(option: Option) -> str:
    """How hard the worst slip is stopped, in a few words."""
    if option.slide_m[1] == 0.0:
        return "friction alone keeps a body from sliding"
    return said(option.force_N[1], lambda force_N: f"stopped at up to {show_force(force_N, 'si')}", "nothing stops it")


def _force(option: Option, units: Units) -> str:
    if option.slide_m[1] == 0.0:
        return "no slide"
    # In kN alone, as climbing gear is marked everywhere.
    return said(option.force_N[1], lambda force_N: show_force(force_N, "si"), NOTHING)


def _minutes(value_s: float) -> str:
    return f"{value_s / 60.0:.0f} min"


def _felt(option: Option, units: Units) -> str:
    return said(option.felt_C, lambda value_C: show_temperature(value_C, units), "not known")


def _on(option: Option) -> str:
    return day_words(dt.date.fromisoformat(option.date))


def _feet(units: Units) -> str:
    return "m" if units == "si" else "ft"


def _pounds(units: Units) -> str:
    return "kg" if units == "si" else "lb"


COLUMNS: tuple[Column, ...] = (
    Column("date", "On", "on", lambda o, units: _on(o)),
    Column("start", "Leave", "leave", lambda o, units: show_clock(o.start_clock_s)),
    Column("latest", "Latest start", "latest\nstart", lambda o, units: latest_words(o)),
    Column("chance", "All limits kept", "limits\nkept", lambda o, units: show_chance(o.chance)),
    Column("permits", "Permits got", "permits", lambda o, units: permits_short(o)),
    Column("home", "Home, in the middle", "home", lambda o, units: show_clock(o.home_clock_s)),
    Column(
        "wait", "Waiting, 9 in 10 less", "wait\nmin", lambda o, units: _minutes(o.wait_s[1]),
        lambda units: "min",
    ),
    Column(
        "line", "On the line, 9 in 10 less", "line\nmin", lambda o, units: _minutes(o.on_line_s[1]),
        lambda units: "min",
    ),
    Column("changeovers", "Changeovers, one way", "moves\npast", lambda o, units: f"{o.changeovers}"),
    Column("untied", "Untied, going up", "untied", lambda o, units: seconds_words(o.untied_s)),
    Column("slide", "Worst slide", "worst\nslide\n{}", lambda o, units: show_length(o.slide_m[1], units), _feet),
    Column("force", "Worst stop", "worst\nkN", _force, lambda units: "kN"),
    Column(
        "not_stopped", "Not stopped in your limit", "not\nstopped",
        lambda o, units: show_chance(o.not_stopped_share),
    ),
    Column("pull", "Hardest pull", "pull", lambda o, units: show_pull(o.most_pull_N, units)),
    Column("pack", "Heaviest pack", "pack\n{}", lambda o, units: show_pack(max(o.pack_kg), units), _pounds),
    Column("rock", "Rock judged by", "rock", lambda o, units: o.rock),
    Column("felt", "Felt at the line", "felt", _felt),
    Column("ice", "Ice on tying on", "ice", lambda o, units: f"{show_chance(o.ice_share)} of days"),
    Column(
        "not_dry", "Rock not dry on tying on", "not dry", lambda o, units: f"{show_chance(o.not_dry_share)} of days"
    ),
)  # fmt: skip


def reasons_shown(group: GroupShown) -> tuple[tuple[str, ...], tuple[tuple[str, tuple[str, ...]], ...]]:
    """What speaks against all options of a group, and against each of them beside that, by name."""
    shared = tuple(
        words for words in group.options[0].against if all(words in option.against for option in group.options)
    )
    rest = [
        (option_name(option), tuple(words for words in option.against if words not in shared))
        for option in group.options
    ]
    return shared, tuple((name, words) for name, words in rest if words)
