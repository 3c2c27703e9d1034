"""Whether the springback of a former has changed from some piece on: a worn former, or another batch of tube.

For every place between two pieces, a shift of the springback there, in proportion to the angle, is fitted beside the
law of springback; the place where it explains most is taken, and what it explains is held against what chance alone
would at the best place of all. That is found by simulation, for the very pieces at hand: the ratio of what the shift
explains to what is left does not depend on how far they scatter. Each piece counts as one, since its bends share their
tube. (The two-segment likelihood ratio; R. E. Quandt,
1958, and for its distribution K. J. Worsley, 1983; both from memory.)
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt

from pipemodel.geometry.arrays import Floats, Ints, np
from pipemodel.learning.posterior import Interval
from pipemodel.learning.readings import measured_angles, shares_of_shift, springback_rows
from pipemodel.learning.records import BendRecord, in_pieces

FALSE_ALARM = 0.005
"""How often a former that has not changed is said to have, at each look."""
DRAWS = 4000
LEAST_PIECES, LEAST_BENDS = 2, 3
"""On each side of a change: one piece may have been bent badly."""
LEAST_IN_ALL = 6
"""Pieces, without which nothing is said."""
MOST_PLACES = 120
"""Of more places between pieces, so many are looked at, evenly spread."""


@dataclass(frozen=True)
class SpringbackChange:
    """A change of springback, from a piece on.

    `more` is by how many degrees more the tube springs back at 90, with its 95 % interval, the place taken for right:
    here by the shift in proportion, in `learned_former` by the laws before and after.
    `first` is the first bend of that piece, `piece` its place in the order from 1; `batch` is set where
    another batch of tube began there.
    """

    piece: int
    first: BendRecord
    more: Interval
    chance: float
    """How often a former that has not changed would look as if it had."""
    batch: str = ""
    batch_before: str = ""


def segments(
    records: Sequence[BendRecord], scatter_deg: float
) -> tuple[tuple[tuple[BendRecord, ...], ...], tuple[SpringbackChange, ...]]:
    """Return the records of a former from one change of springback to the next, and the changes.

    Args:
        records: of one former and tube.
        scatter_deg: how far the hands scatter, beside which readings are weighed.
    """
    pieces = in_pieces(records)
    changes = tuple(_changes(pieces, 0, scatter_deg))
    ends = [0, *(change.piece - 1 for change in changes), len(pieces)]
    return tuple(_flat(pieces[a:b]) for a, b in pairwise(ends)), changes


def _changes(pieces: Sequence[tuple[BendRecord, ...]], before: int, scatter_deg: float) -> Iterator[SpringbackChange]:
    """Yield the changes in a row of pieces, in their order: the plainest, and those on both sides of it.

    `before` is how many pieces come before these.
    """
    found = _plainest(pieces, before, scatter_deg)
    if found is not None:
        at = found.piece - 1 - before
        yield from _changes(pieces[:at], before, scatter_deg)
        yield found
        yield from _changes(pieces[at:], before + at, scatter_deg)


def _flat(pieces: Sequence[Sequence[BendRecord]]) -> tuple[BendRecord, ...]:
    return tuple(record for piece in pieces for record in piece)


def _plainest(pieces: Sequence[tuple[BendRecord, ...]], before: int, scatter_deg: float) -> SpringbackChange | None:
    """Return the plainest change in a row of pieces."""
    read = [measured_angles(piece) for piece in pieces]
    counted = [i for i, piece in enumerate(read) if piece]
    places = _places([len(read[i]) for i in counted])
    if len(counted) < LEAST_IN_ALL or not places:
        return None
    angles = _Angles.of([read[i] for i in counted], scatter_deg)
    off, weight = angles.by_piece()
    # One direction for each place: the pieces beyond it against those before it.
    shifts = np.stack([np.where(np.arange(len(off)) >= place, 1.0, 0.0) for place in places], axis=1)
    root = np.sqrt(weight)
    level = (root / np.linalg.norm(root))[:, None]
    shifts = shifts * root[:, None]
    shifts = shifts - level @ (level.T @ shifts)
    sizes = np.linalg.norm(shifts, axis=0)
    left = off * root
    left = left - level[:, 0] * float(level[:, 0] @ left)
    whole = float(left @ left)
    explains = (shifts.T @ left / sizes) ** 2
    best = int(np.argmax(explains))
    most = float(explains[best]) / whole if whole > 0.0 else 0.0
    chance = float(np.mean(_by_chance(shifts / sizes, len(off) - 1) >= most))
    if chance > FALSE_ALARM:
        return None
    spare = len(off) - 2
    noise = sqrt(max(whole - float(explains[best]), 0.0) / spare)
    at = counted[places[best]]
    # What comes out less of one pull is made up by a little more than that much more pull.
    pull_for = _pull_for_a_degree(read[:at]) * _pull_for_a_degree(read[at:])
    half = student_95(spare) * noise / float(sizes[best])
    more = Interval(angles.shift_from(places[best]) * pull_for, half * pull_for)
    earlier, later = _batches(pieces[:at]), _batches(pieces[at:])
    other = len(later) == 1 and not later & earlier and "" not in later
    batch, was = (next(iter(later)), "/".join(sorted(earlier - {""}))) if other else ("", "")
    return SpringbackChange(before + at + 1, pieces[at][0], more, chance, batch, was)


@dataclass(frozen=True, eq=False)
class _Angles:
    """Angles as weighed, less what the law of springback makes of them.

    `left` (n,) is that, `shares` (n,) what a shift by a degree at 90 would make of each, `base` (n, 2) the directions
    of the law: what comes out against what was pulled to, a straight line. `begins` says where each piece begins.
    """

    left: Floats
    shares: Floats
    base: Floats
    begins: Ints

    @classmethod
    def of(cls, read: Sequence[tuple[BendRecord, ...]], scatter_deg: float) -> "_Angles":
        records = _flat(read)
        rows = springback_rows(records, 0.0, 0.0)
        spread = 1.0 / np.sqrt(rows.variance + max(scatter_deg, 0.01) ** 2)
        law = np.column_stack([np.ones(len(records)), [r.pulled_deg for r in records]]) * spread[:, None]
        base, size, _ = np.linalg.svd(law, full_matrices=False)
        base = base[:, size > 1e-6 * size[0]]
        got = np.array([record.got_deg for record in records], dtype=float) * spread
        begins = np.cumsum([0, *(len(piece) for piece in read[:-1])])
        return cls(got - base @ (base.T @ got), shares_of_shift(records) * spread, base, begins)

    def by_piece(self) -> tuple[Floats, Floats]:
        """Return by how much the tube of each piece springs back more at 90 than that of all, and how much it weighs.

        The bends of a piece share their tube, so they count together as one. How far tubes differ from piece to piece
        beyond what their bends scatter is estimated by its moments (R. DerSimonian and N. Laird, 1986; from memory).
        """
        weight = np.add.reduceat(self.shares**2, self.begins)
        off = np.add.reduceat(self.shares * self.left, self.begins) / weight
        mean = float(weight @ off / weight.sum())
        beyond = float(weight @ (off - mean) ** 2) - (len(off) - 1)
        apart = max(0.0, beyond / float(weight.sum() - weight @ weight / weight.sum()))
        return off, 1.0 / (1.0 / weight + apart)

    def shift_from(self, piece: int) -> float:
        """Return by how much more the tube springs back at 90 from a piece on, the law fitted beside it."""
        shift = np.where(np.arange(len(self.left)) >= self.begins[piece], self.shares, 0.0)
        shift = shift - self.base @ (self.base.T @ shift)
        return float(shift @ self.left / (shift @ shift))


def _pull_for_a_degree(pieces: Sequence[Sequence[BendRecord]]) -> float:
    """Return how far was pulled for each degree that came out."""
    records = _flat([tuple(piece) for piece in pieces])
    return sum(record.pulled_deg for record in records) / sum(record.got_deg or 0.0 for record in records)


def _batches(pieces: Sequence[Sequence[BendRecord]]) -> set[str]:
    return {record.batch for piece in pieces for record in piece}


def _places(bends: Sequence[int]) -> list[int]:
    """Return after how many pieces a change may be looked for, from the number of bends of each."""
    good = [
        i
        for i in range(LEAST_PIECES, len(bends) - LEAST_PIECES + 1)
        if min(sum(bends[:i]), sum(bends[i:])) >= LEAST_BENDS
    ]
    if len(good) <= MOST_PLACES:
        return good
    return [good[round(i * (len(good) - 1) / (MOST_PLACES - 1))] for i in range(MOST_PLACES)]


def _by_chance(shifts: Floats, spare: int) -> Floats:
    """Return what the best shift explains of pieces that hold none, drawn many times; (draws,).

    Args:
        shifts: (n, k) unit directions, square to the mean of all pieces.
        spare: how many directions there are that are square to it.
    """
    base, size, _ = np.linalg.svd(shifts, full_matrices=False)
    base = base[:, size > 1e-9 * size[0]]
    random = np.random.default_rng(20_111)
    drawn = random.standard_normal((DRAWS, base.shape[1]))
    rest = spare - base.shape[1]
    others = random.chisquare(rest, DRAWS) if rest > 0 else np.zeros(DRAWS)
    whole = (drawn**2).sum(axis=1) + others
    out: Floats = ((drawn @ (base.T @ shifts)) ** 2).max(axis=1) / whole
    return out


def student_95(freedom: int) -> float:
    """Return how many standard deviations to both sides hold 95 % of Student's distribution.

    Cornish and Fisher's expansion (Abramowitz and Stegun 26.7.5, from memory): within 1 % from 4 degrees of freedom.
    """
    z = 1.959963984540054
    n = float(freedom)
    one = (z**3 + z) / 4.0
    two = (5.0 * z**5 + 16.0 * z**3 + 3.0 * z) / 96.0
    three = (3.0 * z**7 + 19.0 * z**5 + 17.0 * z**3 - 15.0 * z) / 384.0
    four = (79.0 * z**9 + 776.0 * z**7 + 1482.0 * z**5 - 1920.0 * z**3 - 945.0 * z) / 92160.0
    return z + one / n + two / n**2 + three / n**3 + four / n**4
