"""A person's pace from recorded tracks: from files to the frozen PaceReport."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from statistics import NormalDist

import numpy as np

from handline import __version__
from handline.day.cautions import CAUTIONS
from handline.day.pace_fit_words import notes, thrown_out
from handline.day.pace_report import (
    BAND_SHARE,
    Drawn,
    ExampleWalk,
    LeftOut,
    ModelRow,
    PaceReport,
    SlopeSpeed,
    TrackPart,
)
from handline.day.recorded import A_DRIVE, Recorded, moment_words, read_recorded
from handline.errors import InputError, Problem, TrackError
from handline.quantity import Units, in_units, show_duration
from handline.route.elevation import counted_climb_m
from handline.sources import source
from handline.walking.fitting import SHORTEST_WALK_S, fit_pace
from handline.walking.grade_models import FloatArray
from handline.walking.pace import walking_time
from handline.walking.pace_fit import PaceFit
from handline.walking.registry import PACE_MODELS
from handline.walking.spells import FAST, LOST, PAUSE
from handline.walking.surface import surface

# The walking of a whole day, to say a day's spread by: half of it gentle, and as steep as the ways we plan.
MOUNTAIN_DAY = ((5000.0, 0.05), (2500.0, 0.10), (2500.0, 0.20))
SEGMENT_M = 100.0
DRAWN_TO_GRADE = 0.45
SHOWN_GRADES = (-0.40, -0.30, -0.20, -0.10, 0.0, 0.10, 0.20, 0.30, 0.40)
HOUR_S = 3600.0
_REACH = NormalDist().inv_cdf(0.5 + BAND_SHARE / 2.0)
_SOURCES = ("our_pace_fit", "our_pace_prior", "our_moving_rule", "practice_moving", "huber_1981")


def fit_tracks(
    paths: Sequence[Path], *, pack_mass_kg: float | None = None, surface_key: str = "good path", units: Units = "si"
) -> PaceReport:
    """Learn the pace of one person, or of one party, from its recorded tracks.

    Parameters
    ----------
    paths : sequence of Path
        GPX files with times, each one walk or more.
    pack_mass_kg : float, optional
        What was carried [kg].
    surface_key : str
        A key of ``SURFACES``: what they walked on. Its factor is taken out, so that the pace is one on a good path.
    units : "us" or "si"
        How results are shown.

    Returns
    -------
    PaceReport

    Raises
    ------
    TrackError
        Any file that cannot be used, all of them at once; two that were recorded at the same time; too little walking.
    InputError
        There is no such ground, or no file was named.

    Sources: our_pace_fit, our_pace_prior, our_moving_rule, de_gruchy_2017.
    """
    ground = surface(surface_key)
    recorded = sorted(_read_all(paths), key=lambda one: one.start_s)
    _refuse_same_time(recorded)
    fit = fit_pace([one.recording for one in recorded])
    best, factor = fit.best, ground.time_factor
    day = fit.predict(*_mountain_day())
    climb_band = (best.climb_s_m - _REACH * best.climb_sd_s_m, best.climb_s_m + _REACH * best.climb_sd_s_m)
    time_factor = best.time_factor / factor
    return PaceReport(
        units=units,
        tracks=tuple(_part(one, units) for one in recorded),
        days=fit.days,
        pieces=fit.pieces.size,
        moving_s=fit.moving_s,
        moving_m=fit.moving_m,
        model=best.key,
        model_title=PACE_MODELS[best.key].title,
        time_factor=time_factor,
        time_factor_band=_band(time_factor, best.factor_sd),
        climb_s_100m=100.0 * best.climb_s_m / factor,
        climb_band_s_100m=(100.0 * climb_band[0] / factor, 100.0 * climb_band[1] / factor),
        error=best.held_out_error,
        spread=day.log_sd,
        day_sd=best.day_sd,
        unsure_sd=day.usual_log_sd,
        surface=ground.key,
        surface_factor=factor,
        pack_mass_kg=pack_mass_kg,
        elevation_m=_middle_height_m(recorded),
        models=tuple(_model_rows(fit, factor)),
        left_out=tuple(
            LeftOut(PACE_MODELS[key].title, "it only knows totals, so it cannot be fitted piece by piece")
            for key in fit.left_out
        ),
        speeds=tuple(_speeds(fit)),
        walks=tuple(_walks(fit)),
        thrown_out=tuple(thrown_out(recorded, fit, units)),
        notes=tuple(notes(fit, pack_mass_kg, ground.key, factor)),
        sources=tuple(source(key).words for key in (PACE_MODELS[best.key].source, *_SOURCES, *_ground_source(factor))),
        cautions=CAUTIONS,
        drawn=_drawn(fit),
        version=__version__,
    )


def _read_all(paths: Sequence[Path]) -> list[Recorded]:
    """Every track; where any cannot be used, what is wrong with each."""
    if not paths:
        raise InputError(Problem("no track was named", allowed="one recorded track or more", key="TRACK"))
    found: list[Recorded] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            one = read_recorded(path)
            walked_s = float(one.recording.pieces.time_s.sum())
            if walked_s < SHORTEST_WALK_S:
                raise TrackError(_too_little(one, walked_s).at(file=path))
            found.append(one)
        except TrackError as error:
            problems.extend(error.problems)
    if problems:
        raise TrackError(problems)
    return found


def _too_little(one: Recorded, walked_s: float) -> Problem:
    recording = one.recording
    ride_s = recording.spent_s(FAST)
    parts = [("paused", recording.spent_s(PAUSE)), ("without a signal", recording.spent_s(LOST))]
    spent = [f"{show_duration(walked_s)} of walking", f"{show_duration(ride_s)} faster than walking"]
    spent += [f"{show_duration(spent_s)} {words}" for words, spent_s in parts if spent_s >= 30.0]
    return Problem(
        A_DRIVE if ride_s > recording.total_s / 2.0 else "too little walking in the track",
        read=", ".join(spent),
        allowed=f"{show_duration(SHORTEST_WALK_S)} of walking at least, in stretches of some minutes",
        mend="choose the recording of a walk",
    )


def _refuse_same_time(recorded: Sequence[Recorded]) -> None:
    """Refuse tracks recorded at the same time: two people, or one walk twice. They are in the order of their start."""
    problems = []
    for before, after in pairwise(recorded):
        over_s = min(before.end_s, after.end_s) - after.start_s
        if over_s > 0.0:
            problems.append(
                Problem(
                    f"recorded at the same time as {before.file}: two people, or the same walk twice",
                    read=f"{show_duration(over_s)} of both, from {moment_words(after.start_s)}",
                    allowed="the tracks of one person, one after the other",
                    mend="leave one of them out, and fit each person by themselves",
                    file=after.track.file or after.file,
                )
            )
    if problems:
        raise TrackError(problems)


def _part(one: Recorded, units: Units) -> TrackPart:
    recording = one.recording
    pauses = [spell for spell in recording.spells if spell.kind == PAUSE]
    up_m, down_m = counted_climb_m(one.track.elevation_m)
    return TrackPart(
        file=one.file,
        sha256=one.sha256,
        start=moment_words(one.start_s),
        points=one.track.size,
        usual_step_s=recording.usual_step_s,
        total_s=recording.total_s,
        moving_s=recording.moving_s,
        moving_m=recording.moving_m,
        up_m=float(up_m[-1]),
        down_m=float(down_m[-1]),
        paused_s=recording.spent_s(PAUSE),
        pauses=len(pauses),
        lost_s=recording.spent_s(LOST),
        ride_s=recording.spent_s(FAST),
        ride_m=float(sum(spell.length_m for spell in recording.spells if spell.kind == FAST)),
        notes=tuple(in_units(note, units) for note in one.notes),
    )


def _middle_height_m(recorded: Sequence[Recorded]) -> float:
    """The middle height of all walking, each track by how long it walked [m]."""
    heights = [one.recording.elevation_m for one in recorded]
    return float(np.average(heights, weights=[one.recording.moving_s for one in recorded]))


def _band(middle: float, log_sd: float) -> tuple[float, float]:
    reach = float(np.exp(_REACH * log_sd))
    return middle / reach, middle * reach


def _model_rows(fit: PaceFit, factor: float) -> Iterator[ModelRow]:
    for model in fit.tried:
        yield ModelRow(
            key=model.key,
            title=PACE_MODELS[model.key].title,
            time_factor=model.time_factor / factor,
            climb_s_100m=100.0 * model.climb_s_m / factor,
            error=model.held_out_error,
            weight=model.weight,
            source=source(PACE_MODELS[model.key].source).words,
        )


def _mountain_day() -> tuple[FloatArray, FloatArray]:
    """The segments of the mountain day, up and the same way down."""
    run, rise = [], []
    for length_m, grade in MOUNTAIN_DAY:
        count = round(length_m / SEGMENT_M)
        run += [SEGMENT_M] * count
        rise += [SEGMENT_M * grade] * count
    return np.array(run * 2), np.array(rise + [-one for one in rise])


def _speed_band(fit: PaceFit, grade: float) -> tuple[float, float, float, float]:
    """Low, usual and high speed of a day on one slope [m/s], and the spread of the logarithm of a day's time there.

    Of a stretch that takes about an hour.
    """
    hour_m = HOUR_S / float(fit.best.segment_s(1.0, grade))
    run_m = np.full(max(1, round(hour_m / SEGMENT_M)), SEGMENT_M)
    said = fit.predict(run_m, grade * run_m)
    low_s, high_s = said.band_s(BAND_SHARE)
    length_m = float(run_m.sum())
    return length_m / high_s, length_m / said.middle_s, length_m / low_s, said.log_sd


def _speeds(fit: PaceFit) -> Iterator[SlopeSpeed]:
    seen = fit.pieces.rise_m / np.maximum(fit.pieces.run_m, 1e-9)
    for grade in SHOWN_GRADES:
        low, middle, high, _ = _speed_band(fit, grade)
        yield SlopeSpeed(grade, low, middle, high, bool(np.any(np.abs(seen - grade) <= 0.05)))


def _walks(fit: PaceFit) -> Iterator[ExampleWalk]:
    run, rise = _mountain_day()
    half = run.size // 2
    level = np.full(100, SEGMENT_M)
    walks = (
        ("Level ground", level, np.zeros(level.size)),
        ("Up a mountain", run[:half], rise[:half]),
        ("And down again", run[half:], rise[half:]),
        ("A mountain day, up and down", run, rise),
    )
    for words, run_m, rise_m in walks:
        said = fit.predict(run_m, rise_m)
        low_s, high_s = said.band_s(BAND_SHARE)
        up_m = float(np.maximum(rise_m, 0.0).sum())
        yield ExampleWalk(words, float(run_m.sum()), up_m, low_s, said.middle_s, high_s)


def _ground_source(factor: float) -> tuple[str, ...]:
    return ("de_gruchy_2017",) if factor > 1.0 else ()


def _drawn(fit: PaceFit) -> Drawn:
    """The picture's numbers, as recorded: the ground is not taken out, so that points and curve belong together."""
    grade = np.linspace(-DRAWN_TO_GRADE, DRAWN_TO_GRADE, 61)
    bands = [_speed_band(fit, float(one)) for one in grade]
    middle = np.array([band[1] for band in bands])
    # A piece varies more than a day's walking; the hour's own part of that is small and left in.
    piece_sd = np.array([float(np.hypot(band[3], fit.best.piece_sd)) for band in bands])
    reach = np.exp(_REACH * piece_sd)
    published = [(PACE_MODELS[model.key].title, _floats(_published_m_s(model.key, grade))) for model in fit.tried]
    run = fit.pieces.run_m
    walked = run > 0.0
    return Drawn(
        piece_grade=_floats(fit.pieces.rise_m[walked] / run[walked]),
        piece_m_s=_floats(run[walked] / fit.pieces.time_s[walked]),
        grade=_floats(grade),
        middle_m_s=_floats(middle),
        day_m_s=(_floats(np.array([band[0] for band in bands])), _floats(np.array([band[2] for band in bands]))),
        piece_band_m_s=(_floats(middle / reach), _floats(middle * reach)),
        published=tuple(published),
    )


def _published_m_s(key: str, grade: FloatArray) -> FloatArray:
    """A published model's own speed on each slope [m/s]."""
    pace_s_m = walking_time(key, np.ones_like(grade), grade).segment_s
    if pace_s_m is None:
        return np.full(grade.shape, np.nan)
    speed: FloatArray = 1.0 / pace_s_m
    return speed


def _floats(values: FloatArray) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
