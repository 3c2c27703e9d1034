"""Whether the ends of a way lie where a tube can be."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.finding.around import HAIR_MM, Obstruction, Spared
from pipemodel.finding.planes import WayEnds
from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.geometry.distance import Nearest, Surroundings, tube_distance
from pipemodel.geometry.vectors import Vec3, scale
from pipemodel.job.model import Fault, Job, Place, Run

STUB_MM = 10.0
"""So much of the tube at each end is looked at, flat end and all."""


def end_faults(job: Job, run: Run, others: Sequence[SolvedRun], ends: WayEnds) -> list[Fault]:
    """Return what is wrong with where a run is to start and finish: inside a thing, or too near to one."""
    asked = run.route.find
    assert asked is not None
    faults: list[Fault] = []
    for end, point, way, joins, place in _both(run, ends):
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
            if name != joins and has < required - HAIR_MM:
                faults.append(Fault(_said(run, end, name, required, has), place))
    return faults


def _both(run: Run, ends: WayEnds) -> Iterator[tuple[str, Vec3, Vec3, str, Place]]:
    asked = run.route.find
    assert asked is not None
    yield "start", ends.start, ends.heading, run.ends.start.joins, asked.start_place
    yield "finish", ends.finish, scale(ends.arriving, -1.0), run.ends.finish.joins, asked.finish_place


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
