"""Every source once, with its kind and how far it was seen.

The list itself is ``sources.toml`` beside this file. Formulas, limits and tables name sources by key.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

KINDS = ("standard", "law", "paper", "agency", "handbook", "open data", "common practice", "from memory", "ours")
SEEN = {
    "V": "seen in the source or an official page",
    "V2": "seen only at second hand",
    "M": "from memory",
    "C": "sources disagree; both are given",
    "calc": "computed here from the formula shown",
    "-": "no source",
}


@dataclass(frozen=True)
class Source:
    """One citation. ``seen`` is a key of ``SEEN``; ``note`` says where we differ or what is in doubt."""

    key: str
    kind: str
    title: str
    seen: str
    note: str = ""

    @property
    def words(self) -> str:
        """The citation as a user reads it, with its standing in plain words."""
        standing = {"common practice": "common practice, no source", "from memory": "from memory"}.get(self.kind)
        if self.seen == "M" and self.kind != "from memory":
            standing = "from memory"
        return f"{self.title} ({standing})" if standing else self.title


class UnknownSourceError(KeyError):
    """Code names a source that is not in the list: a defect of ours, never of a user."""


@lru_cache(maxsize=1)
def sources() -> Mapping[str, Source]:
    """All sources by key, in the order of the file. Raises ValueError on a malformed list."""
    table = tomllib.loads(files("handline").joinpath("sources.toml").read_text(encoding="utf-8"))
    listed: dict[str, Source] = {}
    for key, entry in table.items():
        source = Source(key=key, **entry)
        if source.kind not in KINDS or source.seen not in SEEN:
            raise ValueError(f"sources.toml [{key}]: kind {source.kind!r} or seen {source.seen!r} is not known")
        listed[key] = source
    return MappingProxyType(listed)


def source(key: str) -> Source:
    """The source with this key. Raises UnknownSourceError."""
    try:
        return sources()[key]
    except KeyError:
        raise UnknownSourceError(key) from None
