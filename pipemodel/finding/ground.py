"""What may be done from a corner: how far to go on, whether the finish is in reach, whether a bend is clear."""

from dataclasses import dataclass, field
from math import cos, radians

import numpy as np

from pipemodel.finding.around import Around
from pipemodel.finding.figures import Figures
from pipemodel.finding.lattice import AXES, Lattice
from pipemodel.finding.states import States
from pipemodel.geometry.arrays import Bools, Floats, Ints

_EPS = 1e-6


@dataclass(frozen=True)
class Ground:
    """The room as a search sees it.

    `fewest` are the bends it takes at the least from every node, None where that is not known; see `Lattice.bends_to`.
    `near_faces` says which planes lie at the standoff of clips; a leg in none of them counts `off_faces` times.
    """

    lattice: Lattice
    around: Around
    figures: Figures
    fewest: tuple[Ints, ...] | None
    near_faces: tuple[Bools, Bools, Bools]
    off_faces: float
    _lines: dict[int, Ints] = field(default_factory=dict, repr=False)

    def reach(self, states: States, way: int) -> tuple[Floats, Ints]:
        """Return how far one may go straight on from corners in a direction; and up to which plane, -1 for none."""
        lattice, axis, sign = self.lattice, way // 2, 1.0 - 2.0 * (way % 2)
        number, on = lattice.node(states.point)
        plane = lattice.planes[axis]
        at = states.point[:, axis]
        if sign > 0.0:
            number[:, axis] = np.searchsorted(plane, at + _EPS, "right") - 1
        else:
            number[:, axis] = np.searchsorted(plane, at - _EPS, "left")
        known = np.delete(on, axis, axis=1).all(axis=1)
        known &= (number[:, axis] >= 0) & (number[:, axis] < len(plane))
        number[:, axis] = np.clip(number[:, axis], 0, len(plane) - 1)
        last = lattice.last[way][number[:, 0], number[:, 1], number[:, 2]]
        far = np.where(known, sign * (plane[last] - at), 0.0)
        rest = np.flatnonzero(~known)
        if len(rest):
            most = sign * ((plane[-1] if sign > 0 else plane[0]) - at[rest])
            ways = np.broadcast_to(AXES[way], (len(rest), 3))
            far[rest] = self.around.free(states.point[rest], ways, most)
        return far, np.where(known, last, -1)

    def worth(self, point: Floats, way: int, left: int, passing: bool = False) -> Bools:
        """Return from which corners the finish can be reached with the bends that are left."""
        if self.fewest is None:
            return np.full(len(point), left >= 0)
        number, on = self.lattice.node(point)
        axis = way // 2
        if passing:
            number[:, axis] = self._passed(point[:, axis], way)
        known = np.delete(on, axis, axis=1).all(axis=1)
        need = self.fewest[way][number[:, 0], number[:, 1], number[:, 2]]
        out: Bools = (need <= left) | ~known
        return out

    def _passed(self, at: Floats, way: int) -> Ints:
        """Return the last planes behind places, or at them, for one who goes in a direction."""
        plane = self.lattice.planes[way // 2]
        ahead = np.searchsorted(plane, at + _EPS, "right") - 1 if way % 2 == 0 else np.searchsorted(plane, at - _EPS)
        out: Ints = np.clip(ahead, 0, len(plane) - 1)
        return out

    def nodes_worth(self, at: Floats, way: int, axis: int, across: int, left: int) -> Bools:
        """Return from which places the finish can be reached, (n, i, j), going in a direction with so many bends left.

        Args:
            at: how far on along the direction they lie, of each of n rows and of each plane across `across`, (n, j).
            way: the direction.
            axis: they lie in the planes across this axis, i,
            across: and in those across this one.
            left: so many bends.
        """
        i, j = (len(self.lattice.planes[k]) for k in (axis, across))
        if self.fewest is None:
            return np.ones((len(at), i, j), dtype=bool)
        need = self.fewest[way].transpose(axis, across, way // 2)
        out: Bools = need[np.arange(i)[:, None], np.arange(j), self._passed(at, way)[:, None, :]] <= left
        return out

    def lines_worth(self, point: Floats, way: int, across: int, left: int) -> Bools:
        """Return from which of the lines beside points the finish can be reached with the bends that are left.

        Args:
            point: points, (n, 3).
            way: the direction of the lines.
            across: the axis along which they lie side by side, one in each of its planes.
            left: so many bends.
        """
        count = len(self.lattice.planes[across])
        if self.fewest is None:
            return np.ones((len(point), count), dtype=bool)
        axis = way // 2
        third = 3 - axis - across
        best = self._best_of_lines(way)
        if across > third:
            best = best.T
        number, on = self.lattice.node(point)
        out: Bools = (left >= best[:, number[:, third]].T) | ~on[:, third, None]
        return out

    def _best_of_lines(self, way: int) -> Ints:
        """Return for every line in a direction the fewest bends from anywhere on it; by its planes, in order."""
        if way not in self._lines:
            assert self.fewest is not None
            self._lines[way] = self.fewest[way].min(axis=way // 2)
        return self._lines[way]

    def counted(self, point: Floats, way: int, t: Floats) -> Floats:
        """Return what legs count for: their length, a little less of it at the standoff of clips."""
        number, on = self.lattice.node(point)
        near = np.zeros(len(point), dtype=bool)
        for axis in range(3):
            if axis != way // 2:
                near |= on[:, axis] & self.near_faces[axis][number[:, axis]]
        out: Floats = t * np.where(near, 1.0, self.off_faces)
        return out

    def bend_clear(self, corner: Floats, way: int, after: Floats, angle: float) -> Bools:
        """Return where a bend, which passes inside its corner, is clear."""
        if not len(corner):
            return np.zeros(0, dtype=bool)
        middle = AXES[way] * -1.0 + after
        size = float(np.linalg.norm(middle))
        off = self.figures.radius * (1.0 / cos(radians(angle) / 2.0) - 1.0)
        return self.around.clear(corner + off * middle / size)
