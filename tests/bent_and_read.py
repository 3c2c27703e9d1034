"""Pieces bent by imperfect hands, pull by pull, and their checks read: nothing in here is the tool's.

Written from the schedule's record (docs/conventions.md) and from what docs/bending.md says of each kind of check, on
the tests' own bench (`follower`): a check is read by its words, a look included.
"""

import re
from math import radians, tan

import numpy as np
from follower.body import HAND, LEG_UP, WAY, Body, L
from follower.shape import Piece, half_turn


class Hands:
    """The errors of one piece: of each bend its mark, mm, its angle and its turn, degrees."""

    def __init__(self, random, bends, mark=1.0, angle=1.0, turn=1.0):
        self.mark, self.angle, self.turn = (random.normal(0, sd, bends) for sd in (mark, angle, turn))


class Made:
    """A piece of a run's record, bent pull by pull: by the record's plan or by another table of bends."""

    def __init__(self, run):
        self.run, self.bends = run, {}
        self.planes = np.cumsum([b["turn_deg"] for b in run["bends"]])

    def pull(self, bend, held, start, angle, plane, mark=0.0, more=0.0, rolled=0.0):
        """Make a bend that is to begin at `start`, with errors of mark and angle, rolled so far too much."""
        radius = self.run["bends"][bend - 1]["radius_mm"]
        start = start + mark - (radius * radians(more) if held == "finish" else 0.0)
        self.bends[bend] = (start, angle + more, plane + rolled, radius)

    def follow(self, pulls, hands):
        """Make pulls of the record's plan, each plane set out from that of the bend before it on the tube."""
        for pull in pulls:
            k = pull["bend"] - 1
            row = self.run["bends"][k]
            rolled = float(np.sum(hands.turn[1 : k + 1]))
            to = (row["start_mm"], row["angle_deg"], self.planes[k])
            self.pull(k + 1, pull["held"], *to, hands.mark[k], hands.angle[k], rolled)

    def piece(self, made=None):
        """The piece with some of its bends, or all made so far."""
        rows = sorted(self.bends[n] for n in (self.bends if made is None else made))
        edges = [0.0]
        for start, angle, _, radius in rows:
            edges += [start, start + radius * radians(angle)]
        edges.append(self.run["cut_length_mm"])
        straights = tuple(b - a for a, b in zip(edges[::2], edges[1::2], strict=True))
        planes = [row[2] for row in rows]
        twists = [half_turn(b - a) for a, b in zip([planes[0], *planes], planes, strict=False)]
        return Piece(straights, tuple(row[1] for row in rows), tuple(twists), tuple(row[3] for row in rows))

    def finish(self):
        """Where the finish is, and the way it points, in the frame of the start: x along the first leg."""
        points = self.piece().corners
        way = points[-1] - points[-2]
        way /= np.linalg.norm(way)
        return points[-1] - way * (self.run["cut_length_mm"] - self.run["centreline_mm"]), way

    def read(self, check, made, random=None):
        """What a check reads after the bends `made`; with `random` as well as it can be read."""
        numbers = sorted(made, key=lambda n: self.bends[n][0])
        outside = self.run["tube"]["outside_mm"]
        body = Body(self.piece(made), numbers, outside, lambda a, r: (r + outside / 2) * min(1.0, tan(radians(a) / 2)))
        text = " ".join(check["text"].split())
        if check["unit"] == "look":
            same = body.stands_off(text) < 500
            others = {"left": "right", "right": "left", "same": "opposite", "opposite": "same"}
            assert HAND.fullmatch(text) or LEG_UP.fullmatch(text) or WAY.fullmatch(text)
            return check["value"] if same else others[check["value"]]
        if check["kind"] == "out of round, by caliper":
            return 0.0
        if check["unit"] == "deg":
            value = body.piece.angles[numbers.index(int(re.match(r"bend (\d+)", text)[1]))]
        elif found := re.match(rf"{L} (.*)$", text):
            value = body.measured(found[3])
        else:
            value = body.stands_off(text)
        value += 0.0 if random is None else random.normal(0, check["within"] / 2)
        # What lies flat has no gap of less than none.
        return abs(value) if check["kind"] == "flat on the bench" else value
