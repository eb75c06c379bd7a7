"""What a review says in sentences, word for word."""

from __future__ import annotations

import pytest

from handline.day.review_words import apart, headline, ranked


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "no simulated day was quicker"),
        (0.004, "under 1 % of simulated days were quicker"),
        (0.5, "50 % of simulated days were quicker"),
        (0.997, "over 99 % of simulated days were quicker"),
        (1.0, "every simulated day was quicker"),
    ],
)
def test_ranked(share: float, words: str) -> None:
    assert ranked(share) == words


@pytest.mark.parametrize(
    ("more_s", "words"),
    [
        (20.0, "as the planned middle"),
        (-20.0, "as the planned middle"),
        (600.0, "10 min more than the planned middle"),
        (-3900.0, "1 h 05 min less than the planned middle"),
    ],
)
def test_apart(more_s: float, words: str) -> None:
    assert apart(more_s) == words


@pytest.mark.parametrize(
    ("share", "kind"),
    [
        (0.05, "Quicker than planned"),
        (0.10, "Within the plan"),
        (0.90, "Within the plan"),
        (0.95, "Slower than planned"),
    ],
)
def test_headline(share: float, kind: str) -> None:
    said = headline(36_000.0, 39_600.0, share, whole=True)
    assert said == f"{kind}: 11 h 00 min, 1 h 00 min more than the planned middle; {ranked(share)}."
    assert headline(36_000.0, 39_600.0, share, whole=False).startswith(f"{kind} over the legs that were recorded: ")
