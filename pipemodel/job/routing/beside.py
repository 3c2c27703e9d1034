"""A run laid beside another one: every leg alongside the other's at one distance, its bends nested in theirs.

The way from a leg of the other run square across to this one is carried along it: at each bend it turns with the other
run, so what lies across the bend's plane stays, and what lies in it keeps to the inside or to the outside. Two legs so
moved meet in a corner of their own. In the bend's plane that corner stands off the other's by the distance divided by
cos(a / 2), so two bends round one radius come no nearer to each other than their legs. An outer one of a wider radius
may: it cuts the corner short of the inner one as soon as its radius is wider by more than the distance in the plane.
"""

from math import radians, tan
from typing import NamedTuple

from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.rounding import rounded
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.geometry.straighten import find_corners
from pipemodel.geometry.vectors import EAST, UP, Vec3, add, along, angle_deg, cross, distance, dot, scale, sub, unit
from pipemodel.job.model import Run, Thing
from pipemodel.job.routing.directions import Heading, Standpoint
from pipemodel.job.routing.faults import ItemError, PlaceError
from pipemodel.job.routing.forms import BesideForm
from pipemodel.job.routing.pen import RoutePen
from pipemodel.messages.values import Count, Name, Number, message
from pipemodel.trade.model import Former

_TOUCH_MM = 1e-6
_STEEP = 0.5
"""A leg that rises or falls more than this (the sine of its slope) has no side below it."""


class Followed(NamedTuple):
    """A run that others may be laid beside: its corners, both ends among them, and the former of the bend at each."""

    name: str
    corners: tuple[Vec3, ...]
    formers: tuple[Former, ...]
    returns: frozenset[int]
    """Each i for which corners i and i + 1 are one bend of 180 degrees."""
    outside_mm: float

    def way(self, leg: int) -> Vec3:
        """Return the unit vector along a leg; leg 0 is the first."""
        return unit(sub(self.corners[leg + 1], self.corners[leg]))


def followed(run: Run) -> Followed:
    """Return a run to lay others beside, without the points of its way that make no bend."""
    route = run.route
    kept = find_corners(route.corners, route.joined).kept
    own = route.formers or (None,) * len(route.corners)
    return Followed(
        run.name,
        tuple(route.corners[i] for i in kept),
        tuple(own[i] or run.former for i in kept),
        frozenset(k for k, i in enumerate(kept) if i in route.joined),
        run.tube.outside_mm,
    )


def as_thing(run: Run) -> Thing:
    """Return a run as a thing that others measure to and pass over: its tube as bent, with its insulation."""
    way = followed(run)
    radii = [former.radius_mm for former in way.formers[1:-1]]
    outside = run.tube.outside_mm + 2.0 * run.insulation_mm
    return Thing(run.name, Tube(Centreline(tuple(rounded(way.corners, radii))), outside))


def lie_beside(pen: RoutePen, form: BesideForm, other: Followed) -> None:
    """Draw the run on from where it is to the other run, and beside it to the end of the last leg asked for.

    Raises:
        ItemError: if the distance cannot be kept, or nothing is left of a leg.
    """
    first, last = _legs(form, other)
    points = corners_beside(form, other, pen.tube.outside_mm, pen.stand, pen.at)
    former = pen.own or pen.former
    if pen.own is not None:
        pen.used.add(pen.item)
    for leg in range(first, last + 1):
        if dot(sub(points[leg - first + 1], points[leg - first]), other.way(leg)) <= 0.0:
            raise ItemError(message("fault.beside nothing left", leg=Count(leg + 1), name=Name(other.name)))
        if leg < last:
            _must_not_cut(other, leg, sub(points[leg - first + 1], other.corners[leg + 1]), former)
    there = distance(pen.at, points[0]) <= _TOUCH_MM
    own = pen.own
    for point in points[there:]:
        pen.own = own
        pen.to_corner(point)
    for k in other.returns & set(range(first + 1, last)):
        one, two = points[k - first], points[k - first + 1]
        if abs(distance(one, two) - 2.0 * former.radius_mm) <= _TOUCH_MM:
            pen.joined.add(pen.corners.index(one))


