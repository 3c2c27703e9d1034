"""Where the clips go: by spacing for size and direction, near fittings and ends, never on a bend.

Only runs whose job asks for clips are looked at. Spacings are the table's or the job's own; that a clip's middle
keeps off a bend, how far a screw keeps off the edge of what it goes into, and which slope counts as upright, are
common practice without a source.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from weakref import WeakKeyDictionary

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.clip_places import ClipLeg, ClipStretch, place_clips
from pipemodel.checks.findings import Finding
from pipemodel.checks.flat_faces import flat_faces_named, parts_over
from pipemodel.checks.tape import TapeMeasure, measures_on
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.shapes.face import SQUARE, Face
from pipemodel.geometry.vectors import Vec3, along, dot
from pipemodel.job.model import Thing
from pipemodel.messages.values import Count, Length, Message, Name, Tape, listed, message
from pipemodel.trade.clips import ClipRule

CHECK = "supports"
UPRIGHT = 0.866
"""Tube within 30 degrees of plumb counts as upright; steeper is the safer reading. Common practice, no source."""
STANDOFF_PLAY_MM = 1.0
"""How far off its clip's standoff a leg may lie. Common practice, no source."""
REACH_MM = 60.0
"""How far from a face a clip can hold a tube's axis, where the job gives no standoff. Common practice, no source."""
NEAR_FACE_MM = 500.0
"""A face farther off than this is not said to be the one a leg misses."""
TINY_MM = 1e-6
MOST_CLIPS = 5000
"""More than this on one piece of tube is a slip of the pen, in the spacing or in the length."""


@dataclass(frozen=True)
class Clip:
    """One clip. `at_mm` is along the centreline, `along_leg_mm` from where its leg begins; legs count from 1.

    `point` is on the tube's axis, `on_face` where the clip meets the face of the thing named `face`.
    """

    number: int
    at_mm: float
    leg: int
    along_leg_mm: float
    point: Vec3
    on_face: Vec3
    face: str
    standoff_mm: float
    across: TapeMeasure
    up: TapeMeasure

    @property
    def said(self) -> Message:
        """Where it goes, for a sentence."""
        return message(
            "clips.clip",
            n=Count(self.number),
            at=Tape(self.at_mm),
            face=Name(self.face, quoted=False),
            across=self.across.said,
            up=self.up.said,
        )


@dataclass(frozen=True)
class Unsupported:
    """A stretch longer than the rule allows without a clip; positions along the centreline, mm."""

    from_mm: float
    to_mm: float
    allowed_mm: float
    reason: Message


@dataclass(frozen=True)
class ClipPlan:
    """The clips of one run in order, the stretches left without, and the rule they were placed by."""

    run: str
    rule: ClipRule
    clips: tuple[Clip, ...]
    unsupported: tuple[Unsupported, ...]


def supports(schedule: Schedule) -> tuple[Finding, ...]:
    """Place the clips of every run that asks for them, and say where none can go."""
    findings: list[Finding] = []
    for solved, plan in zip(schedule.runs, clip_plans(schedule), strict=True):
        if plan is None:
            continue
        findings += (_unsupported(solved, gap) for gap in plan.unsupported)
        if plan.clips:
            said = message("clips.planned", run=Name(solved.name), clips=listed([c.said for c in plan.clips], ";"))
            findings.append(Finding("S102", CHECK, "note", said, solved.name, basis=plan.rule.spacing.source))
    return tuple(findings)


_KEPT: "WeakKeyDictionary[Schedule, tuple[ClipPlan | None, ...]]" = WeakKeyDictionary()


def clip_plans(schedule: Schedule) -> tuple[ClipPlan | None, ...]:
    """Return the clips of each run, None where its job asks for none; worked out once for a schedule."""
    if schedule not in _KEPT:
        _KEPT[schedule] = tuple(plan_clips(solved, schedule.job.standing) for solved in schedule.runs)
    return _KEPT[schedule]


