"""What is written about the runs in their views: lengths of legs, bends, ends, names of things."""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from math import floor, hypot

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.labels import ANYWHERE_MM, REACH_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.primitives import FlatPoint, Role, Text
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.vectors import Vec3, distance, dot, scale, sub
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name, Word
from pipemodel.wording.safe_text import shown

FIGURE_MM = 2.5
NUMBER_MM = 3.0
NAMED_MM = 2.2
"""The letters of a number with the name of its run before it."""
NAME_MM = 2.2
FLAT = 0.999
"""A bend whose axis points at the eye within this cosine is seen in its true angle."""
LONGEST_NAME = 28
THING_INK = (0.18, 0.23, 0.27)
MOST_NAMED = 60
"""So many things of a room are named in its views."""
MOST_POINTED_OUT = 24
"""And so many where each name has a line of its own to its thing."""
APART_MM = 5.0
"""So far the place that a name points to lies from other things, where it can."""


def dimension_legs(panels: Sequence[Panel], run: SolvedRun, units: Units, within: ClipWindow | None = None) -> None:
    """Dimension each leg once, corner to corner, in the view where it is true and has most room.

    Of a view that shows part of a run, legs are dimensioned that lie `within` it, mm of the sheet.
    """
    corners, _ = corners_of(run.table)
    for a, b in zip(corners, corners[1:], strict=False):
        if distance(a, b) <= 0.0 or (within is not None and not all(within.holds(panels[0].at(p)) for p in (a, b))):
            continue
        text = units.short(distance(a, b))
        true = [panel for panel in panels if panel.true_length(a, b)]
        best = best_dimension(
            (by_itself + 4.0 * rank, panel, choice)
            for rank, panel in enumerate(true)
            for by_itself, choice in _leg_choices(panel, run, a, b, text)
        )
        if best is not None:
            best[0].sheet.items.append(best[1])


def best_dimension(choices: Iterable[tuple[float, Panel, Dimension]]) -> tuple[Panel, Dimension] | None:
    """Take the best of places for a dimension, each with how bad it is by itself; None if none is free."""
    best: tuple[float, Panel, Dimension] | None = None
    for by_itself, panel, choice in choices:
        if best is not None and by_itself >= best[0]:
            continue
        cost = panel.placer.cost(choice.drawn())
        if cost is not None and (best is None or cost + by_itself < best[0]):
            best = (cost + by_itself, panel, choice)
    if best is None:
        return None
    best[1].placer.add(best[2].drawn())
    return best[1:]


def _leg_choices(panel: Panel, run: SolvedRun, a: Vec3, b: Vec3, text: str) -> Iterator[tuple[float, Dimension]]:
    """Yield places for a leg's dimension, each with how bad it is by itself, the best first."""
    p, q = panel.at(a), panel.at(b)
    half = run.tube.outside_mm * panel.k / 2.0
    outer = _outer_side(panel, run, p, q)
    ways = [(1.5 * step + (2.0 if side != outer else 0.0), step, side) for step in range(6) for side in (outer, -outer)]
    for by_itself, step, side in sorted(ways):
        yield by_itself, Dimension(p, q, side * (half + 5.0 + 4.5 * step), text, FIGURE_MM)


