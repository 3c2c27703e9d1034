"""What every form of a job file has in common: no unknown keys, and nothing is changed once read."""

from typing import Any

from pydantic import BaseModel, ConfigDict


class Form(BaseModel):
    """A group of keys in a job file."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def empty_if_blank(value: Any) -> Any:
    """Return {} for a key with nothing written after it, so that an empty room is a room."""
    return {} if value is None else value


def named_or_form(value: object) -> str:
    """Return the tag of a value that is either a name or a group of keys."""
    return "form" if isinstance(value, dict | Form) else "name"