def plan_clips(solved: SolvedRun, things: Sequence[Thing]) -> ClipPlan | None:
    """Return the clips of a run, or None if its job asks for none.

    Args:
        solved: the run.
        things: the things in the room; those the rule names take the clips, faces of others are measured from.
    """
    rule = solved.run.clips
    if rule is None:
        return None
    legs = legs_of(solved, rule.spacing.horizontal_mm, rule.spacing.vertical_mm)
    faces = flat_faces_named(things, rule.faces)
    stretches: list[ClipStretch] = []
    reasons: dict[int, Message] = {}
    for leg in legs:
        low, high = _free_part(solved, rule, leg)
        found = list(_stretches(solved, rule, leg, faces, low, high)) if low <= high else []
        stretches += found
        if not found:
            reasons[leg.number] = _why_not(solved, rule, leg, faces) if low <= high else _too_short(leg)
    whole = solved.centreline.length
    least = min(rule.spacing.horizontal_mm, rule.spacing.vertical_mm)
    if whole > MOST_CLIPS * least:
        reason = message("clips.too many", least=Length(least, taped=True), most=Count(MOST_CLIPS))
        return ClipPlan(solved.name, rule, (), (Unsupported(0.0, whole, least, reason),))
    ends = solved.run.ends
    near = rule.spacing.near_fitting_mm
    beside = [part for mouth, other in solved.couplings for part in ((mouth - near, mouth), (other, other + near))]
    firsts = ends.start.depth_mm + near, ends.finish.depth_mm + near
    places, gaps = place_clips(legs, stretches, whole, *firsts, beside)
    clips = tuple(_clip(i, at, stretch, solved, things) for i, (at, stretch) in enumerate(places, 1))
    unsupported = tuple(
        Unsupported(low, high, allowed, _reason(low, high, legs, reasons)) for low, high, allowed in gaps
    )
    return ClipPlan(solved.name, rule, clips, unsupported)


def clips_on_piece(plan: ClipPlan, piece: SolvedRun, begins_mm: float, leg: int) -> ClipPlan:
    """Return the clips of a run that are on one of the pieces it is jointed from, each with the number it has.

    Args:
        plan: the clips of the run.
        piece: the piece; positions come back along it.
        begins_mm: where along the run it begins.
        leg: how many legs of the run are over before the one it begins in.
    """

    def on_it(clip: Clip) -> Clip:
        at, number = clip.at_mm - begins_mm, clip.leg - leg
        return replace(clip, at_mm=at, leg=number, along_leg_mm=at if number == 1 else clip.along_leg_mm)

    ends = begins_mm + piece.table.length_mm
    clips = tuple(on_it(clip) for clip in plan.clips if begins_mm <= clip.at_mm < ends)
    gaps = tuple(
        replace(gap, from_mm=max(gap.from_mm, begins_mm) - begins_mm, to_mm=min(gap.to_mm, ends) - begins_mm)
        for gap in plan.unsupported
        if gap.from_mm < ends and begins_mm < gap.to_mm
    )
    return replace(plan, run=piece.name, clips=clips, unsupported=gaps)


def legs_of(solved: SolvedRun, level_mm: float, upright_mm: float) -> tuple[ClipLeg, ...]:
    """Return the straights of a run, each with how far apart supports may be that stand on it."""
    legs = []
    number = 0
    for piece, at in zip(solved.centreline.pieces, solved.centreline.offsets, strict=False):
        if isinstance(piece, Straight):
            number += 1
            if piece.length > TINY_MM:
                limit = upright_mm if abs(piece.direction[2]) >= UPRIGHT else level_mm
                legs.append(ClipLeg(number, at, at + piece.length, limit, piece))
    return tuple(legs)


def _free_part(solved: SolvedRun, rule: ClipRule, leg: ClipLeg) -> tuple[float, float]:
    """Return between which positions the middle of a clip may lie: off the bends, and outside the fittings."""
    ends, length = solved.run.ends, solved.centreline.length
    before = ends.start.depth_mm if leg.low <= TINY_MM else 0.0
    after = ends.finish.depth_mm if leg.high >= length - TINY_MM else 0.0
    return leg.low + before + rule.off_bend_mm, leg.high - after - rule.off_bend_mm


def _stretches(
    solved: SolvedRun, rule: ClipRule, leg: ClipLeg, faces: Sequence[Face], low: float, high: float
) -> Iterator[ClipStretch]:
    for face in faces:
        if _lies_along(solved, rule, leg, face):
            for a, b in parts_over(face, leg.straight, rule.edge_mm):
                a, b = max(low, leg.low + a), min(high, leg.low + b)
                if a <= b:
                    for low_end, high_end in _off_couplings(a, b, solved, rule):
                        yield ClipStretch(leg, low_end, high_end, face)


