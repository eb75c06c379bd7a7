"""The two invented places, and one recorded day: what their ground, their paths and their tracks are made from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

INVENTED = "INVENTED: made by examples/make_examples.py. No such place exists and nobody walked it."


@dataclass(frozen=True)
class Pause:
    at_m: float
    length_s: float


@dataclass(frozen=True)
class Trip:
    """What one example is made of. Distances are along the path, one way, on the map."""

    name: str
    folder: str
    seed: int
    start_deg: tuple[float, float]
    summit_deg: tuple[float, float]
    length_m: float
    heights_m: tuple[tuple[float, float], ...]  # (distance, height), the slab left out
    slab_foot_m: float
    slab_foot_height_m: float
    slab: tuple[tuple[float, float], ...]  # (length along the slope, angle in degrees), from the foot up
    bends: tuple[tuple[float, float], ...]  # (share of the axis, how strongly the path winds there)
    bend_length_m: float
    side_hills: tuple[tuple[float, float, float, float], ...]  # along, across, height, radius
    leaves: datetime
    pauses: tuple[Pause, ...]
    gap_m: tuple[float, float]
    spike: tuple[float, float]  # where, how high


TAMSIN = Trip(
    name="Tamsin Dome",
    folder="tamsin-dome",
    seed=20260711,
    start_deg=(46.5570, -113.4620),
    summit_deg=(46.6200, -113.4100),
    length_m=11_000.0,
    heights_m=(
        (0, 1262), (700, 1290), (1500, 1338), (2400, 1402), (2950, 1421), (3250, 1398), (3400, 1394), (3600, 1402),
        (4500, 1556), (5300, 1702), (5800, 1806), (6100, 1798), (6450, 1784), (7200, 1926), (7900, 2098),
        (8300, 2086), (8500, 2088), (9100, 2262), (9600, 2420), (9700, 2426), (9950, 2412), (10250, 2452),
        (10480, 2508), (10720, 2604), (10880, 2635), (11_000, 2648),
    ),
    slab_foot_m=10_550.0,
    slab_foot_height_m=2519.0,
    slab=((18, 34), (24, 41), (30, 49), (24, 43)),
    bends=(
        (0, 0.25), (0.33, 0.35), (0.42, 1.0), (0.53, 1.1), (0.6, 0.5), (0.72, 1.1), (0.9, 1.3), (0.94, 0.0), (1, 0.0),
    ),
    bend_length_m=270.0,
    side_hills=(
        (1500, -2300, 520, 1100), (3200, 2500, 760, 1300), (5600, -2400, 640, 1200), (7000, 2900, 420, 900),
    ),
    leaves=datetime(2026, 7, 11, 10, 4, 12, tzinfo=UTC),
    pauses=(Pause(3400, 560), Pause(6100, 840), Pause(9700, 330), Pause(10_550, 620)),
    gap_m=(7020.0, 7105.0),
    spike=(4210.0, 86.0),
)  # fmt: skip

PETREL = Trip(
    name="Petrel Slab",
    folder="petrel-slab",
    seed=20260124,
    start_deg=(-42.0820, 146.2750),
    summit_deg=(-42.0500, 146.3000),
    length_m=5_900.0,
    heights_m=(
        (0, 640), (600, 668), (1400, 726), (1900, 742), (2120, 724), (2200, 720), (2350, 730), (3200, 846),
        (3900, 950), (4150, 944), (4700, 1026), (5180, 1098), (5480, 1222), (5700, 1254), (5900, 1270),
    ),
    slab_foot_m=5_300.0,
    slab_foot_height_m=1116.0,
    slab=((40, 38), (52, 55), (40, 44)),
    bends=((0, 0.3), (0.36, 0.4), (0.45, 1.0), (0.7, 1.1), (0.84, 0.9), (0.9, 0.0), (1, 0.0)),
    bend_length_m=230.0,
    side_hills=((900, 1500, 280, 800), (2600, -1700, 340, 900), (4300, 1300, 160, 600)),
    leaves=datetime(2026, 1, 23, 20, 2, 40, tzinfo=UTC),
    pauses=(Pause(2200, 510), Pause(5300, 700)),
    gap_m=(3010.0, 3070.0),
    spike=(1540.0, -64.0),
)  # fmt: skip


@dataclass(frozen=True)
class RecordedDay:
    """A whole day out and back on the path of a trip. Distances are along the path out and back, on the map."""

    file: str
    title: str
    seed: int
    leaves: datetime
    level_m_s: float  # on the grade that is walked fastest
    line_m_s: tuple[float, float]  # up and down the slab
    slower_an_hour: float  # how much slower with each hour on the move
    pauses: tuple[Pause, ...]
    gap_m: tuple[float, float]  # no signal
    every_s: tuple[int, int]  # from one point to the next


# A party of six that leaves twelve minutes late, waits at the slab longer than most, and rests where it likes.
TAMSIN_DAY = RecordedDay(
    file="recorded.gpx",
    title="Tamsin Dome, the whole day",
    seed=20270717,
    leaves=datetime(2027, 7, 17, 9, 4, 20, tzinfo=UTC),
    level_m_s=0.98,
    line_m_s=(0.075, 0.085),
    slower_an_hour=0.018,
    pauses=(
        Pause(0, 470), Pause(3405, 1140), Pause(5020, 380), Pause(6095, 760), Pause(7450, 430), Pause(8620, 310),
        Pause(9702, 540), Pause(10_549, 3180), Pause(10_623, 820), Pause(10_990, 1980), Pause(11_377, 1260),
        Pause(11_453, 760), Pause(12_306, 280),
        Pause(14_200, 620), Pause(15_902, 640), Pause(18_601, 1320), Pause(20_350, 300), Pause(21_996, 700),
    ),
    gap_m=(13_050.0, 13_420.0),
    every_s=(15, 26),
)  # fmt: skip
