"""A run's own sheets: for the fitter the tape line, its pulls and a card for each; for the designer its bends."""

from collections.abc import Iterator, Sequence
from typing import Any

from pipemodel.documents.pack.parts import parts_flow
from pipemodel.documents.pack.styles import BOX, SMALL, Styles
from pipemodel.drawing.lettering import CAP_HEIGHT, wrapped
from pipemodel.drawing.pdf import POINT_MM
from pipemodel.drawing.pull_drawing import card_sheet
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.tape_line import tape_line
from pipemodel.lists.blocks import Facts
from pipemodel.lists.run_block import CUT_LENGTH, bends_of, facts_of, notes_of, pulls_of
from pipemodel.lists.table import say
from pipemodel.messages.say import sentence, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Angle, Count, Name, Tape
from pipemodel.pulls.cards import Card
from pipemodel.results.pieces import Piece

CUT_WIDE_MM = 100.0
"""How wide the cut length stands beside the name of a run."""
CHECKS_WIDE_MM = (62.0, 72.0, 82.0, 92.0)
"""How wide what must be true after a pull may stand beside what to do: as makes the card lowest."""


def run_sheets(piece: Piece, styles: Styles, units: Units) -> list[Any]:
    """Return what there is to know of a piece before it is bent, kept together, and the cards of its pulls."""
    from reportlab.platypus import KeepTogether

    facts = facts_of(piece)
    cut = next(say(fact, units) for label, fact in facts.rows if label == CUT_LENGTH)
    made = Facts(tuple(row for row in facts.rows if row[0] != CUT_LENGTH))
    head: list[Any] = [
        styles.beside(
            [styles.name(words(units, "pack.run", run=Name(piece.name, quoted=False)), "title")],
            [styles.words(words(units, "pack.cut", length=Name(cut, quoted=False)), "big")],
            CUT_WIDE_MM,
        ),
        *parts_flow([made], styles, units),
        styles.drawn(tape_line(piece.solved, piece.plan, styles.width, units)),
        *parts_flow((*pulls_of(piece), *notes_of(piece)), styles, units),
    ]
    flow = [KeepTogether(head)]
    for card in piece.cards:
        above = [styles.words(text) for text in _changes(piece.cards, units)] if card is piece.cards[0] else []
        flow.append(_card(card, card_sheet(piece.solved, card, units), styles, units, above))
    return flow


def bends_sheet(piece: Piece, styles: Styles, units: Units) -> list[Any]:
    """Return what a piece is made from and its bends as drawn."""
    return [
        styles.name(words(units, "pack.run", run=Name(piece.name, quoted=False)), "head"),
        *parts_flow((facts_of(piece), *bends_of(piece)), styles, units),
    ]


def _changes(cards: Sequence[Card], units: Units) -> Iterator[str]:
    """Yield what changes from one pull to another and is easily missed."""
    first = cards[0].pull
    if any(card.pull.held != first.held for card in cards):
        yield words(units, "pack.held changes")
    if first.several_formers:
        yield words(units, "pack.former changes")


def _card(card: Card, drawn: Sheet, styles: Styles, units: Units, above: Sequence[Any]) -> Any:
    """The card of one pull: the piece before and after, what to do, and what must then be true."""
    from reportlab.platypus import KeepTogether, Spacer

    pull = card.pull
    mark = Tape(pull.drawn_mark_mm, unit=False)
    head = words(
        units, "pack.pull", pull=Count(pull.number), bend=Count(pull.bend), angle=Angle(pull.pull_deg), mark=mark
    )
    do = [f"{i}. {sentence(say(step, units))}" for i, step in enumerate(card.to_do, 1)]
    check = [f"{BOX} {sentence(say(measure, units))}" for measure in card.to_check]
    lists = styles.beside(
        [styles.words(text, "small") for text in do],
        [styles.words(words(units, "pack.must be"), "label"), *(styles.words(text, "small") for text in check)],
        min(CHECKS_WIDE_MM, key=lambda wide: max(_lines(do, styles.width - wide), _lines(check, wide) + 1)),
    )
    return KeepTogether(
        [
            *above,
            styles.words(f"{BOX} {head}", "big"),
            styles.drawn(drawn, scale=styles.card_scale),
            lists,
            Spacer(1, 4),
        ]
    )


def _lines(texts: Sequence[str], wide: float) -> int:
    """Return on how many lines some texts go, about; `wide` in mm."""
    return sum(len(wrapped(text, SMALL * CAP_HEIGHT / POINT_MM, wide)) for text in texts)
