"""What was probably bent, by weighted least squares on the true geometry of each check.

The errors of the hands are unknowns with a scatter of their own (`hands`), every reading is a function of the piece
that comes of them. Where bends made nearly right do not explain the readings, what else may have happened is tried
(`explanations`), and the explanation with the least sum of squares, its own rareness included, is taken. A reading
that is not believed then is one to take again.
"""

from collections.abc import Mapping, Sequence
from math import exp, radians, sqrt

from pipemodel.accuracy.values import WHATS, Z_95
from pipemodel.bending.part_bent import PartBent
from pipemodel.correction.explanations import plain
from pipemodel.correction.made import MadePiece, Unknown
from pipemodel.correction.observed import Observation
from pipemodel.correction.values import BentBend, Estimate, LikelyErrors, LikelyFigure
from pipemodel.correction.ways import AS_GOOD, Descent, Trials, come_of, does_explain, on_top_of, without_check
from pipemodel.pulls.piece import within_half_turn

DOUBTED, FAR = 1.5, 99.0
"""Standard deviations from which on a pull is looked at; and what counts as far off."""
MOST_AT_ONCE = 3
"""Explanations on top of each other."""


def estimate(made: MadePiece, observed: Sequence[Observation]) -> Estimate:
    """Return what was probably bent."""
    trials, bare = Trials(made, observed), plain(made)
    best, *near = nearly_right = come_of([Descent(trials, bare, made.apart, trials.sides_of(made.apart))])
    more: list[Descent] = []
    for _ in range(MOST_AT_ONCE):
        if best.explains_well or (best.explains and more):
            break
        more = on_top_of(best, _doubted(made, best, observed))
        if not more or more[0].sum >= best.sum:
            near += more if best.explains else []
            break
        best, *near = more
    # What is not ruled out widens the intervals.
    near = [one for one in near if one.sum <= best.sum + AS_GOOD and not (one.unlooked or one.why.left_out)]
    again = {*best.why.left_out, *best.unlooked}
    if again:
        # Of two readings that do not go together, either may be the wrong one.
        again |= {check for one in more if one.sum <= best.sum + AS_GOOD for check in one.why.left_out}
    elif not best.explains:
        again = {_worst(made, best, observed)}
    else:
        again = set(best.far_out)
    checks = [one.check for one in observed]
    return Estimate(
        _bends(made, best, near),
        best.why.mistakes,
        tuple(sorted(again, key=checks.index)),
        _alone(nearly_right[0]) if best.why.mistakes and not again else (),
        *_sides_left_open(made, best, near),
        likely=_likely((best, *near)),
    )


def _sides_left_open(
    made: MadePiece, best: Descent, near: Sequence[Descent]
) -> tuple[tuple[str, ...], tuple[tuple[BentBend, ...], ...]]:
    """Return the checks that may stand off to either side, and the bends by each side; none where that is settled."""
    turned = [one for one in near if list(one.sides) != list(best.sides)]
    checks = [one.check for one in best.trials.measured]
    sides = zip(*(one.sides for one in (best, *turned)), strict=True)
    left_open = tuple(dict.fromkeys(check for check, own in zip(checks, sides, strict=True) if len(set(own)) > 1))
    return left_open, tuple(_bends(made, one, ()) for one in (best, *turned)) if left_open else ()


def _alone(nearly_right: Descent) -> tuple[str, ...]:
    """Return the checks measured once without which bends made nearly right explain all that was read."""
    once = dict.fromkeys(one.check for one in nearly_right.trials.measured if one.once)
    return tuple(check for check in once if does_explain(without_check(nearly_right, check)))


def _doubted(made: MadePiece, best: Descent, observed: Sequence[Observation]) -> set[int]:
    """Return the pulls that something may have gone wrong at: whose readings or errors fit no better than so."""
    pieces = made.pieces(best.at, sorted({one.pull for one in observed}))
    read = {one.pull for one in observed}
    doubted = {one.pull for one in observed if _off(one, pieces) > DOUBTED}
    for pull in made.pulls:
        for place, unknown in enumerate(made.unknowns):
            error = best.at[place] - best.why.middle[place]
            if unknown.bend == pull.bend and abs(error) > DOUBTED * best.why.sd[place]:
                doubted.add(pull.number)
    return (doubted & read) or read


