"""The example's recorded day held against its plan, with fewer days; and the same with a part of it missing."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from handline.day.review import Review, Span, review
from tests.day.recordings import RECORDED, tamsin


@lru_cache(maxsize=1)
def sample_review() -> Review:
    return review(tamsin(days=1000), RECORDED)


def partial_review() -> Review:
    """The same day as if the recorder had stopped at the foot of the line."""
    whole = sample_review()
    passings = tuple(
        passing if i <= 4 else replace(passing, clock=_unknown(passing.clock), stood_s=None, missing="after it ended")
        for i, passing in enumerate(whole.passings)
    )
    legs = tuple(
        leg if j < 4 else replace(leg, time=_unknown(leg.time), moving_s=None, stood_s=None)
        for j, leg in enumerate(whole.legs)
    )
    return replace(
        whole, whole=False, passings=passings, legs=legs, pace=None, pace_says="No walked leg was recorded whole."
    )


def _unknown(span: Span) -> Span:
    return replace(span, recorded_s=None, share_below=None)
