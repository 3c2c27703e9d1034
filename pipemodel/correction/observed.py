"""What was read, as functions of the piece that the estimate can reckon with.

Read to `within` 19 times in 20, as `accuracy.readings` has it. What lies flat is read as 0 at each place that lies on
the bench, each to its own side: a height without its side has no slope there. Only a gap that is plain to see is a
height to either side.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot
from typing import TypeAlias

from pipemodel.bending.part_bent import PartBent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.correction.values import CheckReading
from pipemodel.geometry.vectors import dot, sub
from pipemodel.pulls.bench_measures import Lay
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import readers_of
from pipemodel.pulls.measures import Candidate, MeasureKind

Read: TypeAlias = Callable[[PartBent], float]


@dataclass(frozen=True)
class Observation:
    """One figure that was read after a pull, how well, and what reads it on another piece.

    A `look` has +1 or -1 for a figure, and is read as more or less than 0. `either_side` is a gap seen under what
    should lie flat, without saying to which side it stands off.
    """

    check: str
    pull: int
    value: float
    sd: float
    read: Read
    look: bool = False
    either_side: bool = False
    once: bool = True
    """Whether it was read only once."""


def observations(solved: SolvedRun, cards: Sequence[Card], readings: Sequence[CheckReading]) -> tuple[Observation, ...]:
    """Return what was read, a reading taken several times as one to their mean and as much better."""
    readers = {card.pull.number: readers_of(solved, card) for card in cards}
    out: list[Observation] = []
    for reading in readings:
        candidate = readers[reading.pull][reading.place]
        if candidate is not None:
            out += _observed(reading, candidate)
    return tuple(out)


def _observed(reading: CheckReading, candidate: Candidate) -> Iterator[Observation]:
    measure, n = candidate.measure, len(reading.values)
    value = sum(reading.values) / n
    one = Observation(reading.check, reading.pull, value, measure.within / 2.0 / n**0.5, candidate.read, once=n == 1)
    if measure.unit == "look":
        yield replace(one, look=True, sd=1.0)
    elif measure.kind is not MeasureKind.FLAT:
        yield one
    elif value > measure.within:
        yield replace(one, either_side=True)
    else:
        assert measure.lay is not None
        for read in _flat(*measure.lay):
            # It stands off that much to one side or the other.
            yield replace(one, value=0.0, sd=hypot(one.sd, value), read=read)


def _flat(index: int, where: str) -> Iterator[Read]:
    """Yield what reads, each to its own side, the heights of the places that lie on the bench."""
    if where != "all":
        end, ring = where.split(" ")
        yield Lay(index, end, float(ring)).height
        return
    # The far ends of the first and the last leg stand off furthest for what is twisted on either side of the bend.
    for end in ("start", "finish"):
        yield _height_of(index, end)


def _height_of(index: int, end: str) -> Read:
    def height(piece: PartBent) -> float:
        arc, line = piece.arcs[index], piece.centreline
        return dot(arc.axis, sub(line.start if end == "start" else line.finish, arc.start))

    return height
