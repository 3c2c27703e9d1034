"""The plan of a jig at full size: where every tower, bar and screw goes, and the tube seen from above."""

from collections.abc import Callable, Sequence

import numpy as np

from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.jigs.design import Jig
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.windows import windows_of
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name, Number
from pipemodel.wording.safe_text import shown

MARGIN_MM = 20.0
BESIDE_MM = 9.0
"""The plan has a cradle's number so far beside its place on the print, clear of the cross to drill by."""


def plan_sheet(jig: Jig, units: Units = MM) -> Sheet:
    """Draw the plan 1:1, seen from above: holes to drill, pads and bars, cradles, and the tube with its axis."""
    base, towers = jig.plan.base, jig.layout.towers
    timber = jig.plan.timber
    if timber:
        low, size = timber.board_low, np.array(timber.board_mm)
    else:
        points = np.vstack([*base.outlines, jig.layout.axis.points[:, :2]])
        low = points.min(axis=0) - MARGIN_MM - jig.layout.axis.radius_mm
        size = points.max(axis=0) - low + MARGIN_MM + jig.layout.axis.radius_mm
    revision = Name(jig.settings.revision, quoted=False)
    title = words(units, "jig plan.title", run=Name(jig.solved.name, quoted=False), revision=revision)
    sheet = Sheet(float(size[0]), float(size[1]) + 12.0, title)

    def at(p: Array) -> tuple[float, float]:
        return (float(p[0] - low[0]), float(p[1] - low[1]))

    for loop in _outline(base.outlines):
        sheet.line([at(p) for p in loop], Role.OUTLINE, closed=True)
    for outline in windows_of(base, jig.plan.cut, jig.labels):
        sheet.line([at(p) for p in outline[::-1]], Role.OUTLINE, closed=True)
    for tower in towers:
        top = tower.rectangle(tower.top[0], tower.top[1], -tower.half, tower.half)
        sheet.line([at(p) for p in top], Role.HIDDEN, closed=True)
    if timber:
        for post in timber.posts:
            sheet.line([at(p) for p in post.outline], Role.OUTLINE, closed=True)
        for prop in timber.props:
            sheet.line([at(p) for p in prop.outline], Role.OUTLINE, closed=True)
            x, y = at(prop.outline.mean(axis=0))
            sheet.words(prop.letter, (x, y - 3.0), 6.0, "centre", bold=True)
    _tube(sheet, jig, at)
    for joint in jig.plan.cut.joints:
        bar = base.bars[joint.bar]
        across = np.array([-bar.along[1], bar.along[0]]) * bar.half
        middle = bar.start + bar.along * joint.at
        sheet.line([at(middle - across), at(middle + across)], Role.OUTLINE)
    for hole in (hole for _, holes in jig.holes for hole in holes):
        x, y = at(hole)
        sheet.circle((x, y), jig.settings.screw_mm / 2.0, Role.MARK)
        for dx, dy in ((5.0, 0.0), (0.0, 5.0)):
            sheet.line([(x - dx, y - dy), (x + dx, y + dy)], Role.MARK)
    for pad in base.pads:
        x, y = at(pad.label_at - pad.label_along * BESIDE_MM)
        sheet.words(str(pad.tower + 1), (x, y - 2.5), 5.0, "centre", bold=True)
    name, screw = Name(shown(jig.solved.name, 60), quoted=False), Number(jig.settings.screw_mm)
    foot = words(units, "jig plan.foot", run=name, screw=screw, revision=revision)
    sheet.words(foot, (5.0, sheet.height - 8.0), 3.0)
    return sheet


def _outline(outlines: Sequence[Array]) -> list[Array]:
    """Return the outlines as one: closed loops (n, 2), holes included, in a settled order."""
    from manifold3d import CrossSection, FillRule

    from pipemodel.jigs.build import anticlockwise

    merged = CrossSection([anticlockwise(o) for o in outlines], FillRule.Positive)
    loops = [np.round(np.asarray(loop, dtype=np.float64), 4) for loop in merged.to_polygons()]
    starts: list[Array] = [np.roll(loop, -int(np.lexsort((loop[:, 1], loop[:, 0]))[0]), axis=0) for loop in loops]
    return sorted(starts, key=lambda loop: loop[0].tolist())


def _tube(sheet: Sheet, jig: Jig, at: Callable[[Array], tuple[float, float]]) -> None:
    """Draw the tube's axis, and both its edges, as they lie in plan."""
    points = jig.layout.axis.points[:, :2]
    points = points[np.concatenate([[True], np.linalg.norm(np.diff(points, axis=0), axis=1) > 1e-6])]
    ahead = np.gradient(points, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    # Along a straight only its ends count.
    turning = np.abs(ahead[1:-1] - ahead[:-2]).max(axis=1) + np.abs(ahead[2:] - ahead[1:-1]).max(axis=1) > 1e-9
    kept = np.concatenate([[True], turning, [True]])
    points, ahead = points[kept], ahead[kept]
    left = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    for side, role in ((0.0, Role.CENTRE), (1.0, Role.ROOM), (-1.0, Role.ROOM)):
        sheet.line([at(p) for p in points + left * side * jig.layout.axis.radius_mm], role)
