"""The waits before the line as the trip's own crowd makes them, where the file tells how many people come."""

from __future__ import annotations

from dataclasses import replace

from handline.day.line_wait import LineWait
from handline.day.subjects import Setting
from handline.day.told import Told

FROM_CROWD = "crowd"


def crowd_waits(
    setting: Setting, known: Setting | None = None, told: Told = lambda what, share: None
) -> dict[str, LineWait] | None:
    """The wait by the hour of joining the queue, for each way; None where nothing says who comes.

    Parameters
    ----------
    setting : Setting
        With any waits: what the party itself waits bears on no crowd.
    known : Setting
        Of the same file on another date: its crowd comes to this date's line, as if it were as light as on that date.
    told : callable
        Told of the progress, where the crowd has to be simulated.

    Notes
    -----
    The crowd is simulated once and kept on disk.
    """
    from handline.day.crowd_setting import has_crowd, set_crowd
    from handline.day.waits_kept import kept_waits

    if not has_crowd(setting):
        return None
    comes_from = setting if known is None else replace(known, line=setting.line)
    found = kept_waits(set_crowd(comes_from, days=1), told)
    return {"up": found.up, "down": found.down}


def waits_of(known: Setting, line_state: str) -> dict[str, LineWait] | None:
    """The waits of a setting for another date; None where they are of no crowd, or of one on the line otherwise."""
    if known.waits_from != FROM_CROWD or known.line.state != line_state:
        return None
    points, legs = known.route.points, known.route.legs
    return {
        points[leg.end].way: line_leg.wait
        for leg, line_leg in zip(legs, known.itinerary.line_legs, strict=True)
        if line_leg is not None
    }
