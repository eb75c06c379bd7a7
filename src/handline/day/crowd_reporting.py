"""From a trip to its CrowdReport: the days of a crowd, put in tables, and what to act on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np

from handline import __version__
from handline.crowd.arrivals import OurParty
from handline.crowd.our_party import PartyDays, PartyPass, party_days
from handline.crowd.rules import DOWN, UP, WAYS, YIELDS
from handline.crowd.simulate import CAUTION_MODEL, CAUTION_NOBODY_LEAVES, CrowdDays
from handline.crowd.tables import FEWEST, CrowdTables, PassTable, best_windows, crowd_tables
from handline.day.cautions import CAUTIONS
from handline.day.crowd_assumptions import RULES, comes_says, crowd_assumptions
from handline.day.crowd_findings import crowd_findings, headline
from handline.day.crowd_report import CrowdProvenance, CrowdReport, HeatCell, HourRow, Occupied, Pair, PartyWay, Window
from handline.day.crowd_setting import (
    CrowdSetting,
    both_ways,
    capacity_per_h,
    crowd_days,
    edges_of,
    set_crowd,
    some_days,
    told_days,
)
from handline.day.crowd_window import PAIR, pair_of
from handline.day.plan import LEVELS, RANGE
from handline.day.setting import set_up
from handline.day.simulation import Floats
from handline.day.told import Told
from handline.trip.day_model import MOST_PEOPLE
from handline.trip.model import Trip

USUAL_DAYS = 300
BIN_S = 1800.0
# A delay of nine in ten within this is a good time to arrive. [practice_crowd]
MOST_DELAY_S = 15 * 60.0

_MIDNIGHT_S = 86_400.0
# Of the picture of people a day against arrival: shares of the people asked about, and days for each.
_HEAT_SHARES = (0.25, 0.5, 0.75, 1.0, 1.5, 2.0)
_HEAT_DAYS = 50
_HEAT_BIN_S = 3600.0
# Of the picture of one day: how many pieces the line is told in at most, and how long a while is.
_PIECES = 12
_WHILE_S = 900.0


def crowd_report(
    trip: Trip,
    *,
    people: int | None = None,
    days: int = USUAL_DAYS,
    pictures: bool = True,
    told: Told = lambda what, share: None,
) -> CrowdReport:
    """Waiting and time on the line of a trip, by when one arrives.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    people : int, optional
        How many may be on the line in a day, whatever the file says.
    days : int
        How many days are simulated.
    pictures : bool
        Whether what only the pictures show is computed too.
    told : callable
        Told of the progress.

    Raises
    ------
    TripError
        Whatever of the file cannot be used, or nothing says how many people come.

    Notes
    -----
    The same trip, people and days give the same report.
    """
    setting = set_up(trip, told)
    crowd = set_crowd(setting, days, people)
    noted: list[PartyDays] = []
    chunks = _noted(crowd_days(crowd, days), noted)
    tables = crowd_tables(told_days(chunks, days, told, "Days on the line"), bin_s=BIN_S)
    told("The party alone", 0.0)
    there, alone = both_ways(noted), both_ways(map(party_days, crowd_days(_only_us(crowd), days)))
    party = tuple(_party_way(way, there[way], alone[way]) for way in (UP, DOWN))
    windows = tuple(
        Window(window.start_clock_s, window.end_clock_s, window.delay_s)
        for window in best_windows(tables.up, most_delay_s=MOST_DELAY_S)
    )
    late_share = float(np.mean(tables.clears_clock_s >= _MIDNIGHT_S))
    clears = tuple(np.quantile(tables.clears_clock_s, RANGE, method="higher").tolist())
    capacity = capacity_per_h(crowd)
    found = crowd_findings(crowd, tables, party, windows, late_share, capacity)
    words, why = headline(crowd, party)
    return CrowdReport(
        name=trip.about.name,
        date=trip.about.date.isoformat(),
        units=trip.about.units,
        line_name=trip.line.name,
        length_m=crowd.line.length_m,
        bays=crowd.line.bays,
        yields=YIELDS[crowd.line.yields].words,
        people=crowd.people,
        people_says=crowd.people_says,
        comes_says=comes_says(crowd),
        come_share=crowd.arrivals.come_share,
        party_size=crowd.party_size,
        level=found[0].level if found else LEVELS[-1],
        headline=words,
        why=why,
        findings=found,
        up=_hours(tables.up),
        down=_hours(tables.down),
        party=party,
        windows=windows,
        most_delay_s=MOST_DELAY_S,
        clears_clock_s=(clears[0], clears[1], clears[2]),
        late_share=late_share,
        off_per_h=(float(tables.off_per_h[UP].max()), float(tables.off_per_h[DOWN].max())),
        capacity_per_h=capacity,
        present=_present(tables),
        heat=_heat(crowd, told) if pictures else (),
        example=_example(crowd) if pictures else (),
        rules=RULES,
        assumptions=crowd_assumptions(crowd),
        cautions=(CAUTION_MODEL, CAUTION_NOBODY_LEAVES, *CAUTIONS),
        provenance=CrowdProvenance(
            version=__version__,
            seed=trip.about.seed,
            days=days,
            heat_days=_HEAT_DAYS,
            trip_file=trip.path.name,
            inputs_sha256=setting.inputs_sha256,
        ),
    )


def _only_us(crowd: CrowdSetting) -> CrowdSetting:
    """The party on the same days, with nobody else there."""
    assert isinstance(crowd.arrivals.ours, OurParty)
    return replace(crowd, arrivals=replace(crowd.arrivals, people=0))


def _noted(chunks: Iterator[CrowdDays], into: list[PartyDays]) -> Iterator[CrowdDays]:
    """The same days; what the party had on them is noted."""
    for chunk in chunks:
        into.append(party_days(chunk))
        yield chunk


def _party_way(way: int, there: PartyPass, alone: PartyPass) -> PartyWay:
    join = np.quantile(there.join_clock_s, RANGE).tolist()
    return PartyWay(
        way=WAYS[way],
        join_clock_s=(join[0], join[1], join[2]),
        wait_s=pair_of(there.wait_s),
        on_line_s=pair_of(there.on_line_s),
        alone_s=pair_of(alone.on_line_s),
        added_s=pair_of((there.off_clock_s - there.join_clock_s) - (alone.off_clock_s - alone.join_clock_s)),
    )


def _hours(table: PassTable) -> tuple[HourRow, ...]:
    """The bins in which enough was seen."""
    measures = {key: table.quantile(key, PAIR) for key in ("wait_s", "on_line_s", "stuck_s", "above_most")}

    def pair(key: str, at: int) -> Pair:
        return float(measures[key][0, at]), float(measures[key][1, at])

    return tuple(
        HourRow(
            from_clock_s=float(table.edges_clock_s[at]),
            to_clock_s=float(table.edges_clock_s[at + 1]),
            passes=int(table.seen[at]),
            wait_s=pair("wait_s", at),
            on_line_s=pair("on_line_s", at),
            stuck_s=pair("stuck_s", at),
            above=pair("above_most", at),
        )
        for at in range(table.bins)
        if table.seen[at] >= FEWEST
    )


def _present(tables: CrowdTables) -> tuple[tuple[float, float, float, float], ...]:
    """Nine in ten days have no more people than this at the foot, on the line, at the head; as long as anybody is."""
    counts = tables.counts
    at = int(np.flatnonzero(counts.levels == 0.9)[0])
    rows = zip(counts.clock_s, counts.at_foot[at], counts.on_line[at], counts.at_head[at], strict=True)
    return tuple(tuple(float(value) for value in row) for row in rows if any(row[1:]))  # type: ignore[misc]


def _heat(crowd: CrowdSetting, told: Told) -> tuple[HeatCell, ...]:
    """From joining the queue to the head, by people a day and arrival."""
    least = max(crowd.party_size, 1)
    numbers = sorted({min(max(least, round(share * crowd.people)), MOST_PEOPLE) for share in _HEAT_SHARES})
    cells: list[HeatCell] = []
    for done, people in enumerate(numbers):
        told("More and fewer people", done / len(numbers))
        join_s, took_s = _took(crowd.with_people(people), _HEAT_DAYS)
        at = np.floor(join_s / _HEAT_BIN_S).astype(np.int64)
        for bin_at in range(int(at.min()), int(at.max()) + 1):
            here = took_s[at == bin_at]
            half, long = pair_of(here) if here.size >= FEWEST else (np.nan, np.nan)
            cells.append(HeatCell(people, bin_at * _HEAT_BIN_S, (bin_at + 1) * _HEAT_BIN_S, half, long))
    return tuple(cells)


def _took(crowd: CrowdSetting, days: int) -> tuple[Floats, Floats]:
    """When everybody joined the queue at the foot, and how long it took them to the head."""
    chunks = [(chunk.up.join_clock_s, chunk.up.leave_clock_s) for chunk in crowd_days(crowd, days)]
    join_s, leave_s = (np.concatenate(columns) for columns in zip(*chunks, strict=True))
    return join_s, leave_s - join_s


def _example(crowd: CrowdSetting) -> tuple[Occupied, ...]:
    """The first of the days, bay by bay: how much of the time somebody is in it, up and down."""
    day = some_days(crowd, 0, 1, keep_bays=True)
    assert day.bay_times is not None
    enter, leave = day.bay_times.enter_clock_s, day.bay_times.leave_clock_s
    pieces = np.array_split(np.arange(crowd.line.bays), min(_PIECES, crowd.line.bays))
    edges_m = edges_of(crowd)
    first, last = np.floor(enter.min() / _WHILE_S), np.ceil(leave.max() / _WHILE_S)
    clocks = np.arange(first, last + 1) * _WHILE_S
    rows = []
    for piece in pieces:
        for start, end in pairwise(clocks.tolist()):
            inside = np.minimum(leave[:, :, piece], end) - np.maximum(enter[:, :, piece], start)
            share = np.maximum(inside, 0.0).sum(axis=(0, 2)) / (end - start) / piece.size
            rows.append(
                Occupied(edges_m[piece[0]][0], edges_m[piece[-1]][1], start, end, float(share[UP]), float(share[DOWN]))
            )
    return tuple(rows)
