"""The jig with the tube lying in it, drawn as lines: where the jig hides itself it is not drawn, the tube is dashed."""

import numpy as np

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel, draw_seen
from pipemodel.drawing.projection import Solid, pictorial_view, see
from pipemodel.drawing.sheet import Sheet
from pipemodel.geometry.vectors import Vec3, scale
from pipemodel.jigs.build import body_of, whole_base
from pipemodel.jigs.carve import with_towers
from pipemodel.jigs.design import Jig
from pipemodel.jigs.towers import Tower
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name
from pipemodel.wording.safe_text import shown

WIDTH_MM, TALLEST_MM, HEAD_MM, EDGE_MM = 175.0, 120.0, 12.0, 5.0
NUMBER_MM = 3.5
NAMED = "jig"


def picture_sheet(jig: Jig, units: Units = MM) -> Sheet:
    """Draw the jig from above and one side, the tube in it, with the number of every cradle."""
    from pipemodel.geometry.centreline import Arc, Centreline, Straight
    from pipemodel.solids.outlines import Rod

    layout = jig.layout

    def turned(v: Vec3, move: bool) -> Vec3:
        w = layout.rotation @ np.array(v) + (layout.offset if move else 0.0)
        return (float(w[0]), float(w[1]), float(w[2]))

    line = Centreline(
        tuple(
            Arc(turned(p.centre, True), turned(p.axis, False), turned(p.spoke, False), p.radius, p.angle_deg)
            if isinstance(p, Arc)
            else Straight(turned(p.start, True), turned(p.direction, False), p.length)
            for p in jig.solved.centreline.pieces
        )
    )
    # Lettering is too small to draw here; the rest of the jig is as printed.
    plain = body_of(with_towers(whole_base(jig.plan.base), layout.towers, []))
    view = pictorial_view([_top(tower, 0.0) for tower in layout.towers], (WIDTH_MM, TALLEST_MM))
    seen = see(view, [Solid(Rod(line, jig.solved.tube.outside_mm)), Solid(plain, NAMED)], line.start, whole=True)
    around = ClipWindow.around([p for stroke in seen.strokes if stroke.visible for p in stroke.points])
    wide = WIDTH_MM - 2.0 * EDGE_MM
    high = around.height * min(wide / around.width, TALLEST_MM / around.height) + 2.0 * EDGE_MM
    head = words(units, "jig drawing.head", run=Name(shown(jig.solved.name, 60), quoted=False))
    title = words(units, "jig drawing.title", run=Name(jig.solved.name, quoted=False))
    sheet = Sheet(WIDTH_MM, high + HEAD_MM, title)
    corners = ((around.left, around.low), (around.right, around.high))
    panel = Panel.filled(sheet, view, ClipWindow(0.0, 0.0, WIDTH_MM, high), corners, (EDGE_MM, EDGE_MM))
    draw_seen(panel, seen, [])
    for tower in layout.towers:
        across = (float(tower.place.across[0]), float(tower.place.across[1]), 0.0)
        spots = [
            LabelSpot(panel.at(_top(tower, side * tower.half)), panel.way(scale(across, side), (0.0, 1.0)))
            for side in (1.0, -1.0)
        ]
        put_label(panel, Label(str(tower.cradle.number), NUMBER_MM, bold=True), spots, ANYWHERE_MM, 0.0)
    sheet.words(head, (EDGE_MM, sheet.height - 7.0), 3.0)
    return sheet


def _top(tower: Tower, across: float) -> Vec3:
    """The middle of a tower's top along its leg, so many mm across it."""
    a = (tower.top[0] + tower.top[1]) / 2.0
    return tower.place.point(a, across, tower.place.height(a, tower.radius + tower.clearance))
