"""Which way the tube heads: compass, up and down, bearings, and left, right, in and out.

Left and right are those of the fitter, where the job says on which side the fitter stands. Else they are as seen along
the run. A tube that stands upright has no left or right of its own; so the run carries its last level heading along, as
a fitter does who bends the riser up and still faces the same wall. Left, right, ahead and back are always level.
With no level heading yet (a run that starts upright) they mean nothing, and say so.

Out is away from the wall that the run is clipped to, and where it is clipped to none, towards the fitter.
"""

from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

from pipemodel.geometry.vectors import (
    EAST,
    NORTH,
    UP,
    Vec3,
    add,
    angle_deg,
    cos_deg,
    cross,
    dot,
    length,
    scale,
    sin_deg,
    sub,
    unit,
)
from pipemodel.job.routing.faults import ItemError
from pipemodel.messages.values import Name, message

_WEST, _SOUTH, _DOWN = scale(EAST, -1.0), scale(NORTH, -1.0), scale(UP, -1.0)
COMPASS: dict[str, Vec3] = {
    "north": NORTH,
    "south": _SOUTH,
    "east": EAST,
    "west": _WEST,
    "up": UP,
    "down": _DOWN,
    "north east": unit(add(NORTH, EAST)),
    "north west": unit(add(NORTH, _WEST)),
    "south east": unit(add(_SOUTH, EAST)),
    "south west": unit(add(_SOUTH, _WEST)),
}
"""Directions fixed in the room, by name."""
_IN_ONE_WORD = {name.replace(" ", ""): name for name in COMPASS}
RELATIVE = ("left", "right", "ahead", "back")
"""Directions counted from the run's last level heading; left and right from the fitter, where the job says who stands
where."""
OF_THE_WALL = ("out", "in")
"""Directions counted from the wall the run is clipped to, or from the fitter; always level."""
SAME_DEG = 1e-7
"""Directions nearer than this are one."""


def spelled(name: str) -> str:
    """Return the name of a direction as the program spells it; hyphens, spaces and capitals do not matter."""
    name = " ".join(name.replace("-", " ").lower().split())
    return _IN_ONE_WORD.get(name, name)


class Standpoint(NamedTuple):
    """What left, right, in and out are counted from: level unit vectors, None where the job does not say."""

    fitter: Vec3 | None = None
    """From the runs towards the fitter, who looks at them."""
    wall: Vec3 | None = None
    """Out of the wall that the run is clipped to."""

    def named(self, name: str) -> Vec3 | None:
        """Return the direction of a word, None where nothing says what it means here.

        Raises:
            ItemError: for in and out, which nothing but the job can say.
        """
        if name in OF_THE_WALL:
            out = self.wall or self.fitter
            if out is None:
                raise ItemError(message("fault.from the wall", name=Name(name)))
            return out if name == "out" else scale(out, -1.0)
        if self.fitter is None or name not in ("left", "right"):
            return None
        right = cross(UP, self.fitter)
        return right if name == "right" else scale(right, -1.0)


NOT_SAID = Standpoint()


@dataclass(frozen=True)
class Heading:
    """Which way the tube heads (a unit vector), and what the words for other ways are counted from.

    That is the last level heading, None so long as there is none, and where the fitter and the wall are.
    """

    ahead: Vec3
    level: Vec3 | None
    stand: Standpoint = NOT_SAID

    @classmethod
    def along(cls, direction: Vec3, before: "Heading | None" = None, stand: Standpoint = NOT_SAID) -> "Heading":
        """Return the heading of a tube that runs in `direction`, having come from the heading `before`."""
        direction = clean(direction)
        flat = hypot(direction[0], direction[1])
        level = clean((direction[0] / flat, direction[1] / flat, 0.0)) if flat > 1e-9 else None
        if level is None and before is not None:
            level = before.level
        return cls(direction, level, stand if before is None else before.stand)

    def named(self, name: str) -> Vec3:
        """Return the unit vector of a direction by name, fixed in the room or counted from fitter, wall or heading."""
        if name in COMPASS:
            return COMPASS[name]
        if (way := self.stand.named(name)) is not None:
            return way
        if self.level is None:
            raise ItemError(message("fault.last level", name=Name(name)))
        left = cross(UP, self.level)
        return {"left": left, "right": scale(left, -1.0), "ahead": self.level, "back": scale(self.level, -1.0)}[name]

    def side(self, name: str) -> Vec3:
        """Return the unit vector square to the tube that lies nearest to the named direction."""
        return square_to(self.ahead, self.named(name), name)


def bearing_vector(bearing_deg: float, rise_deg: float = 0.0) -> Vec3:
    """Return the unit vector of a compass bearing (clockwise from north) that rises by `rise_deg` above level."""
    flat = cos_deg(rise_deg)
    return clean((sin_deg(bearing_deg) * flat, cos_deg(bearing_deg) * flat, sin_deg(rise_deg)))


def square_to(ahead: Vec3, direction: Vec3, name: str) -> Vec3:
    """Return the part of `direction` square to the tube, as a unit vector."""
    if angle_deg(ahead, direction) < SAME_DEG or angle_deg(ahead, direction) > 180.0 - SAME_DEG:
        raise ItemError(message("fault.along the tube", name=Name(name), ahead=Name(described(ahead), quoted=False)))
    return clean(unit(sub(direction, scale(ahead, dot(ahead, direction)))))


def bent(ahead: Vec3, side: Vec3, angle: float) -> Vec3:
    """Return the heading after a bend of `angle` degrees towards `side` (a unit vector square to `ahead`)."""
    return clean(add(scale(ahead, cos_deg(angle)), scale(side, sin_deg(angle))))


def clean(v: Vec3) -> Vec3:
    """Return a unit vector with rounding dust swept to true zeros, so that a level leg stays level."""
    x, y, z = (0.0 if abs(c) < 1e-15 else c for c in v)
    n = length((x, y, z))
    return (x, y, z) if abs(n - 1.0) < 1e-15 else (x / n, y / n, z / n)


def described(direction: Vec3) -> str:
    """Return a direction in words: its name, or its coordinates."""
    for name, vector in COMPASS.items():
        if angle_deg(vector, direction) < 1e-6:
            return name
    return "along [" + ", ".join(f"{c:.4g}" for c in direction) + "]"
