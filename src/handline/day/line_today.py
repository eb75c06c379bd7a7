"""What bars the line on the way, by the state of the rock: the tether, the rock itself, and hands that give out."""

from __future__ import annotations

from handline.day.hands import hands_fail_on
from handline.day.line_findings import ROCK_SAYS
from handline.day.line_planning import audits
from handline.day.plan_field import LineSays
from handline.day.subjects import Setting
from handline.day.tether_words import main_case, tether_sentence
from handline.line.friction import ROCKS, Rock
from handline.line.geometry import WAYS


def line_says(setting: Setting) -> tuple[LineSays, ...]:
    """For each state of the rock, in the order of ``ROCKS``, what the line is then.

    It is barred where a plan would say stop: the chosen tether does not hold within the party's limit in the case it is
    judged by, or nobody should stand on such rock. Sources: those of the audit, of the rock and of hands.
    """
    return tuple(_on(setting, rock) for rock in ROCKS.values())


def line_on(says: tuple[LineSays, ...], rock: str) -> LineSays:
    """What the line is on one state of the rock."""
    return next(one for one in says if one.rock == rock)


def _on(setting: Setting, rock: Rock) -> LineSays:
    trip, tether = setting.trip, setting.chosen
    outcomes, holds_N = audits(setting, tether)[rock.name], trip.line.stanchion_holds_N
    sentence = tether_sentence(tether, outcomes, trip.limits.body_force_N, trip.about.units, holds_N)
    level, rock_sentence = ROCK_SAYS.get(rock.name, ("note", ""))
    up, down = (hands_fail_on(setting, rock, way) for way in WAYS)
    return LineSays(
        rock=rock.name,
        barred=level == "stop" or main_case(outcomes, holds_N).verdict != "holds",
        says=f"{tether.title}. {sentence} {rock_sentence}".rstrip(),
        hands_up="" if up.at_m is None else up.says,
        hands_down="" if down.at_m is None else down.says,
    )
