"""The bends still to come, changed so that the finish lands best, within what the former can hold and guide.

Marks, angles and rolls of the bends to come are the unknowns. What is made least is the sum of squares of how far the
finish is off sideways, along and in direction, each against what may be off, and of the changes themselves, which weigh
little. What the former needs weighs so much that no straight is left wanting by more than some hundredths of a mm.
"""

from collections.abc import Sequence
from math import degrees

from pipemodel.bending.bends import centreline_of
from pipemodel.correction.least_squares import least_squares
from pipemodel.correction.whole import DIRECTION_DEG, Whole
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.vectors import Vec3, any_normal, cross, dot, sub
from pipemodel.pulls.limits import FINISH, START, FlatTube, Limits
from pipemodel.pulls.plan import Pull

PARTS = 5.0
"""The finish counts as well as met within this part of what it may be off."""
CHANGE_MM, CHANGE_DEG = 40.0, 12.0
"""A change so large weighs as much as a finish off by one such part."""
WANTING_MM, WANTING_DEG = 0.02, 0.02
"""What a former lacks by so much weighs as much again."""
SPARE_MM = 0.05
"""What every straight is given beyond what the former needs."""
LEAST_DEG = 1.0


def replanned(whole: Whole, pulls: Sequence[Pull]) -> Whole:
    """Return the run with the bends of `pulls`, still to come in this order, changed for the best finish."""
    if not pulls:
        return whole
    places = [pull.bend - 1 for pull in pulls]

    def made_with(changes: Sequence[float]) -> Whole:
        rows = [list(whole.starts), list(whole.angles), list(whole.planes)]
        for k, place in enumerate(places):
            for what in range(3):
                rows[what][place] += changes[3 * k + what]
        return Whole(whole.solved, *(tuple(row) for row in rows))

    def functions(changes: Sequence[float]) -> list[float] | None:
        now = made_with(changes)
        if min(now.angles) <= 0.0:
            return None
        weights = (CHANGE_MM, CHANGE_DEG, CHANGE_DEG)
        return [
            *_off(now),
            *(change / weights[i % 3] for i, change in enumerate(changes)),
            *_wanting(now, pulls),
        ]

    found = least_squares(functions, [0.0] * (3 * len(places)))
    return whole if found is None else made_with(found)


def _off(whole: Whole) -> list[float]:
    """Return how far the finish is off to two sides and along, and its direction, against what may be off."""
    line, drawn = centreline_of(whole.table), whole.solved.centreline
    off = sub(line.finish, drawn.finish)
    ends = whole.solved.run.ends
    within = ends.finish.within
    leg, one, two = axes_of(drawn)
    ahead = line.straights[-1].direction
    sideways, along = max(within.sideways_mm, LEAST_WITHIN_MM) / PARTS, (within.along_mm + ends.trim_mm) / PARTS
    return [
        dot(off, one) / sideways,
        dot(off, two) / sideways,
        dot(off, leg) / max(along, LEAST_WITHIN_MM),
        degrees(dot(ahead, one)) / (DIRECTION_DEG / PARTS),
        degrees(dot(ahead, two)) / (DIRECTION_DEG / PARTS),
        # Straight back is no direction ahead, though it has no part to either side.
        degrees(max(0.0, -dot(ahead, leg))) / (DIRECTION_DEG / PARTS),
    ]


LEAST_WITHIN_MM = 0.5


def axes_of(drawn: Centreline) -> tuple[Vec3, Vec3, Vec3]:
    """Return the way of the last leg, and two square to it and to each other."""
    leg = drawn.straights[-1].direction
    one = any_normal(leg)
    return leg, one, cross(leg, one)


def limits_of(whole: Whole) -> Limits:
    """Return what the formers ask of the straights of a run, trim allowance and all."""
    solved = whole.solved
    bends = whole.table.bends
    tube = FlatTube(tuple(b.start_mm for b in bends), tuple(b.finish_mm for b in bends), solved.cut_length_mm)
    formers = solved.formers
    guides = (former.guide_needed_mm(max(a, LEAST_DEG)) for former, a in zip(formers, whole.angles, strict=True))
    return Limits(tube, tuple(former.hold_mm for former in formers), tuple(guides))


def _wanting(whole: Whole, pulls: Sequence[Pull]) -> list[float]:
    """Return what each pull to come lacks of straight to hold and to guide, and how far it goes too far."""
    limits, formers = limits_of(whole), whole.solved.formers
    made = sum(1 << (bend - 1) for bend in pulls[0].made)
    out: list[float] = []
    for pull in pulls:
        i = pull.bend - 1
        hold, guide = limits.straights(i, START if pull.held == "start" else FINISH, made)
        too_far = formers[i].springback.pull_deg(whole.angles[i]) - formers[i].max_angle_deg
        out += [
            max(0.0, limits.holds[i] + SPARE_MM - hold) / WANTING_MM,
            max(0.0, limits.guides[i] + SPARE_MM - guide) / WANTING_MM,
            max(0.0, too_far, LEAST_DEG - whole.angles[i]) / WANTING_DEG,
        ]
        made |= 1 << i
    return out
