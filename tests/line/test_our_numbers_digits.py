"""Numbers of this room that are a choice and no measurement: each as its row says, to the last digit."""

from __future__ import annotations

import pytest

from handline.line.hitches import HITCH_BITE_M, HITCH_SLACK_M
from handline.line.passage import PASSAGE_SIGMA
from tests.tables.published import read_table

NUMBERS = {
    "spread of climbing time": PASSAGE_SIGMA,
    "slack of a hitch": HITCH_SLACK_M,
    "bite of a hitch": HITCH_BITE_M,
}


@pytest.mark.parametrize("row", read_table("line_numbers"), ids=lambda row: row["name"])
def test_the_number_is_that_of_its_row(row: dict[str, str]) -> None:
    assert NUMBERS[row["name"]] == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_every_number_has_a_row() -> None:
    assert {row["name"] for row in read_table("line_numbers")} == set(NUMBERS)
