"""What a check says: findings, whose codes docs/findings.md has, and the least distances behind them."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias

from pipemodel.accuracy.values import RunFit
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.values import NOTHING, Count, Message, Name, listed, message
from pipemodel.ways_in.values import WayIn

Severity: TypeAlias = Literal["error", "warning", "note"]
NOT_MEASURED = ("B104", "B112")
"""The codes of the findings that say that figures of a former are of common practice."""


@dataclass(frozen=True)
class Hole:
    """What a run needs to pass right through a thing: a hole from `start` to `finish`, both on the run's axis.

    `diameter_mm` leaves all round the tube what is asked for: the clearance, and the insulation within it.
    """

    diameter_mm: float
    start: Vec3
    finish: Vec3
    length_mm: float


@dataclass(frozen=True)
class Contact:
    """One place at which a run is too near to something.

    `at_mm` is along the centreline, `point` on the outside of the tube and `other_point` on the surface of the other.
    Of `required_mm`, `insulation_mm` is insulation. `move` is the shortest move found of the part of the run from
    `from_mm` to `to_mm`, without turning it, after which that part is as far from the other as is asked for; None if
    none was found. `part` says where the place is: "leg 2" or "bend 1". `hole` is set where the run passes right
    through, `wider_mm` where it does so by a hole that is there and too small: what it would have to be.
    """

    at_mm: float
    point: Vec3
    other_point: Vec3
    distance_mm: float
    required_mm: float
    move: Vec3 | None
    part: Message
    from_mm: float
    to_mm: float
    insulation_mm: float = 0.0
    hole: Hole | None = None
    wider_mm: float | None = None


@dataclass(frozen=True)
class Finding:
    """One answer of a check. `code` is stable, so that people can look it up; an error makes the verdict fail.

    `said` is the sentence as a value: the name of its template, and what goes into it.

    `distance_mm` and `required_mm` say what there is and what is asked for; `at_mm` is measured along the
    centreline of `run` from its start, `point` is in the room. `basis` holds the formulas and the sources behind
    the message, for whoever looks it up; programs get them, people at the bench do not. `contacts` holds every separate
    place of a clash, in order along the run.
    """

    code: str
    check: str
    severity: Severity
    said: Message
    run: str | None = None
    against: str | None = None
    distance_mm: float | None = None
    required_mm: float | None = None
    at_mm: float | None = None
    point: Vec3 | None = None
    basis: str = ""
    contacts: tuple[Contact, ...] = ()

    @cached_property
    def message(self) -> str:
        """What is said, in English and in mm, for programs; papers word `said` for their reader."""
        return str(self.said)


@dataclass(frozen=True)
class Distance:
    """The least distance from the outside of a run to one thing or run; below zero when they overlap."""

    run: str
    against: str
    distance_mm: float
    at_mm: float
    point: Vec3


@dataclass(frozen=True)
class Report:
    """All findings and distances of a job."""

    findings: tuple[Finding, ...] = ()
    distances: tuple[Distance, ...] = ()
    fits: tuple[RunFit, ...] = ()
    """How well each run is likely to fit; empty where the job says nothing of hands."""
    ways_in: tuple[WayIn, ...] = ()
    """How each run that is to be brought in comes to its place; empty where nobody asks."""

    @property
    def verdict(self) -> Literal["pass", "fail"]:
        """`fail` when any finding is an error."""
        return "fail" if any(f.severity == "error" for f in self.findings) else "pass"

    @property
    def former_measured(self) -> bool:
        """Whether no figure of a former is of common practice: a piece comes out as drawn only if all are its own."""
        return not any(f.code in NOT_MEASURED for f in self.findings)


def of_runs(names: Sequence[str], said: Message) -> Message:
    """Return what is said of several runs, with the names of the first three before it and how many more there are."""
    runs = listed([Name(name) for name in names[:3]], ",")
    more = message("damage.more runs", n=Count(len(names) - 3)) if len(names) > 3 else NOTHING
    return message("damage.of runs", n=Count(len(names)), runs=runs, more=more, said=said)
