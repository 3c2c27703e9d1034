"""Whether the ends of a way lie where a tube can be."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import sqrt

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.finding.around import HAIR_MM, Obstruction, Spared
from pipemodel.finding.figures import Figures
from pipemodel.finding.planes import WayEnds
from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.geometry.distance import Nearest, Surroundings, tube_distance
from pipemodel.geometry.vectors import Vec3, dot, scale
from pipemodel.job.model import Fault, Job, Place, Run
from pipemodel.messages.values import Length, Name, message
from pipemodel.trade.fittings import Ending

STUB_MM = 10.0
"""So much of the tube at each end is looked at, flat end and all."""


def end_faults(job: Job, run: Run, others: Sequence[SolvedRun], ends: WayEnds) -> list[Fault]:
    """Return what is wrong with where a run is to start and finish: in a thing or too near to one, out of its void."""
    faults: list[Fault] = []
    for end, point, way, ending, place in _both(run, ends):
        if (out := _out_of_void(run, point, way)) > HAIR_MM:
            said = message("finding.end out of void", run=Name(run.name), by=Length(out, ".1f", "up"))
            faults.append(Fault(said, place))
        stub = Centreline((Straight(point, way, STUB_MM),))
        outside = run.tube.outside_mm
        near = [
            (thing.name, job.clearance_to(thing) + run.insulation_mm, found.distance)
            for thing, found in zip(job.things, _to_things(job, stub, outside), strict=True)
        ]
        near += [
            (
                other.name,
                job.clearance_mm + run.insulation_mm + other.run.insulation_mm,
                tube_distance(stub, outside, other.centreline, other.tube.outside_mm).distance,
            )
            for other in others
        ]
        for name, required, has in near:
            if not ending.joined_to(name) and has < required - HAIR_MM:
                faults.append(Fault(_said(run, end, name, required, has), place))
    return faults or _crossed(run, ends)


def _out_of_void(run: Run, point: Vec3, way: Vec3) -> float:
    """Return how far a flat end, insulation and all, stands out of the void that its run stays in; mm."""
    asked = run.route.find
    if asked is None or asked.within is None:
        return 0.0
    radius = run.tube.outside_mm / 2.0 + run.insulation_mm
    reach = [radius * sqrt(max(1.0 - c * c, 0.0)) for c in way]
    low, high = asked.within
    return max(max(a - p, p - b) + r for a, p, b, r in zip(low, point, high, reach, strict=True))


def _crossed(run: Run, ends: WayEnds) -> list[Fault]:
    """Return what is wrong where a tube with a bend would lie in itself, whatever way it went.

    Either end goes straight on as far as any bend needs, and in the diameter after that it strays no farther than the
    arc of a bend does: diameter² / 2 R.
    """
    asked = run.route.find
    assert asked is not None
    figures = Figures.of(run)
    straight = min(figures.straight(angle) for angle in figures.guide)
    outside, strays = run.tube.outside_mm, run.tube.outside_mm**2 / (2.0 * figures.radius)
    first, last = (Centreline((Straight(p, way, straight + outside),)) for _, p, way, *_ in _both(run, ends))
    opposed = dot(ends.heading, ends.arriving) < HAIR_MM
    if not opposed or tube_distance(first, outside, last, outside).distance >= -2.0 * strays:
        return []
    return [Fault(message("finding.ends cross", run=Name(run.name), straight=Length(straight)), asked.finish_place)]


def _both(run: Run, ends: WayEnds) -> Iterator[tuple[str, Vec3, Vec3, Ending, Place]]:
    asked = run.route.find
    assert asked is not None
    yield "start", ends.start, ends.heading, run.ends.start, asked.start_place
    yield "finish", ends.finish, scale(ends.arriving, -1.0), run.ends.finish, asked.finish_place


def _to_things(job: Job, stub: Centreline, outside: float) -> list[Nearest]:
    return Surroundings([thing.shape for thing in job.things]).distances([stub], [outside])[0] if job.things else []


def _said(run: Run, end: str, name: str, required: float, has: float) -> str:
    said = f"run {run.name!r}: its {end} "
    mend = f"move it, or say `ends: {{{end}: {{joins: {name}}}}}` if it is connected there"
    if has < 0.0:
        return f"{said}lies in {name!r}; {mend}"
    return f"{said}is {has:.1f} mm from {name!r}, and {required:g} mm is asked for; {mend}"


def spared_at_ends(one: Obstruction, ends: WayEnds) -> Obstruction:
    """Return a thing with the ends spared that face it: a flat end comes nearer to it than the tube's side could.

    The ends themselves have been found to be far enough off; a way is judged exactly all the same.
    """
    at = np.array([ends.start, ends.finish])
    short = one.lacking(at)
    spared = tuple(
        Spared(point, one.required + STUB_MM)
        for point, lacks in zip((ends.start, ends.finish), short.tolist(), strict=True)
        if lacks > HAIR_MM
    )
    return replace(one, spared=(*one.spared, *spared)) if spared else one
