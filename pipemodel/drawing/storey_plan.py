"""The plan of a storey: walls, joists with their bays numbered, the runs by name, and the places of what is wrong."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.layers import in_layers
from pipemodel.drawing.annotate import LONGEST_NAME, end_of, name_run, point_out
from pipemodel.drawing.bay_section import SIDES
from pipemodel.drawing.general import NOTE_HEIGHT, shown_room, shown_window, without_words
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.layout import widened
from pipemodel.drawing.panel import Panel, draw_cross, draw_seen, draw_tube
from pipemodel.drawing.paper import Paper
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.projection import see, views_from
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import room_bounds, room_solids, run_solids
from pipemodel.drawing.standing import where_stands
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, Word
from pipemodel.wording.safe_text import shown

AROUND_MM = 10.0
CROSS_MM = 1.7
SAME_MM = 5.0
"""Places no farther apart on the sheet, with the same to be named, are named once."""
LEAST_MM = 0.4
"""Half the width that a thin tube is drawn with."""
NAME_MM = 2.5
MOST_ENDS = 6
"""Of more runs than this only their names are written, each once, close by one of its ends."""
FEWEST_WALLS = 3
REACH_MM, THICK_MM = 700.0, 150.0
"""How far beyond what else is shown joists, studs and walls are, and how much of each, across."""


def has_storey(schedule: Schedule) -> bool:
    """Return whether the room has joists, studs or a few walls, so that there is a plan to draw."""
    kinds = [layers[0].kind for layers in in_layers(schedule.job.things)]
    return not SIDES.isdisjoint(kinds) or kinds.count("wall") >= FEWEST_WALLS


def storey_plan(schedule: Schedule, wrong: Sequence[tuple[str, Vec3]], paper: Paper, units: Units = MM) -> Sheet:
    """Draw the plan of the storey that the runs are in.

    Args:
        schedule: the solved job.
        wrong: what is wrong, each by a name, at a point of the room.
        paper: what it is drawn on.
        units: units and language of the reader.
    """
    runs, title = schedule.runs, words(units, "storey.title")
    view = views_from(where_stands(schedule))[2]
    window = shown_window(view, _to_the_sides(schedule, shown_room(runs, room_bounds(schedule))), runs)
    seen = see(view, [*run_solids(runs), *room_solids(schedule)], runs[0].centreline.start)
    head = (words(units, "word", word=Word(view.title)), without_words(seen.without, units))
    sheet, room = paper.begun(title, head, window.width, window.height, (2.0 * AROUND_MM, 2.0 * AROUND_MM))
    free = sheet.factor * (room.width - 2.0 * AROUND_MM), sheet.factor * (room.height - 2.0 * AROUND_MM)
    window = widened(window, view, room_bounds(schedule), free)
    panel = Panel(sheet, view, room, window, 1.0 / sheet.factor)
    for run in runs:
        draw_tube(panel, run.centreline, max(run.tube.outside_mm / 2.0 * panel.k, LEAST_MM))
    drawn = draw_seen(panel, seen, runs)
    named: list[tuple[str, FlatPoint]] = []
    for name, at in [(name, panel.at(point)) for name, point in wrong]:
        draw_cross(panel, at, CROSS_MM)
        if any(name == other and hypot(at[0] - x, at[1] - y) < SAME_MM for other, (x, y) in named):
            continue
        named.append((name, at))
        label = Label(shown(name, LONGEST_NAME), NAME_MM, Role.CLASH, bold=True)
        put_label(panel, label, [LabelSpot(at, (0.0, 1.0), CROSS_MM)], ANYWHERE_MM)
    for run in runs:
        if len(runs) > MOST_ENDS:
            name_run([panel], run)
            continue
        for end, point, outward in run.centreline.ends:
            name = f"{shown(run.name, LONGEST_NAME)}, {words(units, 'word', word=Word(end))}"
            put_label(panel, Label(name, NAME_MM, bold=True), [end_of(panel, run, point, outward)], ANYWHERE_MM)
    for number, at in _bays(schedule, panel):
        label = Label(words(units, "storey.bay", n=Count(number)), NAME_MM, Role.ROOM)
        put_label(panel, label, [LabelSpot(at, (0.0, 1.0))])
    of = {thing.name: thing.of for thing in schedule.job.things}
    once = {of.get(name) or name: points for name, points in drawn.items()}
    point_out(panel, once, NOTE_HEIGHT)
    return paper.ended(sheet, units)


def _to_the_sides(schedule: Schedule, box: Extent) -> Extent:
    """Return a block grown, in plan, to the joists, studs and walls that bound where the runs are."""
    low, high = list(box.low), list(box.high)
    for thing in schedule.job.things:
        if thing.kind not in SIDES | {"wall"} or not (bounds := thing.shape.bounds()):
            continue
        begin, end = bounds
        for across, along in ((0, 1), (1, 0)):
            if begin[along] < box.high[along] and end[along] > box.low[along]:
                if box.high[across] <= begin[across] <= box.high[across] + REACH_MM:
                    high[across] = max(high[across], min(end[across], begin[across] + THICK_MM))
                if box.low[across] - REACH_MM <= end[across] <= box.low[across]:
                    low[across] = min(low[across], max(begin[across], end[across] - THICK_MM))
    return Extent((low[0], low[1], box.low[2]), (high[0], high[1], box.high[2]))


def _bays(schedule: Schedule, panel: Panel) -> Iterator[tuple[int, FlatPoint]]:
    """Yield the number of each bay of a row of joists or studs and where on the sheet its middle is, where it is shown.

    Bay 1 lies between the first and the second, as where a job says "in bay 1".
    """
    rows = defaultdict[str, list[FlatPoint]](list)
    for thing in schedule.job.things:
        if thing.kind in SIDES and thing.of and (bounds := thing.shape.bounds()):
            low, high = (panel.at(corner) for corner in bounds)
            rows[thing.of].append(((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0))
    for middles in rows.values():
        for number, (one, two) in enumerate(pairwise(middles), 1):
            at = ((one[0] + two[0]) / 2.0, (one[1] + two[1]) / 2.0)
            if panel.window.holds(at):
                yield number, at
