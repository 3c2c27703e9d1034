"""Cradles set down on a run that lies one particular way: each slid to where nothing is in its way."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipemodel.jigs.cradles import LEAST_MM, Cradle, clearance_for, wanted
from pipemodel.jigs.run_in_jig import Array, RunAxis, judged_part
from pipemodel.jigs.towers import MOST_POST_MM, Skin, Tower, blocked, flared, place_of, skin_of, too_high, tower_for
from pipemodel.job.jig import JigSettings
from pipemodel.messages.values import Angle, Count, Length, Message, Word, message

SLIDE_MM = 4.0
"""A cradle in something's way is slid along its leg in steps of this."""
UNDER_MM = 1.0
"""What tube that no cradle holds keeps free above the base, beyond the position tolerance."""


@dataclass(frozen=True)
class JigLayout:
    """A run in the jig's axes with its towers; `rotation` and `offset` take the room's axes to the jig's.

    `unjudged` are the legs too short for a cradle; `lone` those with room for two but only one free of obstacles.
    """

    axis: RunAxis
    rotation: Array
    offset: Array
    towers: tuple[Tower, ...]
    unjudged: tuple[int, ...]
    lone: tuple[int, ...]

    @property
    def height(self) -> float:
        """The highest point of the jig."""
        return max(t.height for t in self.towers)


@dataclass(frozen=True)
class Stuck:
    """Why the run can't lie this way: the kind of trouble, in words, and how far it is from well (less is better)."""

    kind: str
    reason: Message
    measure: float = 0.0


def turned_up(up: Array, points: Array, start: Array, finish: Array) -> Array:
    """Return the rotation (rows: the jig's axes) that lays `up` along z and the longer side of the plan along x."""
    up = up / np.linalg.norm(up)
    helper = np.eye(3)[int(np.argmin(np.abs(up)))]
    x = np.cross(helper, up)
    x /= np.linalg.norm(x)
    rough = np.array([x, np.cross(up, x), up])
    plan = points @ rough[:2].T
    best, best_key = 0.0, (np.inf, np.inf)
    for angle in np.radians(np.arange(0.0, 180.0, 3.0)):
        c, s = np.cos(angle), np.sin(angle)
        size = np.ptp(plan @ np.array([[c, -s], [s, c]]), axis=0)
        key = (round(float(size[0] * size[1]), 3), round(-float(size[0]), 3))
        if size[0] >= size[1] - 1e-6 and key < best_key:
            best, best_key = float(angle), key
    c, s = np.cos(best), np.sin(best)
    about = np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    rotation: Array = about @ rough
    if float((rotation[0]) @ (finish - start)) < -1e-9:
        rotation = np.diag([-1.0, -1.0, 1.0]) @ rotation
    return rotation


def lay(room: RunAxis, up: Array, settings: JigSettings) -> JigLayout | Stuck:
    """Lay a run with `up` (3,) of the room pointing up, and stand its towers."""
    rotation = turned_up(up, room.points, room.points[0], room.points[-1])
    level = room.moved(rotation, np.zeros(3))
    for leg in judged_part(level, settings.bends):
        slope = np.degrees(np.arcsin(min(1.0, abs(leg.direction[2]))))
        if slope > settings.steepest_deg + 1e-9:
            return Stuck("steep", message("jig.steep leg", leg=Count(leg.index + 1), slope=Angle(float(slope), ".0f")))
    low = level.points.min(axis=0) - level.radius_mm
    under = UNDER_MM + base_top(settings)
    offset = np.array([-low[0], -low[1], -low[2] + settings.tolerance.position_mm + under])
    axis = level.moved(np.eye(3), offset)
    slots = wanted(axis, settings)
    judged = {c.leg for c in slots.cradles}
    if not judged:
        return Stuck("short", message("jig.no straight"))
    lift = max([0.0, *(_below(axis, c, settings) for c in slots.cradles)])
    offset = offset + np.array([0.0, 0.0, lift])
    axis = level.moved(np.eye(3), offset)
    skin = skin_of(axis, settings)
    stood: list[Cradle] = []
    lone: list[int] = []
    for leg in axis.legs:
        mine = [c for c in slots.cradles if c.leg == leg.index]
        if not mine:
            continue
        free = _slid(axis, mine, skin, settings)
        if not free or sum(c.stop is not None for c in free) < sum(c.stop is not None for c in mine):
            return _in_the_way(axis, mine, [c.stop for c in free], settings)
        if len(free) < len(mine):
            lone.append(leg.index)
        stretch = place_of(leg).stretch
        low, high = min(c.low_mm for c in free) * stretch, max(c.high_mm for c in free) * stretch
        beyond = max(low, leg.length - high)
        clearance = clearance_for(high - low, beyond, settings)
        stood += [replace(c, clearance_mm=clearance, span_mm=high - low, beyond_mm=beyond) for c in free]
    numbered = [replace(c, number=i) for i, c in enumerate(stood, 1)]
    return JigLayout(axis, rotation, offset, _towers(axis, numbered, skin, settings), slots.unjudged, tuple(lone))


