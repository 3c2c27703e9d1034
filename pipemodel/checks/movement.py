"""Can a run move as it grows: the stress that its own expansion causes between its fixed ends.

Only runs whose job gives their temperatures are looked at. The run is taken as a bar fixed at both ends, which slides
and turns in its clips and cannot move aside there. Left out are: that a bend is softer than straight tube, that clips
and fixings give way, and what the tube rubs against. The first two make it seem worse than it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, hypot, pi, sqrt

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.checks.place_words import where_on
from pipemodel.checks.supports import Clip, ClipPlan, clip_plans
from pipemodel.geometry.arrays import np
from pipemodel.geometry.beam_line import BeamSection, grown
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.vectors import distance
from pipemodel.job.model import Temperatures
from pipemodel.messages.values import NOTHING, Count, Length, Message, Name, Number, Word, listed, message
from pipemodel.trade.materials import TubeMaterial, find_material
from pipemodel.trade.model import Tube

CHECK = "movement"
POISSON = 0.34
"""Of copper, from memory; it enters by the twist alone."""
ELEMENT_MM, ELEMENT_DEG = 100.0, 5.0
"""How long the pieces are that a run is divided into, of straights and of bends."""
NEAR_MM = 0.001
"""Places nearer to each other than this are one."""
MOST_TRIED = 12
"""How many clips are left out at most, one after the other, to find what keeps the run from moving."""


@dataclass(frozen=True)
class Movement:
    """What growing does to a run; mm and N/mm2.

    `grows_mm` is how much further apart its ends would be if they were free, `moves_mm` how far any of it moves, and
    `stress_n_mm2` the greatest stress, which is at `at_mm`.
    """

    grows_mm: float
    moves_mm: float
    stress_n_mm2: float
    at_mm: float


def movement(schedule: Schedule) -> tuple[Finding, ...]:
    """Look at every run whose temperatures are given."""
    findings = []
    for solved, plan in zip(schedule.runs, clip_plans(schedule), strict=True):
        if solved.run.temperatures is not None:
            findings.append(_judge(solved, plan, solved.run.temperatures))
    return tuple(findings)


def movement_of(solved: SolvedRun, between: Temperatures, material: TubeMaterial, clips: Sequence[float]) -> Movement:
    """Return what growing from the coldest to the hottest does to a run.

    Args:
        solved: the run.
        between: its temperatures.
        material: what its tube is made of.
        clips: where it is clipped, along the centreline, mm.
    """
    line, tube = solved.centreline, solved.tube
    places = _places(line, clips)
    strain = material.expansion_per_k * (between.hottest_c - between.coldest_c)
    nodes = np.array([line.point_at(at) for at in places])
    sliding = [places.index(at) for at in clips if at in places]
    answer = grown(nodes, section_of(tube, material), strain, sliding)
    area, second = _area(tube), _second_moment(tube)
    stress = answer.bending_n_mm * tube.outside_mm / 2.0 / second + answer.tension_n[:, None] / area
    element, end = divmod(int(stress.argmax()), 2)
    moves = max(hypot(*row) for row in answer.moved.tolist())
    return Movement(
        strain * distance(line.start, line.finish),
        moves,
        float(stress[element, end]),
        places[element + end],
    )


def section_of(tube: Tube, material: TubeMaterial) -> BeamSection:
    """Return what the wall of a tube resists with."""
    second, e = _second_moment(tube), material.elastic_n_mm2
    return BeamSection(e * _area(tube), e * second, e / (2.0 * (1.0 + POISSON)) * 2.0 * second)


def freedom_mm(growth_mm: float, outside_mm: float, material: TubeMaterial) -> float:
    """Return how much tube an offset or a loop needs across a growth to take it up, sqrt(3 E D e / S), mm.

    Source: Copper Development Association (US), Copper Tube Handbook, design of expansion loops, its table 8.
    """
    assert material.allowed_n_mm2 is not None
    return sqrt(3.0 * material.elastic_n_mm2 * outside_mm * growth_mm / material.allowed_n_mm2)


def _judge(solved: SolvedRun, plan: ClipPlan | None, between: Temperatures) -> Finding:
    material = find_material(solved.tube.material)
    clips = () if plan is None else plan.clips
    if material is None:
        said = message("movement.unknown", run=Name(solved.name), material=Word(solved.tube.material))
        return Finding("T102", CHECK, "note", said, solved.name)
    got = movement_of(solved, between, material, [clip.at_mm for clip in clips])
    grows = message(
        "movement.grows",
        run=Name(solved.name),
        cold=Number(between.coldest_c),
        hot=Number(between.hottest_c),
        grows=Length(got.grows_mm, ".1f"),
    )
    held = message("movement.clips", n=Count(len(clips))) if clips else message("movement.no clips")
    allowed = material.allowed_n_mm2
    if allowed is None:
        said = message("movement.only growth", grows=grows, material=Word(material.name))
        return Finding("T102", CHECK, "note", said, solved.name, basis=material.source)
    stressed = message(
        "movement.stress",
        held=held,
        stress=Number(got.stress_n_mm2, ".0f"),
        allowed=Number(allowed, ".0f"),
        where=where_on(solved, got.at_mm),
    )
    if got.stress_n_mm2 <= allowed:
        said = message("movement.free", grows=grows, stressed=stressed, moves=Length(got.moves_mm, ".1f"))
        return Finding("T102", CHECK, "note", said, solved.name, basis=material.source)
    cure = _cure(solved, between, material, clips, got)
    said = message("movement.held", grows=grows, stressed=stressed, cure=cure)
    point = solved.centreline.point_at(got.at_mm)
    return Finding("T101", CHECK, "warning", said, solved.name, at_mm=got.at_mm, point=point, basis=material.source)


def _cure(
    solved: SolvedRun, between: Temperatures, material: TubeMaterial, clips: Sequence[Clip], got: Movement
) -> Message:
    """Return what helps: clips that let the tube move aside, if that is proved to do, or an offset or loop."""
    assert material.allowed_n_mm2 is not None
    kept = list(clips)
    out: list[Clip] = []
    while kept and len(out) < MOST_TRIED:
        nearest = min(kept, key=lambda clip: abs(clip.at_mm - got.at_mm))
        kept.remove(nearest)
        out.append(nearest)
        got = movement_of(solved, between, material, [clip.at_mm for clip in kept])
        if got.stress_n_mm2 <= material.allowed_n_mm2:
            numbers = listed([Count(clip.number) for clip in sorted(out, key=lambda clip: clip.number)])
            return message("movement.loose", n=Count(len(out)), clips=numbers, stress=Number(got.stress_n_mm2, ".0f"))
    free = freedom_mm(got.grows_mm, solved.tube.outside_mm, material)
    return message("movement.loop", free=Length(ceil(free / 10.0) * 10.0, ".0f")) if got.grows_mm else NOTHING


def _area(tube: Tube) -> float:
    return pi * (tube.outside_mm - tube.wall_mm) * tube.wall_mm


def _second_moment(tube: Tube) -> float:
    return pi / 64.0 * (tube.outside_mm**4 - tube.bore_mm**4)


def _places(line: Centreline, clips: Sequence[float]) -> list[float]:
    """Return the places along a run that its pieces begin and end at, with the clips among them."""
    places = {0.0, line.length}
    for piece, begins in zip(line.pieces, line.offsets, strict=False):
        parts = piece.angle_deg / ELEMENT_DEG if isinstance(piece, Arc) else piece.length / ELEMENT_MM
        n = max(ceil(parts), 1)
        places |= {begins + piece.length * i / n for i in range(n)}
    fixed = sorted({0.0, line.length, *(at for at in clips if NEAR_MM < at < line.length - NEAR_MM)})
    out = list(fixed)
    for at in sorted(places):
        if min(abs(at - other) for other in out) > NEAR_MM:
            out.append(at)
    return sorted(out)
