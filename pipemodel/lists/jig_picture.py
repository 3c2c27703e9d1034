"""The jig with the tube lying in it, drawn as lines: where the jig hides itself it is not drawn, the tube is dashed."""

from typing import Literal, TypeAlias

import numpy as np

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel, draw_seen
from pipemodel.drawing.projection import Solid, pictorial_view, see
from pipemodel.drawing.sheet import Sheet
from pipemodel.geometry.arrays import vec3
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import Vec3, scale
from pipemodel.jigs.base import Polygon
from pipemodel.jigs.build import body_of, prism, whole_base
from pipemodel.jigs.carve import with_towers
from pipemodel.jigs.design import Jig
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.towers import Tower
from pipemodel.jigs.windows import window_cuts
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name
from pipemodel.wording.safe_text import shown

WIDTH_MM, TALLEST_MM, HEAD_MM, EDGE_MM = 175.0, 120.0, 12.0, 5.0
NUMBER_MM = 3.5
NAMED = "jig"


Step: TypeAlias = Literal["posts", "cradles", "piece"]
STEPS: tuple[Step, ...] = ("posts", "cradles")
"""Pictures of how a jig on timber goes together, before the one with the piece in it."""


def picture_sheet(jig: Jig, units: Units = MM, step: Step = "piece", brief_mm: float | None = None) -> Sheet:
    """Draw the jig from above and one side, the number at every cradle: its posts, with cradles, or with the tube.

    With `brief_mm` it is no higher than so many mm, and has nothing written over it.
    """
    from pipemodel.geometry.centreline import Centreline, carried
    from pipemodel.solids.outlines import SeenTube

    layout = jig.layout
    tallest = TALLEST_MM if brief_mm is None else brief_mm

    def turned(way: Vec3, move: Array | float = 0.0) -> Vec3:
        return vec3(layout.rotation @ np.array(way) + move)

    line = Centreline(carried(jig.solved.centreline.pieces, lambda p: turned(p, layout.offset), turned))
    # Lettering is too small to draw here; the rest of the jig is as printed.
    plain = body_of(
        with_towers(whole_base(jig.plan.base), layout.towers, window_cuts(jig.plan.base, jig.plan.cut, jig.labels))
    )
    view = pictorial_view([_top(tower, 0.0) for tower in layout.towers], (WIDTH_MM, tallest))
    tube = Solid(SeenTube(line, jig.solved.tube.outside_mm))
    timber = [Solid(body_of(prism(outline, 0.0, length)), f"post {name}") for name, outline, length in _posts(jig)]
    board = [Solid(_board(jig), "board")] if step != "piece" and jig.plan.timber else []
    bodies = {"piece": [tube, Solid(plain, NAMED), *timber], "cradles": [Solid(plain, NAMED), *timber], "posts": timber}
    seen = see(view, [*bodies[step], *board], line.start, whole=True)
    around = ClipWindow.around([p for stroke in seen.strokes if stroke.visible for p in stroke.points])
    wide = WIDTH_MM - 2.0 * EDGE_MM
    high = around.height * min(wide / around.width, tallest / around.height) + 2.0 * EDGE_MM
    head = words(
        units,
        ("jig drawing.posts" if step == "posts" else "jig drawing.cradles") if step != "piece" else "jig drawing.head",
        run=Name(shown(jig.solved.name, 60), quoted=False),
    )
    title = words(units, "jig drawing.title", run=Name(jig.solved.name, quoted=False))
    sheet = Sheet(WIDTH_MM, high + (HEAD_MM if brief_mm is None else 0.0), title)
    corners = ((around.left, around.low), (around.right, around.high))
    panel = Panel.filled(sheet, view, ClipWindow(0.0, 0.0, WIDTH_MM, high), corners, (EDGE_MM, EDGE_MM))
    draw_seen(panel, seen, [])
    if step == "posts":
        for name, outline, length in _posts(jig):
            tops = [(float(x), float(y), length) for x, y in outline]
            spots = [LabelSpot(panel.at(c), panel.way((0.0, 0.0, 1.0), (0.0, 1.0))) for c in tops]
            put_label(panel, Label(name, NUMBER_MM, bold=True), spots, ANYWHERE_MM, 0.0)
    for tower in layout.towers if step != "posts" else ():
        across = (float(tower.place.across[0]), float(tower.place.across[1]), 0.0)
        spots = [
            LabelSpot(panel.at(_top(tower, side * tower.half)), panel.way(scale(across, side), (0.0, 1.0)))
            for side in (1.0, -1.0)
        ]
        put_label(panel, Label(str(tower.cradle.number), NUMBER_MM, bold=True), spots, ANYWHERE_MM, 0.0)
    if brief_mm is None:
        sheet.words(head, (EDGE_MM, sheet.height - 7.0), 3.0)
    return sheet


def _posts(jig: Jig) -> list[tuple[str, Polygon, float]]:
    """Return posts and props: name, outline, length."""
    timber = jig.plan.timber
    if timber is None:
        return []
    posts = [(str(p.cradle), p.outline, p.length_mm) for p in timber.posts]
    return posts + [(p.letter, p.outline, p.length_mm) for p in timber.props if p.length_mm]


def _board(jig: Jig) -> Mesh:
    timber = jig.plan.timber
    low, size = (timber.board_low, timber.board_mm) if timber else (np.zeros(2), (1.0, 1.0))
    corners = np.array([(0.0, 0.0), (size[0], 0.0), size, (0.0, size[1])]) + low
    return body_of(prism(corners, -18.0, 0.0))


def _top(tower: Tower, across: float) -> Vec3:
    """The middle of a tower's top along its leg, so many mm across it."""
    a = (tower.top[0] + tower.top[1]) / 2.0
    return tower.place.point(a, across, tower.place.height(a, tower.radius + tower.clearance))
