"""Do the runs that a sleeve is for go through it, and what does it leave round each.

What is left is measured from the outside of the tube, or of what insulates it there, to the bore, over the whole length
of the sleeve; at a slant it is least at a mouth. An opening or a notch that is for some runs is judged alike.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.checks.penetrations import steps_of
from pipemodel.checks.place_words import where_on
from pipemodel.geometry.centreline import cut_out, merged
from pipemodel.geometry.shapes import Cylinder
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, cross, dot, length, sub, unit
from pipemodel.job.build_sleeves import wall_of
from pipemodel.job.model import Job, Sleeve, Thing
from pipemodel.messages.values import Length, Name, Value, Word, message

if TYPE_CHECKING:
    from pipemodel.geometry.distance import Nearest

CHECK = "sleeves"
TOUCH_MM = 1e-6
AROUND_MM = 1000.0
"""So much is solid round a bore that a run is measured against, which is cut off close to its mouths."""


@dataclass(frozen=True)
class Passage:
    """A run in a sleeve: where it crosses its middle, how far off the axis there, and what is left round it; mm.

    `low_mm` to `high_mm` along the run is between the ends of the sleeve.
    """

    solved: SolvedRun
    bore: Thing
    sleeve: Sleeve
    at_mm: float
    point: Vec3
    off_mm: float
    left_mm: float
    asked_mm: float
    low_mm: float
    high_mm: float


def sleeves(schedule: Schedule) -> tuple[Finding, ...]:
    """Say of every sleeve what it leaves round the runs that it is for."""
    passing = {(one.bore.name, one.solved.name): one for one in passages(schedule)}
    met = {(_row(one.bore), name) for (_, name), one in passing.items()}
    found = []
    for bore in schedule.job.things:
        if bore.sleeve is None:
            continue
        for solved in schedule.runs:
            if solved.name in bore.sleeve.runs:
                if (one := passing.get((bore.name, solved.name))) is not None:
                    found.append(_left(one))
                elif (_row(bore), solved.name) not in met:
                    met.add((_row(bore), solved.name))
                    found.append(_missed(bore, bore.sleeve, solved))
    return tuple(found)


def _row(bore: Thing) -> str:
    """Return what a hole is called in all joists of a row that have it: a run may go through some of them only."""
    return bore.of + bore.name.removeprefix(bore.sleeve.through) if bore.of and bore.sleeve else bore.name


def _missed(bore: Thing, sleeve: Sleeve, solved: SolvedRun) -> Finding:
    said = message("sleeves.missed", run=Name(solved.name), sleeve=Name(_row(bore)), what=Word(sleeve.what))
    return Finding("C113", CHECK, "warning", said, solved.name, bore.name)


def _left(one: Passage) -> Finding:
    wrong = one.left_mm + TOUCH_MM < one.asked_mm
    bore = message("sleeves.bore", bore=Length(one.sleeve.bore_mm))
    square = isinstance(one.bore.shape, Plate)
    if isinstance(one.bore.shape, Plate):
        wide, tall = (Length(max(side) - min(side)) for side in zip(*one.bore.shape.outlines[0], strict=True))
        bore = message("sleeves.square", wide=wide, tall=tall)
    of: dict[str, Value] = {
        "run": Name(one.solved.name),
        "what": Word(one.sleeve.what),
        "sleeve": Name(one.bore.name),
        "thing": Name(one.sleeve.through),
        "where": where_on(one.solved, one.at_mm),
        "left": Length(one.left_mm, ".1f", rounded="down"),
        "bore": bore,
    }
    asked, off = Length(one.asked_mm), Length(one.off_mm, ".1f")
    least = Length(one.sleeve.bore_mm + 2.0 * max(one.asked_mm - one.left_mm, 0.0), ".1f", rounded="up")
    if not wrong:
        said = message("sleeves.left", **of)
    elif square:
        said = message("sleeves.tight, square", **of, asked=asked)
    else:
        said = message("sleeves.tight", **of, off=off, asked=asked, least=least)
    return Finding(
        "C111" if wrong else "C112", CHECK, "error" if wrong else "note", said, one.solved.name, one.bore.name,
        one.left_mm, one.asked_mm, one.at_mm, one.point,
    )  # fmt: skip


@lru_cache(maxsize=1)
def passages(schedule: Schedule) -> tuple[Passage, ...]:
    """Return every run in every sleeve that is for it and that it goes through, in the order of the runs."""
    return tuple(
        found
        for solved in schedule.runs
        for bore, sleeve in schedule.job.sleeves_of(solved.name)
        if (found := _passage(schedule.job, solved, bore, sleeve)) is not None
    )


def passages_at(schedule: Schedule, run: str, p: Vec3) -> list[Passage]:
    """Return how a run, by its name, goes through the sleeves that a point lies in."""
    return [one for one in passages(schedule) if one.solved.name == run and one.bore.shape.distance(p) <= 0.0]


def _passage(job: Job, solved: SolvedRun, bore: Thing, sleeve: Sleeve) -> Passage | None:
    from pipemodel.geometry.distance.things import least_distances  # loads numpy

    shape = bore.shape
    if isinstance(shape, Plate):
        long, axis = shape.thickness, shape.normal
        (left, low), _, (right, high), _ = shape.outlines[0]
        middle = shape.place((left + right) / 2.0, (low + high) / 2.0, long / 2.0)
    else:
        assert isinstance(shape, Cylinder)
        long = length(sub(shape.finish, shape.start))
        axis = unit(sub(shape.finish, shape.start))
        middle = along(shape.start, axis, long / 2.0)
    wide = solved.tube.outside_mm
    # Past each mouth: at a slant the tube's side comes nearest to the rim where its axis is outside already.
    within = [(long / 2.0, list[tuple[float, float]]()), (long / 2.0 + wide, list[tuple[float, float]]())]
    crossing: tuple[float, Vec3, float] | None = None
    for a, b, s in steps_of(solved):
        x, y, step = dot(sub(a, middle), axis), dot(sub(b, middle), axis), length(sub(b, a))
        if (x < 0.0) != (y < 0.0):
            share = -x / (y - x)
            point = along(a, unit(sub(b, a)), step * share)
            off = length(sub(point, middle))
            inside = shape.distance(point) <= 0.0 if isinstance(shape, Plate) else off <= sleeve.bore_mm / 2.0
            if inside and (crossing is None or off < crossing[2]):
                crossing = s + step * share, point, off
        for reach, parts in within:
            if (part := _within(x, y, reach)) is not None:
                parts.append((s + step * part[0], s + step * part[1]))
    if crossing is None:
        return None
    at, point, off = crossing
    parted = (merged(parts, 1.0) for _, parts in within)
    through, around = (min(parts, key=lambda part: max(part[0] - at, at - part[1], 0.0)) for parts in parted)
    line = cut_out(solved.centreline, *around)
    if isinstance(shape, Plate):
        # A notch is open at a side: what it is cut in has that shape.
        rings = [thing.shape for thing in job.things if sleeve.through in (wall_of(thing), thing.name)]
    else:
        rings = [_ring(shape, sleeve.bore_mm, axis, long)]
    nearest = min(least_distances(line, wide, rings), key=lambda one: one.distance)
    asked = sleeve.clearance_mm if sleeve.clearance_mm is not None else _asked(job, sleeve)
    left = nearest.distance - (0.0 if sleeve.bare else solved.run.insulation_mm)
    return Passage(solved, bore, sleeve, at, point, off, left, asked, *through)


def _within(x: float, y: float, reach: float) -> tuple[float, float] | None:
    """Return from which to which share of the way from x to y one is between -reach and reach; None for nowhere."""
    if x == y:
        return (0.0, 1.0) if abs(x) <= reach else None
    low, high = sorted(((-reach - x) / (y - x), (reach - x) / (y - x)))
    low, high = max(low, 0.0), min(high, 1.0)
    return (low, high) if high > low else None


def _ring(bore: Cylinder, bore_mm: float, axis: Vec3, long: float) -> Plate:
    """Return what lies round a bore of a diameter, as long as the sleeve is, whose outside may be wider."""
    across = unit(cross(min((EAST, NORTH, UP), key=lambda way: abs(dot(way, axis))), axis))
    far = bore_mm / 2.0 + AROUND_MM
    square = ((-far, -far), (far, -far), (far, far), (-far, far))
    return Plate(bore.start, across, cross(axis, across), long, (square,), (Round(0.0, 0.0, bore_mm / 2.0),))


def _asked(job: Job, sleeve: Sleeve) -> float:
    """Return the clearance to the wall or floor that a sleeve is in."""
    return max(
        (job.clearance_to(thing) for thing in job.things if sleeve.through in (thing.name, thing.of)),
        default=job.clearance_mm,
    )


def in_sleeve(solved: SolvedRun, thing: Thing, job: Job) -> "Callable[[Nearest], bool] | None":
    """Return what tells whether a place where a run is near to a thing is in the bore of a sleeve for it there.

    What is asked for in a sleeve is the sleeve's own, so that such a place is no clash; where the run overlaps the
    thing it is one. None where the run has no sleeve in the thing.
    """
    bores = [one for one, own in job.sleeves_of(solved.name) if own.through in (thing.name, thing.of)]
    if not bores:
        return None
    shapes = [bore.shape for bore in bores]
    # A place on the surface of a bore or at its rim is in it.
    return lambda near: near.distance >= -TOUCH_MM and any(abs(one.distance(near.other)) < 1e-3 for one in shapes)
