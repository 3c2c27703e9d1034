"""What a check says: findings, and the least distances behind them."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from pipemodel.geometry.vectors import Vec3

Severity: TypeAlias = Literal["error", "warning", "note"]


@dataclass(frozen=True)
class Finding:
    """One answer of a check. `code` is stable, so that people can look it up; an error makes the verdict fail.

    `distance_mm` and `required_mm` say what there is and what is asked for; `at_mm` is measured along the
    centreline of `run` from its start, `point` is in the room. `basis` holds the formulas and the sources behind
    the message, for whoever looks it up; programs are told, people at the bench are not.
    """

    code: str
    check: str
    severity: Severity
    message: str
    run: str | None = None
    against: str | None = None
    distance_mm: float | None = None
    required_mm: float | None = None
    at_mm: float | None = None
    point: Vec3 | None = None
    basis: str = ""


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

    @property
    def verdict(self) -> Literal["pass", "fail"]:
        """`fail` when any finding is an error."""
        return "fail" if any(f.severity == "error" for f in self.findings) else "pass"
