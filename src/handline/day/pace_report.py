"""The PaceReport: what recorded tracks say of a person's pace.

Screen, page and ``--json`` render it and compute nothing.
Everything is SI with its unit in the name; bands hold eight days in ten (``BAND_SHARE``).
"""

from __future__ import annotations

from dataclasses import dataclass

from handline.quantity import Units

BAND_SHARE = 0.80


@dataclass(frozen=True)
class TrackPart:
    """One recording and what of it was walking. ``usual_step_s`` is the usual time between its points."""

    file: str
    sha256: str
    start: str
    points: int
    usual_step_s: float
    total_s: float
    moving_s: float
    moving_m: float
    up_m: float
    down_m: float
    paused_s: float
    pauses: int
    lost_s: float
    ride_s: float
    ride_m: float
    notes: tuple[str, ...]


@dataclass(frozen=True)
class ModelRow:
    """One published model fitted to the person; ``error`` is on stretches it was not fitted to, as a share."""

    key: str
    title: str
    time_factor: float
    climb_s_100m: float
    error: float
    weight: float
    source: str


@dataclass(frozen=True)
class LeftOut:
    """A model that was not tried, and why."""

    title: str
    why: str


@dataclass(frozen=True)
class SlopeSpeed:
    """Speed on the map on one slope: the usual, and what eight days in ten lie between [m/s]. ``seen``: recorded."""

    grade: float
    low_m_s: float
    middle_m_s: float
    high_m_s: float
    seen: bool


@dataclass(frozen=True)
class ExampleWalk:
    """A walk to compare with: the walking time, and what eight days in ten lie between [s]."""

    words: str
    length_m: float
    up_m: float
    low_s: float
    middle_s: float
    high_s: float


@dataclass(frozen=True)
class Drawn:
    """What the picture shows, arrays as tuples: pieces as points, the fitted curve with its bands, published models."""

    piece_grade: tuple[float, ...]
    piece_m_s: tuple[float, ...]
    grade: tuple[float, ...]
    middle_m_s: tuple[float, ...]
    day_m_s: tuple[tuple[float, ...], tuple[float, ...]]
    piece_band_m_s: tuple[tuple[float, ...], tuple[float, ...]]
    published: tuple[tuple[str, tuple[float, ...]], ...]


@dataclass(frozen=True)
class PaceReport:
    """A person's pace from recordings.

    T = time_factor T_model + climb_s_100m for each 100 m of climb, on a good path: what the ground of the recording
    costs is taken out (``surface``). ``spread`` is that of the logarithm of a day's walking time, everything in it.
    ``day_sd`` and ``unsure_sd`` are its parts: how days differ, and how unsure the usual pace is.
    """

    units: Units
    tracks: tuple[TrackPart, ...]
    days: int
    pieces: int
    moving_s: float
    moving_m: float
    model: str
    model_title: str
    time_factor: float
    time_factor_band: tuple[float, float]
    climb_s_100m: float
    climb_band_s_100m: tuple[float, float]
    error: float
    spread: float
    day_sd: float
    unsure_sd: float
    surface: str
    surface_factor: float
    pack_mass_kg: float | None
    elevation_m: float
    models: tuple[ModelRow, ...]
    left_out: tuple[LeftOut, ...]
    speeds: tuple[SlopeSpeed, ...]
    walks: tuple[ExampleWalk, ...]
    thrown_out: tuple[str, ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    drawn: Drawn
    version: str
