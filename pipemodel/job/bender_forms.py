"""The form of `bender`: the name of one, one in shapes, or one out of a file."""

from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema


def _bender(value: object) -> str | dict[str, Any]:
    if isinstance(value, dict) and value:
        return value
    if isinstance(value, str) and value.strip():
        return value.strip()
    raise ValueError(
        "a bender is the name of one, such as '15 mm hand bender'; or like, radius, body, lever, guide, room; "
        "or {file: benders.yaml, name: mine}"
    )


BenderChoice = Annotated[
    str | dict[str, Any],
    PlainValidator(_bender),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "description": "The name of a bender"},
                {
                    "type": "object",
                    "description": "Names of parts with their shapes, or a file of benders and a name in it",
                    "properties": {
                        key: {}
                        for key in ("file", "name", "like", "radius", "source", "body", "lever", "guide", "room")
                    },
                    "additionalProperties": False,
                },
            ]
        }
    ),
]
"""A bender: the name of one, its parts in shapes, or a file of one's own and a name in it."""
