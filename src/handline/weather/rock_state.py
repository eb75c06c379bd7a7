"""The rock hour by hour: dry, damp, wet or iced."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.weather.hours import HOUR_S, HourlyWeather
from handline.weather.moist_air import vapour_over_water_hPa
from handline.weather.rock_water import (
    DRY_UP_TO_MM,
    MOST_HELD_MM,
    WET_ABOVE_MM,
    RockDrying,
    conductance_W_m2_K,
    freezing_mm_h,
    given_off_mm_h,
    heading_C,
    kept_warmth_share,
    snow_share,
)

FloatArray = NDArray[np.float64]
StateArray = NDArray[np.int8]

STATES = ("dry", "damp", "wet", "iced")
"""Each more slippery than the one before, so that the higher index is the careful one."""
UNKNOWN = -1
"""The state of an hour whose weather is not known; never one of ``STATES``."""
_STEPS = 3
_STEP_S = HOUR_S / _STEPS
# Steps worked out at once: few enough that the arrays of 200 members stay where the processor is quick.
_BLOCK = 48
# A film within this of a limit is taken as at it: the last bits of a sum are no water.
_ROUNDING_MM = 1e-9


@dataclass(frozen=True)
class RockByHour:
    """The rock by hour; arrays (members, hours) but ``clock_s`` and ``assumed_wet`` (hours,).

    ``state`` is the most slippery one at any time of the hour, an index into ``STATES`` or ``UNKNOWN``. ``film_mm``,
    water and ice together, and ``rock_C`` are those of the hour's start; NaN in unknown hours. ``assumed_wet`` marks
    hours before which nothing was known, so that the slab was taken as full of water: the first, and after a gap.
    """

    clock_s: FloatArray
    state: StateArray
    film_mm: FloatArray
    rock_C: FloatArray
    assumed_wet: NDArray[np.bool_]


@dataclass(frozen=True)
class _Steps:
    """What may happen in each part of an hour [mm], shape (steps, members); ``rock_C`` has their edges, one more.

    ``falls`` is rain, snow and what runs down; ``gains`` that and dew less what dries; ``freezes`` the snow and what
    can freeze besides, less what can melt.
    """

    falls: NDArray[np.bool_]
    gains_mm: FloatArray
    freezes_mm: FloatArray
    rock_C: FloatArray


def rock_states(
    hours: HourlyWeather,
    sun_W_m2: FloatArray,
    slope_deg: float,
    drying: RockDrying,
    starts_dry: bool = False,
) -> RockByHour:
    """Follow the water on a slab.

    Rain and melt fill a film up to what the slab holds, the rest runs off; while they come it is damp at least. It
    dries as ``given_off_mm_h`` says, its water before its ice, and dew settles where the rock is colder than the dew
    point. Under ``FREEZING_C`` water freezes and above it ice melts, as fast as warmth goes. Snow and ice stay, with
    the film to ``MOST_HELD_MM``. Temperature, wind, cloud and vapour go straight from one hour's start to the next;
    rain and sun are even through it.

    Parameters
    ----------
    hours : HourlyWeather
        Some hours before the ones that matter, so that the slab's own past decides: twelve are usual.
    sun_W_m2 : array, shape (members, hours)
        On the slab, clouds taken off.
    slope_deg : float
        Of the slab, 0 to 90: how much of the sky it sees. Rain counts as on level ground, since more runs down to it.
    drying : RockDrying
    starts_dry : bool
        The slab is known to be dry at the first known hour. Left out it is taken as full of water then, and its rock as
        warm as the air; after a gap of unknown hours always.

    Returns
    -------
    RockByHour

    Raises
    ------
    ValueError
        A slope outside 0 to 90, or a sun of another shape, below 0, or unknown in a known hour.

    Validity
    --------
    Snow counts as the water in it, and sun warms the rock under it as if bare. Seepage from cracks is not followed.

    Sources
    -------
    our_rock_rules; the formulas of ``rock_water`` with their own.
    """
    known = hours.known
    if not 0.0 <= slope_deg <= 90.0:
        raise ValueError(f"the slope of a slab lies from 0 to 90 degrees, not {slope_deg}")
    if sun_W_m2.shape != hours.temperature_C.shape or not (sun_W_m2[:, known] >= 0.0).all():
        raise ValueError("the sun on the slab needs a value of 0 or more for each member and known hour")
    shape = hours.temperature_C.shape
    state = np.full(shape, UNKNOWN, np.int8)
    film_mm, rock_C = np.full(shape, np.nan), np.full(shape, np.nan)
    starts = known & ~np.concatenate(([False], known[:-1]))
    ends = known & ~np.concatenate((known[1:], [False]))
    assumed_wet = starts.copy()
    for first, last in zip(np.flatnonzero(starts), np.flatnonzero(ends), strict=True):
        if starts_dry and first == np.argmax(known):
            assumed_wet[first] = False
        span = slice(first, last + 1)
        steps = _steps(hours, sun_W_m2, span, slope_deg, drying)
        ice, film = _follow(steps, drying, 0.0 if not assumed_wet[first] else drying.film_mm)
        state[:, span] = _worst_of_hours(_state(ice, film), steps.falls).T
        film_mm[:, span], rock_C[:, span] = film[:-1:_STEPS].T, steps.rock_C[:-1:_STEPS].T
    return RockByHour(hours.clock_s, state, film_mm, rock_C, assumed_wet)


def _steps(hours: HourlyWeather, sun_W_m2: FloatArray, span: slice, slope_deg: float, drying: RockDrying) -> _Steps:
    air_at_start = hours.temperature_C[:, span].T
    vapour_hPa = _straight(hours.humidity_share[:, span].T * vapour_over_water_hPa(air_at_start))
    air_C, wind_m_s = _straight(air_at_start), _straight(hours.wind_m_s[:, span].T)
    cloud = _straight(hours.cloud_share[:, span].T)
    sun = np.repeat(sun_W_m2[:, span].T, _STEPS, axis=0)
    gains_mm = np.repeat(hours.rain_mm[:, span].T / _STEPS, _STEPS, axis=0)
    freezes_mm = gains_mm * snow_share(air_C)
    if drying.melt_mm_h > 0.0:
        gains_mm += np.where(air_C > 0.0, drying.melt_mm_h / _STEPS, 0.0)
    falls = gains_mm > 0.0
    rock_C = np.empty((air_C.shape[0] + 1, air_C.shape[1]))
    rock_C[0] = air_at_start[0]
    for first in range(0, air_C.shape[0], _BLOCK):
        part = slice(first, min(first + _BLOCK, air_C.shape[0]))
        edges_C = rock_C[part.start : part.stop + 1]
        h = conductance_W_m2_K(wind_m_s[part])
        heading = heading_C(air_C[part], h, cloud[part], sun[part], slope_deg)
        _warm(edges_C, heading, kept_warmth_share(h, _STEP_S))
        middle_C = (edges_C[1:] + edges_C[:-1]) / 2.0
        given_off = given_off_mm_h(middle_C, air_C[part], vapour_hPa[part], wind_m_s[part], drying.drying_mm_h_hPa)
        gains_mm[part] -= given_off / _STEPS
        freezes_mm[part] += freezing_mm_h(middle_C, h) / _STEPS
    return _Steps(falls, gains_mm, freezes_mm, rock_C)


def _straight(at_start: FloatArray) -> FloatArray:
    """Values at the middle of each step, straight between hours' starts; the last hour keeps its own."""
    rise = np.diff(at_start, axis=0, append=at_start[-1:])
    part = (np.arange(_STEPS) + 0.5) / _STEPS
    steps = at_start[:, None, :] + part[:, None] * rise[:, None, :]
    return steps.reshape(-1, at_start.shape[1])


