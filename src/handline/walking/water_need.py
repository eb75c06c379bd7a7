"""How much water walkers need in an hour, as low, middle and high."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.quantity import MILE_M, POUND_KG, QUART_L
from handline.walking.grade_models import FloatArray
from handline.walking.spread import Spread
from handline.walking.sweat import TB_MED_507, WORK

IntArray = npt.NDArray[np.int_]

UNKNOWN_WORK = -1
"""Where how hard the work is cannot be told; else work is an index into ``WORK``."""

WORK_FROM_W = (325.0, 500.0)
"""Metabolic rate from which work is moderate, and hard [W]. [tb_med_507_rates]"""

_MPH_M_S = MILE_M / 3600.0
EASY_TO_M_S, EASY_BELOW_KG = 2.5 * _MPH_M_S, 30.0 * POUND_KG
MODERATE_TO_M_S, MODERATE_BELOW_KG = 3.5 * _MPH_M_S, 40.0 * POUND_KG
LEVEL_GRADE = 0.02
"""What still counts as level for the table's words. [our_water_need]"""

PERSONAL_QT_H, SUN_QT_H = 0.25, 0.25
COOL_L_H, COOL_SPREAD_L_H = 0.50, 0.47
"""Below the table's floor: measured mean and spread, and the usual rule. [fire_shifts, practice_water]"""

REST_L_H = (0.05, 0.10, 0.20)
"""A night or a long rest in the cool: about two and a half litres a day. [practice_water]"""

# A temperature of just 78 F, come from Celsius, must not fall below the row by its last digit: the warm side counts.
_LAST_DIGIT_F = 1e-6


@dataclass(frozen=True, eq=False)
class Need:
    """Water lost in an hour and to be replaced; NaN and a flag where it cannot be told."""

    need_L_h: Spread
    flags: tuple[str, ...]


def work_by_rate(rate_W: npt.ArrayLike) -> IntArray:
    """How hard work is by metabolic rate.

    Parameters
    ----------
    rate_W : array_like, any shape
        Rest included [W], as ``metabolic_rate``.

    Returns
    -------
    array of int, shape of ``rate_W``
        Index into ``WORK``, 0 easy to 2 hard; ``UNKNOWN_WORK`` where the rate is missing.

    Validity: the rates are those of a grown soldier and are not scaled to the body. Sources: tb_med_507_rates.
    """
    rate = np.asarray(rate_W, float)
    return np.where(np.isnan(rate), UNKNOWN_WORK, np.searchsorted(WORK_FROM_W, rate, side="right"))


def work_by_words(speed_m_s: npt.ArrayLike, grade: npt.ArrayLike, load_kg: npt.ArrayLike) -> IntArray:
    """How hard work is by the table's own words: speed and load.

    Easy to 2.5 mph with less than 30 lb; moderate to 3.5 mph with less than 40 lb; else hard.

    Parameters
    ----------
    speed_m_s, grade, load_kg : array_like
        [m/s]; rise over run [1]; [kg]; broadcast together.

    Returns
    -------
    array of int, the broadcast shape
        As ``work_by_rate``; ``UNKNOWN_WORK`` off the level. So the harder of two opinions is their maximum.

    Validity: level hard ground, to 2 per cent. Sources: tb_med_507, our_water_need.
    """
    speed, slope, load = np.broadcast_arrays(*(np.asarray(part, float) for part in (speed_m_s, grade, load_kg)))
    easy = (speed <= EASY_TO_M_S) & (load < EASY_BELOW_KG)
    moderate = (speed <= MODERATE_TO_M_S) & (load < MODERATE_BELOW_KG)
    known = (np.abs(slope) <= LEVEL_GRADE) & ~np.isnan(speed) & ~np.isnan(load)
    return np.where(known, np.where(easy, 0, np.where(moderate, 1, 2)), UNKNOWN_WORK)


