"""What axe-core finds in a page."""

from __future__ import annotations


def serious(page, axe: str) -> list[tuple[str, list[str]]]:
    """What axe-core finds that is serious or worse: the name of its rule, and where."""
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    assert found["testEngine"]["name"] == "axe-core"
    assert len(found["passes"]) > 5
    return [
        (one["id"], [node["html"][:120] for node in one["nodes"][:3]])
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]
