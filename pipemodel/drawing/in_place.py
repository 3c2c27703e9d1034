"""A run in its place in the room, from one side: for the page, where no view in 3D can be, and on paper.

The tube is drawn over the room in its colour; where something stands before it, its outline is broken.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.drawing.annotate import LONGEST_NAME, back_of, end_of, point_out
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.general import without_words
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel, draw_cross, draw_seen, draw_tube
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.projection import Seen, Solid, see
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import run_solids
from pipemodel.drawing.standing import pictured_from
from pipemodel.geometry.vectors import Vec3
from pipemodel.geometry.view import View
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name, Word
from pipemodel.wording.safe_text import shown

WIDTH_MM, TALLEST_MM, FOOT_MM = 110.0, 125.0, 6.0
AROUND = (14.0, 12.0)
"""Kept free beside the run, and above and below it: there the room about it shows, and names go."""
LETTER_MM = 2.7
LEAST_MM = 0.6
"""Half the width that a thin tube is drawn with."""
_CROSS_MM = 1.7


class PictureBegun(NamedTuple):
    """A picture begun: the run, drawn among the room's things, half its width on paper, and points of the things."""

    run: SolvedRun
    panel: Panel
    half: float
    seen: Seen
    outlines: Mapping[str, Sequence[FlatPoint]]

    def finished(self, units: Units) -> Sheet:
        """Name the run's ends and the things of the room, and say what is left out."""
        for end, point, outward in self.run.centreline.ends:
            spot = end_of(self.panel, self.run, point, outward)._replace(half=self.half)
            label = Label(words(units, "word", word=Word(end)), LETTER_MM, bold=True)
            put_label(self.panel, label, [spot], ANYWHERE_MM)
        point_out(self.panel, self.outlines, 2.3)
        self.panel.sheet.words(without_words(self.seen.without, units), (1.0, 2.0), 2.2)
        return self.panel.sheet


def view_in_place(schedule: Schedule, runs: Sequence[SolvedRun]) -> View:
    """Return from where runs of a job are shown in their place, on paper and on the screen."""
    return pictured_from(schedule, runs, (WIDTH_MM, TALLEST_MM))


def begun(run: SolvedRun, runs: Sequence[SolvedRun], view: View, room: Sequence[Solid], title: str) -> PictureBegun:
    """Begin a picture that holds some runs: one of them as a tube among the things near it."""
    pieces = [piece for one in runs for piece in one.centreline.pieces]
    flat = [view.flat(p) for piece in pieces for p in (piece.start, piece.point_at(piece.length / 2.0), piece.finish)]
    tight = ClipWindow.around(flat, run.tube.outside_mm / 2.0)
    wide, tall = WIDTH_MM - 2.0 * AROUND[0], TALLEST_MM - 2.0 * AROUND[1]
    high = tight.height * min(wide / tight.width, tall / tight.height) + 2.0 * AROUND[1]
    sheet = Sheet(WIDTH_MM, high + FOOT_MM, title)
    area = ClipWindow(0.5, FOOT_MM, WIDTH_MM - 0.5, high + FOOT_MM - 0.5)
    panel = Panel.filled(sheet, view, area, ((tight.left, tight.low), (tight.right, tight.high)), AROUND)
    half = max(run.tube.outside_mm / 2.0 * panel.k, LEAST_MM)
    draw_tube(panel, run.centreline, half)
    seen = see(view, [*run_solids([run]), *room], run.centreline.start)
    return PictureBegun(run, panel, half, seen, draw_seen(panel, seen, [run]))


def in_place(
    run: SolvedRun, view: View, room: Sequence[Solid], clashes: Sequence[tuple[str, Vec3]], units: Units = MM
) -> Sheet:
    """Draw a run in its place.

    Args:
        run: the run.
        view: from where it is seen.
        room: the things near it.
        clashes: what is wrong, each by a name, at a point of the room.
        units: units and language of the reader.
    """
    name = Name(shown(run.name, 80), quoted=False)
    picture = begun(run, [run], view, room, words(units, "drawing.in place", run=name, view=Word(view.title)))
    panel, half = picture.panel, picture.half
    crosses = [(name, panel.at(point)) for name, point in clashes]
    for _, at in crosses:
        draw_cross(panel, at, _CROSS_MM)
    for number, arc in enumerate(run.centreline.arcs, 1):
        label = Label(str(number), LETTER_MM, bold=True, ring=Role.PAPER)
        put_label(panel, label, [back_of(panel, arc, run)._replace(half=half)], ANYWHERE_MM)
    for against, at in crosses:
        label = Label(shown(against, LONGEST_NAME), LETTER_MM, Role.CLASH, bold=True)
        put_label(panel, label, [LabelSpot(at, (0.0, 1.0), _CROSS_MM)], ANYWHERE_MM)
    return picture.finished(units)
