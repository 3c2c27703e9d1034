"""What is known of bringing a finished run to its place."""

from dataclasses import dataclass
from typing import TypeAlias

from pipemodel.geometry.vectors import ORIGIN, Vec3
from pipemodel.messages.values import Message

Quaternion: TypeAlias = tuple[float, float, float, float]
"""A turn as a unit quaternion w, x, y, z; q and -q are the same turn."""

NO_TURN: Quaternion = (1.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Pose:
    """How a run is held: a point p of the finished run in its place stands at rotate(rotation, p) + position, mm."""

    position: Vec3 = ORIGIN
    rotation: Quaternion = NO_TURN


IN_PLACE = Pose()
"""The run where the job has it."""


@dataclass(frozen=True)
class WayIn:
    """Whether a run can be brought to its place, and how.

    Between two states position goes straight and the rotation turns evenly about one axis, the shorter way round.
    """

    run: str
    found: bool
    impossible: bool
    """Whether there is a proof that no way exists; False only says that none was found."""
    why_not: Message | None
    margin_mm: float
    """What is asked for: how far the run keeps off everything on its way."""
    least_mm: float | None
    """The least clearance along the way, measured; None where no way was found."""
    states: tuple[Pose, ...]
    """From wholly outside to the place (position 0, rotation 1, 0, 0, 0); empty where no way was found."""
    opening: str | None
    """The name of the opening it goes through, None where the job names none."""
    tried: int
    """How many placements were judged."""
    nearest: tuple[tuple[float, str], ...] = ()
    """Of each move between two states the least clearance, where it is small, and the name of what is nearest there."""
