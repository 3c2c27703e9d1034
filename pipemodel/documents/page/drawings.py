"""The drawings on the page: the tape line, the piece before and after each pull, and what stands in for the 3D."""

import re
from collections.abc import Sequence
from typing import Any

from pipemodel.bending.schedule import SolvedRun
from pipemodel.documents.page.compact import Looks
from pipemodel.documents.page.room import RoomPart
from pipemodel.documents.page.steps import Step
from pipemodel.documents.page.still_drawing import stand_in
from pipemodel.drawing.pull_drawing import HEAD, PANEL, card_svg
from pipemodel.drawing.svg import to_svg
from pipemodel.drawing.tape_line import tape_line
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.units import Units


class Drawings:
    """Makes the figures of one page, and keeps the looks they share; `units` are what lengths in them are read in."""

    def __init__(self, units: Units) -> None:
        self._units = units
        self._looks = Looks()
        self._drawn: dict[str, str] = {}

    @property
    def css(self) -> str:
        """The rules that the figures made so far are drawn by."""
        return self._looks.css

    def of_step(
        self, number: int, step: Step, answer: Results, pieces: Sequence[Piece], room: Sequence[RoomPart]
    ) -> list[dict[str, Any]]:
        """Return the figures of a step; `number` tells its drawings from those of other steps."""
        if step.run < 0:
            return []
        if step.view == "place":
            solved = answer.schedule.runs[step.run]
            clashes = [f for f in answer.report.findings if f.run == solved.name and f.severity == "error"]
            return [self.figure(stand_in(solved, room, clashes), "In its place; bends in boxes.", "stand-in")]
        piece = pieces[step.piece]
        if step.card is None:
            sheet = tape_line(piece.solved, piece.plan, units=self._units)
            return [self.figure(to_svg(sheet), "The tape line, to scale; marks from the start end.", "tape")]
        return self._before_and_after(f"card-{number}", piece.solved, step)

    def figure(self, svg: str, caption: str, kind: str) -> dict[str, Any]:
        """Return a drawing as the page shows it: with its caption, and the class it is styled by."""
        from markupsafe import Markup

        return {"svg": Markup(self._looks.compact(svg)), "caption": caption, "kind": kind}

    def _before_and_after(self, name: str, solved: SolvedRun, step: Step) -> list[dict[str, Any]]:
        """The two panels of a card's drawing, one under the other on a narrow screen; each is in the page once."""
        assert step.card is not None
        inside = re.sub(r"^<svg[^>]*>|</svg>$|<title>.*?</title>", "", card_svg(solved, step.card, self._units.short))
        number = step.card.pull.bend
        # Runs that are alike have pulls that are alike: each picture is in the page once.
        same = self._drawn.setdefault(inside, name)
        first = f'<g id="{name}">{inside}</g>' if same == name else f'<use href="#{same}"/>'
        return [
            self.figure(
                f'<svg viewBox="{left:g} {HEAD:g} {PANEL[0]:g} {PANEL[1]:g}" role="img" aria-label="{words}" '
                f'font-family="DejaVu Sans, Arial, sans-serif">{content}</svg>',
                "",
                "panel",
            )
            for left, words, content in (
                (0.0, f"The piece in the bender before bend {number} is pulled", first),
                (PANEL[0], f"The piece after bend {number} is pulled", f'<use href="#{same}"/>'),
            )
        ]
