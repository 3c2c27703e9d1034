"""The bends as drawn, and the pulls in the order of the hands: a table of each for every piece."""

from collections.abc import Iterator, Sequence

from pipemodel.bending.angle_words import plane_turn
from pipemodel.lists.blocks import Content
from pipemodel.lists.table import CellValue, Column, For, Kind, Stretch, Table, Words
from pipemodel.messages.say import say
from pipemodel.messages.values import Message, message, word
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.rounding import turn_before

BENDS = (
    Column("run"),
    Column("bend", Kind.BEND),
    Column("straight before", Kind.TAPED, said=message("schedule.head straight")),
    Column("bend takes", Kind.TAPED, said=message("schedule.head takes"), letters=6),
    Column("angle", Kind.ANGLE),
    Column("turn of the plane in words", said=message("schedule.head plane"), letters=22),
    Column("pull", Kind.COUNT, For.DATA),
    Column("turn of the plane", Kind.ANGLE, For.DATA),
    *(
        Column(head, Kind.FULL)
        for head in ("mark in full", "start in full", "straight before in full", "arc in full", "radius", "gain")
    ),
)
PULLS = (
    Column("run"),
    Column("pull", Kind.COUNT, said=message("schedule.head pull")),
    Column("bend", Kind.BEND),
    Column("held by"),
    Column("mark", Kind.TAPED, strong=True),
    Column("pull to", Kind.ANGLE),
    Column("springs back to", Kind.ANGLE, For.DATA),
    Column("turn the tube before it", letters=33),
    Column("roll", who=For.DATA),
    Column("turn end for end", who=For.DATA),
    Column("what to do", who=For.DATA),
    Column("what must then be true", who=For.DATA),
)


def bends(results: Results) -> Content:
    """Return the bends of every piece, from its start end."""
    return Content(Table(BENDS, tuple(row for piece in results.pieces for row in bend_rows(piece))))


def pulls(results: Results) -> Content:
    """Return the pulls of every piece, in their order."""
    return Content(Table(PULLS, tuple(row for piece in results.pieces for row in pull_rows(piece))))


def straight_after(piece: Piece) -> Stretch:
    """Return the straight after the last bend of a piece; all of it where it has none."""
    table = piece.solved.table
    return Stretch(table.bends[-1].finish_mm if table.bends else 0.0, table.length_mm)


def bend_rows(piece: Piece) -> Iterator[tuple[CellValue, ...]]:
    """Yield a row for each bend of a piece."""
    planned = {pull.bend: pull for pull in piece.plan.pulls}
    reached = 0.0
    for bend in piece.solved.table.bends:
        before, reached = Stretch(reached, bend.start_mm), bend.finish_mm
        pull = planned.get(bend.number)
        yield (
            piece.name,
            bend.number,
            before,
            Stretch(bend.start_mm, bend.finish_mm),
            bend.angle_deg,
            plane_turn(bend.turn_deg, bend.number == 1),
            pull.number if pull else None,
            bend.turn_deg,
            pull.drawn_mark_mm if pull else piece.solved.mark_mm(bend),
            bend.start_mm,
            bend.straight_before_mm,
            bend.arc_mm,
            bend.radius_mm,
            bend.gain_mm,
        )


def pull_rows(piece: Piece) -> Iterator[tuple[CellValue, ...]]:
    """Yield a row for each pull of a piece, with what its card says."""
    for card in piece.cards:
        pull = card.pull
        yield (
            piece.name,
            pull.number,
            pull.bend,
            word(pull.held),
            pull.drawn_mark_mm,
            pull.pull_deg,
            pull.angle_deg,
            turn_before(pull),
            card.roll,
            word("yes" if pull.turn_round else "no"),
            _in_a_line(card.to_do),
            _in_a_line(card.to_check),
        )


def _in_a_line(steps: Sequence[Message]) -> Words:
    return lambda units: "; ".join(say(step, units) for step in steps)