def with_cradles(layout: JigLayout, cradles: Sequence[Cradle], settings: JigSettings) -> JigLayout:
    """Return a layout with other clearances in its cradles, none wider than the position tolerance."""
    return replace(layout, towers=_towers(layout.axis, cradles, skin_of(layout.axis, settings), settings))


def lowered(layout: JigLayout, settings: JigSettings) -> JigLayout:
    """Return a layout let down, or raised, until its lowest cradle, as it now stands, has just the floor it needs."""
    room = min(t.lowest_floor() for t in layout.towers) - settings.plate_mm
    under = float(layout.axis.points[:, 2].min()) - layout.axis.radius_mm - settings.tolerance.position_mm
    down = np.array([0.0, 0.0, -min(room, under - base_top(settings))])
    moved = replace(layout, axis=layout.axis.moved(np.eye(3), down), offset=layout.offset + down)
    return with_cradles(moved, [t.cradle for t in layout.towers], settings)


def _towers(axis: RunAxis, cradles: Sequence[Cradle], skin: Skin, settings: JigSettings) -> tuple[Tower, ...]:
    return tuple(flared(tower_for(axis, c, settings), skin, settings) for c in cradles)


def _below(axis: RunAxis, cradle: Cradle, settings: JigSettings) -> float:
    """Return how far a cradle, at its widest, must be raised for its floor to leave the base whole."""
    widest = replace(cradle, clearance_mm=settings.tolerance.position_mm)
    return settings.plate_mm - tower_for(axis, widest, settings).lowest_floor()


def base_top(settings: JigSettings) -> float:
    """Return how high what lies under free tube reaches: bars and pads of a printed base, on timber the bare board."""
    return 0.0 if settings.base == "timber" else settings.plate_mm


def _slid(axis: RunAxis, mine: list[Cradle], skin: Skin, settings: JigSettings) -> list[Cradle]:
    """Return a leg's cradles where they stand clear and the bed is high enough, as far apart as can be.

    Fewer than asked for where there is no room.
    """
    worst = settings.tolerance.position_mm

    def clear(c: Cradle) -> bool:
        tower = tower_for(axis, replace(c, clearance_mm=worst), settings)
        return not too_high(tower, settings) and not blocked(tower, skin, settings)

    low, high = min(c.low_mm for c in mine), max(c.high_mm for c in mine)
    if len(mine) == 1:
        (only,) = mine
        tries = [only]
        for cut in np.arange(SLIDE_MM, high - low - LEAST_MM, SLIDE_MM):
            if only.stop != "start":
                tries.append(replace(only, low_mm=low + float(cut)))
            if only.stop != "finish":
                tries.append(replace(only, high_mm=high - float(cut)))
        return next(([c] for c in tries if clear(c)), [])
    free: list[Cradle] = []
    length = mine[0].high_mm - mine[0].low_mm
    room = high - low - 2.0 * length - 2.0
    for c, sign in zip(mine, (1.0, -1.0), strict=True):
        steps = np.arange(0.0, room if not c.stop else 1e-9, SLIDE_MM)
        for step in steps:
            moved = replace(c, low_mm=c.low_mm + sign * float(step), high_mm=c.high_mm + sign * float(step))
            if free and sign < 0 and moved.low_mm < free[0].high_mm + 2.0:
                break
            if clear(moved):
                free.append(moved)
                break
    return free


def _in_the_way(axis: RunAxis, mine: list[Cradle], stands: list[str | None], settings: JigSettings) -> Stuck:
    """Say why a leg's cradles, or its stop, cannot stand: the bed is too low for them, or tube is in the way."""
    missing = [c for c in mine if c.stop and c.stop not in stands] if stands else mine
    towers = [tower_for(axis, c, settings) for c in missing]
    high = min(t.height for t in towers)
    number, bed = Count(mine[0].leg + 1), settings.bed.z_mm
    post = min(t.seat for t in towers)
    if post > MOST_POST_MM:
        long = Length(post, ".0f", beside=MOST_POST_MM)
        return Stuck("height", message("jig.long post", leg=number, post=long, most=Length(MOST_POST_MM)), post)
    if settings.base == "timber":
        high = min(t.height - t.seat for t in towers)
    if high > settings.bed.z_mm:
        return Stuck(
            "height",
            message("jig.too high", leg=number, high=Length(high, ".0f", beside=bed), bed=Length(bed, beside=high)),
            high,
        )
    what = Word("stop" if stands else "cradle")
    return Stuck("crowded", message("jig.crowded", what=what, leg=number, bed=Length(bed)))


def leg_begins(layout: JigLayout) -> list[float]:
    """Return where along the centreline each leg begins, by the points that stand for it."""
    s = layout.axis.along
    return [float(s[np.flatnonzero(layout.axis.leg_of == leg.index)[0]]) for leg in layout.axis.legs]
