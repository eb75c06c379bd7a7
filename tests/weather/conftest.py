from __future__ import annotations

import pytest

# Its assertions say what they compared, like those of the tests.
pytest.register_assert_rewrite("tests.weather.forecast_files")
