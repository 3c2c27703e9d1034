"""A piece laid into a jig, by arithmetic of its own: shares no code with pipemodel, and imports none of it.

A piece is its legs (start, direction, length), bent from a table of rows (straight before, angle, turn) by plain
rotations: a positive turn is clockwise seen along the tube, the right-hand rule about the direction of travel. The jig
is its record, RUN-jig.json: where it lies in the room, and its cradles by leg, from and to, clearance and stop.

Whether a piece can be held in it is a linear program over its small movements, solved twice: the second time about
where the first one left the piece, so that finite turns count in full.
"""

from math import radians

import numpy as np
from scipy.optimize import brentq, linprog
from scipy.spatial.transform import Rotation


def bent(rows, after, radius, start=(0.0, 0.0, 0.0), ahead=(1.0, 0.0, 0.0), normal=(0.0, 0.0, 1.0)):
    """Legs (start, direction, length) of a tube bent by rows (straight, angle, turn)."""
    here, way, axis = (np.array(v, dtype=float) for v in (start, ahead, normal))
    legs = []
    for straight, angle, turn in rows:
        axis = Rotation.from_rotvec(radians(turn) * way).apply(axis)
        legs.append((here, way, straight))
        here = here + straight * way
        centre = here + radius * np.cross(axis, way)
        swing = Rotation.from_rotvec(radians(angle) * axis)
        here, way = centre + swing.apply(here - centre), swing.apply(way)
    return [*legs, (here, way, after)]


def faults(rows):
    """Every single thing that can be out: (kind, number)."""
    n = len(rows)
    return [
        *(("angle", i + 1) for i in range(n)),
        *(("turn", i + 1) for i in range(1, n)),
        *(("leg", i + 1) for i in range(n + 1)),
    ]


def wrong(rows, after, kind, number, by):
    """The rows, and the straight after them, with one thing out."""
    rows = [list(r) for r in rows]
    if kind == "leg" and number == len(rows) + 1:
        return rows, after + by
    rows[number - 1][{"leg": 0, "angle": 1, "turn": 2}[kind]] += by
    return rows, after


class Jig:
    """The slots and stops of a jig's record, and where the perfect piece lies in them."""

    def __init__(self, record, perfect):
        self.turn = np.array(record["jig_from_room"]["rotation"])
        self.move = np.array(record["jig_from_room"]["offset_mm"])
        self.cradles = record["cradles"]
        self.legs = self.placed(perfect)
        begins, at = [], 0.0
        self.radius = record_radius(perfect)
        for i, (_, _, length) in enumerate(self.legs):
            begins.append(at)
            at += length + (self.radius[i] if i < len(self.radius) else 0.0)
        self.begins = begins

    def placed(self, legs):
        """Legs of the room in the jig's axes."""
        return [(self.turn @ s + self.move, self.turn @ d, length) for s, d, length in legs]

    def section(self, cradle, at_mm):
        """Leg number from 0, and the point of its perfect axis at a position along the tube."""
        i = cradle["leg"] - 1
        start, way, _ = self.legs[i]
        return i, start + way * (at_mm - self.begins[i])

    def axes(self, i):
        """Left of travel, and up square to the leg."""
        way = self.legs[i][1]
        left = np.cross([0.0, 0.0, 1.0], way)
        left /= np.linalg.norm(left)
        return left, np.cross(way, left)

    def rules(self, ends=True):
        """Every rule: (leg, place, direction, clearance, which end of the run or None)."""
        out = []
        for cradle in self.cradles:
            for at in (cradle["from_mm"], cradle["to_mm"]):
                i, place = self.section(cradle, at)
                out += [(i, place, direction, cradle["accepts_mm"], None) for direction in self.axes(i)]
            if cradle["stop"] and ends:
                i = cradle["leg"] - 1
                start, way, length = self.legs[i]
                place = start if cradle["stop"] == "start" else start + way * length
                out.append((i, place, way, cradle["stop_mm"], cradle["stop"]))
        return out

    def room(self, made, ends=True):
        """How much clearance is left at the tightest spot when the piece is held best, and that movement (R, t)."""
        rules = self.rules(ends)
        legs = self.placed(made)
        turned, moved = np.eye(3), np.zeros(3)
        best = -np.inf
        for _ in range(2):
            a, b = [], []
            for i, place, direction, clearance, end in rules:
                start, way, length = legs[i]
                if end is None:
                    nominal = self.legs[i][1]
                    point = start + way * ((place - start) @ nominal) / (way @ nominal)
                else:
                    point = start if end == "start" else start + way * length
                off = (point - place) @ direction
                row = np.concatenate([direction, np.cross(point, direction) / 100.0])
                for sign in (1.0, -1.0):
                    a.append([*(sign * row), 1.0])
                    b.append(clearance - sign * off)
            free = [(None, None)] * 6 + [(None, 50.0)]
            found = linprog([0.0] * 6 + [-1.0], A_ub=np.array(a), b_ub=b, bounds=free, method="highs")
            assert found.status == 0
            best, step = float(found.x[6]), found.x[:6]
            spin = Rotation.from_rotvec(step[3:] / 100.0).as_matrix()
            legs = [(spin @ s + step[:3], spin @ d, length) for s, d, length in legs]
            turned, moved = spin @ turned, spin @ moved + step[:3]
        return best, (turned, moved)

    def limit(self, rows, after, radius, kind, number, sign, frame, most):
        """The fault of one thing alone, either way, beyond which no holding makes the piece go in."""

        def left(by):
            return self.room(bent(*wrong(rows, after, kind, number, sign * by), radius, *frame))[0]

        return brentq(left, 0.0, most, xtol=1e-3) if left(most) < 0.0 else np.inf


def record_radius(perfect):
    """Arc lengths between legs, from where they end and begin: chord and deflection give them."""
    out = []
    for (s, d, length), (t, e, _) in zip(perfect, perfect[1:], strict=False):
        angle = np.arctan2(np.linalg.norm(np.cross(d, e)), d @ e)
        chord = np.linalg.norm(t - (s + d * length))
        out.append(chord / (2.0 * np.sin(angle / 2.0)) * angle if angle > 1e-9 else chord)
    return out
