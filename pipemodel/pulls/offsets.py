"""The sets and passovers of a run, found in its bends however they were written, and the run with one of them changed.

A set is two equal and opposite bends in one plane. A passover of three bends has one of twice the angle between two
equal ones; one of four is a set and the same set back. All turn by half a turn where they bend the other way.
"""

from dataclasses import dataclass, replace
from math import radians, tan
from typing import Literal, NamedTuple

from pipemodel.bending.bends import Bend, corners_of
from pipemodel.bending.closure import NotClosedError
from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.schedule import SolvedRun, solve_run
from pipemodel.geometry.vectors import Vec3, add, along, cross, dot, length, scale, sub, unit
from pipemodel.job.model import Route
from pipemodel.pulls.piece import within_half_turn
from pipemodel.trade.model import Former

SAME_DEG = 0.1
"""Angles and turns that differ by no more are the same to whoever bends them."""
SAME_MM = 0.5
"""Slopes of a passover that differ by no more are equal."""
_SQUARE = 1e-6
"""A leg is along a direction when the sine of the angle between them is no more than this."""


@dataclass(frozen=True)
class Offset:
    """A set or a passover: its first and last bend by number, the angle of its outer bends, how far it moves the tube.

    `offset_mm` is from axis to axis.
    """

    kind: Literal["set", "passover"]
    first: int
    last: int
    angle_deg: float
    offset_mm: float


class _Frame(NamedTuple):
    """Corners of a run, which of them each bend is made at, and an offset's place in them: ahead and aside, units."""

    corners: list[Vec3]
    at: list[int]
    ahead: Vec3
    aside: Vec3


def offsets_of(solved: SolvedRun) -> tuple[Offset, ...]:
    """Return the sets and passovers of a run, from its start; no bend is in two of them."""
    bends = solved.table.bends
    found: list[Offset] = []
    i = 0
    while i < len(bends):
        count = next((n for n in (4, 3, 2) if _is_offset(bends[i : i + n], n)), 0)
        if count:
            first = bends[i].number
            place = _frame(solved, first)
            offset = dot(sub(place.corners[place.at[i + 1]], place.corners[place.at[i]]), place.aside)
            kind: Literal["set", "passover"] = "set" if count == 2 else "passover"
            found.append(Offset(kind, first, first + count - 1, bends[i].angle_deg, offset))
        i += count or 1
    return tuple(found)


def _is_offset(bends: tuple[Bend, ...], count: int) -> bool:
    """Tell whether so many bends are one set or passover."""
    if len(bends) < count or bends[0].angle_deg > 90.0 + SAME_DEG:
        return False
    angle, turns = bends[0].angle_deg, [abs(b.turn_deg) for b in bends[1:]]
    wanted = {2: [1.0, 1.0], 3: [1.0, 2.0, 1.0], 4: [1.0] * 4}[count]
    half = {2: [180.0], 3: [180.0, 180.0], 4: [180.0, 0.0, 180.0]}[count]
    slopes = [bends[1].straight_before_mm, bends[-1].straight_before_mm]
    return (
        all(abs(b.angle_deg - share * angle) <= SAME_DEG for b, share in zip(bends, wanted, strict=True))
        and all(abs(turn - want) <= SAME_DEG for turn, want in zip(turns, half, strict=True))
        and all(b.angle_deg < 180.0 for b in bends)
        and len({b.radius_mm for b in bends}) == 1
        and abs(slopes[0] - slopes[1]) <= SAME_MM
    )


def corner_places(solved: SolvedRun) -> tuple[list[Vec3], list[int]]:
    """Return start, corners and finish, and which of them each bend is made at: a bend of 180 takes two."""
    at, reached = [], 1
    for bend in solved.table.bends:
        at.append(reached)
        reached += 1 + (bend.angle_deg >= 180.0)
    return list(corners_of(solved.table)[0]), at


def _frame(solved: SolvedRun, first: int) -> _Frame:
    """Return the corners of a run, and which way the tube goes before bend `first` and moves aside after it."""
    corners, at = corner_places(solved)
    one = at[first - 1]
    ahead = unit(sub(corners[one], corners[one - 1]))
    slope = sub(corners[one + 1], corners[one])
    return _Frame(corners, at, ahead, unit(along(slope, ahead, -dot(slope, ahead))))


