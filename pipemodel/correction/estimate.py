"""What was probably bent, by weighted least squares on the true geometry of each check.

The errors of the hands are unknowns with a scatter of their own (`hands`), every reading is a function of the piece
that comes of them. Where bends made nearly right do not explain the readings, what else may have happened is tried
(`explanations`), and the explanation with the least sum of squares, its own rareness included, is taken. A reading
that is not believed then is one to take again.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import exp, radians, sqrt

from pipemodel.accuracy.values import Z_95
from pipemodel.bending.part_bent import PartBent
from pipemodel.correction.explanations import MISREAD, Explanation, others, plain
from pipemodel.correction.least_squares import Found, least_squares
from pipemodel.correction.made import MadePiece
from pipemodel.correction.observed import Observation
from pipemodel.correction.values import BentBend, Estimate, Interval
from pipemodel.pulls.piece import within_half_turn

AS_GOOD = 4.0
"""An explanation within so much of the best sum of squares is not ruled out: its figures widen the intervals."""
DOUBTED, FAR = 1.5, 99.0
"""Standard deviations from which on a pull is looked at; and what counts as far off."""
MOST_AT_ONCE = 3
"""Explanations on top of each other."""
TWISTED_DEG = 4.0
"""From so far to either side a twist is looked for that a gap under what should lie flat shows."""


@dataclass(frozen=True)
class _Tried:
    """An explanation with what comes of it: the errors found, and the sum of squares with what it costs."""

    explanation: Explanation
    found: Found
    unlooked: tuple[str, ...]
    """Looks that show something else."""
    readings: int

    @property
    def sum(self) -> float:
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


def estimate(made: MadePiece, observed: Sequence[Observation]) -> Estimate:
    """Return what was probably bent."""
    active = _active(made, observed)
    tried = _try(made, plain(made), observed, active)
    assert tried, "bends as planned can be measured"
    best, near = tried[0], tried[1:]
    more: list[_Tried] = []
    for _ in range(MOST_AT_ONCE):
        if best.explains:
            break
        doubted = _doubted(made, best, observed)
        new = others(made, best.explanation, observed, doubted)
        more = [one for other in new for one in _try(made, other, observed, active)]
        more.sort(key=lambda one: one.sum)
        if not more or more[0].sum >= best.sum:
            break
        best, near = more[0], more[1:]
    near = [one for one in near if one.sum <= best.sum + AS_GOOD and not (one.unlooked or one.explanation.left_out)]
    again = {*best.explanation.left_out, *best.unlooked}
    if again:
        # Of two readings that do not go together, either may be the wrong one.
        again |= {check for one in more if one.sum <= best.sum + AS_GOOD for check in one.explanation.left_out}
    elif not best.explains:
        again = {_worst(made, best, observed)}
    checks = [one.check for one in observed]
    return Estimate(
        _bends(made, best, near),
        best.explanation.mistakes,
        tuple(sorted(again, key=checks.index)),
        _alone(made, observed, active) if best.explanation.mistakes and not again else (),
        bool(near) and any(one.either_side for one in observed),
    )


def _active(made: MadePiece, observed: Sequence[Observation]) -> list[int]:
    """Return which errors move any reading at all, by their places: all others stay where they lie about.

    Tried on a piece that is out in every way, since on one as drawn some move a reading only once it is out.
    """
    after = sorted({one.pull for one in observed})
    crooked = [(0.4 + 0.07 * (place % 7)) * (-1) ** place for place in range(len(made.sd))]

    def read(errors: Sequence[float]) -> list[float]:
        pieces = made.pieces(errors, after)
        return [one.read(piece) for one in observed if not one.look and (piece := pieces[one.pull]) is not None]

    right, out = read(crooked), []
    for place in range(len(crooked)):
        changed = list(crooked)
        changed[place] += 0.3
        new = read(changed)
        if len(new) != len(right) or any(abs(a - b) > 1e-9 for a, b in zip(new, right, strict=True)):
            out.append(place)
    return out


def _try(
    made: MadePiece, explanation: Explanation, observed: Sequence[Observation], active: Sequence[int]
) -> list[_Tried]:
    """Return what comes of an explanation, the best first; several where a gap is seen to either side."""
    middles, sds = [explanation.middle[i] for i in active], [explanation.sd[i] for i in active]
    believed = [one for one in observed if one.check not in explanation.left_out]
    read = [one for one in believed if not one.look]
    after = sorted({one.pull for one in believed})

    def functions(errors: Sequence[float]) -> list[float] | None:
        pieces = made.pieces(_put_in(explanation.middle, active, errors), after)
        values = [(error - middle) / sd for error, middle, sd in zip(errors, middles, sds, strict=True)]
        for one in read:
            piece = pieces[one.pull]
            if piece is None:
                return None
            values.append((one.value - one.read(piece)) / one.sd)
        return values

    out: list[_Tried] = []
    for start in _starts(made, explanation, read):
        part = least_squares(functions, [start[i] for i in active])
        if part is None:
            continue
        found = _whole(part, explanation, active)
        if any(_same(found.at, one.found.at) for one in out):
            continue
        pieces = made.pieces(found.at, after)
        unlooked = [one.check for one in believed if one.look and _shows_other(one, pieces)]
        out.append(_Tried(explanation, found, tuple(unlooked), len(read)))
    return sorted(out, key=lambda one: one.sum)


def _put_in(all_: Sequence[float], places: Sequence[int], values: Sequence[float]) -> list[float]:
    out = list(all_)
    for place, value in zip(places, values, strict=True):
        out[place] = value
    return out


def _whole(part: Found, explanation: Explanation, active: Sequence[int]) -> Found:
    """Return what was found of some errors with all others where they lie about, as uncertain as before."""
    n, place_of = len(explanation.sd), {place: k for k, place in enumerate(active)}
    covariance = [[0.0] * n for _ in range(n)]
    for i in range(n):
        if i in place_of:
            for j in active:
                covariance[i][j] = part.covariance[place_of[i]][place_of[j]]
        else:
            covariance[i][i] = explanation.sd[i] ** 2
    return Found(_put_in(explanation.middle, active, part.at), part.cost, covariance)


def _shows_other(one: Observation, pieces: Mapping[int, PartBent | None]) -> bool:
    piece = pieces[one.pull]
    return piece is not None and one.read(piece) * one.value < 0.0


def _same(one: Sequence[float], other: Sequence[float]) -> bool:
    return max((abs(a - b) for a, b in zip(one, other, strict=True)), default=0.0) < 0.05


def _starts(made: MadePiece, explanation: Explanation, read: Sequence[Observation]) -> list[list[float]]:
    """Return where to look from: the middle, or to both sides of it where a gap does not say to which side it is."""
    middle = list(explanation.middle)
    places: list[int] = []
    for one in read:
        if one.either_side:
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


def _alone(made: MadePiece, observed: Sequence[Observation], active: Sequence[int]) -> tuple[str, ...]:
    """Return the checks measured once without which bends made nearly right explain all that was read."""
    bare, found = plain(made), []
    for check in dict.fromkeys(one.check for one in observed if one.once and not one.look):
        tried = _try(made, replace(bare, left_out=frozenset({check})), observed, active)
        if tried and tried[0].explains:
            found.append(check)
    return tuple(found)


def _doubted(made: MadePiece, best: _Tried, observed: Sequence[Observation]) -> set[int]:
    """Return the pulls that something may have gone wrong at: whose readings or errors fit no better than so."""
    pieces = made.pieces(best.found.at, sorted({one.pull for one in observed}))
    read = {one.pull for one in observed}
    doubted = {one.pull for one in observed if _off(one, pieces) > DOUBTED}
    for pull in made.pulls:
        for place, unknown in enumerate(made.unknowns):
            error = best.found.at[place] - best.explanation.middle[place]
            if unknown.bend == pull.bend and abs(error) > DOUBTED * best.explanation.sd[place]:
                doubted.add(pull.number)
    return (doubted & read) or read


def _off(one: Observation, pieces: Mapping[int, PartBent | None]) -> float:
    """Return how far a reading is off, in its standard deviations; a look that shows something else is by far."""
    piece = pieces[one.pull]
    if piece is None or one.look:
        return FAR if piece is None or _shows_other(one, pieces) else 0.0
    return abs(one.value - one.read(piece)) / one.sd


def _worst(made: MadePiece, best: _Tried, observed: Sequence[Observation]) -> str:
    """Return the check that fits worst, for its scatter."""
    read = [one for one in observed if not one.look]
    pieces = made.pieces(best.found.at, sorted({one.pull for one in read}))

    return max(read, key=lambda one: _off(one, pieces)).check


def _bends(made: MadePiece, best: _Tried, near: Sequence[_Tried]) -> tuple[BentBend, ...]:
    figures = [_figures(made, one.found) for one in (best, *near)]
    weights = [exp((best.sum - one.sum) / 2.0) for one in (best, *near)]
    aims, out = made.aims, []
    for place, number in enumerate(made.numbers):
        start, angle, turn = (_widened([one[place][what] for one in figures], weights) for what in range(3))
        aim, before = aims[number], aims.get(number - 1)
        aim_turn = within_half_turn(aim.plane_deg - before.plane_deg) if before else 0.0
        turned = within_half_turn(turn.value + aim_turn)
        turn = Interval(turned, turned - turn.value + turn.low, turned - turn.value + turn.high)
        out.append(BentBend(number, start, angle, turn, aim.start_mm, aim.angle_deg, aim_turn))
    return tuple(out)


def _widened(intervals: Sequence[Interval], weights: Sequence[float]) -> Interval:
    """Return the mean of what is likely, by how likely, and an interval that holds all of it."""
    mean = sum(one.value * weight for one, weight in zip(intervals, weights, strict=True)) / sum(weights)
    return Interval(mean, min(one.low for one in intervals), max(one.high for one in intervals))


def _figures(made: MadePiece, found: Found) -> list[tuple[Interval, Interval, Interval]]:
    """Return start, angle and error of the turn of each bend."""
    bent, held = made.figures(found.at), {pull.bend: pull.held for pull in made.pulls}
    covariance, out = found.covariance, []
    for place, number in enumerate(made.numbers):
        mark, angle, turn = (made.place(number, what) for what in ("mark", "angle", "turn"))
        assert mark is not None
        assert angle is not None
        radius = made.solved.table.bends[number - 1].radius_mm
        earlier = radians(radius) if held[number] == "finish" else 0.0
        start_var = (
            covariance[mark][mark]
            - 2.0 * earlier * covariance[mark][angle]
            + earlier * earlier * covariance[angle][angle]
        )
        error, turn_var = (0.0, 0.0) if turn is None else (found.at[turn], covariance[turn][turn])
        out.append(
            (
                _interval(bent.starts[place], start_var),
                _interval(bent.angles[place], covariance[angle][angle]),
                _interval(error, turn_var),
            )
        )
    return out


def _interval(value: float, variance: float) -> Interval:
    half = Z_95 * sqrt(max(variance, 0.0))
    return Interval(value, value - half, value + half)
