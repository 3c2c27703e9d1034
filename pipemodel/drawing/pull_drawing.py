"""The drawing on a pull card: the piece before and after the pull, as the person at the bender sees it.

Flat on a bench the eye looks down on the bender from the near side, a little from the right; upright it looks at it
from the front (docs/bending.md): held end to the left, free end to the right. Straight up on the sheet is up. What
stands out of the plane of the pull throws a thin shadow on it, and its ends say how far. Tails too long to show are
broken off and legs broken in the middle, with their length written at the break. Where the piece crosses or hides
itself in a picture, a second one below shows it from another side.
"""

from dataclasses import dataclass

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.lettering import wrapped
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.primitives import moved
from pipemodel.drawing.pull_bender import BenderOutlines
from pipemodel.drawing.pull_legs import with_short_legs
from pipemodel.drawing.pull_panel import PullPanel, big_head
from pipemodel.drawing.pull_row import MOST_HIGH, RowPicture, row_of
from pipemodel.drawing.pull_scene import Drawn, Scene, scene_of
from pipemodel.drawing.pull_view import first_eye, knots, second_eye
from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.geometry.vectors import scale
from pipemodel.geometry.view import View
from pipemodel.messages.say import capital, say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import NOTHING, Angle, Count, Word, message
from pipemodel.pulls.bender_frame import sides_of, swung_side
from pipemodel.pulls.card_mark import has_rim
from pipemodel.pulls.cards import Card
from pipemodel.pulls.limits import FlatTube

WIDTH = 176.0
"""Width of the drawing in mm."""
CARD_MM = (211.0, 66.0)
"""Width, and height of a row at most, on a card of the pack: up to three pictures side by side, two cards to a page."""
MOST_BENDS = 3
"""On such a card the tube is broken off beyond so many bends made to either side, or bender and mark are too small."""
WORD_BEYOND = 1.06
"""How far from the former's centre the word at the arrow stands, by the arrow's own distance."""
HEAD_MM, ROLL_MM, LINE_MM = 3.0, 2.3, 1.75
"""Letters of the heading, of the roll under it, and from line to line by the height of the letters."""


@dataclass(frozen=True)
class PullPicture:
    """One of the pictures of a drawing: which moment, whether it is a second view of it, and its place on the sheet."""

    after: bool
    again: bool
    window: ClipWindow


@dataclass(frozen=True)
class PullPictures:
    """The drawing of a pull, and where on it each picture is."""

    sheet: Sheet
    pictures: tuple[PullPicture, ...]


def card_sheet(solved: SolvedRun, card: Card, units: Units = MM) -> Sheet:
    """Draw the same as `pull_pictures` for a card that has the words already: lower, and without them."""
    return _Pull(solved, card, units, MOST_BENDS).drawn(for_card=True).sheet


def pull_pictures(solved: SolvedRun, card: Card, units: Units = MM) -> PullPictures:
    """Draw the piece before and after a pull, side by side, for a reader of some units and a language."""
    return _Pull(solved, card, units).drawn()


