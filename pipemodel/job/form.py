"""What every form of a job file has in common: no unknown keys, and nothing is changed once read."""

from contextvars import ContextVar
from types import UnionType
from typing import Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from pipemodel.messages.values import Message

_within = ContextVar("_within", default=False)


class Form(BaseModel):
    """A group of keys in a job file; the forms in it are made ready when one of them is first filled."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    @classmethod
    def __get_pydantic_core_schema__(cls, source: type, handler: GetCoreSchemaHandler) -> CoreSchema:
        if _within.get():
            name = f"{cls.__module__}.{cls.__qualname__}:{id(cls)}"
            said = {"pydantic_js_functions": [lambda _, of: of(cls.__pydantic_core_schema__)]}
            return core_schema.no_info_plain_validator_function(cls.model_validate, ref=name, metadata=said)
        outside = _within.set(True)
        try:
            return handler(source)
        finally:
            _within.reset(outside)


def empty_if_blank(value: Any) -> Any:
    """Return {} for a key with nothing written after it, so that an empty room is a room."""
    return {} if value is None else value


def one_as_list(kind: type | UnionType) -> BeforeValidator:
    """Return what makes a list of one item that stands without its list."""
    return BeforeValidator(lambda value: [value] if isinstance(value, kind) else value)


def one_or_many(schema: dict[str, Any]) -> None:
    """Let the schema of a list take one item without its list too."""
    items = schema.pop("items")
    schema.pop("type")
    schema["anyOf"] = [items, {"type": "array", "items": items}]


def so_many(count: int, fault: Message) -> BeforeValidator:
    """Return what takes nothing but a list of so many; `fault` says what it should be."""

    def see(value: object) -> object:
        if not isinstance(value, list | tuple) or len(value) != count:
            raise ValueError(fault)
        return value

    return BeforeValidator(see)


def named_or_form(value: object) -> str:
    """Return the tag of a value that is either a name or a group of keys."""
    return "form" if isinstance(value, dict | Form) else "name"
