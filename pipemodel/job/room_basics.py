"""What the forms of things and of building terms share: ways to face, points in plan."""

from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema

from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, length, unit
from pipemodel.job.form import so_many
from pipemodel.job.quantities import Length, parse_number, shown
from pipemodel.messages.values import Name, message

FACING: dict[str, Vec3] = {
    "north": NORTH,
    "south": (0.0, -1.0, 0.0),
    "east": EAST,
    "west": (-1.0, 0.0, 0.0),
    "up": UP,
    "down": (0.0, 0.0, -1.0),
}
"""The ways a face may look, by name."""


def parse_facing(value: object) -> Vec3:
    """Return the unit vector of the way a face looks.

    Args:
        value: north, south, east, west, up or down; or three numbers [x, y, z].

    Raises:
        ValueError: if it is neither, or the numbers are all 0.
    """
    if isinstance(value, str):
        if value.strip().lower() in FACING:
            return FACING[value.strip().lower()]
        raise ValueError(
            message("fault.no facing", value=Name(shown(value)), facing=Name(", ".join(FACING), quoted=False))
        )
    if not isinstance(value, list | tuple) or len(value) != 3:
        raise ValueError(message("fault.face looks", facing=Name(", ".join(FACING), quoted=False)))
    x, y, z = (parse_number(part) for part in value)
    if length((x, y, z)) < 1e-9:
        raise ValueError(message("fault.no way"))
    return unit((x, y, z))


Facing = Annotated[
    Vec3,
    PlainValidator(parse_facing),
    WithJsonSchema(
        {
            "anyOf": [
                {"enum": list(FACING)},
                {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 3, "maxItems": 3},
                {"type": "string", "pattern": r"\$\{"},
            ],
        }
    ),
]
PlanPoint = Annotated[tuple[Length, Length], so_many(2, message("fault.plan point"))]
