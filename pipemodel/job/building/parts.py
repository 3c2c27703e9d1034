"""What a building term comes to: named parts, each a shape with holes; and blocks that lie any way in plan."""

from collections.abc import Sequence
from math import hypot
from typing import NamedTuple

from pipemodel.geometry.centreline import around
from pipemodel.geometry.shapes import Box, Extrusion, Shape
from pipemodel.geometry.shapes.face import Vec2
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import UP, Vec3, along, cross
from pipemodel.job.form import Form
from pipemodel.job.hole_forms import HoleForm, meant

_ALONG = 1e-12


class TermPart(NamedTuple):
    """One part of a term: what stands after the thing's name (nothing for a term of one part), its shape, its holes.

    `cut` are the forms of the term that the holes come from, one for each.
    """

    suffix: str
    shape: Shape
    holes: tuple[HoleForm, ...] = ()
    cut: tuple[Form, ...] = ()


class Slab(NamedTuple):
    """A rectangle standing upright or lying flat, and what is cut out of it, before it is a shape.

    `origin` is a corner; the rectangle goes `size` mm along `across` and `up` from there, its thickness along
    across x up. Openings and round holes, each with the form that it comes from, are in its own plane.
    """

    origin: Vec3
    across: Vec3
    up: Vec3
    size: Vec2
    thickness: float
    openings: tuple[tuple[Vec2, Vec2, Form], ...] = ()
    rounds: tuple[tuple[Vec2, float, Form], ...] = ()

    def place(self, x: float, y: float, z: float = 0.0) -> Vec3:
        """Return a point of the room from the slab's own axes."""
        normal = cross(self.across, self.up)
        return along(along(along(self.origin, self.across, x), self.up, y), normal, z)

    def part(self, suffix: str = "") -> TermPart:
        """Return it as a part: a box where it lies along the axes, else an outline carried up, or a plate."""
        holes = [
            HoleForm.model_validate({"from": self.place(*low), "to": self.place(*high, self.thickness), **meant(form)})
            for low, high, form in self.openings
        ]
        holes += [
            HoleForm.model_validate({"at": self.place(*p), "diameter": d, **meant(form)}) for p, d, form in self.rounds
        ]
        shape = self._shape(bool(holes))
        if holes and isinstance(shape, Box):
            holes = [hole.model_copy(update={"through": self._way()}) for hole in holes]
        return TermPart(suffix, shape, tuple(holes), tuple(cut[-1] for cut in (*self.openings, *self.rounds)))

    def _shape(self, holed: bool) -> Shape:
        (w, h), t = self.size, self.thickness
        if all(sum(abs(v) > _ALONG for v in axis) == 1 for axis in (self.across, self.up)):
            return Box(*around([self.place(0.0, 0.0), self.place(w, h, t)]))
        corners = ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))
        if holed:
            return Plate(self.origin, self.across, self.up, t, (corners,))
        if self.up == UP:
            plan = [self.place(x, 0.0, z)[:2] for x, z in ((0.0, 0.0), (0.0, t), (w, t), (w, 0.0))]
            return Extrusion(tuple(plan), self.origin[2], self.origin[2] + h)
        plan = [self.place(x, y)[:2] for x, y in corners]
        return Extrusion(tuple(plan), self.origin[2], self.origin[2] + t)

    def _way(self) -> str:
        normal = cross(self.across, self.up)
        return ("east", "north", "up")[max(range(3), key=lambda k: abs(normal[k]))]


def plan_way(a: Sequence[float], b: Sequence[float]) -> tuple[Vec3, float]:
    """Return the level unit vector from one plan point to another, and how far it is; they are not the same point."""
    x, y = b[0] - a[0], b[1] - a[1]
    size = hypot(x, y)
    return (x / size + 0.0, y / size + 0.0, 0.0), size


def in_plan(p: Sequence[float], z: float) -> Vec3:
    """Return a plan point at a height."""
    return (p[0], p[1], z)
