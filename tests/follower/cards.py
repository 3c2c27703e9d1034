"""The sentences of a pull's card: what the hands do, done at the bench, and what must then be, measured on the piece.

A card is (pull, bend, texts of what to do, texts of what must be true). Every claim a card makes on the way is held
against the bench: which way a line faces, how the tube beyond a bend stands, where a mark lies from a bend's back.
"""

import re
from math import radians, tan

import numpy as np

from follower.bench import Bench, WrongStepError
from follower.body import MISSED_MM, Body, L
from follower.figures import length
from follower.shape import half_turn

MARK = re.compile(rf"mark at {L} from the start end", re.I)
FROM_BACK = re.compile(rf"check: {L} from the back of bend (\d+)(, where the backs of its two legs meet)?")
LINE = re.compile(
    rf"draw the inside line of bend (\d+)(?: on with that of bend (\d+)|"
    rf": {L}(?: \(~[\d /]+\))? round the tube \(([\d.]+)°\)(?: (clockwise|anticlockwise), seen from the start end,)?"
    r" from that of bend (\d+))",
    re.I,
)
LAY = re.compile(
    r"(turn the tube end for end: )?(start|finish) end to your left, in the stop; (\w+) end to your right", re.I
)
FIRST = re.compile(r"any side up; the inside of bend (\d+) will face (you|down): draw a line along it", re.I)
SAME = re.compile(r"the same side up as before: the inside line of bend (\d+) faces (you|away from you|down)", re.I)
ROLL = re.compile(
    r"roll the tube (half a turn|a quarter turn|an eighth of a turn|three eighths of a turn|[\d.]+°)"
    r"(?:, its top (away from you|towards you))?"
    r"(?:; the inside line of bend (\d+) then faces (up|down|you|away from you))?",
    re.I,
)
STANDS = re.compile(
    r"the tube beyond bend (\d+) (?:(stands plumb, upwards)|(hangs plumb, downwards)"
    r"|lies level, pointing (left|right|towards you|away from you)"
    r"|points (left|right|towards you|away from you), ([\d.]+)° (above|below) level)"
)
BRING = re.compile(
    rf"slide the tube until the mark stands (?:at|{L} (past|short of)) the rim's start"
    r"(, where a square against the rim meets the tube)?",
    re.I,
)
PULL = re.compile(r"pull (?:towards you|down) to ([\d.]+)° and let go(?:; it springs back to ([\d.]+)°)?", re.I)
PUT_IN = re.compile(rf"(change the former: )?put in the ([^;]+?)(?:, radius {L})?\.?(?:;|$)", re.I)
TURNS = {"half a turn": 180, "a quarter turn": 90, "an eighth of a turn": 45, "three eighths of a turn": 135}
WAYS = {
    "up": (0, 0, 1),
    "down": (0, 0, -1),
    "you": (0, -1, 0),
    "towards you": (0, -1, 0),
    "away from you": (0, 1, 0),
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
}
MISSED_DEG = 0.7
"""The same of an angle judged by its card."""
SLACK_DEG = 0.07
CARD = re.compile(r"bend (\d+) is ([\d.]+)° by its angle card, both edges along its legs", re.I)
NEAR_DEG = 0.7
"""A card says "level", "plumb" or a tenth of a degree; marks and pulls are rounded on the way to it."""


def do_cards(cards, cut, formers, outside, stands="flat"):
    """Do the cards of a run one after the other, and measure after each.

    `formers` are those of the run, by name: the cards say which goes in where there are several. The bender `stands`
    flat on a bench or upright.

    Returns:
        The piece, and how many claims were held against the bench.

    Raises:
        WrongStepError: when a card says what is not so.
    """
    bench = Bench(cut, *formers.values() if len(formers) == 1 else (None,), stands)
    worker = Worker(bench, outside, formers)
    for number, card in enumerate(cards, 1):
        if card[0] != number:
            raise WrongStepError(f"card {card[0]} lies in place {number}")
        worker.do(card[1], "; ".join(card[2]))
        worker.measure(card[3])
    return bench.piece(), worker.claims


BEGINNING = "where the bend begins"


