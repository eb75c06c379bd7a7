"""Every citation is whole, used or checked, and every formula that a registry names has one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handline.line.friction import ROCKS
from handline.line.limits import LIMITS
from handline.line.tethers import TETHERS
from handline.sources import UnknownSourceError, source, sources
from handline.walking.registry import PACE_MODELS
from handline.weather.categories import SCALES
from handline.weather.index_registry import INDICES

ROOT = Path(__file__).parents[2]


def test_every_registry_entry_has_a_source() -> None:
    named = [entry.source for registry in (ROCKS, LIMITS, TETHERS, PACE_MODELS, INDICES) for entry in registry.values()]
    named += [step.source for scale in SCALES.values() for step in scale.steps]
    assert len(named) > 30
    for key in named:
        assert source(key).title


def test_standing_is_said_in_words() -> None:
    assert source("friction_memory").words.endswith("(from memory)")
    assert source("practice_stops").words.endswith("(common practice, no source)")
    assert source("en_12277").words.endswith("(from memory)")
    assert "(" not in source("en_892").words.replace("(and UIAA 101)", "")


def test_an_unknown_key_is_a_defect() -> None:
    with pytest.raises(UnknownSourceError):
        source("no_such_source")


def test_every_source_is_named_somewhere() -> None:
    text = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "src").rglob("*.py"))
    text += "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("*.csv"))
    unused = [key for key in sources() if not re.search(rf"\b{key}\b", text)]
    assert unused == []


def test_every_table_row_names_a_listed_source() -> None:
    import csv

    for path in (ROOT / "tests" / "tables").glob("*.csv"):
        with path.open(newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                assert source(row["source"]).key == row["source"], path.name
