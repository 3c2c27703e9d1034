"""Openings in the drawings: their outline, and their two sizes where a view shows them true."""

from collections.abc import Iterator, Sequence

from pipemodel.drawing.annotate import FIGURE_MM, FLAT, LONGEST_NAME, NAME_MM, best_dimension
from pipemodel.drawing.clipping import clipped
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.primitives import Role
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.vectors import Vec3, add, cross, dot, length, scale, sub, unit
from pipemodel.job.model import Opening
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name
from pipemodel.ways_in.moves_in_words import plane_of
from pipemodel.wording.safe_text import shown

BESIDE_MM = 20.0
"""So much of the room is shown beside an opening, at the least."""
LONGER = 1.5
"""What lies farther off would make all that is drawn too small."""


def with_openings(box: Extent, openings: Sequence[Opening]) -> Extent:
    """Return the block of the room to be shown, with each opening whole that makes it no more than so much longer."""
    for opening in openings:
        (x0, x1), (y0, y1), (z0, z1) = (
            (min(min(c) - BESIDE_MM, low), max(max(c) + BESIDE_MM, high))
            for c, low, high in zip(zip(*opening.corners, strict=True), box.low, box.high, strict=True)
        )
        if max(x1 - x0, y1 - y0, z1 - z0) <= LONGER * max(sub(box.high, box.low)):
            box = Extent((x0, y0, z0), (x1, y1, z1))
    return box


def outline_openings(panels: Sequence[Panel], openings: Sequence[Opening]) -> None:
    """Draw the outline of openings in every view, before anything is written there."""
    for opening in openings:
        for panel in panels:
            outline = [panel.at(p) for p in (*opening.corners, opening.corners[0])]
            for part in clipped(outline, panel.window):
                panel.line(part, Role.MARK, faint=True)


def dimension_openings(panels: Sequence[Panel], openings: Sequence[Opening], units: Units) -> None:
    """Name openings with their sizes: dimensioned in the first view that shows them true, or else beside the name."""
    for opening in openings:
        _, inward = plane_of(opening)
        true = next((panel for panel in panels if abs(dot(inward, panel.view.eye)) >= FLAT), None)
        dimensioned = true is not None and _dimension(true, opening, units)
        name = shown(opening.name, LONGEST_NAME)
        if not dimensioned:
            wide, high = (Name(units.short(size), quoted=False) for size in sizes_of(opening))
            name = words(units, "way in.opening", name=Name(name, quoted=False), wide=wide, high=high)
        for panel in [true] if dimensioned and true is not None else [*reversed(panels)]:
            spots = [LabelSpot(panel.at(p), (0.0, 1.0)) for p in opening.corners if panel.window.holds(panel.at(p))]
            if spots and put_label(panel, Label(name, NAME_MM, Role.MARK, bold=True), spots, ANYWHERE_MM, 0.0):
                break


def sizes_of(opening: Opening) -> tuple[float, float]:
    """Return the sizes of an opening along its longest side and square to that in its plane, mm."""
    low, high, _ = _block(opening)
    return high[0] - low[0], high[1] - low[1]


def _block(opening: Opening) -> tuple[tuple[float, float], tuple[float, float], tuple[Vec3, Vec3]]:
    """Return the least and the greatest of an opening's corners along its two ways, and these as unit vectors."""
    _, inward = plane_of(opening)
    sides = [sub(q, p) for p, q in zip(opening.corners, (*opening.corners[1:], opening.corners[0]), strict=True)]
    across = unit(max(sides, key=lambda side: round(length(side), 6)))
    up = cross(inward, across)
    spans = [[dot(p, way) for p in opening.corners] for way in (across, up)]
    return (min(spans[0]), min(spans[1])), (max(spans[0]), max(spans[1])), (across, up)


def _dimension(panel: Panel, opening: Opening, units: Units) -> bool:
    """Dimension both sizes in a view that shows them true; return False where there is no room for one of them."""
    low, high, (across, up) = _block(opening)
    middle, inward = plane_of(opening)
    base = scale(inward, dot(middle, inward))

    def at(a: float, b: float) -> Vec3:
        return add(base, add(scale(across, a), scale(up, b)))

    if not all(panel.window.holds(panel.at(p)) for p in opening.corners):
        return False
    chosen = []
    for sides in (
        (at(low[0], low[1]), at(high[0], low[1]), at(low[0], high[1]), at(high[0], high[1]), high[0] - low[0]),
        (at(low[0], low[1]), at(low[0], high[1]), at(high[0], low[1]), at(high[0], high[1]), high[1] - low[1]),
    ):
        found = best_dimension(_choices(panel, sides[:4], units.short(sides[4])))
        if found is None:
            return False
        chosen.append(found[1])
    panel.sheet.items.extend(chosen)
    return True


def _choices(panel: Panel, corners: Sequence[Vec3], text: str) -> Iterator[tuple[float, Panel, Dimension]]:
    """Yield places for a size along either of two sides that lie opposite each other, outside the opening."""
    p, q, r, s = (panel.at(corner) for corner in corners)
    for a, b, c in ((p, q, r), (r, s, p)):
        inner = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        for step in range(6):
            yield (
                1.5 * step,
                panel,
                Dimension(a, b, (-1.0 if inner > 0.0 else 1.0) * (5.0 + 4.5 * step), text, FIGURE_MM),
            )