def _warm(edges_C: FloatArray, heading: FloatArray, kept: FloatArray) -> None:
    """Fill the temperatures at the edges of the steps after the first; each step is exact for a steady heading."""
    gained = heading * (1.0 - kept)
    for step in range(heading.shape[0]):
        np.multiply(edges_C[step], kept[step], out=edges_C[step + 1])
        edges_C[step + 1] += gained[step]


def _follow(steps: _Steps, drying: RockDrying, film_mm: float) -> tuple[FloatArray, FloatArray]:
    """Ice, and ice and water together [mm], at the edges of the steps, both (steps + 1, members)."""
    number, members = steps.gains_mm.shape
    ice, film = np.empty((number + 1, members)), np.empty((number + 1, members))
    ice[0], film[0] = 0.0, film_mm
    held_mm = np.empty(members)
    for step in range(number):
        ice_mm, all_mm = ice[step + 1], film[step + 1]
        np.add(film[step], steps.gains_mm[step], out=all_mm)
        np.maximum(all_mm, 0.0, out=all_mm)
        np.add(ice[step], steps.freezes_mm[step], out=ice_mm)
        np.maximum(ice_mm, 0.0, out=ice_mm)
        np.minimum(ice_mm, all_mm, out=ice_mm)
        np.add(ice_mm, drying.film_mm, out=held_mm)
        np.minimum(held_mm, MOST_HELD_MM, out=held_mm)
        np.minimum(all_mm, held_mm, out=all_mm)
        np.minimum(ice_mm, all_mm, out=ice_mm)
    return ice, film


def _state(ice_mm: FloatArray, film_mm: FloatArray) -> StateArray:
    iced = ice_mm > DRY_UP_TO_MM + _ROUNDING_MM
    damp, wet = film_mm > DRY_UP_TO_MM + _ROUNDING_MM, film_mm > WET_ABOVE_MM + _ROUNDING_MM
    return np.where(iced, 3, damp.astype(np.int8) + wet).astype(np.int8)


def _worst_of_hours(state: StateArray, falls: NDArray[np.bool_]) -> StateArray:
    """From the edges of the steps (steps + 1, members) to whole hours (hours, members), both edges of each counted.

    While anything falls the rock is damp at least, even where it dries as fast.
    """
    inner = np.maximum(state[:-1], falls).reshape(-1, _STEPS, state.shape[1]).max(axis=1)
    return np.maximum(inner, state[_STEPS::_STEPS])
