"""Readings of a run's checks, as written in a YAML file: `{after: 2, readings: {2a: 609, 2b: 91}}`, or a list of such.

A look is written as the card has it (left, right, same, opposite), or yes and no for as the card says and otherwise. A
check read several times has its readings in a list. What stands off may say to which side: `2b: 4 left`, or
`2b: 4 either` where no one can tell.
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
from pipemodel.job.expressions import nearest_said
from pipemodel.job.faults import Faults
from pipemodel.job.key_meant import unknown_key
from pipemodel.job.model import JobError, said_of
from pipemodel.job.quantities import parse_angle, parse_length, shown
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlPath, read_tree
from pipemodel.messages.values import Count, Name, Number, bare, message
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id
from pipemodel.pulls.measures import Measure

_KEYS = ("after", "readings", "run", "corrected")
_LOOKS = {"left": 1.0, "right": -1.0, "same": 1.0, "opposite": -1.0, "either": 0.0}
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
        listed = isinstance(tree.values, list) and tree.values
        for at, value in [((n,), v) for n, v in enumerate(tree.values)] if listed else [((), tree.values)]:
            blocks += reader.block(value, at, blocks)
        if not blocks and not faults.found:
            faults.at((), message("readings.none"))
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
            self.faults.at(at, message("fault.readings group"))
            return
        for key in value:
            if key not in _KEYS:
                self.faults.at_key((*at, key), unknown_key(key, list(_KEYS)))
        run = value.get("run", self.solved.name)
        if run != self.solved.name:
            own = Name(self.solved.name)
            self.faults.at((*at, "run"), message("readings.run", run=Name(shown(run)), own=own))
        corrected = value.get("corrected", False)
        if not isinstance(corrected, bool):
            self.faults.at((*at, "corrected"), message("readings.corrected"))
        after = self._after(value, at, before)
        readings = tuple(self._readings(value, at, after, before))
        if readings and after is not None and isinstance(corrected, bool):
            yield ReadingBlock(after, readings, corrected)

    def _after(self, value: dict[str, Any], at: YamlPath, before: Sequence[ReadingBlock]) -> int | None:
        pulls = len(self.cards)
        after = value.get("after")
        if "after" not in value:
            self.faults.at(at, message("readings.after lacks"))
        elif isinstance(after, bool) or not isinstance(after, int) or not 1 <= after <= pulls:
            pull, own = bare(shown(after)), Name(self.solved.name)
            self.faults.at((*at, "after"), message("readings.no pull", pull=pull, run=own, most=Count(pulls)))
        elif (
            before and after <= before[-1].after and not (after == before[-1].after and value.get("corrected") is True)
        ):
            self.faults.at((*at, "after"), message("readings.order", pull=Count(after), last=Count(before[-1].after)))
        else:
            return after
        return None

    def _readings(
        self, value: dict[str, Any], at: YamlPath, after: int | None, before: Sequence[ReadingBlock]
    ) -> Iterator[CheckReading]:
        readings, here = value.get("readings"), (*at, "readings")
        if not isinstance(readings, dict) or not readings:
            self.faults.at(here if "readings" in value else at, message("fault.readings hold"))
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
                right = bare(f"{whole}.{check}")
                self.faults.at_key(path, message("readings.comma", check=bare(str(of)), right=right))
                continue
            if check not in self.checks:
                known = ", ".join(c for c, (pull, _, _) in self.checks.items() if after is None or pull == after)
                mend = nearest_said(str(check), list(self.checks), message("readings.checks", checks=bare(known)))
                run, other = Name(self.solved.name), Name(shown(check))
                self.faults.at_key(path, message("readings.no check", run=run, check=other, mend=mend))
                continue
            pull, place, measure = self.checks[check]
            if after is not None and pull > after:
                self.faults.at_key(
                    path, message("readings.later", check=bare(check), pull=Count(pull), made=Count(after))
                )
            elif check in earlier:
                self.faults.at_key(path, message("readings.twice", check=bare(check)))
            else:
                yield from self._reading(check, pull, place, measure, read, path)

    def _reading(
        self, check: str, pull: int, place: int, measure: Measure, read: Any, path: YamlPath
    ) -> Iterator[CheckReading]:
        items = read if isinstance(read, list) else [read]
        if not 1 <= len(items) <= MOST_READINGS:
            most, has = Count(MOST_READINGS), Count(len(items))
            self.faults.at(path, message("readings.many", check=bare(check), most=most, has=has))
            return
        values: list[float] = []
        sides: set[int | None] = set()
        for number, item in enumerate(items):
            where = (*path, number) if isinstance(read, list) else path
            try:
                item, side = _side(check, measure, item)
                values.append(self._value(check, measure, item))
                sides.add(side)
            except ValueError as error:
                self.faults.at(where, said_of(error))
        if len(values) < len(items):
            return
        if measure.unit == "look" and len(set(values)) > 1:
            self.faults.at(path, message("readings.both ways", check=bare(check)))
        elif measure.unit != "look" and max(values) - min(values) > measure.shows_from:
            self.faults.at(path, message("readings.differ", check=bare(check)))
        else:
            if sides >= {1, -1}:
                self.faults.at(path, message("readings.both ways", check=bare(check)))
                return
            side = next((to for to in (1, -1, 0) if to in sides), None)
            yield CheckReading(check, pull, place, tuple(values), self.faults.place(path), side)

    def _value(self, check: str, measure: Measure, read: Any) -> float:
        if measure.unit == "look":
            return _look(check, measure, read)
        if read is True or read == "yes":
            right = Number(measure.value, ".4g")
            raise ValueError(message("readings.measured", check=bare(check), right=right))
        value = parse_angle(read) if measure.unit == "deg" else parse_length(read)
        slip = unlikely(check, measure, value, self.solved)
        if slip is not None:
            raise ValueError(slip)
        return value


def _side(check: str, measure: Measure, read: Any) -> tuple[Any, int | None]:
    """Return a reading without its side, and that: 1 left, -1 right, 0 either, None where nothing is said."""
    figure, _, side = read.strip().rpartition(" ") if isinstance(read, str) else ("", "", "")
    if not figure or side not in ("left", "right", "either"):
        return read, None
    if not may_be_to_either_side(measure):
        raise ValueError(message("readings.no side", check=bare(check), figure=bare(figure)))
    return figure, int(_LOOKS[side])


def _look(check: str, measure: Measure, read: Any) -> float:
    ways = ("left", "right") if measure.looks in ("left", "right") else ("same", "opposite")
    if read in (True, "yes"):
        return measure.value
    if read in (False, "no"):
        return -measure.value
    if read not in ways:
        raise ValueError(message("readings.look", check=bare(check), one=bare(ways[0]), other=bare(ways[1])))
    return _LOOKS[read]