def water_need(wbgt_C: npt.ArrayLike, work: npt.ArrayLike, sun_share: npt.ArrayLike = np.nan) -> Need:
    """Water lost in an hour of walking.

    From 78 F: the table's row, +- 1/4 quart for the person and +- 1/4 for full sun or shade.
    Below: 0.5 L/h +- 0.47.

    Parameters
    ----------
    wbgt_C : array_like
        Wet bulb globe temperature [C].
    work : array_like of int
        As ``work_by_rate``.
    sun_share : array_like
        0 full shade to 1 full sun [1]: moves all three. Left out: not known, so it widens the range.
        All broadcast together, hours by members or whatever they are.

    Returns
    -------
    Need
        [L/h], the broadcast shape. NaN with ``wbgt_unknown`` or ``work_unknown``; ``below_heat_table`` and
        ``freezing`` are only told. It never falls as heat, work or sun rise.

    Raises
    ------
    ValueError
        Work that is no index into ``WORK``, or a sun share outside 0 to 1.

    Validity: people used to the heat; those who are not may need other amounts.
    Notes: the table's lowest rows are a little less than the half litre of cooler days: the larger of the two counts.
    Cold is no reason to need less than half a litre: dry cold air takes water too, and nobody measured less here.
    Not scaled to the body: no source says how. This is what is lost; what may be drunk stands in ``drinking.py``.
    Sources: tb_med_507, fire_shifts, practice_water, our_water_need.
    """
    wbgt, sun = np.asarray(wbgt_C, float), np.asarray(sun_share, float)
    wbgt, row_work, sun = np.broadcast_arrays(wbgt, np.asarray(work), sun)
    _check(row_work, sun)
    known = ~np.isnan(wbgt) & (row_work != UNKNOWN_WORK)
    table_L_h, in_table = _table_L_h(wbgt, row_work)
    in_sun = np.where(np.isnan(sun), 0.0, 2.0 * sun - 1.0)
    sun_L_h = in_sun * SUN_QT_H * QUART_L
    either_L_h = (PERSONAL_QT_H + np.where(np.isnan(sun), SUN_QT_H, 0.0)) * QUART_L
    rows = (table_L_h + sun_L_h - either_L_h, table_L_h + sun_L_h, table_L_h + sun_L_h + either_L_h)
    cool = (COOL_L_H - COOL_SPREAD_L_H, COOL_L_H, COOL_L_H + COOL_SPREAD_L_H)
    low, centre, high = (
        np.where(known, np.where(in_table, np.maximum(row, least), least), np.nan)
        for row, least in zip(rows, cool, strict=True)
    )
    flags = {
        "wbgt_unknown": np.isnan(wbgt),
        "work_unknown": row_work == UNKNOWN_WORK,
        "below_heat_table": known & ~in_table,
        "freezing": wbgt < 0.0,
    }
    return Need(Spread(low, centre, high), tuple(flag for flag, where in flags.items() if bool(np.any(where))))


def rest_need(hours: npt.ArrayLike) -> Spread:
    """Water for a night or a long rest in the cool [L], from hours, any shape. Short stops count as walking.

    Raises ValueError where hours are missing or below 0. Validity: not in the heat. Sources: practice_water.
    """
    rested = np.asarray(hours, float)
    if not bool(np.all(np.isfinite(rested) & (rested >= 0.0))):
        raise ValueError("hours must be finite and 0 or more")
    return Spread(*(rested * L_h for L_h in REST_L_H))


def _table_L_h(wbgt_C: FloatArray, work: IntArray) -> tuple[FloatArray, npt.NDArray[np.bool_]]:
    """What the table says [L/h], and where it says anything; elsewhere its first row."""
    from_F = sorted(TB_MED_507)
    rows_qt_h = np.array([TB_MED_507[start] for start in from_F])
    row = np.searchsorted(from_F, 1.8 * wbgt_C + 32.0 + _LAST_DIGIT_F, side="right") - 1
    return rows_qt_h[np.clip(row, 0, len(from_F) - 1), np.maximum(work, 0)] * QUART_L, row >= 0


def _check(work: npt.NDArray[np.generic], sun: FloatArray) -> None:
    if not np.issubdtype(work.dtype, np.integer) or not bool(np.all(np.isin(work, range(UNKNOWN_WORK, len(WORK))))):
        raise ValueError(f"work must be whole numbers: an index into {WORK}, or {UNKNOWN_WORK} where it is not known")
    if bool(np.any((sun < 0.0) | (sun > 1.0))):
        raise ValueError("sun_share must be from 0 to 1")
