"""Whether the ends of a way lie where a tube can be."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import sqrt

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.finding.around import HAIR_MM, VOID, Obstruction, Spared
from pipemodel.finding.figures import Figures
from pipemodel.finding.planes import WayEnds
from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.geometry.distance import Surroundings, tube_distance
from pipemodel.geometry.vectors import Vec3, dot, scale, sub, unit
from pipemodel.job.model import Fault, Job, Place, Run
from pipemodel.messages.values import Length, Message, Name, Value, Word, message
from pipemodel.trade.fittings import Ending

STUB_MM = 10.0
"""So much of the tube at each end is looked at, flat end and all."""


def end_faults(
    job: Job, run: Run, others: Sequence[SolvedRun], ends: WayEnds, things: Sequence[Obstruction]
) -> list[Fault]:
    """Return what is wrong with where a run is to start and finish.

    In a thing or too near to one, out of its void, or with no room for a bend before what it faces.

    Args:
        job: the job.
        run: the run that is to be found.
        others: the runs that are there already.
        ends: between what it is looked for.
        things: all that it keeps clear of, its void among that.
    """
    faults: list[Fault] = []
    for end, point, way, ending, place in _both(run, ends):
        if (out := _out_of_void(run, point, way)) > HAIR_MM:
            said = message("finding.end out of void", run=Name(run.name), by=Length(out, ".1f", "up"))
            faults.append(Fault(said, place))
        for name, required, has in _gaps(job, run, others, point, way, STUB_MM):
            if not ending.joined_to(name) and has < required - HAIR_MM:
                faults.append(Fault(_said(run, end, name, required, has), place))
    return faults or _crossed(run, ends) or list(_walled(job, run, others, ends, things))


def _gaps(
    job: Job, run: Run, others: Sequence[SolvedRun], point: Vec3, way: Vec3, long: float
) -> Iterator[tuple[str, float, float]]:
    """Yield each thing and other run, how far off it the tube must stay, and how far a straight from an end is; mm."""
    line, outside = Centreline((Straight(point, way, long),)), run.tube.outside_mm
    shapes = [thing.shape for thing in job.things]
    found = Surroundings(shapes).distances([line], [outside])[0] if shapes else []
    for thing, near in zip(job.things, found, strict=True):
        yield thing.name, job.clearance_to(thing) + run.insulation_mm, near.distance
    for other in others:
        required = job.clearance_mm + run.insulation_mm + other.run.insulation_mm
        yield other.name, required, tube_distance(line, outside, other.centreline, other.tube.outside_mm).distance


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
    straight = _straight(run)
    outside, strays = run.tube.outside_mm, run.tube.outside_mm**2 / (2.0 * run.former.radius_mm)
    first, last = (Centreline((Straight(p, way, straight + outside),)) for _, p, way, *_ in _both(run, ends))
    opposed = dot(ends.heading, ends.arriving) < HAIR_MM
    if not opposed or tube_distance(first, outside, last, outside).distance >= -2.0 * strays:
        return []
    return [Fault(message("finding.ends cross", run=Name(run.name), straight=Length(straight)), asked.finish_place)]


def _straight(run: Run) -> float:
    """Return how long a tube with a bend is straight at either end at the least; mm."""
    figures = Figures.of(run)
    return min(figures.straight(angle) for angle in figures.guide)


def _both(run: Run, ends: WayEnds) -> Iterator[tuple[str, Vec3, Vec3, Ending, Place]]:
    asked = run.route.find
    assert asked is not None
    yield "start", ends.start, ends.heading, run.ends.start, asked.start_place
    yield "finish", ends.finish, scale(ends.arriving, -1.0), run.ends.finish, asked.finish_place


def _walled(
    job: Job, run: Run, others: Sequence[SolvedRun], ends: WayEnds, things: Sequence[Obstruction]
) -> Iterator[Fault]:
    """Yield what is wrong where an end faces something so near that no bend fits in between, whatever way it goes.

    A tube with a bend is straight at either end, as far as any bend needs. To come round from there to along a face
    without end, it goes on towards the face for R (1 - sin) of the angle between its direction and the normal.
    """
    if dot(ends.heading, unit(sub(ends.finish, ends.start))) > 1.0 - HAIR_MM:
        return
    straight, both = _straight(run), list(_both(run, ends))
    for (end, point, way, ending, place), (_, _, back, _, _) in zip(both, both[::-1], strict=True):
        found = []
        for one in things:
            at, normal = one.level or (point, way)
            towards = -dot(way, normal)
            if one.level and not ending.joined_to(one.name) and towards > HAIR_MM and dot(back, normal) <= HAIR_MM:
                round_it = run.former.radius_mm * (1.0 - sqrt(max(1.0 - towards**2, 0.0)))
                found.append((one.name, dot(sub(point, at), normal), straight * towards + round_it + one.required))
        faced = {name for name, *_ in found}
        near = list(_gaps(job, run, others, point, way, STUB_MM))
        for (name, required, has), (*_, ahead) in zip(near, _gaps(job, run, others, point, way, straight), strict=True):
            if name not in faced and not ending.joined_to(name) and ahead < required - HAIR_MM:
                found.append((name, has + STUB_MM, straight + required))
        for name, has, needs in sorted(found, key=lambda one: one[1] - one[2])[:1]:
            if has < needs - HAIR_MM:
                yield Fault(
                    message(
                        "finding.end walled",
                        run=Name(run.name),
                        end=Word(end),
                        against=message("finding.void") if name == VOID else Name(name),
                        has=Length(has, ".1f"),
                        needs=Length(needs, ".1f"),
                        by=Length(needs - has, ".1f", "up"),
                    ),
                    place,
                )


def _said(run: Run, end: str, name: str, required: float, has: float) -> Message:
    joins = Name(f"`ends: {{{end}: {{joins: {name}}}}}`", quoted=False)
    about: dict[str, Value] = {"run": Name(run.name), "end": Word(end), "against": Name(name), "joins": joins}
    if has < 0.0:
        return message("finding.end in", **about)
    return message("finding.end near", **about, has=Length(has, ".1f"), asked=Length(required))


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
