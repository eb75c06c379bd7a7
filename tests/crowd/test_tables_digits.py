"""A window is by nine passes in ten unless told otherwise, among ten thousand of them."""

from __future__ import annotations

import numpy as np

from handline.crowd.rules import UP
from handline.crowd.tables import MEASURES, PassTable, Window, best_windows


def test_nine_in_ten_of_ten_thousand() -> None:
    # Delays of 0 to 9999 s: nine thousand passes are below 9000 s.
    rows = (np.tile(np.arange(10_000.0)[:, None], (1, len(MEASURES))),)
    table = PassTable(UP, np.array([0.0, 900.0]), rows, np.array([10_000]))
    assert best_windows(table, most_delay_s=9000.0) == (Window(0.0, 900.0, 9000.0),)
