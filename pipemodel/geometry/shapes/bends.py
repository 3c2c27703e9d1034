"""Distance to bent tube: the part of a torus that a bend of a run or of a tube in the room takes up, with its ends."""

from dataclasses import dataclass
from functools import cached_property

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, np
from pipemodel.geometry.bounds import arc_bounds
from pipemodel.geometry.cuts import circle_crossings, rim_extreme
from pipemodel.geometry.shapes.base import Targets


@dataclass(frozen=True)
class Bends(Targets):
    """Bends of tubes, a row each, swept from centre + bend * u towards v by `angle` radians; see `Targets`.

    `radius` is the tube's, smaller than `bend`, the centreline's. `open_start` and `open_finish` mark ends of
    the tube itself, as for `Cylinders`.
    """

    centre: Floats
    u: Floats
    v: Floats
    bend: Floats
    angle: Floats
    radius: Floats
    owner: Ints
    open_start: Bools
    open_finish: Bools

    @property
    def concavity(self) -> Floats:
        """The hollow of a bend: where a tube can come near, its distance curves down by less than this."""
        out: Floats = 2.0 / self.bend
        return out

    @cached_property
    def rows(self) -> tuple[Floats, Floats]:
        """The low and the high corners of the blocks that hold them."""
        low, high = arc_bounds(self.centre, self.u, self.v, self.bend, self.angle)
        return low - self.radius[:, None], high + self.radius[:, None]

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the directions away from the bend.

        Beside the bend, the nearest point is on the tube round the axis point at the same angle about the
        bend's centre. Elsewhere it is on one of the two discs that end the piece.
        """
        u, v = self.u[index], self.v[index]
        axis = np.cross(u, v)
        bend, radius, angle = self.bend[index], self.radius[index], self.angle[index]
        rel = points - self.centre[index]
        x, y, z = dots(rel, u), dots(rel, v), dots(rel, axis)
        rho = np.hypot(x, y)
        turn = np.mod(np.arctan2(y, x), 2.0 * np.pi)
        from_axis = np.hypot(rho - bend, z)
        safe = np.where(from_axis == 0.0, 1.0, from_axis) * np.where(rho == 0.0, 1.0, rho)
        distance = from_axis - radius
        # Directions in the bend's own axes (u, v, axis), turned into the room's at the end.
        local = np.stack([x * (rho - bend) / safe, y * (rho - bend) / safe, z * np.where(rho == 0, 1, rho) / safe], 1)
        local[from_axis == 0.0] = (0.0, 0.0, 1.0)

        beyond = np.flatnonzero(turn > angle)
        if len(beyond):
            args = x[beyond], y[beyond], z[beyond], bend[beyond], radius[beyond]
            near, far = _to_disc(*args, np.zeros(len(beyond)), -1.0), _to_disc(*args, angle[beyond], 1.0)
            first = near[0] <= far[0]
            distance[beyond] = np.where(first, near[0], far[0])
            local[beyond] = np.where(first[:, None], near[1], far[1])
        for open_end, at, sign in ((self.open_start, 0.0, -1.0), (self.open_finish, angle, 1.0)):
            within = np.flatnonzero(open_end[index] & (distance < 0.0))
            if not len(within):
                continue
            a = np.broadcast_to(at, angle.shape)[within]
            c, s = np.cos(a), np.sin(a)
            behind = -sign * (y[within] * c - x[within] * s)
            nearer = (behind < -distance[within]) & (x[within] * c + y[within] * s > 0.0)
            rows = within[nearer]
            distance[rows] = -np.maximum(behind[nearer], 0.0)
            local[rows] = sign * np.stack([-s, c, np.zeros_like(s)], 1)[nearer]
        away = local[:, :1] * u + local[:, 1:2] * v + local[:, 2:] * axis
        return distance, away

    def _ends(self, index: Ints) -> list[tuple[Floats, Floats]]:
        """Return centre and axis of the discs at both ends."""
        u, v, bend = self.u[index], self.v[index], self.bend[index][:, None]
        c, s = np.cos(self.angle[index])[:, None], np.sin(self.angle[index])[:, None]
        centre = self.centre[index]
        return [(centre + bend * u, v), (centre + bend * (c * u + s * v), c * v - s * u)]

    def _at(self, index: Ints, turn: Floats) -> Floats:
        """Return axis points at angles about the bend's centre; NaN beyond the ends."""
        turn = np.mod(turn, 2.0 * np.pi)
        turn = np.where(turn <= self.angle[index], turn, np.nan)
        spoke = np.cos(turn)[:, None] * self.u[index] + np.sin(turn)[:, None] * self.v[index]
        out: Floats = self.centre[index] + self.bend[index][:, None] * spoke
        return out

    def _crest(self, index: Ints, direction: Floats) -> Floats:
        out: Floats = np.arctan2(dots(direction, self.v[index]), dots(direction, self.u[index]))
        return out

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the crest of the bend, where it has one in this direction, and the furthest points of both rims."""
        radius = self.radius[index]
        crest = self._at(index, self._crest(index, direction)) + radius[:, None] * direction
        rims = [rim_extreme(end, axis, radius, direction) for end, axis in self._ends(index)]
        return np.stack([crest, *rims], axis=1)

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return points of the cut: where axis and rims cross the plane, and below or above a crest."""
        radius, axis = self.radius[index], np.cross(self.u[index], self.v[index])
        points: list[Floats] = []
        for opposite in (0.0, np.pi):
            crest = self._at(index, self._crest(index, normal) + opposite)
            height = dots(crest - centre, normal)
            height = np.where(np.abs(height) <= radius, height, np.nan)
            points.append((crest - height[:, None] * normal)[:, None])
        crossings = circle_crossings(self.centre[index], axis, self.bend[index], centre, normal)
        rel = crossings - self.centre[index][:, None]
        turn = np.mod(np.arctan2(dots(rel, self.v[index][:, None]), dots(rel, self.u[index][:, None])), 2.0 * np.pi)
        points.append(np.where((turn <= self.angle[index][:, None])[..., None], crossings, np.nan))
        points += [circle_crossings(end, along, radius, centre, normal) for end, along in self._ends(index)]
        return np.concatenate(points, axis=1)

    def square_to(self, index: Ints, points: Floats, away: Floats) -> Bools:
        """Return where the nearest point lies on the side or on a real end, not on a cut between pieces."""
        rel = points - self.centre[index]
        x, y = dots(rel, self.u[index]), dots(rel, self.v[index])
        turn = np.mod(np.arctan2(y, x), 2.0 * np.pi)
        beside = turn <= self.angle[index]
        for end in (np.zeros_like(turn), self.angle[index]):
            off = np.mod(turn - end + np.pi, 2.0 * np.pi) - np.pi
            beside |= np.abs(off) <= 1e-6
        (_, first), (_, last) = self._ends(index)
        return (
            beside
            | (self.open_start[index] & (dots(away, first) < 0.0) & (turn > self.angle[index]))
            | (self.open_finish[index] & (dots(away, last) > 0.0) & (turn > self.angle[index]))
        )


def _to_disc(
    x: Floats, y: Floats, z: Floats, bend: Floats, radius: Floats, at: Floats, sign: float
) -> tuple[Floats, Floats]:
    """Return distances and directions from the disc across the tube at angle `at`, in the bend's own axes."""
    c, s = np.cos(at), np.sin(at)
    height = y * c - x * s
    reach = x * c + y * s - bend
    rr = np.hypot(reach, z)
    over = np.maximum(rr - radius, 0.0)
    distance = np.hypot(over, height)
    k = np.divide(over, rr, out=np.zeros_like(rr), where=rr > 0.0)
    local = np.stack([k * reach * c - height * s, k * reach * s + height * c, k * z], 1)
    touching = distance == 0.0
    local /= np.where(touching, 1.0, distance)[:, None]
    local[touching] = sign * np.stack([-s, c, np.zeros_like(s)], 1)[touching]
    return distance, local
