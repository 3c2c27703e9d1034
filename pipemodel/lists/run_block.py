"""What is said of one piece: what it is made from, its pulls, its bends and its notes."""

from pipemodel.bending.schedule import SolvedRun
from pipemodel.lists.blocks import Bullets, Cards, Facts, Paragraph, Part, Subheading
from pipemodel.lists.schedule import BENDS, PULLS, bend_rows, pull_rows, straight_after
from pipemodel.lists.table import Table, Words
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name, Size, Tape, listed, message, word
from pipemodel.results.pieces import Piece
from pipemodel.wording.phrases import former_facts, tube_words

CUT_LENGTH = message("schedule.cut length")
PULL_IN_ORDER = message("schedule.in this order")
BENDS_AS_DRAWN = message("schedule.as drawn")


def run_block(piece: Piece) -> tuple[Part, ...]:
    """Return the parts of a piece's schedule: what it is made from, its pulls, its bends as drawn, and its notes."""
    return (facts_of(piece), *pulls_of(piece), *bends_of(piece), *notes_of(piece))


def notes_of(piece: Piece) -> tuple[Part, ...]:
    """Return what is to be known of a piece."""
    return (Bullets(piece.solved.notes, notes=True),) if piece.solved.notes else ()


def pulls_of(piece: Piece) -> tuple[Part, ...]:
    """Return the pulls of a piece in order, or why it cannot be pulled; nothing of a straight one."""
    plan = piece.plan
    if not piece.solved.table.bends:
        return ()
    if not plan.possible:
        return (Paragraph(message("schedule.cannot"), "wrong"), Bullets(plan.why_not), *_ways_out(piece))
    return (
        Subheading(PULL_IN_ORDER),
        Table(PULLS, tuple(pull_rows(piece))).of(piece.name),
        Paragraph(message("schedule.marks from"), "aside"),
        Cards(piece.cards),
    )


def bends_of(piece: Piece) -> tuple[Part, ...]:
    """Return the bends of a piece from its start end, with the turn of the plane; nothing of a straight one."""
    if not piece.solved.table.bends:
        return ()
    after = straight_after(piece)
    return (
        Subheading(BENDS_AS_DRAWN, message("schedule.turn of the plane")),
        Table(BENDS, tuple(bend_rows(piece))).of(piece.name),
        Facts(((message("schedule.straight after"), lambda units: f"{units.between(*after)} {units.unit}"),)),
    )


def _ways_out(piece: Piece) -> tuple[Part, ...]:
    if not piece.ways_out:
        return ()
    return (Paragraph(message("schedule.ways out")), Bullets(tuple(way.said for way in piece.ways_out)))


def facts_of(piece: Piece) -> Facts:
    """Return what a piece is made from and with."""
    solved = piece.solved
    rows: list[tuple[Words, Words]] = [
        (message("schedule.tube"), lambda units: tube_words(solved.tube, units)),
        (CUT_LENGTH, _cut(solved)),
    ]
    if solved.table.bends:
        facts = range(len(former_facts(solved, MM)))
        rows += [(_former_fact(solved, number, 0), _former_fact(solved, number, 1)) for number in facts]
    thick = solved.run.insulation_mm
    if thick:
        rows.append((message("schedule.insulation"), lambda units: _thick(thick, units)))
    if solved.run.bender is not None:
        rows.append((message("schedule.bender"), word(solved.run.bender.name)))
    if not solved.table.bends:
        rows.append((message("schedule.bends"), message("schedule.no bends")))
    return Facts(tuple(rows))


def former_words_of(solved: SolvedRun) -> Words:
    """Return the formers of a run in words, each with its bends where there are several."""

    def said(units: Units) -> str:
        former = words(units, "schedule.former")
        return "; ".join(fact for label, fact in former_facts(solved, units) if label == former)

    return said


def _thick(mm: float, units: Units) -> str:
    return words(units, "schedule.thick", thick=Size(mm), unit=Name(units.unit, quoted=False))


def _former_fact(solved: SolvedRun, number: int, place: int) -> Words:
    return lambda units: former_facts(solved, units)[number][place]


def _cut(solved: SolvedRun) -> Words:
    """Say what to cut, and what of it is not between the ends."""
    length, cut, ends = solved.table.length_mm, solved.cut_length_mm, solved.run.ends

    def said(units: Units) -> str:
        whole, parts = Tape(cut), []
        if ends.in_fittings_mm:
            parts.append(message("schedule.in fittings", length=Tape(ends.in_fittings_mm, unit=False)))
        if ends.trim_mm:
            trim = Name(str(units.between(length, cut)), quoted=False)
            parts.append(message("schedule.trim", length=trim))
        if not parts:
            return units.named(cut)
        return words(units, "schedule.of which", length=whole, parts=listed(parts))

    return said
