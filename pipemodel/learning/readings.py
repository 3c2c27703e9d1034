"""Records as rows of the linear model: springback, and where bends begin."""

from collections.abc import Sequence
from math import radians

from pipemodel.geometry.arrays import Floats, np
from pipemodel.learning.posterior import Rows
from pipemodel.learning.records import BendRecord

ANGLE_NOT_READ_DEG = 1.5
"""How far an angle may be off what was asked for, as a standard deviation, where nobody measured it."""


def measured_angles(records: Sequence[BendRecord]) -> tuple[BendRecord, ...]:
    """Return the records whose angle was measured."""
    return tuple(record for record in records if record.got_deg is not None)


def springback_rows(records: Sequence[BendRecord], fixed_deg: float, per_degree: float) -> Rows:
    """Return measured angles as rows for (fixed, per_degree), the law of springback taken near the values given.

    What a bend comes out as is (pulled - fixed) / (1 + per_degree): the pull is what is set, so it has no error, and
    what the hands and the reading are out by is all in the angle.
    """
    pulled = np.array([record.pulled_deg for record in records])
    got = np.array([record.got_deg for record in records], dtype=float)
    rate = 1.0 + per_degree
    design = np.column_stack([np.full(len(pulled), -1.0 / rate), -(pulled - fixed_deg) / rate**2])
    value = got - (pulled - fixed_deg) / rate + design @ np.array([fixed_deg, per_degree])
    variance = np.array([record.got_sd for record in records]) ** 2
    return Rows(design.reshape(-1, 2), value, variance, np.ones(len(pulled), bool))


def place_rows(records: Sequence[BendRecord], radius_mm: float) -> Rows:
    """Return measured starts and radii as rows for (radius, mark).

    Held by its start side a bend begins `mark` before its mark; held by the finish side it ends `mark` beyond it, and
    begins radius x angle before that.
    """
    design: list[tuple[float, float]] = []
    value: list[float] = []
    variance: list[float] = []
    scattered: list[bool] = []
    for record in records:
        if record.start_mm is not None:
            bent = radians(record.angle_deg if record.got_deg is None else record.got_deg)
            from_start = record.held == "start"
            design.append((0.0, 1.0) if from_start else (bent, -1.0))
            value.append(record.mark_mm - record.start_mm)
            angle_sd = ANGLE_NOT_READ_DEG if record.got_deg is None else record.got_sd
            by_angle = 0.0 if from_start else radius_mm * radians(angle_sd)
            variance.append(record.start_sd**2 + by_angle**2)
            scattered.append(True)
        if record.radius_got_mm is not None:
            design.append((1.0, 0.0))
            value.append(record.radius_got_mm)
            variance.append(record.radius_got_sd**2)
            scattered.append(False)
    return Rows(np.array(design).reshape(-1, 2), np.array(value), np.array(variance), np.array(scattered, dtype=bool))


def turn_rows(records: Sequence[BendRecord]) -> Rows:
    """Return measured rolls as rows without any figure: how far each is off what was asked for."""
    off, sd = [], []
    for record in records:
        if record.turned_deg is not None and record.turn_deg is not None:
            off.append(apart_deg(record.turned_deg, record.turn_deg))
            sd.append(record.turned_sd)
    n = len(off)
    return Rows(np.zeros((n, 0)), np.array(off), np.array(sd) ** 2, np.ones(n, bool))


def apart_deg(one: float, other: float) -> float:
    """Return by how much one direction round the tube is beyond another, in [-180, 180)."""
    return (one - other + 180.0) % 360.0 - 180.0


def shares_of_shift(records: Sequence[BendRecord]) -> Floats:
    """Return how much a change of springback by one degree at a pull of 90 moves each of the bends, (n,)."""
    return np.array([-record.pulled_deg / 90.0 for record in records])
