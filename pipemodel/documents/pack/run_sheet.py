"""A run's own sheets: the tape line and the schedule of bends, then a card for each pull."""

from collections.abc import Sequence
from typing import Any

from pipemodel.bending.angle_words import deg
from pipemodel.bending.schedule import SolvedRun
from pipemodel.documents.pack.styles import BOX, Styles
from pipemodel.drawing.pull_drawing import card_sheet
from pipemodel.drawing.tape_line import tape_line
from pipemodel.pulls.cards import Card
from pipemodel.results.pieces import Piece
from pipemodel.wording.phrases import former_facts, tube_words
from pipemodel.wording.rounding import RunText
from pipemodel.wording.units import Units, in_units

CARD_SCALE = 0.85
"""Two cards go on a page with their drawings at this share of their size."""


def run_sheets(piece: Piece, styles: Styles, units: Units) -> list[Any]:
    """Return the schedule sheet of a piece, and the cards of its pulls."""
    solved, plan = piece.solved, piece.plan
    said = piece.figures
    flow: list[Any] = [
        styles.name(f"Run: {solved.name}", "title"),
        styles.words(f"Cut {said.cut_length} {units.name}{_of_it(said)}", "big"),
        styles.facts(_facts(solved, units)),
        styles.drawn(tape_line(solved, plan, styles.width, units)),
    ]
    if said.pulls:
        flow += [styles.words("The pulls, in order", "head"), _pulls(said, styles, units)]
    if plan.why_not:
        flow.append(styles.words("CANNOT BE PULLED as it stands", "head"))
        flow += styles.listed(in_units(why, units) for why in plan.why_not)
    if said.bends:
        flow += [styles.words("The bends as drawn, from the start end", "head"), _bends(said, styles, units)]
        flow.append(styles.words(f"Straight after the last bend: {said.straight_after}"))
    else:
        flow.append(styles.words("No bends: a straight piece."))
    flow += styles.listed(in_units(note, units) for note in solved.notes)
    cards = piece.cards
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


def _pulls(said: RunText, styles: Styles, units: Units) -> Any:
    """The list for the hands: clockwise as seen from the start end, looking along the tube."""
    inches = bool(units.fine_mm)
    turn = "turn the tube before it,\nseen from its start end"
    rows: list[list[Any]] = [["pull", "bend", "held by", "mark", "pull to", turn]]
    for row in said.pulls:
        rows.append(
            [
                str(row.pull.number),
                str(row.pull.bend),
                row.pull.held,
                styles.words(str(row.mark), "figure_small" if inches else "figure"),
                f"{row.pull_to}\u00b0",
                styles.words(row.turn),
            ]
        )
    mark = 33.0 if inches else 22.0
    widths = (12.0, 12.0, 18.0, mark, 18.0, styles.width - 60.0 - mark)
    return styles.table(rows, widths, numbers=(0, 1, 3, 4))


def _bends(said: RunText, styles: Styles, units: Units) -> Any:
    plane = "turn of the plane\nsince the bend before"
    rows: list[list[Any]] = [["bend", "straight\nbefore", "bend\ntakes", "angle", plane]]
    for row in said.bends:
        lengths = (str(row.straight_before), str(row.arc))
        rows.append([str(row.bend.number), *lengths, f"{row.angle}\u00b0", styles.words(row.plane, "small")])
    wide = 32.0 if units.fine_mm else 22.0
    widths = (12.0, wide, wide, 18.0, styles.width - 30.0 - 2.0 * wide)
    return styles.table(rows, widths, numbers=(0, 1, 2, 3), size=8.5)


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
