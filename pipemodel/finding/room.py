"""What a run keeps clear of, out of its job: things and other runs, by what is asked for of each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.building_rules import keeps_off, never_cut, wrong_cut
from pipemodel.checks.flat_faces import flat_faces_named, flat_faces_of
from pipemodel.checks.joist_crossings import drilled, joist_of
from pipemodel.checks.supports import REACH_MM, STANDOFF_PLAY_MM
from pipemodel.finding.around import VOID, Obstruction, Spared, block_of, face_of
from pipemodel.finding.new_cuts import MayCut
from pipemodel.finding.planes import WayEnds
from pipemodel.geometry.centreline import NO_LENGTH_MM, Centreline
from pipemodel.geometry.distance.obstacle import obstacle_of, obstacle_of_tube
from pipemodel.geometry.distance.paths import paths_of
from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.half_space import HalfSpace
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import Vec3, along, scale
from pipemodel.job.model import Job, Run, Thing
from pipemodel.trade.fittings import Ending

CLIP_MM = 10.0
"""How far off a face a clip without a standoff of its own holds the outside of the tube. Common practice, no source."""
JOINED_MM = 2000.0
"""An end lies no deeper than this in what it joins."""
_STEP_MM = 2.0


def obstructions_of(
    job: Job, run: Run, others: Sequence[SolvedRun], ends: WayEnds, may_cut: Mapping[str, MayCut]
) -> list[Obstruction]:
    """Return what a run is to keep clear of.

    Args:
        job: the job.
        run: the run whose way is to be found.
        others: the runs that are there already.
        ends: between what it runs.
        may_cut: the joists in which holes and notches may be cut for it.
    """
    found = [_of_thing(job, run, thing, ends) for thing in job.things_for(run.name)]
    found = [may_cut[one.name].opened(one) if one.name in may_cut else one for one in found]
    found += [plug for thing in job.things for plug in _plugs(job, run, thing)]
    for other in others:
        found += _of_run(job, run, other, ends)
    if run.route.find is not None and run.route.find.within is not None:
        found += _void(*run.route.find.within, run.tube.outside_mm / 2.0 + run.insulation_mm)
    return found


def _of_thing(job: Job, run: Run, thing: Thing, ends: WayEnds) -> Obstruction:
    clear = job.clearance_to(thing) + run.insulation_mm
    rules = [
        keep.least
        for rules in job.rules
        if rules.counts_for(run.name)
        for keep in rules.keep_off
        if keeps_off(keep, thing, run.tube.outside_mm)
    ]
    required = max([clear, *rules]) + run.tube.outside_mm / 2.0
    shape = thing.shape
    if isinstance(shape, HalfSpace):
        one = face_of(shape.point, shape.normal, thing.name, required)
    elif isinstance(shape, Box):
        one = block_of(shape.low, shape.high, thing.name, required)
    else:
        bounds = shape.bounds()
        low = np.array(bounds[0]) if bounds else np.full(3, -np.inf)
        high = np.array(bounds[1]) if bounds else np.full(3, np.inf)
        one = Obstruction(thing.name, obstacle_of(shape).field, low, high, required)
    return _joined(one, run, ends)


def _plugs(job: Job, run: Run, thing: Thing) -> Iterator[Obstruction]:
    """Yield what closes each hole of a joist that a rule of the job does not allow: no run is to go through it."""
    chosen = [r.joists for r in job.rules if r.joists and r.counts_for(run.name)]
    sets = [joists for joists in chosen if thing.kind in (*joists.of, *joists.never)]
    joist = joist_of(thing) if sets else None
    if joist is None:
        return
    for hole in drilled(thing, joist):
        if any(never_cut(joist, joists) or any(wrong_cut(hole, joist, joists)) for joists in sets):
            radius, deep = hole.wide_mm / 2.0, joist.wide_mm / 2.0
            reach = [radius * (abs(joist.along[k]) + abs(joist.up[k])) + deep * abs(joist.through[k]) for k in range(3)]
            low, high = ([c + sign * r for c, r in zip(hole.at, reach, strict=True)] for sign in (-1.0, 1.0))
            yield block_of(low, high, thing.name, run.tube.outside_mm / 2.0)


def _of_run(job: Job, run: Run, other: SolvedRun, ends: WayEnds) -> Iterator[Obstruction]:
    """Yield every leg and bend of another run, each with a block of its own: beside them one may run parallel."""
    clear = job.clearance_mm + run.insulation_mm + other.run.insulation_mm
    half = other.tube.outside_mm / 2.0
    for piece in other.centreline.pieces:
        if piece.length <= NO_LENGTH_MM:
            continue
        line = Centreline((piece,))
        paths = paths_of([line], [other.tube.outside_mm])[0]
        field = obstacle_of_tube(line, other.tube.outside_mm).field
        one = Obstruction(
            other.name, field, paths.low[0] - half, paths.high[0] + half, clear + run.tube.outside_mm / 2.0
        )
        yield _joined(one, run, ends)


def _joined(one: Obstruction, run: Run, ends: WayEnds) -> Obstruction:
    """Return a thing with what is spared where an end of the run joins it; see `checks.joints`."""
    spared = []
    for ending, point, inwards in (
        (run.ends.start, ends.start, ends.heading),
        (run.ends.finish, ends.finish, scale(ends.arriving, -1.0)),
    ):
        if ending.joined_to(one.name):
            spared.append(Spared(point, _leaves(one, point, inwards, ending) + _beyond(one, run)))
    return replace(one, spared=tuple(spared)) if spared else one


def _beyond(one: Obstruction, run: Run) -> float:
    outside = run.tube.outside_mm
    return 2.0 * max(one.required - outside / 2.0, 0.0) + outside


def _leaves(one: Obstruction, point: Vec3, way: Vec3, ending: Ending) -> float:
    """Return how far along its first leg an end is out of what it joins."""
    at = np.arange(0.0, JOINED_MM, _STEP_MM)
    outside = one.field(np.array(point) + at[:, None] * np.array(way)) > 0.0
    # Of a wall with chases the end may lie in a layer behind this one.
    enters = int(np.argmin(outside)) if len(ending.layers) > 1 else 0
    leaves = enters + np.flatnonzero(outside[enters:])
    return max(float(at[leaves[0]]) if len(leaves) else 0.0, ending.depth_mm)


def _void(low: Vec3, high: Vec3, required: float) -> Iterator[Obstruction]:
    """Yield the six sides of a void, looking inwards."""
    for axis in range(3):
        for sign, corner in ((1.0, low), (-1.0, high)):
            normal = [0.0, 0.0, 0.0]
            normal[axis] = sign
            yield face_of(corner, (normal[0], normal[1], normal[2]), VOID, required)


def clip_reach(job: Job, run: Run) -> list[tuple[int, float, float]]:
    """Return where clips can hold a leg: across which axis, from where to where."""
    if run.clips is None:
        return []
    found: list[tuple[int, float, float]] = []
    low, high = clip_stands(run)
    for face in flat_faces_named(job.things, run.clips.faces):
        near, far = along(face.point, face.normal, low), along(face.point, face.normal, high)
        found += [(k, min(near[k], far[k]), max(near[k], far[k])) for k in range(3) if abs(face.normal[k]) > 1.0 - 1e-9]
    return found


def clip_stands(run: Run) -> tuple[float, float]:
    """Return between which distances of its axis off a face a clip holds a run; see `checks.supports`."""
    assert run.clips is not None
    if run.clips.standoff_mm is None:
        return run.tube.outside_mm / 2.0 - STANDOFF_PLAY_MM, REACH_MM
    return run.clips.standoff_mm - STANDOFF_PLAY_MM, run.clips.standoff_mm + STANDOFF_PLAY_MM


def wanted_planes(job: Job, run: Run, may_cut: Mapping[str, MayCut]) -> list[tuple[int, float]]:
    """Return the planes to look for legs in: at the standoff of clips, and through holes, new ones among them."""
    found = [plane for one in may_cut.values() for plane in one.planes]
    rule = run.clips
    for thing in job.things:
        if rule is not None and thing.name in rule.faces:
            off = CLIP_MM + run.tube.outside_mm / 2.0 if rule.standoff_mm is None else rule.standoff_mm
            for face in flat_faces_of(thing):
                at = along(face.point, face.normal, off)
                found += [(k, at[k]) for k in range(3) if abs(face.normal[k]) > 1.0 - 1e-9]
        if isinstance(thing.shape, Plate):
            plate = thing.shape
            middles = [(hole.x, hole.y) for hole in plate.rounds]
            for outline in plate.outlines[1:]:
                xs, ys = zip(*outline, strict=True)
                middles.append(((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0))
            for x, y in middles:
                through = plate.place(x, y, plate.thickness / 2.0)
                found += [(k, through[k]) for k in range(3) if abs(plate.normal[k]) < 1.0 - 1e-9]
    return found
