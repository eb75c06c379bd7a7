"""The base of every annotation that reads a value of the trip file as it was typed."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema


class TypedValue(ABC):
    """An annotation whose ``read`` turns the typed value into ours, or refuses it; ``json_schema`` describes it."""

    @abstractmethod
    def read(self, value: object) -> Any:
        """The value inside, for the value as typed. Raises the refusal."""

    @abstractmethod
    def json_schema(self) -> dict[str, Any]:
        """What may be typed, as JSON Schema."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return self.json_schema()
