"""A run's own sheets: the tape line and the schedule of bends, then a card for each pull."""

from collections.abc import Sequence
from typing import Any

from pipemodel.bending.schedule import SolvedRun
from pipemodel.documents.pack.parts import parts_flow
from pipemodel.documents.pack.styles import BOX, Styles
from pipemodel.drawing.pull_drawing import pull_sheet
from pipemodel.drawing.tape_line import tape_line
from pipemodel.lists.blocks import Facts
from pipemodel.lists.run_block import CUT_LENGTH, run_block
from pipemodel.lists.table import say
from pipemodel.messages.angles import deg
from pipemodel.messages.units import Units
from pipemodel.pulls.cards import Card
from pipemodel.results.pieces import Piece

CARD_SCALE = 0.85
"""Two cards go on a page with their drawings at this share of their size."""


def run_sheets(piece: Piece, styles: Styles, units: Units) -> list[Any]:
    """Return the schedule sheet of a piece, and the cards of its pulls."""
    facts, *others = run_block(piece)
    assert isinstance(facts, Facts)
    cut = next(say(words, units) for label, words in facts.rows if label == CUT_LENGTH)
    made = Facts(tuple(row for row in facts.rows if row[0] != CUT_LENGTH))
    flow: list[Any] = [
        styles.name(f"Run: {piece.name}", "title"),
        styles.words(f"Cut {cut}", "big"),
        *parts_flow([made], styles, units),
        styles.drawn(tape_line(piece.solved, piece.plan, styles.width, units)),
        *parts_flow(others, styles, units),
    ]
    for card in piece.cards:
        above = [styles.words("Pulls, in order", "head"), styles.words(_order(piece.cards))]
        flow.append(_card(piece.solved, card, styles, units, above if card is piece.cards[0] else []))
    return flow


def _order(cards: Sequence[Card]) -> str:
    first = cards[0].pull
    former = " The former changes on the way: each card says which goes in." if first.several_formers else ""
    if all(card.pull.held == first.held for card in cards):
        return f"The {first.held} side of the tube is held in the stop for every pull.{former}"
    return f"Mind which end is held: it changes on the way, and each card says so.{former}"


def _card(solved: SolvedRun, card: Card, styles: Styles, units: Units, above: Sequence[Any]) -> Any:
    """The card of one pull: the piece before and after, what to do, and what must then be true."""
    from reportlab.platypus import KeepTogether, Spacer

    pull = card.pull
    head = f"{BOX} Pull {pull.number}: bend {pull.bend} to {deg(pull.pull_deg)}\u00b0 at {units.length(pull.mark_mm)}"
    do = [f"{i}. {_sentence(say(step, units))}" for i, step in enumerate(card.to_do, 1)]
    check = [f"{BOX} {_sentence(say(measure, units))}" for measure in card.to_check]
    lists = styles.beside(
        [styles.words(text, "small") for text in do],
        [styles.words("Then it must be:", "label"), *(styles.words(text, "small") for text in check)],
        62.0,
    )
    return KeepTogether(
        [
            *above,
            styles.words(head, "big"),
            styles.drawn(pull_sheet(solved, card, units.short), scale=CARD_SCALE),
            lists,
            Spacer(1, 8),
        ]
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")
