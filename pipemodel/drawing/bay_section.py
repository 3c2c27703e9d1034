"""Sections through bays: the tubes between two joists or two studs, cut across, with what is clear round them.

A leg that has joists or studs on both sides lies in a bay. The plane stands square to the longest leg of the bay, at
its middle. What is cut is hatched; from the outside of each tube is dimensioned how far the first thing is to each
side, above and below, in the plane of the section: not the least distance in the room, which the findings give.
"""

from collections.abc import Mapping
from math import hypot
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.insulated import insulated
from pipemodel.checks.joist_crossings import Joist, joist_of
from pipemodel.drawing.clipping import ClipWindow, clip
from pipemodel.drawing.cut import Strokes, sliced
from pipemodel.drawing.cut_tubes import CutTube, cut_tubes, first_hit
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.hatch import HATCH_DEG, hatched
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel, draw_cut
from pipemodel.drawing.paper import Paper
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import room_solids
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import UP, Vec3, dot, scale
from pipemodel.geometry.view import View
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name
from pipemodel.wording.safe_text import shown

SIDES = frozenset({"joist", "stud", "engineered joist", "rafter"})
"""Kinds of things between which a bay lies."""
WIDEST_MM = 1200.0
"""A bay is no wider, from the axis of a tube in it to either side."""
ALONG_MM = 150.0
"""A leg shorter than this is not cut through."""
LEVEL = 0.996
"""A leg that lies along an axis of the room within this cosine is cut square to that axis; any other level one
square to itself, where the joists beside it go its way within this cosine."""
_HAIR = 1e-6
MOST_SECTIONS = 6
MOST_TUBES = 4
"""Of more tubes than this in a section, only the first are dimensioned."""
AROUND_MM = 35.0
"""How far beyond what bounds the bay the section goes."""
FIGURE_MM = 2.5


class _Cut(NamedTuple):
    """A thing cut by the plane, in the view, mm."""

    name: str
    kind: str
    strokes: Strokes


class Bay(NamedTuple):
    """A section: from where it is seen, a point of its plane, what lies to either side, what is cut, and the tubes.

    `lagged` are those of the tubes that have insulation round them there.
    """

    view: View
    at: Vec3
    between: tuple[str, str]
    cuts: tuple[_Cut, ...]
    tubes: tuple[CutTube, ...]
    lagged: tuple[CutTube, ...]
    window: ClipWindow


def bays(schedule: Schedule) -> list[Bay]:
    """Return the bays that the runs lie in, a section of each, the longest legs first."""
    kinds = {thing.name: thing.kind for thing in schedule.job.things}
    if not SIDES & set(kinds.values()):
        return []
    room = [(s.thing, s.body) for s in room_solids(schedule) if isinstance(s.body, Mesh)]
    joists = {thing.name: joist_of(thing) for thing in schedule.job.things if thing.kind in SIDES}
    found: dict[tuple[str, str], Bay] = {}
    legs = [piece for run in schedule.runs for piece in run.centreline.pieces if isinstance(piece, Straight)]
    for leg in sorted(legs, key=lambda piece: -piece.length):
        view = _view_along(leg) if leg.length >= ALONG_MM else None
        if view is None or len(found) == MOST_SECTIONS:
            continue
        at = leg.point_at(leg.length / 2.0)
        level = dot(at, view.eye)
        cuts = tuple(_Cut(name, kinds[name], strokes) for name, mesh in room if (strokes := sliced(mesh, view, level)))
        bay = _bay(view, at, cuts, schedule)
        if bay is not None and _goes_its_way(bay, joists):
            found.setdefault(bay.between, bay)
    return list(found.values())


def _view_along(leg: Straight) -> View | None:
    """Return the view along a leg that lies along an axis of the room: an upright section, or a level one."""
    for axis in ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), UP):
        if abs(dot(leg.direction, axis)) >= LEVEL:
            if axis == UP:
                return View("plan, from above", UP, (0.0, 1.0, 0.0))
            return View("from the south", scale(axis, -1.0)) if axis[1] else View("from the east", axis)
    x, y, z = leg.direction
    if abs(z) > _HAIR:
        return None
    north = abs(y) >= abs(x)
    back = y > 0.0 if north else x < 0.0
    return View("from the south" if north else "from the east", scale(leg.direction, -1.0 if back else 1.0))


