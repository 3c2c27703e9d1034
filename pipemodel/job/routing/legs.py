"""How far a leg goes, measured the ways people measure: to the corner, to the back or inside of a bend, to a face.

The back of a bend is where the outsides of its two legs would meet: (D / 2) tan(a / 2) beyond the corner for a bend
of a degrees in tube D outside, so D / 2 for a square bend. Past 90 degrees that point hangs in the air, and people
hold a square across the bend instead: the back is then where the square touches, R + D / 2 beyond the beginning of
the bend. The two agree at 90 degrees. The inside (throat) is the same with - D / 2.
"""

from dataclasses import dataclass
from math import atan2, cos, radians, sin, tan
from typing import Literal, TypeAlias

from pipemodel.geometry.shapes.face import Face, plane
from pipemodel.geometry.vectors import Vec3, along, cross, dot, length, scale, sub, unit
from pipemodel.job.model import Thing
from pipemodel.job.routing.faces import centre, extent, face_met
from pipemodel.job.routing.faults import ItemError
from pipemodel.messages.values import Message, Name, Number, Word, message
from pipemodel.trade.model import Former

_LEVEL = 1e-9
Edge: TypeAlias = Literal["centre", "back", "inside"]


@dataclass(frozen=True)
class Measured:
    """A distance with a tape: from the centre, back or inside of the last bend to that of the next; mm."""

    mm: float
    start: Edge = "centre"
    finish: Edge = "centre"


@dataclass(frozen=True)
class ToFace:
    """Until the tube is off the face of a thing ahead: its outside by `gap`, or its axis by `standoff`; mm."""

    thing: Thing
    gap: float | None = None
    standoff: float | None = None


@dataclass(frozen=True)
class Past:
    """Until the tube is past the far side of a thing: its outside by `gap`, or its axis by `standoff`; mm."""

    thing: Thing
    gap: float | None = None
    standoff: float | None = None


@dataclass(frozen=True)
class ToCentreOf:
    """Until the axis is level with the middle of a thing."""

    thing: Thing


@dataclass(frozen=True)
class ToLevel:
    """Until the corner is at a height; or the outside of the tube off it by `gap`, or its axis by `standoff`; mm."""

    z: float
    called: Message
    gap: float | None = None
    standoff: float | None = None


LegStretch: TypeAlias = Measured | ToFace | Past | ToCentreOf | ToLevel


@dataclass(frozen=True)
class Made:
    """A bend as a leg sees it: its angle in degrees, and the direction of the leg beyond it (unit vector)."""

    angle_deg: float
    direction: Vec3
    side: Vec3
    """The unit vector square to the leg before the bend, to which the tube bends."""
    former: Former
    """What it is made round."""

    @property
    def setback(self) -> float:
        """The distance from where it begins to its corner, mm; R for a return bend, which has two corners."""
        return setback(self.former.radius_mm, self.angle_deg)

    def beyond_corner(self, edge: Edge, outside: float) -> float:
        """Return how far beyond its corner an edge of it lies on a tube of some outside diameter; mm."""
        return edge_beyond_corner(edge, self.angle_deg, self.former.radius_mm, outside)


def setback(radius: float, angle_deg: float) -> float:
    """Return the distance from where a bend begins to its corner; R for a return bend, which has two corners."""
    return radius if angle_deg >= 180.0 else radius * tan(radians(angle_deg) / 2.0)


def edge_beyond_corner(edge: Edge, angle_deg: float, radius: float, outside: float) -> float:
    """Return how far beyond the corner, along the leg that leads to it, an edge of the bend lies; mm.

    Args:
        edge: which edge is measured to.
        angle_deg: the bend, 0 to 180.
        radius: finished centreline radius, mm.
        outside: outside diameter of the tube, mm.
    """
    if edge == "centre":
        return 0.0
    half = outside / 2.0 if edge == "back" else -outside / 2.0
    if angle_deg <= 90.0:
        return half * tan(radians(angle_deg) / 2.0)
    return radius + half - setback(radius, angle_deg)


