"""Values as plain data under the names of their fields: what records are made of."""

from dataclasses import fields, is_dataclass
from typing import Any, TypeAlias

from pipemodel.messages.values import Message

Record: TypeAlias = dict[str, Any]


def plain(value: Any) -> Any:
    """Return a value as records have it: messages in English, a zero of either sign as 0.0, fields by their names."""
    if isinstance(value, float):
        return value + 0.0
    if isinstance(value, Message):
        return str(value)
    names = getattr(value, "_fields", ())
    if is_dataclass(value) and not isinstance(value, type):
        names = tuple(field.name for field in fields(value))
    if names:
        return fields_of(value, *names)
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    return [plain(one) for one in value] if isinstance(value, list | tuple) else value


def fields_of(value: Any, *names: str) -> Record:
    """Return fields of a value as plain data, under their own names; several names may stand in one text."""
    return {name: plain(getattr(value, name)) for text in names for name in text.split()}
