"""Does a hand reach what is made in place: joints, clips to be closed, holes and notches still to be cut.

Asked where the job says `reach`. The arm is straight or bent once; `cutting.arm` says what is looked at. Runs do not
stand in its way.
"""

from collections.abc import Iterator
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.checks.joist_crossings import joist_of
from pipemodel.checks.place_words import where_on
from pipemodel.checks.supports import clip_plans
from pipemodel.cutting.arm import HAND_MM, in_reach, standing_in
from pipemodel.cutting.cuts import plan_cutting, with_couplings
from pipemodel.cutting.whole import clips_need_joints
from pipemodel.geometry.vectors import Vec3, along, distance
from pipemodel.job.model import Reach
from pipemodel.messages.values import Count, Length, Message, Name, listed, message

CHECK = "reach"
BEFORE_MM = 30.0
"""A hole is drilled, and an end is held, so far before it."""


class _Place(NamedTuple):
    """Something to be reached: what it is, whose, where, and the things that it may lie in."""

    what: Message
    solved: SolvedRun
    at_mm: float
    points: tuple[Vec3, ...]
    beside: tuple[str, ...] = ()


def out_of_reach(schedule: Schedule) -> int | None:
    """Return how many joints, clips and new cuts no arm gets to; None where the job does not ask.

    Args:
        schedule: couplings need not be known in it yet.
    """
    if schedule.job.reach is None:
        return None
    jointed = with_couplings(schedule) if clips_need_joints(schedule) else schedule
    return sum(one.code == "H101" for one in reach(jointed))


def reach(schedule: Schedule) -> tuple[Finding, ...]:
    """Say of every joint, clip and new cut whether an arm gets to it; nothing where the job does not ask."""
    asked = schedule.job.reach
    if asked is None:
        return ()
    places = [place for solved in schedule.runs for place in _places(schedule, solved)]
    room = standing_in(schedule.job)
    missed = [place for place in places if not in_reach(asked, room, place.points, place.beside)]
    said = message(
        "reach.all" if not missed else "reach.some",
        n=Count(len(places) - len(missed)),
        all=Count(len(places)),
        openings=listed([Name(opening.name) for opening in asked.openings]),
        arm=_arm(asked),
    )
    return (*(_missed(place, asked) for place in missed), Finding("H102", CHECK, "note", said))


def _missed(place: _Place, asked: Reach) -> Finding:
    said = message(
        "reach.missed",
        run=Name(place.solved.name),
        what=place.what,
        where=where_on(place.solved, place.at_mm),
        openings=listed([Name(opening.name) for opening in asked.openings]),
        arm=_arm(asked),
    )
    return Finding("H101", CHECK, "warning", said, place.solved.name, at_mm=place.at_mm, point=place.points[0])


def _arm(asked: Reach) -> Message:
    arm, thick = Length(asked.arm_mm, ".0f"), Length(asked.thick_mm, ".0f")
    return message("reach.arm", arm=arm, thick=thick, hand=Length(HAND_MM, ".0f"))


def _places(schedule: Schedule, solved: SolvedRun) -> Iterator[_Place]:
    line, ends = solved.centreline, solved.run.ends
    for end, at, inside in ((ends.start, 0.0, BEFORE_MM), (ends.finish, line.length, line.length - BEFORE_MM)):
        if end.fitting is not None or end.joins:
            points = (line.point_at(min(max(inside, 0.0), line.length)),)
            yield _Place(message("reach.joint"), solved, at, points, (end.joins, *end.layers))
    number = schedule.runs.index(solved)
    for joint in plan_cutting(schedule).runs[number].joints:
        yield _Place(message("reach.joint"), solved, joint.at_mm, (joint.point,))
    plan = clip_plans(schedule)[number]
    for clip in plan.clips if plan is not None else ():
        yield _Place(message("reach.clip", n=Count(clip.number)), solved, clip.at_mm, (clip.point,))
    for cut in solved.run.route.find.cuts if solved.run.route.find is not None else ():
        thing = next(one for one in schedule.job.things if one.name == cut.thing)
        joist = joist_of(thing)
        assert joist is not None, "cuts are in joists only"
        off = joist.wide_mm / 2.0 + BEFORE_MM
        said = message("reach.cut", thing=Name(cut.thing))
        _, at = min((distance(line.point_at(s), cut.at), float(s)) for s in range(int(line.length) + 1))
        yield _Place(said, solved, at, tuple(along(cut.at, joist.through, side * off) for side in (-1.0, 1.0)))
