"""The base of every annotation that reads a value of the trip file as it was typed."""

from __future__ import annotations

from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema


class TypedValue:
    """An annotation whose ``read`` turns the typed value into ours, or refuses it; ``json_schema`` describes it."""

    def read(self, value: object) -> Any:
        """The value inside, for the value as typed. Raises the refusal."""
        raise NotImplementedError

    def json_schema(self) -> dict[str, Any]:
        """What may be typed, as JSON Schema."""
        raise NotImplementedError

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return self.json_schema()