def _off_couplings(low: float, high: float, solved: SolvedRun, rule: ClipRule) -> Iterator[tuple[float, float]]:
    """Yield what is left of a stretch as far from every coupling's mouth as a clip is from a bend."""
    for mouth, other in sorted(solved.couplings):
        if low <= min(mouth - rule.off_bend_mm, high):
            yield low, min(mouth - rule.off_bend_mm, high)
        low = max(low, other + rule.off_bend_mm)
    if low <= high:
        yield low, high


def _lies_along(solved: SolvedRun, rule: ClipRule, leg: ClipLeg, face: Face) -> bool:
    """Tell whether a clip on the plane of a face can hold a leg."""
    straight = leg.straight
    if abs(dot(straight.direction, face.normal)) > SQUARE:
        return False
    for stands in (face.height_of(straight.start), face.height_of(straight.finish)):
        if rule.standoff_mm is None:
            if not solved.tube.outside_mm / 2.0 - STANDOFF_PLAY_MM <= stands <= REACH_MM:
                return False
        elif abs(stands - rule.standoff_mm) > STANDOFF_PLAY_MM:
            return False
    return True


def _clip(number: int, at: float, stretch: ClipStretch, solved: SolvedRun, things: Sequence[Thing]) -> Clip:
    face, leg = stretch.face, stretch.leg
    point = leg.straight.point_at(at - leg.low)
    stands = face.height_of(point)
    on_face = along(point, face.normal, -stands)
    across, up = measures_on(face, on_face, things, solved.centreline.start)
    return Clip(number, at, leg.number, at - leg.low, point, on_face, face.thing, stands, across, up)


def _why_not(solved: SolvedRun, rule: ClipRule, leg: ClipLeg, faces: Sequence[Face]) -> Message:
    beside = [
        face
        for face in faces
        if abs(dot(leg.straight.direction, face.normal)) <= SQUARE
        and abs(face.height_of(leg.straight.start)) <= NEAR_FACE_MM
    ]
    number, either = Count(leg.number), listed([Name(face, quoted=False) for face in rule.faces], "or")
    if not beside:
        return message("clips.no face", leg=number, faces=either)
    if not any(_lies_along(solved, rule, leg, face) for face in beside):
        ahead = [face for face in beside if face.height_of(leg.straight.start) > 0.0] or beside
        near = min(ahead, key=lambda face: abs(face.height_of(leg.straight.start) - (rule.standoff_mm or 0.0)))
        stands, reach = near.height_of(leg.straight.start), rule.standoff_mm or REACH_MM
        if stands < 0.0:
            return message("clips.behind", leg=number, face=Name(near.thing, quoted=False))
        return message(
            "clips.standoff" if rule.standoff_mm else "clips.reach",
            leg=number,
            stands=Length(stands, ".1f", beside=reach, taped=True),
            face=Name(near.thing, quoted=False),
            holds=Length(reach, beside=stands, taped=True),
        )
    return message("clips.edge", leg=number, faces=either, edge=Length(rule.edge_mm, taped=True))


def _too_short(leg: ClipLeg) -> Message:
    return message("clips.no room", leg=Count(leg.number), length=Length(leg.high - leg.low, ".0f"))


def _reason(low: float, high: float, legs: Sequence[ClipLeg], reasons: dict[int, Message]) -> Message:
    said = [reasons[leg.number] for leg in legs if leg.number in reasons and leg.high > low and leg.low < high]
    return message("several", said=listed(said, ";")) if said else message("clips.no nearer place")


def _unsupported(solved: SolvedRun, gap: Unsupported) -> Finding:
    middle, without = (gap.from_mm + gap.to_mm) / 2.0, gap.to_mm - gap.from_mm
    return Finding(
        "S101",
        CHECK,
        "error",
        message(
            "clips.gap",
            run=Name(solved.name),
            without=Length(without, ".0f", beside=gap.allowed_mm),
            low=Length(gap.from_mm, ".0f"),
            high=Length(gap.to_mm, ".0f"),
            allowed=Length(gap.allowed_mm, ".0f", beside=without),
            reason=gap.reason,
        ),
        solved.name,
        at_mm=middle,
        point=solved.centreline.point_at(middle),
    )
