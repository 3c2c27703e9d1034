"""The jig with the tube lying in it, drawn as lines: what is hidden stays hidden."""

import numpy as np

from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.geometry.view import View
from pipemodel.jig.build import body_of, whole_base
from pipemodel.jig.carve import with_towers
from pipemodel.jig.design import Jig
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name
from pipemodel.wording.safe_text import shown

WIDTH_MM, HEIGHT_MM, HEAD_MM = 165.0, 115.0, 12.0


def picture_sheet(jig: Jig, units: Units = MM) -> Sheet:
    """Draw the jig from above and one side, the tube in it, with the number of every cradle."""
    from pipemodel.geometry.centreline import Arc, Centreline, Straight
    from pipemodel.geometry.shapes import Mesh
    from pipemodel.solids.outlines import Rod
    from pipemodel.solids.projected import projected

    layout = jig.layout
    # Lettering is too small to draw here; the rest of the jig is as printed.
    plain = body_of(with_towers(whole_base(jig.plan.base), layout.towers, []))

    def turned(v: tuple[float, float, float], move: bool) -> tuple[float, float, float]:
        w = layout.rotation @ np.array(v) + (layout.offset if move else 0.0)
        return (float(w[0]), float(w[1]), float(w[2]))

    pieces = [
        Arc(turned(p.centre, True), turned(p.axis, False), turned(p.spoke, False), p.radius, p.angle_deg)
        if isinstance(p, Arc)
        else Straight(turned(p.start, True), turned(p.direction, False), p.length)
        for p in jig.solved.centreline.pieces
    ]
    bodies: list[Rod | Mesh] = [
        Rod(Centreline(tuple(pieces)), jig.solved.tube.outside_mm),
        plain,
    ]
    view = View("", _eye(jig))
    strokes = [s for s in projected(bodies, view) if s.visible]
    every = np.array([p for s in strokes for p in s.points])
    low, size = every.min(axis=0), np.ptp(every, axis=0)
    scale = min(WIDTH_MM / size[0], HEIGHT_MM / size[1])
    title = words(units, "jig drawing.title", run=Name(jig.solved.name, quoted=False))
    sheet = Sheet(WIDTH_MM + 10.0, float(size[1] * scale) + HEAD_MM + 10.0, title)

    def at(p: tuple[float, float]) -> tuple[float, float]:
        return (float((p[0] - low[0]) * scale) + 5.0, float((p[1] - low[1]) * scale) + 5.0)

    for stroke in strokes:
        sheet.line([at(p) for p in stroke.points], Role.MARK if stroke.body == 0 else Role.ROOM)
    for tower in layout.towers:
        a = (tower.top[0] + tower.top[1]) / 2.0
        px, py, pz = tower.place.point(a, 0.0, tower.place.height(a, tower.radius + tower.clearance))
        x, y = at(view.flat((float(px), float(py), float(pz))))
        sheet.words(str(tower.cradle.number), (x, y + 2.5), 3.5, "centre", bold=True)
    sheet.words(
        words(units, "jig drawing.head", run=Name(shown(jig.solved.name, 60), quoted=False)),
        (5.0, sheet.height - 7.0),
        3.0,
    )
    return sheet


def _eye(jig: Jig) -> tuple[float, float, float]:
    """Look from where the cradles stand furthest apart in the picture, and along no leg, so that nothing hides."""
    tops = np.array([[*t.centre, t.height] for t in jig.layout.towers])
    plan = np.array([t.place.along for t in jig.layout.towers])
    best, best_score = (-0.5, -1.0, 0.7), -1.0
    for azimuth in np.radians(np.arange(7.5, 360.0, 15.0)):
        eye = (float(np.cos(azimuth)), float(np.sin(azimuth)), 0.7)
        view = View("", eye)
        flat = tops @ np.array([view.right, view.upright]).T
        apart = np.linalg.norm(flat[:, None] - flat[None, :], axis=2)
        gap = float(apart[~np.eye(len(flat), dtype=bool)].min(initial=1e9)) / float(np.ptp(flat, axis=0).max() + 1.0)
        aside = float(np.abs(plan[:, 0] * np.sin(azimuth) - plan[:, 1] * np.cos(azimuth)).min())
        score = gap * min(aside, 0.4)
        if score > best_score + 1e-6:
            best, best_score = eye, score
    return best
