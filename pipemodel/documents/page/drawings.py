"""The drawings on the page: the tape line, the piece before and after each pull, and each run in its place."""

import re
from collections.abc import Sequence
from typing import Any

from pipemodel.documents.page.compact import FINE, STEP, Looks
from pipemodel.documents.page.steps import PageStep
from pipemodel.drawing.primitives import Circle, Role, Text
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.svg import to_svg
from pipemodel.drawing.tape_line import tape_line
from pipemodel.messages.say import capital, named, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count
from pipemodel.pulls.cards import Card
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results

TAPE_WIDTHS = (90.0, 110.0, 130.0, 150.0, 180.0)
"""How wide the tape line may be drawn, mm; the last is what it is drawn at on paper."""


class PageFigures:
    """Makes the figures of one page, and keeps the looks they share; `units` are what lengths in them are read in."""

    def __init__(self, units: Units) -> None:
        self._units = units
        self._looks = Looks()
        self._drawn: dict[str, str] = {}

    @property
    def css(self) -> str:
        """The rules that the figures made so far are drawn by."""
        return self._looks.css

    def of_step(self, number: int, step: PageStep, results: Results, pieces: Sequence[Piece]) -> list[dict[str, Any]]:
        """Return the figures of a step; `number` tells its drawings from those of other steps."""
        if step.run < 0 or step.view == "way":
            return []  # its frames stand in the list
        if step.view == "place":
            return [self._in_place(step.run, results)]
        piece = pieces[step.piece]
        if step.card is None:
            return [self.figure(to_svg(self._tape_line(piece)), words(self._units, "page.tape line"), "tape")]
        return self._before_and_after(f"card-{number}", piece, step.card)

    def of_building(self, results: Results) -> tuple[list[dict[str, Any]], list[str]]:
        """Return the storey's plan, the bays and the joists, where the room has any, and what is to be said of them."""
        sheets = results.drawings.of_building(results.wrong_places, figures=True)
        said = (("bay", words(self._units, "bay.measured")), ("joists", words(self._units, "joists.caution")))
        notes = [capital(note) for of, note in said if any(name.startswith(of) for name, _ in sheets)]
        return [self.figure(to_svg(sheet), capital(sheet.title), "picture") for _, sheet in sheets], notes

    def _tape_line(self, piece: Piece) -> Sheet:
        """Draw the tape line as narrow as it shows all its marks and clocks: its words are the larger on a phone."""
        for width in TAPE_WIDTHS:
            sheet = tape_line(piece.solved, piece.plan, width, self._units)
            marks = sum(isinstance(item, Text) and item.bold for item in sheet.items)
            clocks = sum(isinstance(item, Circle) and item.role is Role.PAPER for item in sheet.items)
            if (marks, clocks) == (len(piece.solved.table.bends), len(piece.plan.pulls)):
                break
        return sheet

    def _in_place(self, number: int, results: Results) -> dict[str, Any]:
        run = results.schedule.runs[number]
        wrong = [f for f in results.report.findings if f.run == run.name and f.severity == "error"]
        clashes = [(f.against or named(f.check, self._units), f.point) for f in wrong if f.point is not None]
        sheet = results.drawings.of_run_in_place(number, clashes)
        return self.figure(to_svg(sheet), words(self._units, "page.drawn in place"), "stand-in")

    def figure(self, svg: str, caption: str, kind: str) -> dict[str, Any]:
        """Return a drawing as the page shows it: with its caption, and the class it is styled by."""
        from markupsafe import Markup

        return {
            "svg": Markup(self._looks.compact(svg, FINE if kind == "tape" else STEP)),
            "caption": caption,
            "kind": kind,
        }

    def _before_and_after(self, name: str, piece: Piece, card: Card) -> list[dict[str, Any]]:
        """The pictures of a card's drawing, one under the other on a narrow screen; each is in the page once."""
        drawn = piece.pull_drawings[piece.cards.index(card)]
        inside = re.sub(r"^<svg[^>]*>|</svg>$|<title>.*?</title>", "", to_svg(drawn.sheet))
        bend = Count(card.pull.bend)
        # Runs that are alike have pulls that are alike: each picture is in the page once.
        same = self._drawn.setdefault(inside, name)
        content = f'<g id="{name}">{inside}</g>' if same == name else f'<use href="#{same}"/>'
        figures = []
        for picture in drawn.pictures:
            left, low, right, high = picture.window
            label = words(self._units, "page.after pull" if picture.after else "page.before pull", bend=bend)
            figures.append(
                self.figure(
                    f'<svg viewBox="{left:g} {drawn.sheet.height - high:g} {right - left:g} {high - low:g}" role="img" '
                    f'aria-label="{label}" font-family="DejaVu Sans, Arial, sans-serif">{content}</svg>',
                    "",
                    "panel",
                )
            )
            content = f'<use href="#{same}"/>'
        return figures
