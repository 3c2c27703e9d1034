"""Every place at which a run is too near to one other thing or run, and what would clear it there."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.findings import Contact, Hole
from pipemodel.geometry.arrays import Floats, lengths
from pipemodel.geometry.centreline import Arc, Centreline, cut_out
from pipemodel.geometry.contact import least_move, near_places
from pipemodel.geometry.distance import Nearest
from pipemodel.geometry.distance.obstacle import MeasuredObstacle
from pipemodel.geometry.vectors import Vec3, length, scale, sub, unit
from pipemodel.messages.values import Count, Message, message

TOUCH_MM = 1e-6
"""A clearance missed by less than this is kept: the numbers are no finer."""
SEARCHED = 200
"""For this many places of a job the shortest move is looked for all round; then along the likely directions only."""
SEARCHED_SLOW = 20
"""The same for places on meshes."""
_SMALL_MM = 1e-3


@dataclass(frozen=True)
class Zone:
    """A part of a run, from and to along its centreline, and what is asked for there; mm."""

    low: float
    high: float
    required_mm: float
    insulation_mm: float = 0.0


class Searched:
    """How many places of a job have had their shortest move looked for all round."""

    def __init__(self) -> None:
        self.done = 0
        self.slow = 0

    def thorough(self, obstacle: MeasuredObstacle) -> bool:
        """Count one more place, and tell whether it is still to be gone into all round."""
        if obstacle.slow:
            self.slow += 1
            return self.slow <= SEARCHED_SLOW
        self.done += 1
        return self.done <= SEARCHED


def contacts_with(
    solved: SolvedRun,
    obstacle: MeasuredObstacle,
    zones: Sequence[Zone],
    solid: bool,
    searched: Searched | None,
    known: Nearest | None,
    aside: Callable[[Nearest], bool] | None = None,
) -> list[Contact]:
    """Return every place at which a run is too near to an obstacle, in order along the run.

    Args:
        solved: the run.
        obstacle: what it is measured against.
        zones: the parts of the run to look at, in order, with what is asked for in each.
        solid: whether the obstacle is a thing that a hole can be made in.
        searched: how much searching the job has had so far; None where no moves are asked for.
        known: the least distance of the whole run, where that has been measured; it stands for the place it is in.
        aside: tells which places are no clash, such as those in a sleeve; none if left out.
    """
    found: list[tuple[Zone, float, float, Nearest]] = []
    for zone in zones:
        found += ((zone, low, high, nearest) for low, high, nearest in _places(solved, obstacle, zone))
    if known is not None and zones:
        found = _with_known(found, zones, known)
    if aside is not None:
        found = [place for place in found if not aside(place[3])]
    out: list[Contact] = []
    for k, (zone, low, high, nearest) in enumerate(found):
        begin, end = zone.low, zone.high
        if k and found[k - 1][2] > begin:
            begin = 0.5 * (found[k - 1][2] + low)
        if k + 1 < len(found) and found[k + 1][1] < end:
            end = 0.5 * (high + found[k + 1][1])
        hole = _hole(solved, obstacle, zone, low, high) if solid else None
        leg = _leg_past(solved.centreline, low, high)
        move = None
        if searched is not None:
            line, outside, out_by = solved.centreline, solved.tube.outside_mm, way_out(solved.centreline, nearest)
            flat = (begin <= TOUCH_MM, end >= line.length - TOUCH_MM)
            part, required, thorough = cut_out(line, begin, end), zone.required_mm, searched.thorough(obstacle)
            move = least_move(part, outside, obstacle, required, out_by, flat, thorough, leg)
        out.append(contact_at(solved, nearest, zone, move, (begin, end), hole))
    return out


def contact_at(
    solved: SolvedRun,
    nearest: Nearest,
    zone: Zone,
    move: Vec3 | None,
    moved: tuple[float, float],
    hole: Hole | None = None,
) -> Contact:
    """Return a place where a run is too near to something; `moved` is the part of it that is to be moved by `move`."""
    there, part = (nearest.at, nearest.point, nearest.other, nearest.distance), part_of(solved.centreline, nearest.at)
    return Contact(*there, zone.required_mm, move, part, *moved, zone.insulation_mm, hole)


def part_of(line: Centreline, at_mm: float) -> Message:
    """Return which leg or bend of a run a place is on: "leg 2"."""
    i, _ = line.locate(at_mm)
    count = sum(isinstance(piece, Arc) for piece in line.pieces[: i + 1])
    if isinstance(line.pieces[i], Arc):
        return message("part.bend", bend=Count(count))
    return message("part.leg", leg=Count(count + 1))


def way_out(line: Centreline, nearest: Nearest) -> Vec3:
    """Return the direction in which a run leaves a thing at its nearest place; zero where there is none."""
    apart = sub(nearest.point, nearest.other)
    if length(apart) > _SMALL_MM:
        return scale(unit(apart), 1.0 if nearest.distance > 0.0 else -1.0)
    inward = sub(line.point_at(nearest.at), nearest.point)
    return unit(inward) if length(inward) > _SMALL_MM else (0.0, 0.0, 0.0)


def _places(solved: SolvedRun, obstacle: MeasuredObstacle, zone: Zone) -> Iterator[tuple[float, float, Nearest]]:
    """Yield from where to where the run is too near within a zone, and its nearest there."""
    line, outside = solved.centreline, solved.tube.outside_mm
    part = cut_out(line, zone.low, zone.high)
    limit = outside / 2.0 + zone.required_mm
    overlaps = near_places(part, obstacle.field, outside / 2.0, obstacle.slow)
    for low, high in near_places(part, obstacle.field, limit, obstacle.slow):
        inner = [(a, b) for a, b in overlaps if a < high and b > low]
        cuts = [low, *(0.5 * (a[1] + b[0]) for a, b in zip(inner, inner[1:], strict=False)), high]
        for a, b in zip(cuts, cuts[1:], strict=False):
            if b - a <= TOUCH_MM:
                continue
            nearest = obstacle.measure(cut_out(part, a, b), outside)
            if nearest.distance + TOUCH_MM < zone.required_mm:
                yield zone.low + a, zone.low + b, nearest._replace(at=nearest.at + a + zone.low)


def _with_known(
    found: list[tuple[Zone, float, float, Nearest]], zones: Sequence[Zone], known: Nearest
) -> list[tuple[Zone, float, float, Nearest]]:
    if not found:
        zone = next((z for z in zones if z.low <= known.at <= z.high), zones[0])
        return [(zone, known.at, known.at, known)]
    holding = [k for k, (_, low, high, _) in enumerate(found) if low - _SMALL_MM <= known.at <= high + _SMALL_MM]
    k = holding[0] if holding else min(range(len(found)), key=lambda i: found[i][3].distance)
    zone, low, high, _ = found[k]
    return [*found[:k], (zone, low, high, known), *found[k + 1 :]]


def _leg_past(line: Centreline, low: float, high: float) -> Vec3 | None:
    """Return the direction of the leg that a stretch is in, if the leg goes on at both ends of it; else None."""
    i, _ = line.locate(0.5 * (low + high))
    piece = line.pieces[i]
    if isinstance(piece, Arc) or low - line.offsets[i] <= _SMALL_MM or line.offsets[i + 1] - high <= _SMALL_MM:
        return None
    return piece.direction


def _hole(solved: SolvedRun, obstacle: MeasuredObstacle, zone: Zone, low: float, high: float) -> Hole | None:
    """Return the hole a run needs, where its axis goes in on one side of a thing and comes out on the other."""
    if high - low <= TOUCH_MM:
        return None
    line = solved.centreline
    part = cut_out(line, low, high)
    for a, b in near_places(part, obstacle.field, 0.0, obstacle.slow):
        at_end = low + a <= TOUCH_MM or low + b >= line.length - TOUCH_MM
        if at_end or a <= TOUCH_MM or b >= high - low - TOUCH_MM:
            continue
        start, finish = line.point_at(low + a), line.point_at(low + b)
        out = _outward(obstacle, np.array([start, finish]))
        if float(out[0] @ out[1]) < 0.0:
            diameter = solved.tube.outside_mm + 2.0 * max(zone.required_mm, 0.0)
            return Hole(diameter, start, finish, b - a)
    return None


def _outward(obstacle: MeasuredObstacle, points: Floats) -> Floats:
    """Return the directions out of a thing at points of its surface, from how the distance changes there; (n, 3)."""
    step = 1e-3 * np.eye(3)
    ahead = obstacle.field((points[:, None] + step).reshape(-1, 3)).reshape(-1, 3)
    behind = obstacle.field((points[:, None] - step).reshape(-1, 3)).reshape(-1, 3)
    slope = ahead - behind
    return slope / np.maximum(lengths(slope), 1e-12)[:, None]


def without_doubles(contacts: Sequence[Contact]) -> list[Contact]:
    """Return places in order along the run; of places on the same spot the one that lacks most."""
    out: list[Contact] = []
    for contact in sorted(contacts, key=lambda c: c.at_mm):
        if out and abs(out[-1].at_mm - contact.at_mm) <= _SMALL_MM:
            worse = contact.required_mm - contact.distance_mm > out[-1].required_mm - out[-1].distance_mm
            out[-1] = contact if worse else out[-1]
        else:
            out.append(contact)
    return out
