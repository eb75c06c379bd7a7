"""The plan from here: the pace learned from the passings of today, and what it does to the rest of the day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from handline.day.drawn_parts import at_pace, draw_parts, log_pace, put_together
from handline.day.limits import chance_from, kept_share
from handline.day.latest import LATEST_DAYS
from handline.day.pace_posterior import PacePosterior, Stretch, learned_pace, moved_to, observed_stretches
from handline.day.passed_told import PassedAt, named, order_problems
from handline.day.plan import PROBABILITIES
from handline.day.planning import Simulated
from handline.day.replan_report import (
    ChanceNow,
    Course,
    Held,
    PaceToday,
    PassingAhead,
    Replan,
    StretchSeen,
)
from handline.day.replan_words import advise, limit_words, notes, pace_words
from handline.day.setting import Setting
from handline.day.simulation import Draws, Floats, Itinerary, RockClock
from handline.day.today import StormToday, storm_today, today_problems
from handline.day.turning import WayOn, foot_of_line, go_on, limits_of_turning, may_turn, turn_at, turned_kept
from handline.errors import InputError
from handline.line.friction import ROCKS
from handline.quantity import show_share
from handline.weather.storms import StormHazard
