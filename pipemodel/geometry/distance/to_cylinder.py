"""Distance to solid cylinders with flat ends: round things in the room, and the legs of other runs."""

from dataclasses import dataclass

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, lengths, normals_to
from pipemodel.geometry.bounds import straight_bounds
from pipemodel.geometry.distance.cuts import circle_crossings, rim_extreme


@dataclass(frozen=True)
class Cylinders:
    """Cylinders, a row each; see `Targets`.

    `open_start` and `open_finish` mark ends that are surfaces. Where a leg goes on into a bend the cut between
    them is none: seen from outside it ends there, but no depth is measured from it.
    """

    start: Floats
    axis: Floats
    length: Floats
    radius: Floats
    owner: Ints
    open_start: Bools
    open_finish: Bools

    @property
    def concavity(self) -> Floats:
        """Cylinders are convex."""
        return np.zeros(len(self.owner))

    @property
    def _reach(self) -> Floats:
        # A disc reaches radius * sin(angle between its axis and x) along x, and so on.
        out: Floats = self.radius[:, None] * np.sqrt(np.maximum(1.0 - self.axis * self.axis, 0.0))
        return out

    @property
    def low(self) -> Floats:
        """Low corners of the blocks that hold them."""
        return straight_bounds(self.start, self.axis, self.length)[0] - self._reach

    @property
    def high(self) -> Floats:
        """High corners of the blocks that hold them."""
        return straight_bounds(self.start, self.axis, self.length)[1] + self._reach

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the directions away from the cylinder."""
        axis, length, radius = self.axis[index], self.length[index], self.radius[index]
        rel = points - self.start[index]
        z = dots(rel, axis)
        out = rel - z[:, None] * axis
        rho = lengths(out)
        centred = np.flatnonzero(rho == 0.0)
        if len(centred):
            out[centred] = normals_to(axis[centred])
        out /= np.where(rho == 0.0, 1.0, rho)[:, None]
        over = np.maximum(z - length, np.minimum(z, 0.0))
        side = np.maximum(rho - radius, 0.0)
        distance = np.hypot(side, over)
        away = side[:, None] * out
        away += over[:, None] * axis
        within = np.flatnonzero(distance == 0.0)
        distance[within] = 1.0
        away /= distance[:, None]
        if len(within):
            rows = index[within]
            zi = z[within]
            faces = np.stack(
                [
                    radius[within] - rho[within],
                    np.where(self.open_start[rows], zi, np.inf),
                    np.where(self.open_finish[rows], length[within] - zi, np.inf),
                ]
            )
            nearest = np.argmin(faces, axis=0)
            distance[within] = -np.min(faces, axis=0)
            along = np.where(nearest == 1, -1.0, 1.0)[:, None] * axis[within]
            away[within] = np.where((nearest == 0)[:, None], out[within], along)
        return distance, away

    def _finish(self, index: Ints) -> Floats:
        out: Floats = self.start[index] + self.length[index][:, None] * self.axis[index]
        return out

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the furthest points of both rims."""
        axis, radius = self.axis[index], self.radius[index]
        ends = (self.start[index], self._finish(index))
        return np.stack([rim_extreme(end, axis, radius, direction) for end in ends], axis=1)

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return where the axis and both rims cross the plane."""
        axis, radius = self.axis[index], self.radius[index]
        start, finish = self.start[index], self._finish(index)
        rate = dots(axis, normal)
        z = np.divide(dots(centre - start, normal), rate, out=np.full_like(rate, np.nan), where=rate != 0.0)
        z[(z < 0.0) | (z > self.length[index])] = np.nan
        middle = (start + z[:, None] * axis)[:, None]
        rims = [circle_crossings(end, axis, radius, centre, normal) for end in (start, finish)]
        return np.concatenate([middle, *rims], axis=1)

    def square_to(self, index: Ints, points: Floats, away: Floats) -> Bools:
        """Return where the nearest point lies on the side or on a real end, not on a cut between pieces."""
        axis = self.axis[index]
        lean = dots(away, axis)
        return (
            (np.abs(lean) <= 1e-6) | (self.open_start[index] & (lean < 0.0)) | (self.open_finish[index] & (lean > 0.0))
        )