def _off(one: Observation, pieces: Mapping[int, PartBent | None]) -> float:
    """Return how far a reading is off, in its standard deviations; a look that shows something else is by far."""
    piece = pieces[one.pull]
    if piece is None or one.look:
        return FAR if piece is None or one.read(piece) * one.value < 0.0 else 0.0
    return abs(one.value - one.read(piece)) / one.sd


def _worst(made: MadePiece, best: Descent, observed: Sequence[Observation]) -> str:
    """Return the check that fits worst, for its scatter."""
    read = [one for one in observed if not one.look]
    pieces = made.pieces(best.at, sorted({one.pull for one in read}))

    return max(read, key=lambda one: _off(one, pieces)).check


def _weights(tried: Sequence[Descent]) -> list[float]:
    """Return how likely each is beside the first."""
    return [exp((tried[0].sum - one.sum) / 2.0) for one in tried]


def _likely(tried: Sequence[Descent]) -> tuple[LikelyErrors, ...]:
    weights = _weights(tried)
    mean = [
        sum(w * x for w, x in zip(weights, row, strict=True)) / sum(weights)
        for row in zip(*(one.at for one in tried), strict=True)
    ]
    return tuple(LikelyErrors(tuple(x - m for x, m in zip(one.at, mean, strict=True)), one.covariance) for one in tried)


def _bends(made: MadePiece, best: Descent, near: Sequence[Descent]) -> tuple[BentBend, ...]:
    figures = [_figures(made, one) for one in (best, *near)]
    weights = _weights((best, *near))
    aims, out = made.aims, []
    for place, number in enumerate(made.numbers):
        start, angle, turn = (_widened([one[place][what] for one in figures], weights) for what in range(3))
        aim, before = aims[number], aims.get(number - 1)
        aim_turn = within_half_turn(aim.plane_deg - before.plane_deg) if before else 0.0
        turned = within_half_turn(turn.value + aim_turn)
        turn = LikelyFigure(turned, turned - turn.value + turn.low, turned - turn.value + turn.high)
        out.append(BentBend(number, start, angle, turn, aim.start_mm, aim.angle_deg, aim_turn))
    return tuple(out)


def _widened(intervals: Sequence[LikelyFigure], weights: Sequence[float]) -> LikelyFigure:
    """Return the mean of what is likely, by how likely, and an interval that holds all of it."""
    mean = sum(one.value * weight for one, weight in zip(intervals, weights, strict=True)) / sum(weights)
    return LikelyFigure(mean, min(one.low for one in intervals), max(one.high for one in intervals))


def _figures(made: MadePiece, found: Descent) -> list[tuple[LikelyFigure, LikelyFigure, LikelyFigure]]:
    """Return start, angle and error of the turn of each bend."""
    bent, held = made.figures(found.at), {pull.bend: pull.held for pull in made.pulls}
    covariance, out = found.covariance, []
    for place, number in enumerate(made.numbers):
        mark, angle = (made.unknowns.index(Unknown(number, what)) for what in WHATS[:2])
        turn = made.place(number, "turn")
        radius = made.solved.table.bends[number - 1].radius_mm
        earlier = radians(radius) if held[number] == "finish" else 0.0
        both, angle_var = covariance[mark][angle], covariance[angle][angle]
        start_var = covariance[mark][mark] - 2.0 * earlier * both + earlier * earlier * angle_var
        error, turn_var = (0.0, 0.0) if turn is None else (found.at[turn], covariance[turn][turn])
        out.append(
            (
                _interval(bent.starts[place], start_var),
                _interval(bent.angles[place], angle_var),
                _interval(error, turn_var),
            )
        )
    return out


def _interval(value: float, variance: float) -> LikelyFigure:
    half = Z_95 * sqrt(max(variance, 0.0))
    return LikelyFigure(value, value - half, value + half)
