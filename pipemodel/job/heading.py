"""Which way a run sets out: by compass, up or down, by a bearing, or along a direction; and where a fitter stands."""

from collections.abc import Collection
from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema
from pydantic.json_schema import JsonSchemaValue

from pipemodel.geometry.vectors import Vec3, length, unit
from pipemodel.job.quantities import parse_angle, parse_number, shown
from pipemodel.job.routing.directions import COMPASS, OF_THE_WALL, bearing_vector, spelled
from pipemodel.messages.values import Count, Name, Word, message

BY_STAND = ("left", "right", *OF_THE_WALL)
"""Headings that only the places of fitter and wall can tell."""
_LEVEL = tuple(name for name, way in COMPASS.items() if way[2] == 0.0)
_HOW = message("fault.how heading", names=Name(", ".join(COMPASS), quoted=False))


def parse_heading(value: object) -> Vec3:
    """Return the unit vector of a heading.

    Args:
        value: a name ("east", "south-west", "up"); a number of degrees clockwise from north, level; or [x, y, z].

    Raises:
        ValueError: if it is none of these; says what would be right.
    """
    if isinstance(value, list | tuple):
        if len(value) != 3:
            raise ValueError(message("fault.three numbers", n=Count(len(value)), how=_HOW))
        x, y, z = (parse_number(part) for part in value)
        if length((x, y, z)) < 1e-9:
            raise ValueError(message("fault.zero way", how=_HOW))
        return unit((x, y, z))
    if isinstance(value, str) and (name := spelled(value)) in COMPASS:
        return COMPASS[name]
    try:
        return bearing_vector(parse_angle(value))
    except ValueError:
        quoted = Name(shown(value)) if isinstance(value, str) else message("fault.subject", kind=Word("this"))
        raise ValueError(message("fault.not a heading", quoted=quoted, how=_HOW)) from None


_NUMBERS: list[JsonSchemaValue] = [
    {"type": "number", "minimum": -360, "maximum": 360},
    {"type": "string", "pattern": r"^\s*[-+]?[\d.]+\s*(°|deg|degrees?)?\s*$|\$\{"},
    {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 3, "maxItems": 3},
]
"""A bearing or a direction, as the JSON Schema says it."""


def _schema(names: Collection[str], more: tuple[str, ...] = ()) -> WithJsonSchema:
    hyphened = (name.replace(" ", "-") for name in names if " " in name)
    return WithJsonSchema({"anyOf": [{"enum": [*names, *hyphened, *more]}, *_NUMBERS]})


def parse_setting_out(value: object) -> Vec3 | str:
    """Return the unit vector of a heading, or the word for one that only fitter and wall can tell.

    Raises:
        ValueError: as `parse_heading` does.
    """
    word = value.strip().lower() if isinstance(value, str) else ""
    return word if word in BY_STAND else parse_heading(value)


Heading = Annotated[Vec3 | str, PlainValidator(parse_setting_out), _schema(COMPASS, BY_STAND)]
"""A form field holding a heading; a unit vector once read, or the word for one."""


def parse_stand(value: object) -> Vec3:
    """Return the level unit vector towards the side on which somebody stands; takes what `parse_heading` takes.

    Raises:
        ValueError: if it is no heading, or not a level one; says what would be right.
    """
    how = message("fault.how side", names=Name(", ".join(_LEVEL), quoted=False))
    if isinstance(value, str) and value.strip().lower() in ("front", "back", *BY_STAND):
        raise ValueError(message("fault.no side", value=Name(value.strip()), how=how))
    toward = parse_heading(value)
    if abs(toward[2]) > 1e-9:
        raise ValueError(message("fault.nobody stands", how=how))
    return toward


Stand = Annotated[Vec3, PlainValidator(parse_stand), _schema(_LEVEL)]
"""A form field holding the side on which somebody stands; a level unit vector once read."""