def _goes_its_way(bay: Bay, joists: Mapping[str, Joist | None]) -> bool:
    """Return whether a section is along an axis of the room, or cuts the joists beside it square."""
    if max(map(abs, bay.view.eye)) > LEVEL:
        return True
    sides = [joists[name] for name in bay.between]
    return all(side is not None and abs(dot(side.along, bay.view.eye)) >= LEVEL for side in sides)


def _bay(view: View, at: Vec3, cuts: tuple[_Cut, ...], schedule: Schedule) -> Bay | None:
    """Return the bay that a point lies in, None where joists or studs do not bound it on two sides."""
    middle = view.flat(at)
    for across in ((1.0, 0.0), (0.0, 1.0)):
        ends = []
        for sign in (-1.0, 1.0):
            way = (sign * across[0], sign * across[1])
            met = [(far, cut) for cut in cuts if (far := first_hit(middle, way, cut.strokes)) is not None]
            first = min(met, key=lambda one: one[0], default=None)
            if first is not None and first[1].kind in SIDES and first[0] <= WIDEST_MM:
                ends.append(first)
        # One thing on both sides is what the tube goes through.
        if len(ends) == 2 and ends[0][1] is not ends[1][1]:
            return _between(view, at, across, (ends[0][0], ends[1][0]), (ends[0][1], ends[1][1]), cuts, schedule)
    return None


def _between(
    view: View,
    at: Vec3,
    across: FlatPoint,
    far: tuple[float, float],
    sides: tuple[_Cut, _Cut],
    cuts: tuple[_Cut, ...],
    schedule: Schedule,
) -> Bay:
    x, y = view.flat(at)
    # Along the depth of the bay: as far as what bounds it there, and all of what bounds it at the sides.
    points = [end for side in sides for stroke in side.strokes for end in stroke]
    box = ClipWindow.around(points)
    if across[0]:
        low, high = min(box.low, y), max(box.high, y)
        window = ClipWindow(x - far[0] - AROUND_MM, low - AROUND_MM, x + far[1] + AROUND_MM, high + AROUND_MM)
        inside = ClipWindow(x - far[0], low - AROUND_MM, x + far[1], high + AROUND_MM)
    else:
        low, high = min(box.left, x), max(box.right, x)
        window = ClipWindow(low - AROUND_MM, y - far[0] - AROUND_MM, high + AROUND_MM, y + far[1] + AROUND_MM)
        inside = ClipWindow(low - AROUND_MM, y - far[0], high + AROUND_MM, y + far[1])
    tubes = tuple(tube for tube in cut_tubes(schedule.runs, view, at) if inside.holds(tube.middle))
    lagged = tuple(t for t in tubes if any(low < t.at_mm < high for low, high in insulated(schedule, t.run)))
    one, two = sides
    return Bay(view, at, (min(one.name, two.name), max(one.name, two.name)), cuts, tubes, lagged, window)


def bay_sheet(bay: Bay, paper: Paper, units: Units = MM) -> Sheet:
    """Draw a section through a bay on some paper; see `bays`."""
    one, two = (Name(shown(name, 28), quoted=False) for name in bay.between)
    title = words(units, "bay.title", one=one, two=two)
    head = (_where(bay, units), *([words(units, "bay.measured")] if paper.titled else []))
    sheet, room = paper.begun(title, head, bay.window.width, bay.window.height)
    panel = Panel(sheet, bay.view, room, bay.window, 1.0 / sheet.factor)
    for cut in bay.cuts:
        draw_cut(panel, cut.strokes, HATCH_DEG if cut.kind in SIDES else 180.0 - HATCH_DEG)
    _draw_tubes(panel, bay)
    for tube in bay.tubes[:MOST_TUBES]:
        _clear_round(panel, tube, bay, units)
    _names(panel, bay)
    return paper.ended(sheet, units)


