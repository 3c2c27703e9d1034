"""A piece laid on a bench of the tests' own, and measured or looked at as the words of a card say."""

import re

import numpy as np

from follower.bench import WrongStepError
from follower.figures import length
from follower.shape import rotation

L = r"(-?\d[\d /.]*(?: \(-?[\d.]+\))?) (mm|in)"
HAND = re.compile(
    r"both legs of bend (\d+) on the bench and the (start|finish) end up: "
    r"seen from the start end, bend (\d+) goes off to your (left|right)"
)
LEG_UP = re.compile(
    r"both legs of bend (\d+) on the bench and the leg (before|after) bend (\d+) up: "
    r"seen from the start end, bend (\d+) goes off to your (left|right)"
)
ROUND = re.compile(
    r"bend (\d+) is round, with no flat and no ripple: by caliper across its middle at most "
    r"([\d.]+) (mm|in) wider one way than the other, or the guide was not in"
)
WAY = re.compile(r"from the start end, bend (\d+) turns the (same way round as|opposite way to) bend (\d+)")
AT = (
    rf"(?:a pencil ring on the leg (before|after) bend (\d+) \({L} from the back of that bend"
    rf"(?:, where the backs of its two legs meet)?\)|(?:a pencil ring {L} from )?the (start|finish) end)"
)
AT_WORDS = re.compile(AT)
ON = re.compile(rf"{AT} lies on the bench too, with both legs of bend (\d+) flat on it")
UP = re.compile(rf"from the bench up to {AT}, with both legs of bend (\d+) flat")
FLAT = re.compile(r"the whole piece lies flat on the bench, with both legs of bend (\d+)")
ASIDE = re.compile(
    rf"from the line of the leg (before|after) bend (\d+) square across to under {AT},"
    r" on the (inside|outside) of that bend, with both legs of bend (\d+) flat on the bench"
)
PLUMB = re.compile(
    rf"{AT} stands plumb over the line of the leg (before|after) "
    r"bend (\d+), with both legs of bend (\d+) flat on the bench"
)
OFF_A_LEG = re.compile(
    rf"square off a straight-edge along the leg (before|after) bend (\d+) to the middle of the tube at {AT}, "
    r"the straight-edge on the side (of|away from) that place"
)
CORNER = re.compile(
    rf"across bend (\d+), from a pencil ring {L} from its back(?:, where the backs of its two legs meet)? "
    r"on one leg to a ring as far from it on the other leg, over the tops of both"
)
FLIPPED = 1000.0
"""What a look that shows the other way counts for, mm."""
MISSED_MM = 3.0
"""A length that differs by no more than this from what is printed tells nothing."""


