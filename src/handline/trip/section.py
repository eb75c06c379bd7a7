"""The base of every section of the trip file."""

from __future__ import annotations

from functools import partial
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from handline import quantity


class Section(BaseModel):
    """Strict and frozen; a key that we do not know is a problem, not a surprise.

    Aliases are the keys as typed; attribute names carry the SI unit.
    """

    model_config = ConfigDict(strict=True, frozen=True, extra="forbid", hide_input_in_errors=True)


def key(alias: str, description: str, **more: Any) -> Any:
    """A key of the file whose attribute has another name, because it carries a unit; ``more`` goes to ``Field``."""
    return Field(alias=alias, description=description, **more)


def usual(text: str, kind: str, alias: str, description: str) -> Any:
    """A key with a quantity that may be left out: ``text`` is then meant, as if it had been typed."""
    return key(
        alias, description, default_factory=partial(quantity.parse, text, kind), json_schema_extra={"default": text}
    )