def leg_length(
    stretches: list[LegStretch],
    origin: Vec3,
    ahead: Vec3,
    flat: Vec3,
    before: Made | None,
    after: Made | None,
    outside: float,
) -> float:
    """Return the length of a leg from corner to corner, in mm (an end counts as a corner).

    Args:
        stretches: what the run says about the leg, in order; they add up.
        origin: the corner (or start) it goes from.
        ahead: its heading, a unit vector.
        flat: the same as if the leg did not fall: middles and far sides of things are where they are in plan.
        before: the bend it comes out of; None at the start of the run.
        after: the bend it leads into; None at the finish of the run.
        outside: outside diameter, mm.

    Raises:
        ItemError: if the leg cannot be measured that way.
    """
    at = 0.0
    for i, stretch in enumerate(stretches):
        last = i == len(stretches) - 1
        if isinstance(stretch, Measured):
            at += stretch.mm
            if stretch.start != "centre":
                if before is None or i > 0:
                    raise ItemError(message("fault.no bend from", start=Name(stretch.start, quoted=False)))
                at -= before.beyond_corner(stretch.start, outside)
            if stretch.finish != "centre":
                if after is None or not last:
                    raise ItemError(message("fault.no bend to", finish=Name(stretch.finish, quoted=False)))
                at -= after.beyond_corner(stretch.finish, outside)
        elif isinstance(stretch, ToCentreOf):
            at = dot(sub(centre(stretch.thing), origin), flat) / dot(ahead, flat)
        elif isinstance(stretch, ToLevel):
            at = _to_level(stretch, origin, along(origin, ahead, at), ahead, after if last else None, outside)
        elif isinstance(stretch, ToFace):
            at = _to_face(stretch, origin, along(origin, ahead, at), ahead, after if last else None, outside)
        else:
            at = _past(stretch, origin, flat, after if last else None, outside) / dot(ahead, flat)
    return at


def _to_face(stretch: ToFace, origin: Vec3, here: Vec3, ahead: Vec3, after: Made | None, outside: float) -> float:
    face = face_met(stretch.thing, here, ahead)
    return _off_face(
        stretch, face, message("fault.face of", thing=Name(stretch.thing.name)), origin, ahead, after, outside
    )


def _to_level(stretch: ToLevel, origin: Vec3, here: Vec3, ahead: Vec3, after: Made | None, outside: float) -> float:
    rise = stretch.z - here[2]
    if abs(ahead[2]) < _LEVEL or rise * ahead[2] < 0.0:
        way = Word("level" if abs(ahead[2]) < _LEVEL else "away")
        raise ItemError(message("fault.not to level", way=way, called=stretch.called, off=Number(abs(rise))))
    if stretch.gap is None and stretch.standoff is None:
        return (stretch.z - origin[2]) / ahead[2]
    face = plane((here[0], here[1], stretch.z), (0.0, 0.0, -1.0 if ahead[2] > 0.0 else 1.0))
    return _off_face(stretch, face, stretch.called, origin, ahead, after, outside)


def _off_face(
    stretch: ToFace | ToLevel,
    face: Face,
    called: Message,
    origin: Vec3,
    ahead: Vec3,
    after: Made | None,
    outside: float,
) -> float:
    closing = -dot(ahead, face.normal)
    reach = _reach(face, ahead, after)
    if reach is None:
        raise ItemError(message("fault.still towards", called=called))
    if stretch.standoff is not None:
        off = stretch.standoff
    elif after is None:
        # The flat end of a slanting tube reaches ahead of its axis.
        off = (stretch.gap or 0.0) + outside / 2.0 * length(cross(ahead, face.normal))
    else:
        off = (stretch.gap or 0.0) + outside / 2.0
    return (dot(sub(origin, face.point), face.normal) + reach - off) / closing


def _reach(face: Face, ahead: Vec3, after: Made | None) -> float | None:
    """Return how far (along the face's normal) the axis stays off the corner where it is nearest to the face.

    Zero for a leg along the face. A bend of more than that comes nearest at its crown, which the radius holds back
    from the corner. None when the leg after the bend still closes on the face.
    """
    if after is None:
        return 0.0
    leaving = dot(after.direction, face.normal)
    if leaving < -1e-9:
        return None
    if leaving <= 1e-9:
        return 0.0
    closing, aside = -dot(ahead, face.normal), dot(after.side, face.normal)
    crown, radius = atan2(closing, aside), after.former.radius_mm
    return after.setback * closing - radius * closing * sin(crown) + radius * (1.0 - cos(crown)) * aside


def _past(stretch: Past, origin: Vec3, ahead: Vec3, after: Made | None, outside: float) -> float:
    if stretch.thing.shape.facing is not None:
        raise ItemError(message("fault.no way past", name=Name(stretch.thing.name)))
    far = extent(stretch.thing, ahead)[1] - dot(origin, ahead)
    if stretch.standoff is not None:
        return far + stretch.standoff
    if after is None:
        return far + (stretch.gap or 0.0)
    if abs(dot(after.direction, ahead)) > 1e-9:
        raise ItemError(
            message("fault.past needs square", name=Name(stretch.thing.name), angle=Number(after.angle_deg))
        )
    return far + (stretch.gap or 0.0) + outside / 2.0


def bend_between(ahead: Vec3, direction: Vec3, angle: float, former: Former) -> Made:
    """Return the bend from one heading to another that is neither along it nor straight against it."""
    return Made(angle, direction, unit(sub(direction, scale(ahead, dot(direction, ahead)))), former)
