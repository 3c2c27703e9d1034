"""What is known of bringing a finished run to its place."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from pipemodel.geometry.centreline import Centreline
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


End: TypeAlias = Literal["start", "finish"]


@dataclass(frozen=True)
class SprungEnd:
    """An end that is sprung: how far, open above zero, closed below; and the bend beside which the piece is held.

    `push_n` is about what it is pushed with there, N; None where the material's stiffness is not known.
    """

    end: End
    by_mm: float
    bend: int
    push_n: float | None = None


@dataclass(frozen=True)
class Sprung:
    """How a piece is held sprung on its way, from outside up to the state `until`, in which it is let go.

    `line` is its axis while it is sprung, as it would lie in its place; `strain` is that of its worst fibre then.
    """

    ends: tuple[SprungEnd, ...]
    until: int
    line: Centreline
    strain: float


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
    sprung: Sprung | None = None
    """How it is held sprung by hand on its way; None where it goes in as it is."""
    past: tuple[str, ...] = ()
    """The other runs that are there already, in the order of the job."""
    nearest: tuple[tuple[float, str], ...] = ()
    """Of each move between two states the least clearance, where it is small, and the name of what is nearest there."""

    def sprung_at(self, state: int, after: bool = False) -> tuple[SprungEnd, ...]:
        """Return the ends that are held sprung in a state; see `line_at`."""
        if self.sprung is None or state > self.sprung.until or (after and state == self.sprung.until):
            return ()
        return self.sprung.ends

    def line_at(self, line: Centreline, state: int, after: bool = False) -> Centreline:
        """Return the axis that the piece has in a state, as it would lie in its place.

        Args:
            line: that of the finished run.
            state: the number of the state.
            after: in the state in which it is let go, say what it is like after that.
        """
        return self.sprung.line if self.sprung is not None and self.sprung_at(state, after) else line
