"""docs/mutants.md: what was tried, what was seen, and what is explained."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tests.mutants.literals import Literal
from tests.mutants.reasons import Reasons


def write_page(page: Path, rooms: Mapping[str, list[Literal]], ends: Mapping[str, dict[str, object]], reasons: Reasons) -> None:
    """Write the page anew."""
    raise NotImplementedError
