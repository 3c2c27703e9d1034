"""What is written about the runs in their views: lengths of legs, bends, ends, names of things."""

from collections.abc import Iterator, Sequence
from math import cos, hypot, pi, sin

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import clipped
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.primitives import Align, Line, Point, Role, Words
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.vectors import Vec3, along, distance, dot, scale, unit
from pipemodel.messages.angles import deg
from pipemodel.wording.safe_text import shown
from pipemodel.wording.units import Units

FIGURE_MM = 2.5
NUMBER_MM = 3.0
NAME_MM = 2.2
LEADER_FROM_MM = 5.0
"""A label further than this from what it names gets a line to it."""
FLAT = 0.999
"""A bend whose axis points at the eye within this cosine is seen in its true angle."""
LONGEST_NAME = 28
_WAYS = sorted(
    (1.5 * step + 0.4 * turn, reach, (turn + 1) // 2 * (pi / 4.0) * (1 if turn % 2 else -1))
    for step, reach in enumerate((2.5, 4.0, 6.0, 8.5, 11.5))
    for turn in range(8)
)
"""Places for a label about its spot: how bad each is by itself, how far off, and how far round in radians."""


def dimension_legs(panels: Sequence[Panel], run: SolvedRun, units: Units) -> None:
    """Dimension each leg once, corner to corner, in the view where it is true and has most room."""
    corners, _ = corners_of(run.table)
    for a, b in zip(corners, corners[1:], strict=False):
        if distance(a, b) <= 0.0:
            continue
        text = units.short(distance(a, b))
        best: tuple[float, Panel, Dimension] | None = None
        for rank, panel in enumerate(p for p in panels if p.true_length(a, b)):
            for choice, ill in _leg_choices(panel, run, a, b, text):
                ill += 4.0 * rank
                if best is not None and ill >= best[0]:
                    break  # what follows is further off still
                cost = panel.placer.cost(choice.drawn())
                if cost is not None and (best is None or cost + ill < best[0]):
                    best = (cost + ill, panel, choice)
        if best is not None:
            _, panel, dimension = best
            panel.placer.add(dimension.drawn())
            panel.sheet.items.append(dimension)


def _leg_choices(panel: Panel, run: SolvedRun, a: Vec3, b: Vec3, text: str) -> Iterator[tuple[Dimension, float]]:
    """Yield places for a leg's dimension, each with how bad it is by itself, the best first."""
    p, q = panel.at(a), panel.at(b)
    half = run.tube.outside_mm * panel.k / 2.0
    outer = _outer_side(panel, run, p, q)
    ways = [(1.5 * step + (2.0 if side != outer else 0.0), step, side) for step in range(6) for side in (outer, -outer)]
    for ill, step, side in sorted(ways):
        yield Dimension(p, q, side * (half + 5.0 + 4.5 * step), text, FIGURE_MM), ill


def _outer_side(panel: Panel, run: SolvedRun, p: Point, q: Point) -> float:
    """The side of a leg away from the rest of its run: 1 to its left, -1 to its right."""
    lean = 0.0
    for piece in run.centreline.pieces:
        r = panel.at(piece.point_at(piece.length / 2.0))
        lean += (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    return -1.0 if lean > 0.0 else 1.0


def number_bends(panels: Sequence[Panel], run: SolvedRun, angles: bool = True) -> None:
    """Number the bends in every view, and write each angle where it is seen true, or else in the isometric."""
    for bend, arc in zip(run.table.bends, run.centreline.arcs, strict=True):
        told = not angles
        for panel in panels:
            true = panel.seen.view.isometric or abs(dot(arc.axis, unit(panel.seen.view.toward_eye))) >= FLAT
            text = str(bend.number) if told or not true else f"{bend.number}: {deg(bend.angle_deg)}\u00b0"
            half = run.tube.outside_mm * panel.k / 2.0
            if _label(panel, text, _outward(panel, arc), half, NUMBER_MM, Role.MARK, bold=True):
                told = told or text != str(bend.number)


def _outward(panel: Panel, arc: Arc) -> tuple[Point, Point]:
    """The middle of a bend on the sheet, and which way its back lies."""
    at, centre = panel.at(arc.point_at(arc.length / 2.0)), panel.at(arc.centre)
    dx, dy = at[0] - centre[0], at[1] - centre[1]
    n = hypot(dx, dy)
    return at, ((dx / n, dy / n) if n > 1e-6 else (0.0, 1.0))


def name_ends(panels: Sequence[Panel], run: SolvedRun, units: Units, named: bool) -> None:
    """Name start and finish in every view; in the first of them with their coordinates."""
    whose = f"{shown(run.name, LONGEST_NAME)}, " if named else ""
    for name, point, outward in _ends(run):
        where = f" ({', '.join(units.tidy(c) for c in point)})"
        told = False
        for panel in panels:
            for text in (name,) if told else (name + where, name):
                if _label_end(panel, run, whose + text, point, outward):
                    told = told or text != name
                    break


def name_run(panels: Sequence[Panel], run: SolvedRun) -> None:
    """Name a run once, at one of its ends."""
    for panel in panels:
        for _, point, outward in _ends(run):
            if _label_end(panel, run, shown(run.name, LONGEST_NAME), point, outward):
                return


def _ends(run: SolvedRun) -> tuple[tuple[str, Vec3, Vec3], tuple[str, Vec3, Vec3]]:
    """Each end of a run: its name, where it is, and which way it faces."""
    line = run.centreline
    last = line.pieces[-1]
    start = ("start", line.start, scale(line.pieces[0].direction, -1.0))
    return start, ("finish", line.finish, last.direction_at(last.length))


def _label_end(panel: Panel, run: SolvedRun, text: str, point: Vec3, outward: Vec3) -> bool:
    p, q = panel.at(point), panel.at(along(point, outward, 100.0))
    n = hypot(q[0] - p[0], q[1] - p[1])
    way = ((q[0] - p[0]) / n, (q[1] - p[1]) / n) if n > 0.05 else (0.7, 0.7)
    return _label(panel, text, (p, way), run.tube.outside_mm * panel.k / 2.0, NAME_MM, Role.DIMENSION)


def name_things(panels: Sequence[Panel]) -> None:
    """Write the name of each thing of the room once, on or beside it, where nothing else stands."""
    names = [s.thing for panel in panels for s in panel.seen.solids if s.thing]
    for name in dict.fromkeys(names):
        for panel in panels:
            spots = _spots(panel, name)
            text = shown(name, LONGEST_NAME)
            choices = [Words(text, at, NAME_MM, "centre", role=Role.ROOM) for at in spots]
            placed = panel.placer.place_words(choices)
            if placed is not None:
                panel.sheet.items.append(placed)
                break


def _spots(panel: Panel, name: str) -> list[Point]:
    """Places inside the outline of a thing as it is seen, its middle first."""
    points = [
        p
        for stroke in panel.seen.strokes
        if panel.seen.solids[stroke.body].thing == name and stroke.visible
        for part in clipped([panel.on_sheet(q) for q in stroke.points], panel.window)
        for p in part
    ]
    if not points:
        return []
    xs, ys = zip(*points, strict=True)
    shares = (0.5, 0.3, 0.7, 0.15, 0.85)
    low, high = min(ys), max(ys)
    return [
        (min(xs) + u * (max(xs) - min(xs)), low + v * (high - low) + lift)
        for lift in (-NAME_MM / 2.0, 1.5, -NAME_MM - 1.5)
        for v in shares
        for u in shares
    ]


def _label(
    panel: Panel, text: str, spot: tuple[Point, Point], half: float, height: float, role: Role, bold: bool = False
) -> bool:
    """Write a label near a point, first on the side `spot` names, with a leader where it has to go far."""
    (x, y), way = spot
    best: tuple[float, Words, Line | None] | None = None
    for ill, reach, angle in _WAYS:
        if best is not None and ill >= best[0]:
            break  # what follows is further off still
        dx, dy = way[0] * cos(angle) - way[1] * sin(angle), way[0] * sin(angle) + way[1] * cos(angle)
        at = (x + dx * (half + reach), y + dy * (half + reach))
        align: Align = "left" if dx > 0.3 else "right" if dx < -0.3 else "centre"
        words = Words(text, (at[0], at[1] - height / 2.0), height, align, role=role, bold=bold)
        cost = panel.placer.cost((words,))
        if cost is None:
            continue
        leader = None
        if reach > LEADER_FROM_MM:
            leader = Line(((x + dx * half, y + dy * half), (at[0] - dx * 0.8, at[1] - dy * 0.8)), Role.PAPER)
            through = panel.placer.cost((leader,))
            if through is None:
                continue
            cost += through
        if best is None or cost + ill < best[0]:
            best = (cost + ill, words, leader)
    if best is None:
        return False
    drawn = [item for item in best[1:] if item is not None]
    panel.placer.add(drawn)
    panel.sheet.items.extend(drawn)
    return True
