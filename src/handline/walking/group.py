"""A large party walks slower than a small one."""

from __future__ import annotations

import math

SMALL_PARTY = 4
PER_PERSON = 0.01


def group_factor(size: int, per_person: float = PER_PERSON) -> float:
    """How many times longer the walk takes in a party of this size.

    factor = 1 + per_person max(size - 4, 0)

    Parameters
    ----------
    size : int
        People in the party.
    per_person : float
        What each person past the fourth adds [1].

    Returns
    -------
    float
        [1], 1 or more.

    Raises
    ------
    ValueError
        A party of nobody, or a share below 0.

    Validity: parties that keep together. Sources: practice_group.
    """
    if size < 1:
        raise ValueError(f"size is {size}: a party has at least one person")
    if not (math.isfinite(per_person) and per_person >= 0.0):
        raise ValueError(f"per_person is {per_person}: it must be finite and 0 or more")
    return 1.0 + per_person * max(size - SMALL_PARTY, 0)
