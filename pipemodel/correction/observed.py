"""What was read, as functions of the piece that the estimate can reckon with.

Read to `within` 19 times in 20, as `accuracy.readings` has it. What lies flat is read as 0 at each place that lies on
the bench, each to its own side: a height without its side has no slope there. Only a gap that is plain to see is a
height, to either side where nobody says to which.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot

from pipemodel.bending.part_bent import PartBent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.correction.reads import reads_of
from pipemodel.correction.slopes import Reads, read_to_side
from pipemodel.correction.values import CheckReading
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import piece_after, readers_of
from pipemodel.pulls.measures import Candidate, Measure, MeasureKind

EITHER_MM = 30.0
"""What stands off by less may by a mistake stand off to the other side."""


@dataclass(frozen=True)
class Observation:
    """One figure that was read after a pull, how well, and how it is read on another piece.

    A `look` has +1 or -1 for a figure, and is read as more or less than 0. `either_side` is what stands off, without
    saying to which side.
    """

    check: str
    pull: int
    value: float
    sd: float
    measured: Candidate
    reads: Reads
    look: bool = False
    either_side: bool = False
    side: int = 0
    """To which side it is to be read, more than 0 there and less on the other: 1 left, -1 right, 0 as it is."""
    once: bool = True
    """Whether it was read only once."""

    def read(self, piece: PartBent, side: int = 0) -> float:
        """Return what it reads on a piece, to the left (1) or the right (-1) where it is `either_side`."""
        side = self.side or side
        return read_to_side(self.reads, piece, side) if side else self.measured.read(piece)


def may_be_to_either_side(measure: Measure) -> bool:
    """Tell whether what a check reads may stand off to either side, so that a reading may say to which."""
    flat = measure.kind is MeasureKind.FLAT
    return flat or (measure.kind is MeasureKind.STAND_OFF and measure.value < EITHER_MM)


def _to_a_side(one: Observation, reading: CheckReading) -> Observation:
    return replace(one, side=reading.side or 0, either_side=not reading.side)


def observations(solved: SolvedRun, cards: Sequence[Card], readings: Sequence[CheckReading]) -> tuple[Observation, ...]:
    """Return what was read, a reading taken several times as one to their mean and as much better."""
    by_pull = {card.pull.number: (readers_of(solved, card), piece_after(solved, card)[0]) for card in cards}
    out: list[Observation] = []
    for reading in readings:
        readers, piece = by_pull[reading.pull]
        candidate = readers[reading.place]
        if candidate is not None:
            out += _observed(reading, candidate, reads_of(candidate.measure, piece))
    return tuple(out)


def _observed(reading: CheckReading, candidate: Candidate, reads: Reads) -> Iterator[Observation]:
    measure, n = candidate.measure, len(reading.values)
    value, sd = sum(reading.values) / n, measure.within / 2.0 / n**0.5
    one = Observation(reading.check, reading.pull, value, sd, candidate, reads, once=n == 1)
    if measure.unit == "look":
        yield replace(one, look=True, sd=1.0)
    elif measure.kind is MeasureKind.STAND_OFF:
        yield _to_a_side(one, reading) if may_be_to_either_side(measure) else one
    elif measure.kind is not MeasureKind.FLAT:
        yield one
    elif value > measure.within:
        yield _to_a_side(one, reading)
    else:
        # It stands off that much to one side or the other: a height without its side has no slope there.
        # The far ends of the first and the last leg stand off furthest for what is twisted on either side of the bend.
        for end in (reads["end"],) if reads["kind"] == "gap" else ("start", "finish"):
            level = {**reads, "kind": "gap", "end": end, "ring": reads.get("ring", 0.0)}
            yield replace(one, value=0.0, sd=hypot(sd, value), reads=level, side=1)
