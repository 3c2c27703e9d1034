"""Readings of a run's checks, as written in a YAML file: `{after: 2, readings: {2a: 609, 2b: 91}}`, or a list of such.

A look is written as the card has it (left, right, same, opposite), or yes and no for as the card says and otherwise. A
check read several times has its readings in a list. What stands off may say to which side: `2b: 4 left`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from os import PathLike, fspath
from typing import Any

from pipemodel.bending.schedule import SolvedRun
from pipemodel.correction.likely import unlikely
from pipemodel.correction.observed import may_be_to_either_side
from pipemodel.correction.values import CheckReading, ReadingBlock
from pipemodel.job.expressions import nearest
from pipemodel.job.faults import Faults
from pipemodel.job.model import JobError
from pipemodel.job.quantities import parse_angle, parse_length, shown
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlPath, read_tree
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id
from pipemodel.pulls.measures import Measure

_KEYS = ("after", "readings", "run", "corrected")
_LOOKS = {"left": 1.0, "right": -1.0, "same": 1.0, "opposite": -1.0}
MOST_READINGS = 20
"""Of one check."""


def read_readings(path: str | PathLike[str], solved: SolvedRun, cards: Sequence[Card]) -> tuple[ReadingBlock, ...]:
    """Read a file of readings of a run.

    Raises:
        JobError: with everything that is wrong with it, each at its line and column.
    """
    return readings_of_text(read_text(path), fspath(path), solved, cards)


def readings_of_text(text: str, path: str, solved: SolvedRun, cards: Sequence[Card]) -> tuple[ReadingBlock, ...]:
    """Read readings from their text, as if it stood in the file at `path`; see `read_readings`."""
    tree = read_tree(text)
    faults = Faults(tree.spot)
    blocks: list[ReadingBlock] = []
    if not tree.faults:
        reader = _Reader(solved, cards, faults)
        if isinstance(tree.values, list) and tree.values:
            for number, value in enumerate(tree.values):
                blocks += reader.block(value, (number,), blocks)
        else:
            blocks += reader.block(tree.values, (), blocks)
        if not blocks and not faults.found:
            faults.at((), "no check has a reading yet: write what you measured behind its name, such as 2a: 609")
    if tree.faults or faults.found:
        raise JobError(path, [*tree.faults, *faults.found])
    return tuple(blocks)


@dataclass
class _Reader:
    solved: SolvedRun
    cards: Sequence[Card]
    faults: Faults

    def __post_init__(self) -> None:
        self.checks: dict[str, tuple[int, int, Measure]] = {
            check_id(card.pull.number, place): (card.pull.number, place, measure)
            for card in self.cards
            for place, measure in enumerate(card.measures)
        }

    def block(self, value: Any, at: YamlPath, before: Sequence[ReadingBlock]) -> Iterator[ReadingBlock]:
        """Yield what one group of keys holds, or note what is wrong with it."""
        if not isinstance(value, dict):
            self.faults.at(at, "readings are a group of keys, such as {after: 2, readings: {2a: 609, 2b: 91}}")
            return
        for key in value:
            if key not in _KEYS:
                known = nearest(str(key), list(_KEYS), "the keys here are " + ", ".join(_KEYS))
                self.faults.at_key((*at, key), f"unknown key {shown(key)!r}; {known}")
        run = value.get("run", self.solved.name)
        if run != self.solved.name:
            said = f"these are readings of run {shown(run)!r}, and the run asked for is {self.solved.name!r}"
            self.faults.at((*at, "run"), said)
        corrected = value.get("corrected", False)
        if not isinstance(corrected, bool):
            self.faults.at((*at, "corrected"), "corrected is true or false: whether the pulls went by corrected cards")
        after = self._after(value, at, before)
        readings = tuple(self._readings(value, at, after, before))
        if readings and after is not None and isinstance(corrected, bool):
            yield ReadingBlock(after, readings, corrected)

    def _after(self, value: dict[str, Any], at: YamlPath, before: Sequence[ReadingBlock]) -> int | None:
        pulls = len(self.cards)
        after = value.get("after")
        if "after" not in value:
            self.faults.at(at, "'after' is missing: the number of the pull after which these were read")
        elif isinstance(after, bool) or not isinstance(after, int):
            self.faults.at((*at, "after"), f"after is the number of a pull, 1 to {pulls}")
        elif not 1 <= after <= pulls:
            self.faults.at((*at, "after"), f"there is no pull {shown(after)}; run {self.solved.name!r} has {pulls}")
        elif (
            before and after <= before[-1].after and not (after == before[-1].after and value.get("corrected") is True)
        ):
            self.faults.at((*at, "after"), f"pull {after} is read after pull {before[-1].after}: put them in order")
        else:
            return after
        return None

    def _readings(
        self, value: dict[str, Any], at: YamlPath, after: int | None, before: Sequence[ReadingBlock]
    ) -> Iterator[CheckReading]:
        readings, here = value.get("readings"), (*at, "readings")
        if not isinstance(readings, dict) or not readings:
            self.faults.at(here if "readings" in value else at, "readings holds what was read: {2a: 609, 2b: 91}")
            return
        # A check without a figure is one that nobody read.
        readings = {check: read for check, read in readings.items() if read is not None or check not in self.checks}
        # Of a bend that was pulled on since, all is read once more.
        again = after if before and after == before[-1].after else None
        earlier = {reading.check for block in before for reading in block.readings if reading.pull != again}
        # In {2a: 607,5} the comma begins a key of its own.
        split = {
            key: (check, before)
            for (check, before), (key, rest) in pairwise(readings.items())
            if rest is None and str(key).isdigit() and isinstance(before, int)
        }
        for check, read in readings.items():
            path = (*here, check)
            if check in split:
                of, whole = split[check]
                right = f"write check {of} with a point: {of}: {whole}.{check}"
                self.faults.at_key(path, f"a comma parts one reading from the next; {right}")
                continue
            if check not in self.checks:
                known = ", ".join(c for c, (pull, _, _) in self.checks.items() if after is None or pull == after)
                say = nearest(str(check), list(self.checks), f"the checks after that pull are {known}")
                self.faults.at_key(path, f"run {self.solved.name!r} has no check {shown(check)!r}; {say}")
                continue
            pull, place, measure = self.checks[check]
            if after is not None and pull > after:
                self.faults.at_key(path, f"check {check} is of pull {pull}, and only {after} are made")
            elif check in earlier:
                self.faults.at_key(path, f"check {check} is read already; write all its readings in one list")
            else:
                yield from self._reading(check, pull, place, measure, read, path)

    def _reading(
        self, check: str, pull: int, place: int, measure: Measure, read: Any, path: YamlPath
    ) -> Iterator[CheckReading]:
        items = read if isinstance(read, list) else [read]
        if not 1 <= len(items) <= MOST_READINGS:
            self.faults.at(path, f"check {check} has 1 to {MOST_READINGS} readings; this has {len(items)}")
            return
        values: list[float] = []
        sides: set[int] = set()
        for number, item in enumerate(items):
            where = (*path, number) if isinstance(read, list) else path
            try:
                item, side = _side(check, measure, item)
                values.append(self._value(check, measure, item))
                sides.add(side)
            except ValueError as error:
                self.faults.at(where, str(error))
        if len(values) < len(items):
            return
        if measure.unit == "look" and len(set(values)) > 1:
            self.faults.at(path, f"check {check} is seen both ways; look again")
        elif measure.unit != "look" and max(values) - min(values) > measure.shows_from:
            self.faults.at(path, f"the readings of check {check} differ by more than it is read to; read it again")
        else:
            side = sum(sides)
            if sides >= {1, -1}:
                self.faults.at(path, f"check {check} is seen to both sides; look again")
                return
            yield CheckReading(check, pull, place, tuple(values), self.faults.place(path), side)

    def _value(self, check: str, measure: Measure, read: Any) -> float:
        if measure.unit == "look":
            return _look(check, measure, read)
        if read is True or read == "yes":
            raise ValueError(f"check {check} is no look: write what it reads; {measure.value:.4g} is right")
        value = parse_angle(read) if measure.unit == "deg" else parse_length(read)
        slip = unlikely(check, measure, value, self.solved)
        if slip is not None:
            raise ValueError(str(slip))
        return value


def _side(check: str, measure: Measure, read: Any) -> tuple[Any, int]:
    """Return a reading without its side, and that: 1 left, -1 right, 0 where none is said."""
    figure, _, side = read.strip().rpartition(" ") if isinstance(read, str) else ("", "", "")
    if not figure or side not in ("left", "right"):
        return read, 0
    if not may_be_to_either_side(measure):
        raise ValueError(f"check {check} has no side: write what it reads alone, {figure}")
    return figure, int(_LOOKS[side])


def _look(check: str, measure: Measure, read: Any) -> float:
    ways = ("left", "right") if measure.looks in ("left", "right") else ("same", "opposite")
    if read in (True, "yes"):
        return measure.value
    if read in (False, "no"):
        return -measure.value
    if read not in ways:
        raise ValueError(f"check {check} is a look: write {ways[0]} or {ways[1]}, or yes for as the card has it, or no")
    return _LOOKS[read]
