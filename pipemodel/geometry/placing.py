"""Putting a thing in its place: turned about the upright through the origin, then moved."""

from typing import NamedTuple

from pipemodel.geometry.vectors import ORIGIN, UP, Vec3, add, rotate, sub


class Placing(NamedTuple):
    """A turn of `turned_deg` about z, counter-clockwise seen from above, then a move by `at` (mm)."""

    at: Vec3 = ORIGIN
    turned_deg: float = 0.0

    @property
    def square(self) -> bool:
        """Whether what lies along the axes still does afterwards."""
        return self.turned_deg % 90.0 == 0.0

    def point(self, p: Vec3) -> Vec3:
        """Return where a point comes to lie."""
        return add(self.direction(p), self.at)

    def direction(self, d: Vec3) -> Vec3:
        """Return which way a direction points afterwards."""
        return d if self.turned_deg == 0.0 else rotate(d, UP, self.turned_deg)

    def before(self, p: Vec3) -> Vec3:
        """Return where a point was that has come to lie somewhere."""
        return Placing(turned_deg=-self.turned_deg).direction(sub(p, self.at))
