"""A run's own sheets: the tape line and the schedule of bends, then a card for each pull."""

from collections.abc import Sequence
from typing import Any

from pipemodel.bending.cards import Card, cards_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.handover.card_drawing import card_sheet
from pipemodel.handover.drawing.tape_line import tape_line
from pipemodel.handover.figures import RunText, deg, marks_to_draw, run_text
from pipemodel.handover.pack.styles import BOX, Styles
from pipemodel.handover.pieces import Piece
from pipemodel.handover.units import Units, in_units
from pipemodel.handover.words import former_facts, tube_words

CARD_SCALE = 0.85
"""Two cards go on a page with their drawings at this share of their size."""


def run_sheets(piece: Piece, styles: Styles, units: Units) -> list[Any]:
    """Return the schedule sheet of a piece, and the cards of its pulls."""
    solved, plan = piece.solved, piece.plan
    said = run_text(solved, plan, units)
    flow: list[Any] = [
        styles.name(f"Run: {solved.name}", "title"),
        styles.words(f"Cut {said.cut_length} {units.name}{_of_it(said)}", "big"),
        styles.facts(_facts(solved, units)),
        styles.drawn(tape_line(solved, styles.width, marks_to_draw(solved, plan), units)),
    ]
    if said.bends:
        flow += [_bends(said, styles, units), styles.words(f"Straight after the last bend: {said.straight_after}")]
    else:
        flow.append(styles.words("No bends: a straight piece."))
    if plan.why_not:
        flow.append(styles.words("CANNOT BE PULLED as it stands", "head"))
        flow += styles.listed(in_units(why, units) for why in plan.why_not)
    flow += styles.listed(solved.notes)
    cards = cards_of(solved, plan)
    for card in cards:
        above = [styles.words("Pulls, in order", "head"), styles.words(_order(cards))] if card is cards[0] else []
        flow.append(_card(solved, card, styles, units, above))
    return flow


def _facts(solved: SolvedRun, units: Units) -> Sequence[tuple[str, str]]:
    rows = [("Tube", tube_words(solved.tube))]
    if solved.table.bends:
        rows += former_facts(solved, units)
    if solved.run.insulation_mm:
        rows.append(("Insulation", f"{units.tidy(solved.run.insulation_mm)} {units.name} thick, once it is fixed"))
    if solved.run.bender is not None:
        rows.append(("Bender", solved.run.bender.name))
    return rows


def _of_it(said: RunText) -> str:
    parts = [f"{said.in_fittings} goes into the fittings"] if said.in_fittings else []
    parts += [f"{said.trim} is trimmed off the finish after bending"] if said.trim else []
    return f", of which {' and '.join(parts)}" if parts else ""


def _bends(said: RunText, styles: Styles, units: Units) -> Any:
    inches = bool(units.fine_mm)
    rows: list[list[Any]] = [
        ["bend", "mark", "straight\nbefore", "bend\ntakes", "angle", "pull to", "turn the tube\nbefore it", "pull"]
    ]
    for row in said.bends:
        rows.append(
            [
                str(row.bend.number),
                styles.words(str(row.mark), "figure_small" if inches else "figure"),
                str(row.straight_before),
                str(row.arc),
                f"{row.angle}\u00b0",
                f"{row.pull}\u00b0",
                styles.words(row.turn, "small" if inches else "body"),
                row.order,
            ]
        )
    lengths = (33.0, 30.0, 26.0) if inches else (19.0, 19.0, 19.0)
    free = styles.width - 11.0 - sum(lengths) - 14.0 - 16.0 - 10.0
    widths = (11.0, *lengths, 14.0, 16.0, free, 10.0)
    return styles.table(rows, widths, numbers=(0, 1, 2, 3, 4, 5, 7), size=8.5 if inches else 10)


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
    do = [f"{i}. {_sentence(text)}" for i, text in enumerate(card.to_do(units.named), 1)]
    check = [f"{BOX} {_sentence(text)}" for text in card.to_check(units.named)]
    lists = styles.beside(
        [styles.words(text, "small") for text in do],
        [styles.words("Then it must be:", "label"), *(styles.words(text, "small") for text in check)],
        62.0,
    )
    return KeepTogether(
        [
            *above,
            styles.words(head, "big"),
            styles.drawn(card_sheet(solved, card, units.short), scale=CARD_SCALE),
            lists,
            Spacer(1, 8),
        ]
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")
