"""Values as plain data under the names of their fields: what records are made of."""

import json
from dataclasses import fields, is_dataclass
from math import inf
from typing import Any, TypeAlias

from pipemodel.messages.values import Message

Record: TypeAlias = dict[str, Any]


def plain(value: Any) -> Any:
    """Return a value as records have it: fields by their names, messages in English.

    A zero of either sign is 0.0, and what nothing holds, infinity, is None.
    """
    if isinstance(value, float):
        return None if abs(value) == inf else value + 0.0
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


def to_json(record: Record) -> str:
    """Return a record as JSON text, in ASCII so that it survives any terminal, and ending in a line end."""
    return json.dumps(record, indent=2, allow_nan=False) + "\n"