def _where(bay: Bay, units: Units) -> str:
    axis = max(range(3), key=lambda k: abs(bay.view.eye[k]))
    axes = (axis,) if abs(bay.view.eye[axis]) > LEVEL else (0, 1)
    place = Name(", ".join(f"{'xyz'[k]} = {units.short(bay.at[k])}" for k in axes), quoted=False)
    return words(units, "bay.where", place=place)


def _draw_tubes(panel: Panel, bay: Bay) -> None:
    for tube in bay.tubes:
        outside = tube.run.tube.outside_mm / 2.0
        outline = [panel.on_sheet(p) for p in tube.outline(outside)]
        panel.sheet.line(outline, Role.TUBE_NEW, closed=True, filled=True)
        panel.line(outline, Role.RUN, closed=True)
        if tube in bay.lagged:
            outline = [panel.on_sheet(p) for p in tube.outline(outside + tube.run.run.insulation_mm)]
            panel.sheet.line(outline, Role.HIDDEN)


def _clear_round(panel: Panel, tube: CutTube, bay: Bay, units: Units) -> None:
    """Dimension how far it is from a tube to what is first met at each side, above and below."""
    strokes = [stroke for cut in bay.cuts for stroke in cut.strokes]
    for other in bay.tubes:
        if other is not tube:
            outline = other.outline(other.run.tube.outside_mm / 2.0)
            strokes += list(zip(outline, outline[1:], strict=False))
    own = tube.outline(tube.run.tube.outside_mm / 2.0)
    own_strokes = list(zip(own, own[1:], strict=False))
    for way in ((-1.0, 0.0), (1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
        far, out = first_hit(tube.middle, way, strokes), first_hit(tube.middle, way, own_strokes)
        if far is None or out is None or far <= out:
            continue
        a = (tube.middle[0] + way[0] * out, tube.middle[1] + way[1] * out)
        b = (tube.middle[0] + way[0] * far, tube.middle[1] + way[1] * far)
        if not panel.shown.holds(b):
            continue
        p, q = panel.on_sheet(a), panel.on_sheet(b)
        text = units.short(far - out)
        choices = [
            (0.4 * n + 0.1 * (side < 0.0), Dimension(p, q, side * (2.0 + 4.5 * n), text, FIGURE_MM))
            for n in range(5)
            for side in (1.0, -1.0)
        ]
        placed = panel.placer.place((cost, choice.drawn()) for cost, choice in sorted(choices, key=lambda c: c[0]))
        if placed is not None:
            panel.sheet.items.extend(placed)


def _names(panel: Panel, bay: Bay) -> None:
    for tube in bay.tubes:
        half = tube.run.tube.outside_mm * panel.k / 2.0
        spot = LabelSpot(panel.on_sheet(tube.middle), (0.7, 0.7), half)
        put_label(panel, Label(shown(tube.run.name, 28), FIGURE_MM, Role.MARK, bold=True), [spot], ANYWHERE_MM)
    for cut in bay.cuts:
        points = [panel.on_sheet(p) for stroke in cut.strokes for p in stroke]
        seen = [p for p in points if panel.window.holds(p)]
        middle = _middle(cut, panel)
        spots = [LabelSpot(p, (0.0, 1.0)) for p in ([middle] if middle else []) + seen]
        if spots:
            put_label(panel, Label(shown(cut.name, 28), 2.2, Role.ROOM), spots[:6], ANYWHERE_MM, 0.0)


def _middle(cut: _Cut, panel: Panel) -> FlatPoint | None:
    """Return a point on the sheet within what is shown of a thing that is cut, None if it is not shown."""
    inked = [part for p, q in hatched(cut.strokes, 5.0) if (part := clip(p, q, panel.shown)) is not None]
    if not inked:
        return None
    (x, y), (u, v) = max(inked, key=lambda part: hypot(part[1][0] - part[0][0], part[1][1] - part[0][1]))
    return panel.on_sheet(((x + u) / 2.0, (y + v) / 2.0))