class Body:
    """A piece laid in space, its bends under their numbers, to be measured as a card says."""

    def __init__(self, piece, numbers, outside, back):
        self.piece, self.numbers, self.outside, self.back = piece, numbers, outside, back
        self.legs, self.axes, self.arcs = [], [], []
        at, frame = np.zeros(3), np.eye(3)
        for leg, angle, twist, radius in zip(piece.straights, piece.angles, piece.twists, piece.radii, strict=False):
            self.legs.append((at, at + frame[:, 0] * leg, frame[:, 0]))
            at = at + frame[:, 0] * leg
            frame = frame @ rotation([1, 0, 0], twist)
            centre = at + frame[:, 1] * radius
            self.axes.append(frame[:, 2])
            turned = np.radians(np.linspace(0, angle, 60))[:, None]
            # Round the centre, from the way back to the axis towards the way ahead.
            self.arcs.append(centre + radius * (np.sin(turned) * frame[:, 0] - np.cos(turned) * frame[:, 1]))
            frame = frame @ rotation([0, 0, 1], angle)
            at = self.arcs[-1][-1]
        self.legs.append((at, at + frame[:, 0] * piece.straights[-1], frame[:, 0]))

    def stands_off(self, words):
        """Return how far off what is seen on the bench is from what words say of it, mm; by much for a look."""
        if found := LEG_UP.fullmatch(words):
            self._only(found[1] == found[4], words)
            k, other = (self.numbers.index(int(found[i])) for i in (1, 3))
            self._only(other - k == (1 if found[2] == "after" else -1), words)
            first, last, way = self.legs[other + (other > k)]
            place = (
                first + way * min(300.0, np.linalg.norm(last - first))
                if other > k
                else last - way * min(300.0, np.linalg.norm(last - first))
            )
            up = float(self.axes[k] @ (place - self.arcs[k][0]))
            if abs(up) < 20.0:
                return FLIPPED
            left = np.cross(self.axes[k] * np.sign(up), self.legs[k][2]) @ self.legs[k + 1][2] > 0
            return 0.0 if left == (found[5] == "left") else FLIPPED
        if found := ROUND.fullmatch(words):
            # Tube on this bench stays round; what a card allows is a part of the tube.
            self.numbers.index(int(found[1]))
            most = float(found[2]) * (25.4 if found[3] == "in" else 1.0)
            return 0.0 if 0.02 * self.outside < most < 0.1 * self.outside else FLIPPED
        if found := FLAT.fullmatch(words):
            k = self.numbers.index(int(found[1]))
            points = np.array([p for leg in self.legs for p in leg[:2]])
            return float(np.abs((points - self.arcs[k][0]) @ self.axes[k]).max())
        if found := ON.match(words):
            return self._height(self._place(words), self.numbers.index(int(found[8])))
        if found := PLUMB.fullmatch(words):
            return self._aside(self._place(words), found[8], self.numbers.index(int(found[10])), words)
        if found := HAND.fullmatch(words):
            self._only(found[1] == found[3], words)
            k = self.numbers.index(int(found[1]))
            up = self._signed(self.legs[0][0] if found[2] == "start" else self.legs[-1][1], k)
            if abs(up) <= MISSED_MM:
                return 0.0
            ways = self.legs[k][2], self.legs[k + 1][2]
            left = np.cross(self.axes[k] * np.sign(up), ways[0]) @ ways[1] > 0
            return 0.0 if left == (found[4] == "left") else FLIPPED
        if found := WAY.fullmatch(words):
            one, two = (self.numbers.index(int(found[k])) for k in (1, 3))
            self._only(abs(one - two) == 1, words)
            alike = self.axes[one] @ self.axes[two]
            if abs(alike) < 0.5:
                return 0.0
            return 0.0 if (alike > 0) == found[2].startswith("same") else FLIPPED
        raise WrongStepError(f"no one can see {words!r}")

    def _place(self, words):
        """The end, or the ring, that words name: which end it lies towards, where it is, its leg's way, and its leg."""
        side, past, far, unit, ring, ring_unit, end = AT_WORDS.search(words).groups()
        if past is None:
            end, off = end, length(ring, ring_unit).mm if ring else 0.0
            k = 0 if end == "start" else -1
            (first, last, way) = self.legs[k]
            return end, first + off * way if end == "start" else last - off * way, way, k % len(self.legs)
        bend = self.numbers.index(int(past))
        end, k = ("finish", bend + 1) if side == "after" else ("start", bend)
        first, last, way = self.legs[k]
        off = length(far, unit).mm - self._back(bend)
        self._only(off > 0, words)
        return end, first + off * way if end == "finish" else last - off * way, way, k

    def _signed(self, at, index):
        return float(self.axes[index] @ (at - self.arcs[index][0]))

    def _aside(self, place, side, index, words):
        """How far off a leg's line on the bench a place lies, above 0 on the side where the bend's other leg goes."""
        end, at, _, _ = place
        self._only(side == ("before" if end == "start" else "after"), words)
        (first, _, way), (_, last, on) = self.legs[index], self.legs[index + 1]
        own, other = (first, last) if side == "before" else (last, first)
        way = way if side == "before" else on
        inwards = other - own - ((other - own) @ way) * way
        return float((at - own) @ inwards / np.linalg.norm(inwards))

    def _height(self, place, index):
        _, at, _, leg = place
        self._only(leg not in (index, index + 1), "a leg on the bench stands off it")
        return abs(self._signed(at, index))

    def measured(self, words):
        """Return the measure that words describe, in mm."""
        n = [int(x) for x in re.findall(r"bend (\d+)", words)]
        i = [self.numbers.index(x) for x in n]
        if found := re.match(r"from the (start|finish) end to the back of bend", words):
            first = found[1] == "start"
            self._only(i[0] == (0 if first else len(self.numbers) - 1), words)
            return self.piece.straights[0 if first else -1] + self._back(i[0])
        if words.startswith("from the back of bend"):
            self._only(i[1] == i[0] + 1, words)
            return self.piece.straights[i[1]] + self._back(i[0]) + self._back(i[1])
        if words.startswith("over the outsides of the legs before"):
            return self._apart(i[0], i[1] + 1) + self.outside
        if words.startswith("between the insides of the legs before"):
            return self._apart(i[0], i[1] + 1) - self.outside
        if words.startswith("over the outsides, from the legs before"):
            return self._crown(i[0], i[2]) + self.outside
        if found := UP.match(words):
            return self._stand_off(self._place(words), self.numbers.index(int(found[8])))
        if found := ASIDE.fullmatch(words):
            off = self._aside(self._place(words), found[1], self.numbers.index(int(found[11])), words)
            return off if found[10] == "inside" else -off
        if found := OFF_A_LEG.fullmatch(words):
            start, _, way = self.legs[i[0] + (found[1] == "after")]
            to = self._place(words)[1] - start
            lies = 1 if found[10] == "away from" else -1
            return float(np.linalg.norm(to - (to @ way) * way)) + lies * self.outside / 2
        if found := CORNER.fullmatch(words):
            on = length(found[2], found[3]).mm - self._back(i[0])
            (_, bends, before), (begins, _, after) = self.legs[i[0]], self.legs[i[0] + 1]
            # By a mark that is out a ring may come to lie where the next bend begins.
            self._only(0 < on <= min(self.piece.straights[i[0] : i[0] + 2]) + 12, words)
            return float(np.linalg.norm(bends - on * before - begins - on * after))
        if words == "from the middle of one end to the middle of the other":
            return float(np.linalg.norm(self.legs[-1][1] - self.legs[0][0]))
        raise WrongStepError(f"no one can measure {words!r}")

    def _back(self, k):
        return self.back(self.piece.angles[k], self.piece.radii[k])

    def _only(self, holds, words):
        if not holds:
            raise WrongStepError(f"nothing straight lies there: {words}")

    def _apart(self, a, b):
        start, _, way = self.legs[a]
        to = self.legs[b][0] - start
        return float(np.linalg.norm(to - (to @ way) * way))

    def _crown(self, a, top):
        start, _, way = self.legs[a]
        off = self.arcs[top] - start
        off = off - np.outer(off @ way, way)
        return float(np.linalg.norm(off, axis=1).max())

    def _stand_off(self, place, index):
        height, axis, way = self._height(place, index), self.axes[index], place[2]
        return height + self.outside / 2 * (1 - np.sqrt(max(0.0, 1 - (axis @ way) ** 2)))