def _outer_side(panel: Panel, run: SolvedRun, p: FlatPoint, q: FlatPoint) -> float:
    """The side of a leg away from the rest of its run: 1 to its left, -1 to its right."""
    lean = 0.0
    for piece in run.centreline.pieces:
        r = panel.at(piece.point_at(piece.length / 2.0))
        lean += (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    return -1.0 if lean > 0.0 else 1.0


def number_bends(
    panels: Sequence[Panel],
    run: SolvedRun,
    units: Units,
    angles: bool = True,
    named: bool = False,
    only: Container[int] | None = None,
) -> list[int]:
    """Number the bends in every view, and write each angle where it is seen true, or else in the isometric.

    Return the bends for whose numbers the last of the views has no room.

    Args:
        panels: the views; in the last of them every bend gets its number, however far off.
        run: whose bends.
        units: what angles are read in.
        angles: whether angles are written.
        named: whether the run's name stands before each number, where bends of several runs are in one view.
        only: the bends that are numbered; all if left out.
    """
    height = NAMED_MM if named else NUMBER_MM
    left = []
    for bend, arc in zip(run.table.bends, run.centreline.arcs, strict=True):
        if only is not None and bend.number not in only:
            continue
        given = not angles
        for panel in panels:
            true = panel.view.isometric or abs(dot(arc.axis, panel.view.eye)) >= FLAT
            text = name_of_bend(run, bend.number) if named else str(bend.number)
            with_angle = not given and true
            written = f"{text}: {units.angle(bend.angle_deg)}\u00b0" if with_angle else text
            label = Label(written, height, Role.MARK, bold=True)
            reach = ANYWHERE_MM if panel is panels[-1] else REACH_MM
            if put_label(panel, label, [back_of(panel, arc, run)], reach):
                given = given or with_angle
            elif panel is panels[-1]:
                left.append(bend.number)
    return left


def name_of_bend(run: SolvedRun, number: int) -> str:
    """Return how a bend is called among those of several runs: "flow 3"."""
    name = shown(run.name, LONGEST_NAME)
    # Of a run called "flow 3" that would be taken for the name alone.
    return f"{name} \u00b7 {number}" if name[-1].isdigit() else f"{name} {number}"


def back_of(panel: Panel, arc: Arc, run: SolvedRun) -> LabelSpot:
    """The middle of a bend on the sheet, and which way its back lies."""
    middle = arc.point_at(arc.length / 2.0)
    half = run.tube.outside_mm * panel.k / 2.0
    return LabelSpot(panel.at(middle), panel.way(scale(sub(middle, arc.centre), 1.0 / arc.radius), (0.0, 1.0)), half)


def name_ends(panels: Sequence[Panel], run: SolvedRun, units: Units, named: bool, placed: bool = True) -> None:
    """Name start and finish in every view; in the first with their coordinates if `placed`, and runs need no names."""
    whose = f"{shown(run.name, LONGEST_NAME)} " if named else ""
    for end, point, outward in run.centreline.ends:
        name = words(units, "word", word=Word(end))
        full = words(units, "drawing.end at", end=Word(end), at=Name(at_words(point, units), quoted=False))
        given = named or not placed
        for panel in panels:
            for text in (name,) if given else (full, name):
                if put_label(panel, Label(whose + text, NAME_MM), [end_of(panel, run, point, outward)]):
                    given = given or text != name
                    break


def at_words(point: Vec3, units: Units) -> str:
    """Return the coordinates of a point in a row, as a tape shows them."""
    x, y, z = (Name(units.short(c), quoted=False) for c in point)
    return words(units, "drawing.point", x=x, y=y, z=z)


def name_run(panels: Sequence[Panel], run: SolvedRun) -> None:
    """Name a run once, at one of its ends."""
    for panel in panels:
        for _, point, outward in run.centreline.ends:
            label = Label(shown(run.name, LONGEST_NAME), NAME_MM)
            if put_label(panel, label, [end_of(panel, run, point, outward)]):
                return


def end_of(panel: Panel, run: SolvedRun, point: Vec3, outward: Vec3) -> LabelSpot:
    """An end of a run on the sheet, and which way it faces."""
    return LabelSpot(panel.at(point), panel.way(outward), run.tube.outside_mm * panel.k / 2.0)


def name_things(outlines: Sequence[tuple[Panel, Mapping[str, Sequence[FlatPoint]]]]) -> None:
    """Name the things that are drawn, each once, in the first view with room for it: of many those drawn largest."""
    for name in _largest([drawn for _, drawn in outlines], MOST_NAMED):
        name_thing(name, [(panel, drawn[name]) for panel, drawn in outlines if name in drawn])


def _largest(views: Sequence[Mapping[str, Sequence[FlatPoint]]], most: int) -> list[str]:
    """Return the names of no more than so many things, those that are drawn largest in any view, in their order."""

    def across(name: str) -> float:
        boxes = [ClipWindow.around(drawn[name]) for drawn in views if name in drawn]
        return max(box.width + box.height for box in boxes)

    names = list(dict.fromkeys(thing for drawn in views for thing in drawn))
    if len(names) <= most:
        return names
    largest = set(sorted(names, key=across, reverse=True)[:most])
    return [name for name in names if name in largest]


def name_thing(name: str, places: Sequence[tuple[Panel, Sequence[FlatPoint]]]) -> None:
    """Write the name of a thing of the room once, on or beside it, where nothing else stands.

    Args:
        name: of the thing.
        places: the views it may be named in, each with points of its outline on the sheet.
    """
    text = shown(name, LONGEST_NAME)
    for panel, points in places:
        choices = ((Text(text, at, NAME_MM, "centre", role=Role.ROOM),) for at in _within(points))
        placed = panel.placer.place((0.05 * rank, choice) for rank, choice in enumerate(choices))
        if placed is not None:
            panel.sheet.items.extend(placed)
            return


def _within(points: Sequence[FlatPoint]) -> list[FlatPoint]:
    """Places inside the outline of a thing as it is seen, its middle first."""
    box = ClipWindow.around(points)
    shares = (0.5, 0.3, 0.7, 0.15, 0.85)
    return [
        (box.left + u * box.width, box.low + v * box.height + lift)
        for lift in (-NAME_MM / 2.0, 1.5, -NAME_MM - 1.5)
        for v in shares
        for u in shares
    ]


def point_out(
    panel: Panel, things: Mapping[str, Sequence[FlatPoint]], height: float, reach: float = ANYWHERE_MM
) -> None:
    """Write the name of each thing, of many the largest, beside it, with a line that ends in a dot on the thing.

    Args:
        panel: the view.
        things: of each thing by its name, points on the sheet that the line may end at.
        height: of the letters.
        reach: how far a name may go, mm; one that has no room so near is left out.
    """
    cells: dict[tuple[int, int], list[tuple[str, FlatPoint]]] = {}
    for name, points in things.items():
        for x, y in points:
            cells.setdefault((floor(x / APART_MM), floor(y / APART_MM)), []).append((name, (x, y)))

    def around(p: FlatPoint) -> Iterator[tuple[str, FlatPoint]]:
        i, j = floor(p[0] / APART_MM), floor(p[1] / APART_MM)
        return (one for k in range(9) for one in cells.get((i + k // 3 - 1, j + k % 3 - 1), ()))

    for name in _largest([things], MOST_POINTED_OUT):
        points = things[name]
        # Where another thing is as near, it would be taken for that.
        free = [p for p in points if not any(other != name and _near(p, q) for other, q in around(p))]
        label = Label(shown(name, LONGEST_NAME), height, Role.ROOM, ink=THING_INK)
        put_label(panel, label, [LabelSpot(p, (0.0, 1.0)) for p in free or points], reach, 0.0)


def _near(p: FlatPoint, q: FlatPoint) -> bool:
    return hypot(p[0] - q[0], p[1] - q[1]) <= APART_MM