def with_offset(solved: SolvedRun, one: Offset, angle_deg: float, offset_mm: float) -> SolvedRun | None:
    """Return a run with a set or a passover at another angle or of another offset; None where that cannot be bent.

    The top of a passover stays over what it passes, and the middle of a set where it is along the tube. What a set
    moves further aside stays so up to the next leg that runs that way, or else up to the finish, which then moves too.
    """
    place = _frame(solved, one.first)
    ahead, aside, more = place.ahead, place.aside, offset_mm - one.offset_mm
    corners = list(place.corners)
    advance = 0.0 if angle_deg >= 90.0 else offset_mm / tan(radians(angle_deg))
    low, high = place.at[one.first - 1], place.at[one.last - 1]
    if one.kind == "passover":
        tops = range(low + 1, high)
        for k in tops:
            corners[k] = along(corners[k], aside, more)
        corners[low] = along(along(corners[tops[0]], aside, -offset_mm), ahead, -advance)
        corners[high] = along(along(corners[tops[-1]], aside, -offset_mm), ahead, advance)
    else:
        now = dot(sub(corners[high], corners[low]), ahead)
        corners[low] = along(corners[low], ahead, (now - advance) / 2.0)
        corners[high] = add(corners[low], add(scale(ahead, advance), scale(aside, offset_mm)))
        _shift(corners, high + 1, scale(aside, more))
    wanted = [bend.angle_deg for bend in solved.table.bends]
    for number in range(one.first, one.last + 1):
        inner = one.kind == "passover" and one.last - one.first == 2 and number == one.first + 1
        wanted[number - 1] = 2.0 * angle_deg if inner else angle_deg
    return _solved(solved, corners, wanted)


def with_offset_along(solved: SolvedRun, one: Offset, by_mm: float) -> SolvedRun | None:
    """Return a run with a set or a passover drawn so much further along; None where that cannot be bent."""
    place = _frame(solved, one.first)
    corners = list(place.corners)
    for k in range(place.at[one.first - 1], place.at[one.last - 1] + 1):
        corners[k] = along(corners[k], place.ahead, by_mm)
    return _solved(solved, corners, [bend.angle_deg for bend in solved.table.bends])


def with_longer_leg(solved: SolvedRun, leg: int, more: float) -> SolvedRun | None:
    """Return a run with one leg (0 the start tail, n the finish tail) longer; what comes after it moves along."""
    corners, at = corner_places(solved)
    ends = [0, *at, len(corners) - 1]
    begin = ends[leg] + (leg > 0 and solved.table.bends[leg - 1].angle_deg >= 180.0)
    way = unit(sub(corners[begin + 1], corners[begin]))
    if leg == 0:
        corners[0] = along(corners[0], way, -more)
    else:
        corners[begin + 1 :] = [along(corner, way, more) for corner in corners[begin + 1 :]]
    return _solved(solved, corners, [bend.angle_deg for bend in solved.table.bends])


def _shift(corners: list[Vec3], first: int, by: Vec3) -> None:
    """Move corners aside from one on, up to the first leg that runs that way and takes it up."""
    for k in range(first, len(corners)):
        onward = sub(corners[k + 1], corners[k]) if k + 1 < len(corners) else None
        corners[k] = add(corners[k], by)
        if onward is not None and length(cross(onward, by)) <= _SQUARE * length(onward) * length(by):
            return


def _solved(solved: SolvedRun, corners: list[Vec3], angles: list[float]) -> SolvedRun | None:
    """Return a run led over other corners; None unless it has the same bends, at the angles given."""
    joined = corners_of(solved.table)[1]
    own: tuple[Former | None, ...] = ()
    if solved.own_formers:
        by_corner = dict(zip(corner_places(solved)[1], solved.own_formers, strict=True))
        by_corner |= {k + 1: by_corner[k] for k in joined}
        own = tuple(by_corner.get(k) for k in range(len(corners)))
    try:
        other = solve_run(replace(solved.run, route=Route(tuple(corners), joined, formers=own)))
    except (UnbendableError, NotClosedError):
        return None
    bends = other.table.bends
    if len(bends) != len(angles):
        return None
    turns = zip(bends, solved.table.bends, strict=True)
    if any(abs(b.angle_deg - angle) > SAME_DEG for b, angle in zip(bends, angles, strict=True)):
        return None
    # A leg that a change turns round makes other turns.
    return other if all(abs(within_half_turn(b.turn_deg - old.turn_deg)) <= SAME_DEG for b, old in turns) else None
