from __future__ import annotations

import pytest

# Its assertions say what they compared, like those of the tests.
pytest.register_assert_rewrite("tests.cli.command_line")


@pytest.fixture
def hundred_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal of the width that screens are laid out for."""
    monkeypatch.setenv("COLUMNS", "100")
