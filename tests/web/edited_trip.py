"""The addresses at which the tests edit the example, its form typed over, and what is said beside a field."""

from __future__ import annotations

import re

from tests.web.forms import form_in
from tests.web.opened_table import Answer, OpenTable

EDIT, CHECK, UNDO, FILE = (f"/trips/tamsin-dome/{page}" for page in ("edit", "check", "undo", "file"))


def typed_over(table: OpenTable, changed: dict[str, str]) -> list[tuple[str, str]]:
    return form_in(table.ask(EDIT), EDIT).changed(changed)


def beside(answer: Answer, key: str) -> str:
    """What is said to be wrong beside the field of a key, as a screen reader finds it."""
    tag = re.search(rf'<(?:input|select|textarea)[^>]* name="{re.escape(key)}"[^>]*>', answer.text)
    assert tag is not None, f"no field for {key}"
    assert 'aria-invalid="true"' in tag[0]
    described = re.search(r'aria-describedby="([^"]+)"', tag[0])
    assert described is not None
    texts = [re.search(rf'id="{one}"[^>]*>(.*?)</(?:div|p)>', answer.text, re.DOTALL) for one in described[1].split()]
    assert all(texts), f"{key} is described by something that is not there"
    return re.sub(r"<[^>]+>", " ", texts[-1][1]).strip()