class _Pull:
    """One pull to be drawn."""

    def __init__(self, solved: SolvedRun, card: Card, units: Units, most: int | None = None) -> None:
        self.solved, self.card, self.units, self.most = solved, card, units, most
        pull = card.pull
        bend = solved.table.bends[pull.bend - 1]
        self.angle, self.rim, self.past = bend.angle_deg, has_rim(pull.former), pull.past_rim_mm
        self.bender = BenderOutlines(pull.former, bend.radius_mm, solved.tube.outside_mm)
        self.arrow = self.bender.arrow(bend.angle_deg, self.past)
        self.scenes = self._scenes()
        self.inside = bend.arc_mm

    def _scenes(self) -> tuple[Scene, Scene]:
        pull, solved, units = self.card.pull, self.solved, self.units
        bends, tube, index = solved.table.bends, FlatTube.of(solved), pull.bend - 1
        short = with_short_legs(bends, tube, {*pull.made, pull.bend})
        kept, free = (Drawn(*both) for both in zip(sides_of(bends, tube, pull), sides_of(*short, pull), strict=True))
        swung = Drawn(swung_side(bends, free.true, index), swung_side(short[0], free.shown, index))
        return (
            scene_of(solved, self.card, (kept, free), None, units, self.most),
            scene_of(solved, self.card, (kept, swung), pull.bend, units, self.most),
        )

    def drawn(self, for_card: bool = False) -> PullPictures:
        """Return the drawing: headings, the pictures in a row, and below them those from another side."""
        stance, outside = self.card.stance, self.solved.tube.outside_mm
        first, moments = first_eye(stance), (False, True)
        width, most_high = CARD_MM if for_card else (WIDTH, MOST_HIGH)
        rows = [[(first, after, False) for after in moments]]
        places = {after: self.scenes[after].places(outside / 2.0) for after in moments}
        knotted = tuple(after for after in moments if knots(places[after], first, outside))
        other = second_eye([places[after] for after in knotted], stance, outside)
        if other is not None:
            rows.append([(other, after, True) for after in knotted])
        if for_card and len(knotted) == 1:
            rows = [[picture for row in rows for picture in row]]
        made = [(row_of([self._picture(*picture) for picture in row], width, most_high), row) for row in rows]
        heads = [] if for_card else self._heads()
        above = sum(LINE_MM * height for _, height, _ in heads) + 2.0
        number, bend = Count(self.card.pull.number), Count(self.card.pull.bend)
        title = words(self.units, "pull drawing.title", pull=number, bend=bend)
        sheet = Sheet(width, above + sum(row.sheet.height for row, _ in made), title)
        y = sheet.height
        for text, height, bold in heads:
            y -= LINE_MM * height
            sheet.words(text, (2.0, y), height, bold=bold)
        y = sheet.height - above
        pictures = []
        for row, those in made:
            y -= row.sheet.height
            sheet.items.extend(moved(item, (0.0, y)) for item in row.sheet.primitives())
            for edge in row.edges[1:-1]:
                sheet.line(((edge, y + 2.0), (edge, y + row.sheet.height - 2.0)), Role.PAPER)
            for (_, after, again), left, right in zip(those, row.edges, row.edges[1:], strict=False):
                pictures.append(PullPicture(after, again, ClipWindow(left, y, right, y + row.sheet.height)))
        return PullPictures(sheet, tuple(pictures))

    def _heads(self) -> list[tuple[str, float, bool]]:
        """Return the lines over the pictures, none wider than the drawing: text, height of its letters, and bold."""
        card, pull = self.card, self.card.pull
        head = words(
            self.units,
            "pull drawing.head",
            pull=Count(pull.number),
            bend=Count(pull.bend),
            end=Word(card.left_end),
            turned=message("pull drawing.turned") if pull.turn_round else NOTHING,
            changed=message("pull drawing.changed") if pull.change_former else NOTHING,
        )
        lines = ((head, HEAD_MM, True), (capital(say(card.roll, self.units)), ROLL_MM, False))
        return [(line, high, bold) for text, high, bold in lines for line in wrapped(text, high, WIDTH - 4.0, bold)]

    def _picture(self, view: View, after: bool, again: bool) -> RowPicture:
        around = self._around(after, view)

        def draw(panel: Panel) -> int:
            return self._draw(panel, after, view, again)

        return RowPicture(view, around, draw)

    def _around(self, after: bool, view: View) -> ClipWindow:
        bender = self.bender
        points = [view.flat(p) for s in self.scenes[after].stretches for p in s.points]
        points += [view.flat(p) for p in bender.ring()]
        if not after:
            points += [view.flat(scale(p, WORD_BEYOND)) for p in self.arrow]
            points += [view.flat(p) for p in (*bender.guide(), *bender.lever())] if self.rim else []
        return ClipWindow.around(points, bender.half)

    def _draw(self, panel: Panel, after: bool, view: View, again: bool) -> int:
        drawn, scene, sheet = PullPanel(panel, self.bender, self.units), self.scenes[after], panel.sheet
        hands = not after and not again
        parts = not after and self.rim
        drawn.former(self.rim)
        if parts:
            drawn.guide_and_lever(under=True)
        drawn.tube(scene)
        if parts:
            drawn.guide_and_lever(under=False)
        if not after:
            drawn.mark(self.past, self.inside, self.rim)
            drawn.arrow(self.arrow)
        if hands:
            drawn.name_mark(self.past, self.rim)
        if not after:
            drawn.name_arrow(self.arrow)
        drawn.notes(scene)
        if hands and self.rim:
            drawn.name_parts(self.inside)
        area = panel.placer.window
        sheet.words(self._title(after, view, again), (area.left + 1.0, sheet.height - 4.5), 2.6, bold=True)
        if not again:
            self._you(sheet, (area.left + area.right) / 2.0)
        return drawn.missing

    def _title(self, after: bool, view: View, again: bool) -> str:
        if again:
            moment = Word("after" if after else "before")
            return words(self.units, "pull drawing.again", moment=moment, side=Word(view.title))
        if after:
            return words(self.units, "pull drawing.after", angle=Angle(self.angle))
        return words(self.units, "pull drawing.before")

    def _you(self, sheet: Sheet, x: float) -> None:
        if self.card.stance == "upright":
            sheet.words(words(self.units, "pull drawing.from front"), (x, 1.5), 2.2, "centre")
            return
        sheet.line(big_head((x, 7.0), (0.0, 1.0), 2.0), Role.DIMENSION, True, True)
        sheet.words(words(self.units, "pull drawing.you"), (x, 1.5), 2.5, "centre")