def _legs(form: BesideForm, other: Followed) -> tuple[int, int]:
    """Return the first and the last leg to lie beside, from 0."""
    most = len(other.corners) - 1
    first, last = form.legs or (1, most)
    if last > most:
        raise ItemError(message("fault.legs of", name=Name(other.name), most=Count(most), last=Count(last)))
    return first - 1, last - 1


def corners_beside(
    form: BesideForm, other: Followed, outside_mm: float, stand: Standpoint, here: Vec3 | None
) -> list[Vec3]:
    """Return the corners beside the legs asked for, from the beginning of the first to the end of the last.

    Raises:
        ItemError: if the run cannot lie there.
    """
    first, last = _legs(form, other)
    apart = form.centres if form.centres is not None else (form.gap or 0.0) + (other.outside_mm + outside_mm) / 2.0
    return carried_beside(other, first, last, scale(_side(form, other, first, stand, here), apart))


def carried_beside(other: Followed, first: int, last: int, across: Vec3) -> list[Vec3]:
    """Return the corners beside some legs, numbered from 0, that lie `across` (mm) from the first, square to it."""
    corners, ways = other.corners, [other.way(leg) for leg in range(len(other.corners) - 1)]
    # The way across from the leg before the first, so that its corner is where the whole run's would be.
    if first > 0:
        across = _carried(across, scale(ways[first], -1.0), scale(ways[first - 1], -1.0))
    points = []
    for k in range(first, last + 2):
        before, after = ways[k - 1] if k > 0 else None, ways[k] if k < len(ways) else None
        if before is None or after is None:
            points.append(add(corners[k], across))
            continue
        inside = _inside(before, after)
        reach = dot(across, inside) * tan(radians(angle_deg(before, after)) / 2.0)
        points.append(along(add(corners[k], across), before, -reach))
        across = _carried(across, before, after)
    return points


def _inside(before: Vec3, after: Vec3) -> Vec3:
    """Return the unit vector square to the leg before a bend, to which the tube bends."""
    return unit(sub(after, scale(before, dot(after, before))))


def _carried(across: Vec3, before: Vec3, after: Vec3) -> Vec3:
    """Return the way across from the leg after a bend, from that across from the leg before it."""
    inside = _inside(before, after)
    in_plane = dot(across, inside)
    return add(sub(across, scale(inside, in_plane)), scale(_inside(after, scale(before, -1.0)), in_plane))


def _side(form: BesideForm, other: Followed, leg: int, stand: Standpoint, here: Vec3 | None) -> Vec3:
    """Return the unit vector square to a leg of the other run towards the side to lie on.

    As asked for; else the side that the run has come to; else below a level leg, and right of a rising one.
    """
    way = other.way(leg)
    facing = Heading.along(way, stand=stand)
    if form.to is not None:
        return facing.side(form.to)
    if here is not None:
        off = sub(here, other.corners[leg])
        off = sub(off, scale(way, dot(off, way)))
        if distance(off, (0.0, 0.0, 0.0)) <= _TOUCH_MM:
            raise PlaceError(message("fault.in line", name=Name(other.name)))
        return unit(off)
    if abs(way[2]) <= _STEEP:
        return facing.side("down")
    out = stand.wall or stand.fitter
    right = EAST if out is None else cross(UP, out)
    return unit(sub(right, scale(way, dot(right, way))))


def _must_not_cut(other: Followed, leg: int, shift: Vec3, former: Former) -> None:
    """Refuse a bend at the end of a leg that cuts its corner so that the two runs come nearer than their legs."""
    inside = _inside(other.way(leg), other.way(leg + 1))
    in_plane, mine, its = dot(shift, inside), former.radius_mm, other.formers[leg + 1].radius_mm
    outer, inner = (its, mine) if in_plane > 0.0 else (mine, its)
    # Of two that lie across the plane only, neither cuts the other's corner.
    if abs(in_plane) > _TOUCH_MM and outer - inner > abs(in_plane) + _TOUCH_MM:
        raise ItemError(
            message(
                "fault.outer bend",
                bend=Count(leg + 1),
                other=Name(other.name),
                whose=Name(other.name) if in_plane > 0.0 else message("fault.this run"),
                outer=Number(outer),
                inner=Number(inner),
                missing=Number(outer - inner - abs(in_plane), ".1f"),
                apart=Number(abs(in_plane), ".1f"),
            )
        )
