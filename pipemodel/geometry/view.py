"""From where something is looked at: the one parallel projection that every drawing and picture is made by."""

from dataclasses import dataclass
from functools import cached_property
from math import cos, radians, sin
from typing import TypeAlias

from pipemodel.geometry.vectors import UP, Vec3, cross, dot, unit

FlatPoint: TypeAlias = tuple[float, float]
"""On the plane of the view: x to the right and y up, mm."""


@dataclass(frozen=True)
class View:
    """From where a parallel view is taken, and what points up in it."""

    title: str
    toward_eye: Vec3
    up: Vec3 = UP

    @classmethod
    def standing(cls, aside_deg: float, above_deg: float) -> "View":
        """Stand so many degrees from south, positive towards east, and look down by the other angle."""
        a, e = radians(aside_deg), radians(above_deg)
        south, east = cos(a), sin(a)
        from_ = f"{'south' if south > 0.0 else 'north'}-{'east' if east > 0.0 else 'west'}"
        return cls(f"from the {from_} and above", (east * cos(e), -south * cos(e), sin(e)))

    @cached_property
    def eye(self) -> Vec3:
        """The unit vector towards the eye."""
        return unit(self.toward_eye)

    @cached_property
    def right(self) -> Vec3:
        """The unit vector that points right in the view."""
        return unit(cross(self.up, self.toward_eye))

    @cached_property
    def upright(self) -> Vec3:
        """The unit vector that points up in the view, square to the line of sight."""
        return cross(self.eye, self.right)

    @property
    def isometric(self) -> bool:
        """Whether no axis lies in the plane of the view, so that nothing along one is seen in true length."""
        return all(abs(c) > 1e-9 for c in self.toward_eye)

    def flat(self, p: Vec3) -> FlatPoint:
        """Return where a point of the room lies on the view, mm of the room."""
        return (dot(p, self.right), dot(p, self.upright))

    def nearness(self, p: Vec3) -> float:
        """Return how near the eye a point or a direction lies, mm."""
        return dot(p, self.eye)
