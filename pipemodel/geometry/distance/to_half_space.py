"""Distance to half spaces: walls, floors and ceilings given by a face."""

from dataclasses import dataclass

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, dots


@dataclass(frozen=True)
class HalfSpaces:
    """Half spaces, a row each, `normal` out of the solid; see `Targets`."""

    point: Floats
    normal: Floats
    owner: Ints

    @property
    def low(self) -> Floats:
        """A half space has no end."""
        return np.full_like(self.point, -np.inf)

    @property
    def high(self) -> Floats:
        """A half space has no end."""
        return np.full_like(self.point, np.inf)

    @property
    def concavity(self) -> Floats:
        """Half spaces are convex."""
        return np.zeros(len(self.owner))

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the face's normals."""
        normal = self.normal[index]
        return dots(points - self.point[index], normal), normal

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """A face has no corner; the rim of the tube's end tells all."""
        return np.empty((len(index), 0, 3))

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """A half space that meets an end disc always meets its rim."""
        return np.empty((len(index), 0, 3))
