"""Which checks go on the card of a pull: the fewest whose readings tell every mistake from a piece that is right.

Every mistake that a hand may make at the pull is made, every measure that one person can take is read on what comes of
it, and those are chosen that miss the least, first of what moves a place of the piece by far; of these the fewest; of
these those that take the least trouble.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

from pipemodel.bending.part_bent import PartBent
from pipemodel.messages.values import Angle, Length, Message, message
from pipemodel.pulls.card_mark import has_rim
from pipemodel.pulls.measures import TAPE_MM, Candidate, Measure, MeasureKind, out_of_round
from pipemodel.pulls.mistakes import Mistake, Unit, apart_mm, mistakes_at
from pipemodel.pulls.offered import offered, offered_too
from pipemodel.pulls.plan import Pull
from pipemodel.pulls.stance import Stance

FEWEST, USUAL, MOST = 2, 3, 4
"""Measures and looks on a card; more than usual only for what else lets a place of the piece go by `FAR_MM` off."""
FAR_MM = TAPE_MM
"""A wrong piece of which no place is off by more may pass for the right one."""
EACH = 2
"""So many of the measures that are more trouble are looked at for each mistake that no other shows."""
HINT = 0.5
"""A reading that goes off by more than it is read to, and by less than shows for sure, is taken where nothing shows."""
PLAIN = 1.3
"""A reading so many times off what it takes to show tells even someone who is not careful."""
CLEAR = 2.0
"""A reading so many times off what it takes to show is as clear as any."""
TROUBLE = {
    MeasureKind.HEIGHT: 0.0,
    MeasureKind.SPAN: 0.0,
    MeasureKind.ANGLE: 0.2,
    MeasureKind.END_TO_BACK: 0.3,
    MeasureKind.BACK_TO_BACK: 0.3,
    MeasureKind.HAND: 0.0,
    MeasureKind.WAY: 0.0,
    MeasureKind.FLAT: 0.2,
    MeasureKind.STAND_OFF: 0.5,
    MeasureKind.ASIDE: 0.8,
    MeasureKind.OFFSET: 0.0,
    MeasureKind.CORNER: 0.5,
    MeasureKind.ACROSS: 2.0,
}
"""What it takes to take a measure, against each other; a metre of tape counts as half."""


@dataclass(frozen=True)
class Power:
    """One mistake and the check that shows it best: its place among the measures, and how far its reading goes off.

    `out` is how large the mistake is. `check` is None where none shows it, and `why_not` says why; with both, it may be
    seen and not for sure; `piece_mm` is then the most that any place of the piece lies off by.
    """

    mistake: str
    out: float
    unit: Unit
    check: int | None
    moves: float | None
    why_not: Message | None = None
    piece_mm: float | None = None


@dataclass(frozen=True)
class Choice:
    """The checks of a pull, and what each mistake does to them."""

    measures: tuple[Measure, ...]
    power: tuple[Power, ...]


def choose_checks(pull: Pull, right: PartBent, marks: Sequence[float], stance: Stance = "flat") -> Choice:
    """Choose the checks of one pull.

    Args:
        pull: the pull.
        right: the piece after it as it should be.
        marks: marks of neighbouring bends not made yet, mm from the start end.
        stance: how the bender stands.
    """
    index = next(i for i, bend in enumerate(right.bends) if bend.number == pull.bend)
    candidates = [*offered(right, index)]
    all_mistakes = list(mistakes_at(pull, right, marks, stance))
    mistakes = [one for one in all_mistakes if one.piece is not None]
    moves = [[_moves(candidate, one) for one in mistakes] for candidate in candidates]
    clear = [_clear(*row) for row in zip(candidates, moves, strict=True)]
    apart = [apart_mm(right, one.piece, index) for one in mistakes if one.piece is not None]
    chosen = _fewest([c.measure for c in candidates], clear, apart)
    shown = [max((clear[i][k] for i in chosen), default=0.0) for k in range(len(mistakes))]
    if any(by <= 1.0 for by in shown):
        for candidate, row in _too(right, index, mistakes, shown):
            candidates.append(candidate)
            moves.append(row)
            clear.append(_clear(candidate, row))
        chosen = _fewest([c.measure for c in candidates], clear, apart)
    power, k = [], -1
    for one in all_mistakes:
        if one.piece is not None:
            k += 1
            power.append(_power(one, chosen, candidates, [row[k] for row in moves], [row[k] for row in clear]))
            if power[-1].why_not is not None:
                power[-1] = replace(power[-1], piece_mm=apart[k])
        elif one.why_not is not None:
            # What the guide keeps from happening moves no leg, and is a check of its own.
            check = len(chosen) if one.name == "no guide" else None
            power.append(Power(one.name, one.out, one.unit, check, None, one.why_not))
    flat = (out_of_round(pull.bend, right.outside_mm),) if has_rim(pull.former) else ()
    names = dict.fromkeys(one.name for one in mistakes)
    finds = (
        tuple(n for n in names if all(by > 1.0 for by, one in zip(clear[i], mistakes, strict=True) if one.name == n))
        for i in chosen
    )
    measures = (replace(candidates[i].measure, finds=found) for i, found in zip(chosen, finds, strict=True))
    return Choice((*measures, *flat), tuple(power))


def _too(
    right: PartBent, index: int, mistakes: Sequence[Mistake], shown: Sequence[float]
) -> list[tuple[Candidate, list[float]]]:
    """Return what shows a mistake better that is not `shown` for sure, the two that do so best, each with its moves."""
    rows = [(one, [_moves(one, mistake) for mistake in mistakes]) for one in offered_too(right, index)]
    clear = [_clear(*row) for row in rows]
    best: set[int] = set()
    for k, by in enumerate(shown):
        if by <= 1.0:
            better = [i for i, row in enumerate(clear) if row[k] > max(by, HINT)]
            best.update(sorted(better, key=lambda i: -clear[i][k])[:EACH])
    return [rows[i] for i in sorted(best)]


def _clear(candidate: Candidate, moves: Sequence[float]) -> list[float]:
    return [by / candidate.measure.shows_from for by in moves]


def _moves(candidate: Candidate, mistake: Mistake) -> float:
    """Return how far a mistake moves a reading that can be trusted for it; a look that turns round is moved by far."""
    assert mistake.piece is not None
    if candidate.measure.kind.over_legs and mistake.unit != "mm":
        return 0.0
    reading, value = candidate.read(mistake.piece), candidate.measure.value
    if candidate.measure.unit == "look":
        return CLEAR if reading * value < 0.0 else 0.0
    return abs(reading - value)


def _fewest(measures: Sequence[Measure], clear: Sequence[Sequence[float]], apart: Sequence[float]) -> tuple[int, ...]:
    """Return which measures to take, by their places; `apart` is how far each mistake moves a place of the piece."""
    far = _above(apart, FAR_MM)
    seen = [[_above(row, 1.0) & far, *(_above(row, level) for level in (1.0, HINT, PLAIN))] for row in clear]
    useful = [i for i, masks in enumerate(seen) if any(masks)]
    # After a pull out of the plane of others there is a look at which way it goes, whatever else shows it.
    hands = {i for i in useful if measures[i].kind is MeasureKind.HAND}
    useful += [i for i, masks in enumerate(seen) if not any(masks)][: max(FEWEST - len(useful), 0)]
    best: tuple[int, ...] = ()
    every, most = _count(seen, useful), _count(seen, ())
    for size in range(min(FEWEST, len(useful)), MOST + 1):
        top, least = most, inf
        matters = slice(1 if size > USUAL else None)
        for some in combinations(useful, size):
            if hands and hands.isdisjoint(some):
                continue
            # One more is taken only for what fewer do not show, and one more than usual only for what goes by far.
            count = _count(seen, some)
            if (best and count[matters] <= most[matters]) or count < top:
                continue
            trouble = _trouble([measures[i] for i in some])
            if count > top or trouble < least:
                top, least, best = count, trouble, some
        most = top
        if most == every:
            break
    return best


def _above(row: Sequence[float], level: float) -> int:
    return sum(1 << k for k, by in enumerate(row) if by > level)


def _count(seen: Sequence[Sequence[int]], some: Sequence[int]) -> tuple[int, ...]:
    """Return how many mistakes a few measures show at each level."""
    masks = [0, 0, 0, 0]
    for i in some:
        masks = [mask | own for mask, own in zip(masks, seen[i], strict=True)]
    return tuple(mask.bit_count() for mask in masks)


def _trouble(some: Sequence[Measure]) -> float:
    """Return what a few measures take: each its own, and a laying for each way the piece is laid."""
    lays = {measure.lay for measure in some if measure.lay}
    own = sum(TROUBLE[m.kind] + (m.value / 2000.0 if m.unit == "mm" else 0.0) for m in some)
    return own + len(lays)


def _power(
    one: Mistake,
    chosen: Sequence[int],
    candidates: Sequence[Candidate],
    moves: Sequence[float],
    clear: Sequence[float],
) -> Power:
    best = max(chosen, key=lambda i: clear[i], default=None)
    if best is None or clear[best] <= HINT:
        best = max(range(len(candidates)), key=lambda i: clear[i], default=None)
    if best is None:
        return Power(one.name, one.out, one.unit, None, None, message("unseen.no measure"))
    by, measure = moves[best], candidates[best].measure
    check = list(chosen).index(best) if best in chosen else None
    if clear[best] > 1.0 and check is not None:
        return Power(one.name, one.out, one.unit, check, None if measure.unit == "look" else by)
    if measure.unit == "look":
        by, why_not = 0.0, message("unseen.no measure")
    elif measure.unit == "deg":
        far, within = message("degrees", angle=Angle(by)), message("degrees", angle=Angle(measure.within))
        why_not = message("unseen.too little", far=far, within=within)
    else:
        why_not = message("unseen.too little", far=Length(by, ".1f"), within=Length(measure.within, ".1f"))
    return Power(one.name, one.out, one.unit, check if clear[best] > HINT else None, by, why_not)
