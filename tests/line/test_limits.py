from __future__ import annotations

import pytest

from handline.line.limits import LIMITS
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
