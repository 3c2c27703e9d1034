"""The words of a route: directions by name, angles a bend may have, and groups of keys that may be one value."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler, PlainValidator, WithJsonSchema
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from pipemodel.job.expressions import none_called
from pipemodel.job.quantities import NonNegativeLength, parse_angle, parse_length, parse_positive_length, shown
from pipemodel.job.routing.directions import COMPASS, OF_THE_WALL, RELATIVE, spelled
from pipemodel.messages.values import Name, Number, message

DIRECTIONS = (*COMPASS, *RELATIVE, *OF_THE_WALL)


def parse_direction(value: object) -> str:
    """Return the name of a direction as the program spells it; hyphens and capitals do not matter.

    Raises:
        ValueError: if it is no direction; names the nearest.
    """
    if isinstance(value, str):
        name = spelled(value)
        if name in DIRECTIONS:
            return name
        if name in ("forward", "forwards"):
            raise ValueError(message("fault.either way", value=Name(shown(value))))
        raise ValueError(none_called("direction", name, DIRECTIONS))
    raise ValueError(message("fault.directions", directions=Name(", ".join(DIRECTIONS), quoted=False)))


def parse_sides(value: object) -> tuple[tuple[str, float | None], ...]:
    """Return one side without a distance, or two with one each, as (name, mm).

    Raises:
        ValueError: if a side is no direction, a distance no length, or there are not two of them.
    """
    if not isinstance(value, dict):
        return ((parse_direction(value), None),)
    if len(value) != 2:
        raise ValueError(message("fault.two sides"))
    return tuple((parse_direction(name), parse_positive_length(mm)) for name, mm in value.items())


def parse_bends(value: object) -> int:
    """Return how many bends a passover has.

    Raises:
        ValueError: if that is neither 3 nor 4.
    """
    if isinstance(value, bool) or value not in (3, 4):
        raise ValueError(message("fault.three or four", value=Name(shown(value), quoted=False)))
    return 4 if value == 4 else 3


def parse_legs(value: object) -> tuple[int, int]:
    """Return the first and the last of some legs, counted from 1; one number is a single leg.

    Raises:
        ValueError: if they are not one or two whole numbers in order, from 1 on.
    """
    given = list(value) if isinstance(value, list | tuple) else [value, value]
    whole = [int(n) for n in given if isinstance(n, int | float) and not isinstance(n, bool) and n == n // 1]
    if len(given) == len(whole) == 2 and 1 <= whole[0] <= whole[1]:
        return whole[0], whole[1]
    raise ValueError(message("fault.legs counted"))


def _bend_of(most: float) -> Callable[[object], float]:
    def parse(value: object) -> float:
        angle = parse_angle(value)
        if not 0.0 < angle <= most:
            raise ValueError(message("fault.angle range", angle=Number(angle), most=Number(most)))
        return angle

    return parse


def _bend_schema(most: float) -> WithJsonSchema:
    return WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "exclusiveMinimum": 0, "maximum": most},
                {"type": "string", "pattern": r"^\s*\+?[\d.]+\s*(°|deg|degree|degrees)?\s*$|\$\{"},
            ],
            "description": f"An angle of more than 0 and at most {most:g} degrees, or an expression",
        }
    )


_NAMES = {"enum": list(DIRECTIONS), "description": "Fixed in the room, or counted from fitter, wall or run"}
Direction = Annotated[str, PlainValidator(parse_direction), WithJsonSchema(_NAMES)]
Sides = Annotated[
    tuple[tuple[str, float | None], ...],
    PlainValidator(parse_sides),
    WithJsonSchema(
        {
            "anyOf": [
                _NAMES,
                {
                    "type": "object",
                    "propertyNames": {"enum": list(DIRECTIONS)},
                    "additionalProperties": {"type": ["number", "string"]},
                    "minProperties": 2,
                    "maxProperties": 2,
                },
            ]
        }
    ),
]
LEGS: Any = {
    "anyOf": [
        {"type": "integer", "minimum": 1},
        {"type": "array", "items": {"type": "integer", "minimum": 1}, "minItems": 2, "maxItems": 2},
    ]
}
"""One leg, or the first and the last of some, as the JSON Schema says it."""
SetAngle = Annotated[float, PlainValidator(_bend_of(90.0)), _bend_schema(90.0)]
TurnAngle = Annotated[float, PlainValidator(_bend_of(179.9)), _bend_schema(179.9)]
PassoverAngle = Annotated[float, PlainValidator(_bend_of(120.0)), _bend_schema(120.0)]
ThingName = Annotated[str, Field(min_length=1, description="The name of a thing in the room")]
LEVEL: dict[str, object] = {"anyOf": [{"type": "number"}, {"type": "string", "minLength": 1}]}


def parse_level(value: object) -> float | str:
    """Return a height in mm, or the name of a level as it is written."""
    try:
        return parse_length(value)
    except ValueError:
        if isinstance(value, str) and re.search(r"[^\W\d_]", value):
            return value.strip()  # 01 ground floor is no length, and may be a level
        raise


Gap = Annotated[NonNegativeLength, Field(description="Between the outside of the tube and the thing")]
Standoff = Annotated[NonNegativeLength, Field(description="Between the face and the axis of the tube")]


@dataclass(frozen=True)
class Short:
    """Lets a group of keys also be written as one plain value, which then stands for `key`."""

    key: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(
            lambda value: value if isinstance(value, dict) or hasattr(value, "model_fields") else {self.key: value},
            handler(source),
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        full = handler(schema)
        field = handler.resolve_ref_schema(full)["properties"][self.key]
        return {"anyOf": [*(part for part in field["anyOf"] if part != {"type": "null"}), full]}
