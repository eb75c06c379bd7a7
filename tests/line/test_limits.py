from __future__ import annotations

import pytest

from handline.line.limits import FIGURE_EIGHT_SHARE, GIRTH_HITCH_SHARE, LIMITS
from handline.sources import source
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("force_limits"), ids=lambda row: row["key"])
def test_limits_are_the_published_ones(row: dict[str, str]) -> None:
    limit = LIMITS[row["key"]]
    assert limit.force_N == float(row["expected"])
    assert limit.source == row["source"]


def test_every_limit_is_checked_and_has_a_source() -> None:
    assert {row["key"] for row in read_table("force_limits")} == set(LIMITS)
    for limit in LIMITS.values():
        assert source(limit.source).title


def test_what_knots_leave() -> None:
    # Figure-eight loop 0.80; girth-hitched HMPE sling 0.5 to 0.8, the low end; second-hand.
    assert (FIGURE_EIGHT_SHARE, GIRTH_HITCH_SHARE) == (0.80, 0.5)
