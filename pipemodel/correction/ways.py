"""Explanations tried against readings: all go down to where they explain best, those left far behind are given up."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import sqrt

from pipemodel.bending.part_bent import PartBent
from pipemodel.correction.explanations import MISREAD, Explanation
from pipemodel.correction.least_squares import STEP, LeastPoint, LeastSquaresDescent, Row, slope_by
from pipemodel.correction.made import MadePiece
from pipemodel.correction.observed import Observation

AS_GOOD = 4.0
"""An explanation within so much of the best sum of squares is not ruled out."""
TWISTED_DEG = 4.0
"""From so far to either side a twist is looked for that a gap under what should lie flat shows."""
CROOKED = (1.0, -1.7)
"""Pieces that are out in every way, by so many times, on which is tried which errors move which readings."""
BEHIND = (120.0, 12.0, 8.0, 6.0)
"""What is so far behind the best after one step, two and so on is given up: of 3,415 explanations of contradictory
readings that came within 4 of the best in the end, none was more than 6 behind after two steps."""
HOPELESS = (100.0, 30.0)
"""An explanation tried alone is given up where its sum of squares is so far beyond what goes with all readings, after
one step and after more: of 135 that explained them in the end none was more than 10 beyond after one step."""
SAME_SUM = 1e-4
"""Explanations whose sums differ by less come to the same thing."""


@dataclass(frozen=True)
class Active:
    """Which errors move any reading at all, by their places, and for each reading which of these, by theirs."""

    places: tuple[int, ...]
    by: Mapping[int, frozenset[int]]
    """By the place of an observation."""


@dataclass(frozen=True)
class TriedExplanation:
    """An explanation with what comes of it: the errors found, and the sum of squares with what it costs."""

    explanation: Explanation
    found: LeastPoint
    unlooked: tuple[str, ...]
    """Looks that show something else."""
    readings: int
    far_out: tuple[str, ...] = ()
    """Checks read once that are further out than one true reading in a thousand, by what all else says."""

    @property
    def sum(self) -> float:
        """The sum of squares with what the explanation costs."""
        return self.found.cost + MISREAD * len(self.unlooked) + self.explanation.costs

    @property
    def explains(self) -> bool:
        """Whether all readings go with it: one true set in a thousand goes worse."""
        return not self.unlooked and self.found.cost <= most_squares(self.readings)


def most_squares(n: int) -> float:
    """Return what the sum of n squares of normal figures exceeds once in a thousand times.

    By Wilson and Hilferty's approximation to chi-squared (1931; from memory).
    """
    return n * (1.0 - 2.0 / (9.0 * n) + 3.0902 * sqrt(2.0 / (9.0 * n))) ** 3 if n else 0.0


def active_errors(made: MadePiece, observed: Sequence[Observation]) -> Active:
    """Return which errors move which readings; all others stay where they lie about.

    Tried on pieces that are out in every way, since on one as drawn some move a reading only once it is out.
    """
    after = sorted({one.pull for one in observed})
    moved: dict[int, set[int]] = {k: set() for k, one in enumerate(observed) if not one.look}

    def read(errors: Sequence[float]) -> dict[int, float | None]:
        pieces = made.pieces(errors, after)
        return {k: None if (piece := pieces[observed[k].pull]) is None else observed[k].read(piece) for k in moved}

    for scale in CROOKED:
        crooked = [scale * (0.4 + 0.07 * (place % 7)) * (-1) ** place for place in range(len(made.sd))]
        right = read(crooked)
        for place in range(len(crooked)):
            changed = list(crooked)
            changed[place] += 0.3
            moved_here = (k for k, value in read(changed).items() if _differs(value, right[k]))
            for k in moved_here:
                moved[k].add(place)
    places = sorted(set().union(*moved.values()))
    by = {k: frozenset(n for n, place in enumerate(places) if place in own) for k, own in moved.items()}
    return Active(tuple(places), by)


def _differs(one: float | None, other: float | None) -> bool:
    return one != other if one is None or other is None else abs(one - other) > 1e-9


class ExplanationTrials:
    """Tries explanations of the readings of one piece."""

    def __init__(self, made: MadePiece, observed: Sequence[Observation]) -> None:
        """Find out which errors move which readings."""
        self.made, self.observed = made, observed
        self.active = active_errors(made, observed)
        self._first: dict[tuple[float, ...], dict[int, Row]] = {}

    def tried(self, explanations: Sequence[Explanation]) -> list[TriedExplanation]:
        """Return what comes of explanations, the best first; several of one where a gap is seen to either side."""
        ways = [way for one in explanations for way in self._ways(one)]
        step = 0
        while any(not way.down.done for way in ways):
            for way in ways:
                if not way.down.done:
                    way.go()
            most = min(way.sum for way in ways) + BEHIND[min(step, len(BEHIND) - 1)]
            ways = [way for way in ways if way.sum <= most]
            step += 1
        kept: list[_Way] = []
        for way in ways:
            if not any(one.explanation is way.explanation and _same(one.whole(), way.whole()) for one in kept):
                kept.append(way)
        # Two that come to the same thing stay as they were listed.
        return sorted((way.tried() for way in kept), key=lambda one: round(one.sum / SAME_SUM))

    def explains(self, explanation: Explanation) -> bool:
        """Tell whether an explanation explains all readings, going down no further than that is plain."""
        ways, step = list(self._ways(explanation)), 0
        while ways and not any(way.explains for way in ways):
            ways = [way for way in ways if not way.down.done]
            for way in ways:
                way.go()
            beyond = HOPELESS[min(step, len(HOPELESS) - 1)]
            ways = [way for way in ways if way.down.cost is not None and way.down.cost <= way.most + beyond]
            step += 1
        return bool(ways)

    def _ways(self, explanation: Explanation) -> Iterator["_Way"]:
        for start in self._starts(explanation):
            first = self._first.setdefault(tuple(start), {})
            way = _Way(self.made, explanation, self.observed, self.active, start, first)
            if way.down.cost is not None:
                yield way

    def _starts(self, explanation: Explanation) -> list[list[float]]:
        """Return where to look from: the middle, or both sides of it where a gap does not say to which side it is."""
        made, middle = self.made, list(explanation.middle)
        places: list[int] = []
        for one in self.observed:
            if one.either_side and one.check not in explanation.left_out:
                bend = next(pull.bend for pull in made.pulls if pull.number == one.pull)
                at = made.numbers.index(bend)
                near = (made.place(number, "turn") for number in made.numbers[at : at + 2])
                places += [place for place in near if place is not None and place not in places]
        places = places[:3]
        starts = []
        for ways in product((TWISTED_DEG, -TWISTED_DEG), repeat=len(places)):
            start = list(middle)
            for place, way in zip(places, ways, strict=True):
                start[place] += way
            starts.append(start)
        return starts


class _Way:
    """One explanation on its way down from one start."""

    def __init__(
        self,
        made: MadePiece,
        explanation: Explanation,
        observed: Sequence[Observation],
        active: Active,
        start: Sequence[float],
        first: dict[int, Row],
    ) -> None:
        """Begin at `start`; `first` are the slopes there, once they are known: all explanations have the same."""
        self.explanation = explanation
        self._made, self._observed, self._active, self._first = made, observed, active, first
        believed = [k for k, one in enumerate(observed) if one.check not in explanation.left_out]
        self._read = [k for k in believed if not observed[k].look]
        self._looks = [observed[k] for k in believed if observed[k].look]
        self._middles = [explanation.middle[i] for i in active.places]
        self._sds = [explanation.sd[i] for i in active.places]
        self._after = sorted({observed[k].pull for k in self._read})
        self.down = LeastSquaresDescent(self._functions, [start[i] for i in active.places], self._slopes)
        self.unlooked: tuple[str, ...] = ()
        self.sum = 0.0
        if self.down.cost is not None:
            self._look()

    @property
    def most(self) -> float:
        """The sum of squares that goes with all readings."""
        return most_squares(len(self._read))

    @property
    def explains(self) -> bool:
        """Whether all readings go with it already."""
        return not self.unlooked and self.down.cost is not None and self.down.cost <= self.most

    def go(self) -> None:
        """Go one step down."""
        self.down.step()
        self._look()

    def whole(self, errors: Sequence[float] | None = None) -> list[float]:
        """Return all errors: those that no reading hangs on where they lie about."""
        out = list(self.explanation.middle)
        for place, value in zip(self._active.places, self.down.at if errors is None else errors, strict=True):
            out[place] = value
        return out

    def tried(self) -> TriedExplanation:
        """Return what came of it; errors that no reading hangs on are as uncertain as before."""
        assert self.down.cost is not None
        places, own = self._active.places, self.down.covariance
        covariance = [[0.0] * len(self.explanation.sd) for _ in self.explanation.sd]
        for i, sd in enumerate(self.explanation.sd):
            covariance[i][i] = sd**2
        for a, i in enumerate(places):
            for b, j in enumerate(places):
                covariance[i][j] = own[a][b]
        found = LeastPoint(self.whole(), self.down.cost, covariance)
        return TriedExplanation(self.explanation, found, self.unlooked, len(self._read), self._far_out())

    def _far_out(self) -> tuple[str, ...]:
        less = self.down.without_each()[len(self._sds) :]
        once = [(of, self._observed[k].check) for k, of in zip(self._read, less, strict=True) if self._observed[k].once]
        most = max((of for of, _ in once), default=0.0)
        # Of two readings that do not go together, either may be the wrong one.
        return tuple(check for of, check in once if of > most_squares(1) and of >= most - AS_GOOD)

    def _look(self) -> None:
        """See what it comes to so far."""
        assert self.down.cost is not None
        if self._looks:
            pieces = self._made.pieces(self.whole(), sorted({one.pull for one in self._looks}))
            self.unlooked = tuple(one.check for one in self._looks if shows_other(one, pieces))
        self.sum = self.down.cost + MISREAD * len(self.unlooked) + self.explanation.costs

    def _functions(self, errors: Sequence[float]) -> list[float] | None:
        pieces = self._made.pieces(self.whole(errors), self._after)
        values = [(error - m) / sd for error, m, sd in zip(errors, self._middles, self._sds, strict=True)]
        for k in self._read:
            one = self._observed[k]
            piece = pieces[one.pull]
            if piece is None:
                return None
            values.append((one.value - one.read(piece)) / one.sd)
        return values

    def _slopes(self, errors: Sequence[float], values: Sequence[float]) -> list[Row]:
        """Return the slopes: an error moves its own figure, and the few readings that hang on it."""
        own: list[Row] = [[(n, 1.0 / sd)] for n, sd in enumerate(self._sds)]
        if self.down.steps == 0 and self._first:
            return [*own, *(self._first[k] for k in self._read)]
        rows: dict[int, Row] = {k: [] for k in self._read}
        at = {k: values[len(own) + n] for n, k in enumerate(self._read)}
        for n in range(len(own)):
            moves = [k for k in self._read if n in self._active.by[k]]
            if moves:
                above, below = (self._values(errors, n, by, moves) for by in (STEP, -STEP))
                for k in moves:
                    rows[k].append((n, slope_by(above[k], at[k], below[k])))
        if self.down.steps == 0 and not self.explanation.left_out:
            self._first.update(rows)
        return [*own, *rows.values()]

    def _values(self, errors: Sequence[float], n: int, by: float, which: Sequence[int]) -> dict[int, float | None]:
        changed = list(errors)
        changed[n] += by
        pieces = self._made.pieces(self.whole(changed), sorted({self._observed[k].pull for k in which}))
        out: dict[int, float | None] = {}
        for k in which:
            one = self._observed[k]
            piece = pieces[one.pull]
            out[k] = None if piece is None else (one.value - one.read(piece)) / one.sd
        return out


def shows_other(one: Observation, pieces: Mapping[int, PartBent | None]) -> bool:
    """Return whether a look shows something else on a piece."""
    piece = pieces[one.pull]
    return piece is not None and one.read(piece) * one.value < 0.0


def _same(one: Sequence[float], other: Sequence[float]) -> bool:
    return max((abs(a - b) for a, b in zip(one, other, strict=True)), default=0.0) < 0.05
