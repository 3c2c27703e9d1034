"""Explanations tried against readings: all go down to where they explain best, those left far behind are given up.

Weighted least squares by Gauss and Newton, with true slopes. `documents/page/correct_ways.js` is the twin on the page.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from math import inf, sqrt
from operator import attrgetter
from typing import NamedTuple

from pipemodel.adjustment.linear import inverse, solution
from pipemodel.correction.explanations import FAR_OUT, MISREAD, Explanation, others
from pipemodel.correction.made import MadePiece
from pipemodel.correction.observed import Observation
from pipemodel.correction.slopes import put_slopes

AS_GOOD = 4.0
"""An explanation within so much of the best sum of squares is not ruled out."""
BEHIND = 6.0
"""What is so far behind the best, and will be if it falls by as much as at the step before once more, is given up."""
LEAST_STEPS = 3
"""So many steps at the least for what stands off to the other side."""
HOPELESS = 100.0
"""An explanation tried alone is given up where its sum of squares is so far beyond what goes with all readings."""
SHARE, HOPE = 0.5, 5.0
"""What by the slopes promises to lower the sum by less than this share of the most, less so much, is not tried."""
TIMES, MOST_MISTAKES = 10.0, 6
"""Mistakes that explain so many times worse than what they are to explain are not tried, nor more than so many."""
STARTS = {"mark": (-40.0, 40.0), "angle": (-25.0, 25.0), "turn": (-90.0, -25.0, 25.0, 90.0)}
"""From where besides an error that is far out is looked for: there the piece may lie over to another side."""
MOST_FAR, MOST_TURNED = 4, 2
"""For so many of the most promising; and from so many of the best it is looked whether gaps are to the other side."""
SAME_SUM, SAME_LESS = 1e-4, 1e-8
"""Sums that differ by less are the same; a step that lowers it by less changes nothing more."""
MOST_STEPS, HALVINGS = 30, 12


IN_1000, IN_20 = 3.0902, 1.6449
"""What a normal figure exceeds once in so many times, in standard deviations."""


def most_squares(n: int, once: float = IN_1000) -> float:
    """Return what the sum of n squares of normal figures exceeds so seldom.

    By Wilson and Hilferty's approximation to chi-squared (1931; from memory).
    """
    return n * (1.0 - 2.0 / (9.0 * n) + once * sqrt(2.0 / (9.0 * n))) ** 3 if n else 0.0


class Trials:
    """What is read of a piece, as functions of its errors."""

    def __init__(self, made: MadePiece, observed: Sequence[Observation]) -> None:
        """Keep apart what is measured and what is looked at."""
        self.made, self.observed = made, observed
        self.measured = [one for one in observed if not one.look]
        self.looks = [one for one in observed if one.look]
        self.after = sorted({one.pull for one in self.measured})

    def sides_of(self, errors: Sequence[float], like: Sequence[int] | None = None) -> list[int]:
        """Return to which side each is that may stand off to either: 1 left, -1 right, and 0 for all else.

        Where the errors leave that open it is as in `like`.
        """
        pieces, out = self.made.pieces(errors, self.after), []
        for k, one in enumerate(self.measured):
            piece = pieces[one.pull]
            by = one.read(piece, 1) - one.read(piece, -1) if one.either_side and piece is not None else 0.0
            own = like[k] if like is not None and abs(by) < one.value else -1 if by < 0.0 else 1
            out.append(own if one.either_side else 0)
        return out

    def values(self, errors: Sequence[float], sides: Sequence[int]) -> list[float] | None:
        """Return by how many standard deviations each reading is off; None where no tube has bends like these."""
        pieces, out = self.made.pieces(errors, self.after), []
        for one, side in zip(self.measured, sides, strict=True):
            piece = pieces[one.pull]
            if piece is None:
                return None
            out.append((one.value - one.read(piece, side)) / one.sd)
        return out

    def slopes(self, errors: Sequence[float], sides: Sequence[int]) -> list[list[float]]:
        """Return the slopes of these by each error."""
        pieces, out = self.made.pieces(errors, self.after), []
        for one, side in zip(self.measured, sides, strict=True):
            piece, row = pieces[one.pull], [0.0] * len(errors)
            assert piece is not None

            def put(what: int, bend: int, by: float, one: Observation = one, row: list[float] = row) -> None:
                self.made.put(row, one.pull, what, bend, -by / one.sd)

            put_slopes(one.reads, piece, one.side or side, put)
            out.append(row)
        return out


class Sum(NamedTuple):
    """A sum of squares, and what errors that are far out cost besides."""

    squares: float
    rare: float


class Descent:
    """One explanation on its way down from one start; it cannot go where `possible` is false.

    `at` are the errors so far, `sum` the sum of squares there with what the explanation costs, and `unlooked` the looks
    that show something else.
    """

    def __init__(self, trials: Trials, why: Explanation, at: Sequence[float], sides: Sequence[int]) -> None:
        """Begin at some errors, what stands off to either side being to these."""
        self.trials, self.why, self.at, self.sides = trials, why, list(at), sides
        self.read = [one.check not in why.left_out for one in trials.measured]
        self.count = sum(self.read)
        self.steps, self.least_steps, self.fell, self.done = 0, 1, inf, False
        self._normal: list[list[float]] = []
        self._rows: list[list[float]] = []
        self._known: list[list[float]] | None = None
        self._values = trials.values(self.at, sides) or []
        self.possible = bool(self._values) or not trials.measured
        if self.possible:
            self._come_to(self.at, self._values, self._sum_of(self.at, self._values))

    def weight(self, place: int, at: Sequence[float]) -> tuple[float, float]:
        """Return how much the square of an error weighs, and what its being far out costs."""
        weight = 1.0 / self.why.sd[place] ** 2
        if place not in self.why.far:
            return weight, 0.0
        square = (at[place] - self.why.middle[place]) ** 2 * weight
        times, costs = min(FAR_OUT, key=lambda one: square / one[0] ** 2 + one[1])
        return weight / times**2, costs

    def go(self) -> None:
        """Go one step down; `done` once that changes nothing more."""
        n, at = len(self.at), self.at
        self._rows = self.trials.slopes(at, self.sides)
        normal, down = [[0.0] * n for _ in range(n)], [0.0] * n
        for place in range(n):
            normal[place][place], _ = self.weight(place, at)
            down[place] = (self.why.middle[place] - at[place]) * normal[place][place]
        for row, value, read in zip(self._rows, self._values, self.read, strict=True):
            own = [(place, slope) for place, slope in enumerate(row) if slope] if read else []
            for i, a in own:
                down[i] -= a * value
                for j, b in own:
                    normal[i][j] += a * b
        self._normal, self._known = normal, None
        self.steps += 1
        step, before, share = solution(normal, down), self.squares.squares + self.squares.rare, 1.0
        for _ in range(HALVINGS):
            there = [x + share * d for x, d in zip(at, step, strict=True)]
            values = self.trials.values(there, self.sides)
            if values is not None:
                comes = self._sum_of(there, values)
                less = before - comes.squares - comes.rare
                if less >= 0.0:
                    self._come_to(there, values, comes)
                    self.fell, self.done = less, less <= SAME_LESS or self.steps >= MOST_STEPS
                    return
            share /= 2.0
        self.fell, self.done = 0.0, True

    def _sum_of(self, at: Sequence[float], values: Sequence[float]) -> Sum:
        squares = sum(value * value for value, read in zip(values, self.read, strict=True) if read)
        rare = 0.0
        for place, (error, middle) in enumerate(zip(at, self.why.middle, strict=True)):
            weight, costs = self.weight(place, at)
            squares += (error - middle) ** 2 * weight
            rare += costs
        return Sum(squares, rare)

    def _come_to(self, at: list[float], values: list[float], squares: Sum) -> None:
        self.at, self._values, self.squares = at, values, squares
        looks = [one for one in self.trials.looks if one.check not in self.why.left_out]
        pieces = self.trials.made.pieces(at, sorted({one.pull for one in looks})) if looks else {}
        self.unlooked = tuple(
            one.check for one in looks if (piece := pieces[one.pull]) is not None and one.read(piece) * one.value < 0.0
        )
        self.sum = squares.squares + squares.rare + MISREAD * len(self.unlooked) + self.why.costs

    @property
    def explains(self) -> bool:
        """Whether all readings go with it: one true set in a thousand goes worse."""
        return not self.unlooked and self.squares.squares <= most_squares(self.count)

    @property
    def explains_well(self) -> bool:
        """Whether they go with it so well that nothing else need be looked for: one true set in 20 goes worse."""
        return not self.unlooked and self.squares.squares <= most_squares(self.count, IN_20)

    @property
    def covariance(self) -> list[list[float]]:
        """The covariance of the errors, by the slopes of the last step."""
        if self._known is None:
            self._known = inverse(self._normal)
        return self._known

    def _without(self, terms: Sequence[tuple[Sequence[float], float]]) -> float:
        """Return by how much less the sum would be without some terms, each its slopes and its value.

        Their own residuals, over what of these the unknowns do not take up: deletion of cases in linear regression
        (Cook and Weisberg, Residuals and Influence in Regression, 1982; from memory). A millionth keeps it solvable.
        """
        rows = [[(place, slope) for place, slope in enumerate(row) if slope] for row, _ in terms]
        covariance = self.covariance
        left = [
            [
                (1.0 + 1e-6) * (i == j) - sum(x * y * covariance[p][q] for p, x in a for q, y in b)
                for j, b in enumerate(rows)
            ]
            for i, a in enumerate(rows)
        ]
        values = [value for _, value in terms]
        return sum(value * part for value, part in zip(values, solution(left, values), strict=True))

    def without_check(self, check: str) -> float:
        """Return by how much less the sum would be without a check, by the slopes of the last step."""
        return self._without(
            [
                (self._rows[k], self._values[k])
                for k, one in enumerate(self.trials.measured)
                if one.check == check and self.read[k]
            ]
        )

    def without_error(self, place: int) -> float:
        """Return by how much less the sum would be if an error could be anything, by the slopes of the last step."""
        root = sqrt(self.weight(place, self.at)[0])
        row = [0.0] * len(self.at)
        row[place] = root
        return self._without([(row, (self.at[place] - self.why.middle[place]) * root)])

    @property
    def far_out(self) -> tuple[str, ...]:
        """Checks read once that are further out than one true reading in a thousand, by what all else says."""
        once = [
            (one.check, self._without([(self._rows[k], self._values[k])]))
            for k, one in enumerate(self.trials.measured)
            if one.once and self.read[k]
        ]
        most = max((less for _, less in once), default=0.0)
        # Of two readings that do not go together, either may be the wrong one.
        return tuple(check for check, less in once if less > most_squares(1) and less >= most - AS_GOOD)

    def other_sides(self) -> Iterator["Descent"]:
        """Yield the same with what may stand off to either side to the other ones."""
        either = [k for k, side in enumerate(self.sides) if side and self.read[k]][:3]
        for signs in list(product((1, -1), repeat=len(either)))[1:]:
            sides = list(self.sides)
            for k, sign in zip(reversed(either), signs, strict=True):
                sides[k] *= sign
            # From here no slope may lead there: what is twisted as far the other way is nearer.
            ways = [Descent(self.trials, self.why, at, sides) for at in (self.at, self._twisted_back)]
            way = min(ways, key=lambda one: one.sum if one.possible else inf)
            way.least_steps = LEAST_STEPS
            yield way

    @property
    def _twisted_back(self) -> list[float]:
        """The errors, those of turns as far off to the other side."""
        rows = zip(self.trials.made.unknowns, self.at, self.why.middle, strict=True)
        return [2.0 * middle - error if unknown.what == "turn" else error for unknown, error, middle in rows]


def come_of(ways: Sequence[Descent]) -> list[Descent]:
    """Return what comes of some ways, the best first; several of one explanation where it leaves a side open."""
    found = go_down(ways)
    # What stands off without its side may be to the other one.
    turned = [other for way in found[:MOST_TURNED] for other in way.other_sides()]
    if turned:
        found = go_down([*found, *turned])
    kept: list[Descent] = []
    for way in found:
        if not any(one.why is way.why and _same(one.at, way.at) for one in kept):
            kept.append(way)
    return kept


def go_down(ways: Sequence[Descent]) -> list[Descent]:
    """Return ways gone down, the best first; those left far behind on the way are given up."""
    left = [way for way in ways if way.possible]
    while any(not way.done for way in left):
        for way in left:
            if not way.done:
                way.go()
        most = min(way.sum for way in left) + BEHIND
        left = [way for way in left if way.sum - way.fell <= most or way.steps < way.least_steps]
    # Two that come to the same thing stay as they were listed.
    return sorted(left, key=lambda way: round(way.sum / SAME_SUM))


def does_explain(way: Descent) -> bool:
    """Tell whether an explanation explains all readings, going down no further than that is plain."""
    while not way.explains:
        if way.done or way.squares.squares - max(way.fell, HOPELESS) > most_squares(way.count):
            return False
        way.go()
    return True


def without_check(way: Descent, check: str) -> Descent:
    """Return the same explanation without a check, on its way from where it came to."""
    return Descent(way.trials, replace(way.why, left_out=(*way.why.left_out, check)), way.at, way.sides)


def on_top_of(best: Descent, doubted: set[int]) -> list[Descent]:
    """Return what else may be so at the pulls `doubted`, on top of the best explanation so far; the best first."""
    trials, promising, mistaken = best.trials, [], []

    def begun(why: Explanation, at: Sequence[float]) -> Descent:
        return Descent(trials, why, at, trials.sides_of(at, best.sides))

    for why in others(trials.made, best.why, trials.observed, doubted):
        if len(why.far) > len(best.why.far):
            promising.append((best.without_error(why.far[-1]) - FAR_OUT[0][1], why))
        elif len(why.left_out) > len(best.why.left_out):
            promising.append((best.without_check(why.left_out[-1]) - MISREAD, why))
        else:
            shifted = [x + m - was for x, m, was in zip(best.at, why.middle, best.why.middle, strict=True)]
            ways = (begun(why, at) for at in (why.middle, shifted))
            mistaken += sorted((way for way in ways if way.possible), key=attrgetter("sum"))[:1]
    enough = SHARE * max((less for less, _ in promising), default=0.0) - HOPE
    mistaken = [way for way in sorted(mistaken, key=attrgetter("sum"))[:MOST_MISTAKES] if way.sum <= TIMES * best.sum]
    found = go_down([*(begun(why, best.at) for less, why in promising if less >= enough), *mistaken])
    if not found or not found[0].explains:
        # What is so far out that the piece lies over elsewhere is not found by the slopes.
        far = sorted((one for one in promising if len(one[1].far) > len(best.why.far)), key=lambda one: -one[0])
        for _, why in far[:MOST_FAR]:
            place = why.far[-1]
            for off in STARTS[why.mistakes[-1][1]]:
                at = list(best.at)
                at[place] = why.middle[place] + off
                found.append(begun(why, at))
    return come_of(found)


def _same(one: Sequence[float], other: Sequence[float]) -> bool:
    return max((abs(a - b) for a, b in zip(one, other, strict=True)), default=0.0) < 0.05
