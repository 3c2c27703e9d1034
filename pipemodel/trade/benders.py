"""Benders: what stands in the way of the piece while it is pulled, as simple shapes in the former's own frame.

The frame is fixed in docs/bending.md: origin at the centre of the former, x along the straight tube from the
stop towards the free end, y from the centre to the tube, z up. The tube's axis lies at y = radius and z = 0, the
bend begins at x = 0, and the free end swings clockwise seen from above.

Those of common practice are in data/benders.yaml, which `job.build_bender` reads as it reads anyone's own.
"""

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace

PartShape: TypeAlias = Box | Cylinder | HalfSpace
Stance: TypeAlias = Literal["flat", "upright"]
"""How a bender stands when it is used: its plane flat on a bench, or upright in front of whoever pulls."""


@dataclass(frozen=True)
class BenderPart:
    """One part of a bender, or of the place where it is used."""

    name: str
    shape: PartShape


@dataclass(frozen=True)
class Bender:
    """A bender and the place where it is used.

    `body` stands still, `lever` swings with the pull, `guide` lies on the free tube and moves with it, `room` is
    the bench, vice or floor. `radius_mm` is the radius of the former that the shapes were measured with.
    """

    name: str
    radius_mm: float
    body: tuple[BenderPart, ...] = ()
    lever: tuple[BenderPart, ...] = ()
    guide: tuple[BenderPart, ...] = ()
    room: tuple[BenderPart, ...] = ()
    generic: bool = False
    source: str = ""

    def used(self, stance: Stance) -> "Bender":
        """Return it as it stands when it is used; upright, what is written as `below` lies below the tube, along y.

        All other parts are written in the bender's own frame and stay as they are.
        """
        if stance == "flat":
            return self
        return replace(self, room=tuple(replace(part, shape=_stood_up(part.shape)) for part in self.room))


def _stood_up(shape: PartShape) -> PartShape:
    return HalfSpace((0.0, shape.point[2], 0.0), (0.0, 1.0, 0.0)) if isinstance(shape, HalfSpace) else shape
