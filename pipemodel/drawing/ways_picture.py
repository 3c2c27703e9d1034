"""The ways found for a run in one view of the room: the best as a tube, the others as lines of their own kind."""

from collections.abc import Sequence

import numpy as np

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.drawing.annotate import end_of, ends_of, point_out
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.general import without_words
from pipemodel.drawing.in_place import AROUND, FOOT_MM, LEAST_MM, LETTER_MM, TALLEST_MM, WIDTH_MM
from pipemodel.drawing.job_drawings import REACH_MM
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel, axis_of, draw_seen, draw_tube
from pipemodel.drawing.primitives import Role
from pipemodel.drawing.projection import see
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import room_solids, run_solids
from pipemodel.drawing.standing import pictured_from
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name, Word
from pipemodel.solids.extent import gap_mm, run_extent
from pipemodel.solids.near import near_things
from pipemodel.wording.safe_text import shown

LINES = (Role.WAY_DASHED, Role.WAY_DOTTED)
"""How the ways after the best are drawn, in turn."""
_SPOTS = 60


def ways_picture(schedule: Schedule, ways: Sequence[SolvedRun], units: Units = MM) -> Sheet:
    """Draw the ways of one run among what stands near them.

    Args:
        schedule: the job, the best way in its place.
        ways: the ways, the best first.
        units: units and language of the reader.
    """
    best = ways[0]
    view = pictured_from(schedule, ways, (WIDTH_MM, TALLEST_MM))
    flat = [
        view.flat(p)
        for way in ways
        for piece in way.centreline.pieces
        for p in (piece.start, piece.point_at(piece.length / 2.0), piece.finish)
    ]
    tight = ClipWindow.around(flat, best.tube.outside_mm / 2.0)
    wide, tall = WIDTH_MM - 2.0 * AROUND[0], TALLEST_MM - 2.0 * AROUND[1]
    high = tight.height * min(wide / tight.width, tall / tight.height) + 2.0 * AROUND[1]
    title = words(units, "drawing.ways", run=Name(shown(best.name, 80), quoted=False), view=Word(view.title))
    sheet = Sheet(WIDTH_MM, high + FOOT_MM, title)
    area = ClipWindow(0.5, FOOT_MM, WIDTH_MM - 0.5, high + FOOT_MM - 0.5)
    panel = Panel.filled(sheet, view, area, ((tight.left, tight.low), (tight.right, tight.high)), AROUND)
    half = max(best.tube.outside_mm / 2.0 * panel.k, LEAST_MM)
    draw_tube(panel, best, half)
    extent = run_extent(best)
    near = {
        thing.name
        for thing in near_things(schedule)
        if not (ends := thing.shape.bounds()) or gap_mm(ends[0], ends[1], extent) <= REACH_MM
    }
    things = [solid for solid in room_solids(schedule) if solid.thing in near]
    seen = see(view, [*run_solids([best]), *things], best.centreline.start)
    outlines = draw_seen(panel, seen, [best])
    for number, way in enumerate(ways[1:]):
        for axis in axis_of(panel, way):
            sheet.line(axis, LINES[number % len(LINES)])
            panel.placer.add_stroke(axis)
    if len(ways) > 1:
        for number, way in enumerate(ways, 1):
            spot = LabelSpot(panel.at(_by_itself(way, [one for one in ways if one is not way])), (0.0, 1.0), half)
            put_label(panel, Label(str(number), LETTER_MM, bold=True, ring=Role.PAPER), [spot], ANYWHERE_MM)
    for end, point, outward in ends_of(best):
        own = end_of(panel, best, point, outward)._replace(half=half)
        put_label(panel, Label(words(units, "word", word=Word(end)), LETTER_MM, bold=True), [own], ANYWHERE_MM)
    point_out(panel, outlines, 2.3)
    sheet.words(without_words(seen.without, units), (1.0, 2.0), 2.2)
    return sheet


def _by_itself(way: SolvedRun, others: Sequence[SolvedRun]) -> Vec3:
    """Return the point of a way that is farthest from all others."""
    own = _spots(way)
    off = np.min([np.linalg.norm(own[:, None] - _spots(other)[None], axis=2).min(axis=1) for other in others], axis=0)
    x, y, z = own[int(np.argmax(off))].tolist()
    return (x, y, z)


def _spots(way: SolvedRun) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    line = way.centreline
    return np.array([line.point_at(float(s)) for s in np.linspace(0.0, line.length, _SPOTS)])
