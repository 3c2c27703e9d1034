"""A bench with a bender on it: a straight tube is marked, held by an end, rolled, pulled round a former, let go.

The tube has a frame of its own, painted on it while straight: axes t (start to finish), a and b across it. Where the
frame stands at the bench is a rotation; holding another end and rolling the tube are plain rotations of it, and what
faces the fitter when a bend is pulled is read off in the tube's frame. The plane of the bender never moves.
"""

from dataclasses import dataclass
from math import radians

import numpy as np

from follower.shape import Piece, half_turn, rotation

TOWARDS_YOU = np.array([0.0, -1.0, 0.0])
UP = np.array([0.0, 0.0, 1.0])
TOUCH_MM = 1.5
"""Marks are read to half a mm or a sixteenth of an inch: bends that touch may seem to overlap by that."""


class WrongStepError(Exception):
    """What a paper says to do cannot be done, or contradicts what was done before."""


@dataclass(frozen=True)
class Former:
    """The former as the job describes it: what it does to a tube."""

    radius: float
    fixed: float = 0.0
    per_degree: float = 0.0
    mark: float = 0.0

    def springs_back_to(self, pulled):
        """Return the angle left of a pull, by the law of two constants turned round."""
        return (pulled - self.fixed) / (1.0 + self.per_degree)


@dataclass(frozen=True)
class Made:
    """A bend that was made: where on the straight tube, its angle, and its inside as a way in the tube's frame."""

    start: float
    finish: float
    angle: float
    inside: np.ndarray
    radius: float


class Bench:
    """One tube of a length at the bench; `held` is the end to the left, None before the tube was laid in.

    `at_rim` is how far past the rim's start the mark of this pull goes where that is not the former's own figure.
    `former` is what is in the bender, which stands `flat` on the bench or `upright` in front of the fitter: the
    pull then goes towards them or down, the inside of what is bent facing that way.
    """

    def __init__(self, length, former, stands="flat"):
        self.length, self.former = length, former
        self.at_rim = None
        self.pulled_to = TOWARDS_YOU if stands == "flat" else -UP
        self.stands = np.eye(3)
        self.held = None
        self.made = []

    def lay_in(self, end):
        """Lay the tube in for the first pull, an end to the left, any side up."""
        if self.held is not None:
            raise WrongStepError("it lies in the bender already")
        self.held = end
        self.stands = np.eye(3) if end == "start" else rotation(UP, 180.0)

    def end_for_end(self):
        """Turn the tube end for end about an upright axis: the same side stays up."""
        self.stands = rotation(UP, 180.0) @ self.stands
        self.held = "finish" if self.held == "start" else "start"

    def roll(self, clockwise):
        """Roll the tube by degrees clockwise, as seen from its start end looking along it."""
        along = self.stands[:, 0]
        self.stands = rotation(along, clockwise) @ self.stands

    def roll_top(self, degrees, away):
        """Roll the tube so that what is on top goes away from the fitter, or comes towards."""
        # With x to the right, a right-handed turn about x brings the top (z) to -y: towards the fitter.
        self.stands = rotation([1, 0, 0], -degrees if away else degrees) @ self.stands

    def facing(self, way):
        """Return which way in the tube's own frame points so at the bench."""
        return self.stands.T @ np.asarray(way, float)

    @property
    def mark_past(self):
        """How far past the rim's start the mark goes."""
        return self.former.mark if self.at_rim is None else self.at_rim

    def pull(self, mark, to, held=None):
        """Pull to an angle with the former's mark at a place from the start end, and let go.

        Raises:
            WrongStepError: if another end is held, or the tube is not straight there.
        """
        if held is not None and held != self.held:
            raise WrongStepError(f"the {held} end is to be held, but the {self.held} end is in the stop")
        angle = self.former.springs_back_to(to)
        arc = self.former.radius * radians(angle)
        past = self.mark_past
        start = mark - past if self.held == "start" else mark + past - arc
        bend = Made(start, start + arc, angle, self.facing(self.pulled_to), self.former.radius)
        if start < -TOUCH_MM or bend.finish > self.length + TOUCH_MM:
            raise WrongStepError(f"a bend from {start:.1f} to {bend.finish:.1f} is not on a tube of {self.length:.1f}")
        for other in self.made:
            if min(bend.finish, other.finish) - max(bend.start, other.start) > TOUCH_MM:
                raise WrongStepError(f"at {start:.1f} the tube is bent already")
        self.made.append(bend)
        return bend

    def piece(self):
        """Return the piece as it now is."""
        bends = sorted(self.made, key=lambda bend: bend.start)
        edges = [0.0, *(x for bend in bends for x in (bend.start, bend.finish)), self.length]
        ways = [np.degrees(np.arctan2(bend.inside[2], bend.inside[1])) for bend in bends]
        twists = [0.0, *(half_turn(b - a) for a, b in zip(ways, ways[1:], strict=False))][: len(bends)]
        return Piece(
            tuple(b - a for a, b in zip(edges[::2], edges[1::2], strict=True)),
            tuple(bend.angle for bend in bends),
            tuple(twists),
            tuple(bend.radius for bend in bends),
        )

    def points_at_bench(self, about, fine=1):
        """Return the axis at the bench (m, 3) with distances along the tube (m,), as the tube lies straight `about`.

        Its origin is that place; bends are given by `fine` chords.
        """
        bends = sorted(self.made, key=lambda bend: bend.start)
        points, along = [np.zeros(3)], [about]
        for side in (-1, 1):
            frame, at, s = self.stands.copy(), np.zeros(3), about
            ahead = [b for b in bends if b.start >= about] if side > 0 else [b for b in bends if b.start < about][::-1]
            for bend in ahead:
                begin, end = (bend.start, bend.finish) if side > 0 else (bend.finish, bend.start)
                at = at + frame[:, 0] * (begin - s)
                points, along = [*points, at], [*along, begin]
                inside = frame @ bend.inside
                axis, corner = np.cross(frame[:, 0], inside), at
                for part in np.arange(1, fine + 1) / fine:
                    turn = rotation(axis, side * bend.angle * part)
                    at = corner + bend.radius * (inside - turn @ inside)
                    points, along = [*points, at], [*along, begin + (end - begin) * part]
                frame, s = turn @ frame, end
            last = self.length if side > 0 else 0.0
            points, along = [*points, at + frame[:, 0] * (last - s)], [*along, last]
        order = np.argsort(along, kind="stable")
        return np.array(points)[order], np.array(along)[order]