class Worker:
    """Does what one card after the other says; knows the bends made so far by their numbers."""

    def __init__(self, bench, outside, formers):
        """`bench` has the tube on it, and the bender as it stands."""
        self.bench, self.outside, self.formers = bench, outside, formers
        self.made, self.last, self.claims = {}, None, 0

    def do(self, bend, text):
        """Do one card."""
        text = " ".join(text.split())
        self._put_in(text)
        mark = length_of(text)
        # Where the former's own mark would be lost, one is drawn where the bend begins, and goes to the rim's start.
        self.bench.at_rim = 0.0 if BEGINNING in text else None
        at = self._lay(text, mark)
        self._roll(text, bend)
        inside = self.bench.facing(self.bench.pulled_to)
        self._bring(text)
        self._check_line(text, bend, inside)
        self._check_back(text, mark, self._begins(mark, at))
        self._check_stand(text, at)
        pull = PULL.search(text)
        self._claim(("down to" in pull[0].lower()) == (self.bench.pulled_to[2] < 0), "which way it is pulled")
        self._pull(bend, mark, *pull.groups(), at)
        self.last = bend

    def _pull(self, bend, mark, to, left, at):
        self.made[bend] = self.bench.pull(mark, float(to), at)
        angle = self.made[bend].angle
        self._claim(abs(angle - float(left or to)) < 0.11, f"bend {bend} pulled to {to} springs back to {angle:.2f}")

    def _put_in(self, text):
        found = PUT_IN.search(text)
        if len(self.formers) == 1 or found is None:
            self._claim(found is None and self.bench.former is not None, f"which former goes in: {text}")
            return
        change, name, size, unit = found.groups()
        before, self.bench.former = self.bench.former, self.formers[name]
        self._claim(bool(change) == (before is not None), f"a change takes one out: {text}")
        self._claim(before is not self.bench.former, f"the {name} is in already")
        if size:
            read = length(size, unit)
            self._claim(abs(read.mm - self.bench.former.radius) <= read.give + 0.01, f"the radius of the {name}")

    def _lay(self, text, mark):
        over, left, right = LAY.search(text).groups()
        if {left.lower(), right} != {"start", "finish"}:
            raise WrongStepError(f"{left} to the left and {right} to the right")
        if self.last is None:
            self.bench.lay_in(left.lower())
        if over:
            self.bench.end_for_end()
        return left.lower()

    def _roll(self, text, bend):
        if self.last is None:
            first = FIRST.search(text)
            self._claim(int(first[1]) == bend, "the first line is drawn for the bend")
            self._claim(np.dot(WAYS[first[2]], self.bench.pulled_to) == 1, "the inside faces where the pull goes")
            return
        same = SAME.search(text)
        if same:
            self._faces(int(same[1]), same[2])
            return
        amount, top, line, way = ROLL.search(text).groups()
        degrees = TURNS.get(amount) or float(amount.removesuffix("°"))
        if degrees != 180 and top is None:
            raise WrongStepError(f"which way? {text}")
        self.bench.roll_top(degrees, top == "away from you")
        if line:
            self._faces(int(line), way)

    def _bring(self, text):
        """What the mark is brought to: the former's own figure, whichever end is held."""
        found = BRING.search(text)
        if found is None:
            raise WrongStepError(f"what the mark is brought to is not given: {text}")
        size, unit, side, _ = found.groups()
        read = length(size, unit) if size else None
        past = read.mm * (1 if side.lower() == "past" else -1) if read else 0.0
        give = read.give if read else 0.05
        self._claim(abs(past - self.bench.mark_past) <= give + 0.01, f"the mark goes {self.bench.mark_past} past")

    def _faces(self, bend, way):
        now = self.bench.stands @ self.made[bend].inside
        self._claim(_degrees(now, WAYS[way]) < NEAR_DEG, f"the inside line of bend {bend} faces {way}, and not {now}")

    def _check_line(self, text, bend, inside):
        found = LINE.search(text)
        if self.last is None:
            return
        if found is None:
            raise WrongStepError(f"no inside line is given: {text}")
        number, on_with, size, unit, angle, way, other = found.groups()
        self._claim(int(number) == bend and int(on_with or other) == self.last, "the line of this bend from the last")
        was, now = (np.degrees(np.arctan2(v[2], v[1])) for v in (self.made[self.last].inside, inside))
        turned = half_turn(now - was)
        stated = 0.0 if on_with else float(angle) * (-1 if way == "anticlockwise" else 1)
        self._claim(abs(half_turn(turned - stated)) < 0.15, f"the line lies {turned:.1f} round, and not {stated}")
        if not on_with:
            read = length(size, unit)
            wide = np.pi * self.outside * abs(stated) / 360
            # To a tenth of a mm, or a hundredth of an inch; the angle it is held against to a tenth as well.
            give = (0.05 if unit == "mm" else read.give) + np.pi * self.outside * 0.05 / 360 + 1e-6
            self._claim(abs(read.mm - wide) <= give, f"{stated} is {wide:.2f} round the tube, not {read.mm}")

    def _begins(self, mark, held):
        """Where the bend begins on the straight tube: short of the mark by the former's own figure."""
        return mark - self.bench.mark_past * (1 if held == "start" else -1)

    def _check_back(self, text, mark, begins):
        found = FROM_BACK.search(text)
        wanted = self._nearest_back(mark, begins)
        if wanted is not None:
            self._claim(found and int(found[3]) == wanted, f"the mark is to be checked from the back of bend {wanted}")
        if not found:
            return
        read = length(found[1], found[2])
        near = self.made[int(found[3])]
        along = mark - near.finish if near.start < begins else near.start - mark
        is_so = along + self._back(near.angle, near.radius)
        self._claim(abs(read.mm - is_so) < 1.0, f"from the back of bend {found[3]} it is {is_so:.1f}, not {read.mm}")
        self._claim(
            bool(found[4]) == (near.angle < 89.5), f"bend {found[3]} of {near.angle:.1f} has a back to lay a square on"
        )

    def _nearest_back(self, mark, begins):
        """Return the bend whose back a mark is checked from: the nearest on the held side, or else on the other.

        None where there is none, or where rounding decides whether the mark lies on a bend.
        """
        low = [n for n in self.made if self.made[n].start < begins]
        high = [n for n in self.made if n not in low]
        low = max(low, key=lambda n: self.made[n].start, default=None)
        high = min(high, key=lambda n: self.made[n].start, default=None)
        for near in (low, high) if self.bench.held == "start" else (high, low):
            if near is None:
                continue
            along = mark - self.made[near].finish if near == low else self.made[near].start - mark
            if abs(along) < 0.6:
                return None
            if along > 0:
                return near
        return None

    def _back(self, angle, radius):
        """How far the back of a bend lies beyond where it begins: the outer walls' meeting, or the crown from 90 on."""
        return (radius + self.outside / 2) * min(1.0, tan(radians(angle) / 2))

    def _check_stand(self, text, held):
        found = STANDS.search(text)
        if not self.made:
            return
        if found is None:
            raise WrongStepError(f"how the tube beyond a bend stands is not given: {text}")
        near = self.made[int(found[1])]
        out = self._beyond(near, self._begins(length_of(text), held))
        lift = np.degrees(np.arcsin(np.clip(out[2], -1, 1)))
        _, up, down, level, points, angle, side = found.groups()
        if up or down:
            self._claim(abs(lift - (90 if up else -90)) < NEAR_DEG + 1.0, f"it is {lift:.1f} above level: {found[0]}")
            return
        stated = float(angle or 0) * (1 if side == "above" else -1)
        self._claim(abs(lift - stated) < NEAR_DEG, f"it is {lift:.1f} above level: {found[0]}")
        flat = np.array([out[0], out[1], 0.0])
        way = np.array(WAYS[level or points], float)
        self._claim(flat @ way >= 0.7 * np.linalg.norm(flat) - 0.02, f"it goes {out}: {found[0]}")

    def _beyond(self, bend, mark):
        """Return which way the tube runs beyond a bend, outwards from where the pull begins, at the bench."""
        points, along = self.bench.points_at_bench(mark)
        towards_finish = bend.start >= mark - 1e-9
        end = bend.finish if towards_finish else bend.start
        i = int(np.argmin(abs(along - end)))
        # Ends of bends stand twice where bends touch: take the next place that is another one.
        step = 1 if towards_finish else -1
        k = i + step
        while 0 <= k < len(along) and np.linalg.norm(points[k] - points[i]) < 1e-9:
            k += step
        out = points[k] - points[i]
        return out / np.linalg.norm(out)

    # ---- what must then be true

    def measure(self, texts):
        """Hold each measure of a card against the piece as it now is."""
        if not texts:
            raise WrongStepError("a card has nothing to measure")
        slack_mm = 0.8 + 0.0012 * self.bench.length
        for text in texts:
            off, least, give = self._off(text)
            slack = SLACK_DEG if least == MISSED_DEG else slack_mm
            self._claim(abs(off) < slack + give, f"{text}: it is {off:+.1f} more")

    def reads_as_printed(self, text):
        """Tell whether a check reads on the piece as it now is what the card says, to the accuracy of reading."""
        off, least, _ = self._off(text)
        return abs(off) <= least

    def _off(self, text):
        """Return by how much more a check reads than the card says, from what on that tells, and how it is rounded."""
        text = " ".join(text.split()).rstrip(".")
        numbers = sorted(self.made, key=lambda n: self.made[n].start)
        body = Body(self.bench.piece(), numbers, self.outside, self._back)
        if stated := re.match(rf"{L} (.*)$", text):
            read = length(stated[1], stated[2])
            return body.measured(stated[3]) - read.mm, MISSED_MM, read.give
        if stated := CARD.fullmatch(text):
            return body.piece.angles[numbers.index(int(stated[1]))] - float(stated[2]), MISSED_DEG, 0.05
        return body.stands_off(text[0].lower() + text[1:]), MISSED_MM, 0.0

    def _claim(self, holds, words):
        if not holds:
            raise WrongStepError(words)
        self.claims += 1


def length_of(text):
    """Return where a card's text says the mark is, mm."""
    found = MARK.search(text)
    if found is None:
        raise WrongStepError("no mark is given")
    return length(found[1], found[2]).mm


def _degrees(a, b):
    return np.degrees(np.arccos(np.clip(np.dot(a, b) / np.linalg.norm(a) / np.linalg.norm(b), -1, 1)))
