"""What makes a walk take longer than a pace model says: one time factor for each cause."""

from __future__ import annotations

from dataclasses import dataclass

from handline.walking.grade_models import FloatArray


@dataclass(frozen=True)
class Factor:
    """How many times longer the walk takes [1], in the broadcast shape of what it was asked for, and its flags.

    NaN where no factor can be given: a flag then says why. The words of every flag stand in ``pace.FLAGS``.
    """

    time_factor: FloatArray
    flags: tuple[str, ...]
