"""What is said of one piece: what it is made from, its pulls, its bends and its notes."""

from pipemodel.bending.schedule import SolvedRun
from pipemodel.lists.blocks import Bullets, Cards, Facts, Paragraph, Part, Subheading
from pipemodel.lists.schedule import BENDS, PULLS, bend_rows, pull_rows, straight_after
from pipemodel.lists.table import Table, Words, prose
from pipemodel.results.pieces import Piece
from pipemodel.wording.phrases import former_facts, tube_words
from pipemodel.wording.units import MM, Units

CUT_LENGTH = "Cut length"
PULL_IN_ORDER = "Pull in this order, the side that is named held in the stop:"
BENDS_AS_DRAWN = "The bends as drawn, from the start end."


def run_block(piece: Piece) -> tuple[Part, ...]:
    """Return the parts of a piece's schedule."""
    solved, plan = piece.solved, piece.plan
    notes = (Bullets(tuple(prose(note) for note in solved.notes), notes=True),) if solved.notes else ()
    if not solved.table.bends:
        return (facts_of(piece), *notes)
    after = straight_after(piece)
    pulls: tuple[Part, ...]
    if plan.possible:
        pulls = (
            Subheading(PULL_IN_ORDER),
            Table(PULLS, tuple(pull_rows(piece))).of(piece.name),
            Paragraph(
                "Marks from the start end, each for the side that is held. Clockwise and anticlockwise as seen from "
                "the start end, looking along the tube.",
                "aside",
            ),
            Cards(piece.cards),
        )
    else:
        why_not = tuple(prose(why) for why in plan.why_not)
        pulls = (Paragraph("CANNOT BE PULLED as it stands:", "wrong"), Bullets(why_not))
    return (
        facts_of(piece),
        *pulls,
        Subheading(
            BENDS_AS_DRAWN,
            "The turn of the plane is how the finished piece lies; in the bender the tube turns as the list of pulls "
            "says.",
        ),
        Table(BENDS, tuple(bend_rows(piece))).of(piece.name),
        Facts((("Straight after", lambda units: f"{units.between(*after)} {units.name}"),)),
        *notes,
    )


def facts_of(piece: Piece) -> Facts:
    """Return what a piece is made from and with."""
    solved = piece.solved
    rows: list[tuple[str, Words]] = [("Tube", tube_words(solved.tube)), (CUT_LENGTH, _cut(solved))]
    if solved.table.bends:
        labels = [label for label, _ in former_facts(solved, MM)]
        rows += [(label, _former_fact(solved, number)) for number, label in enumerate(labels)]
    thick = solved.run.insulation_mm
    if thick:
        rows.append(("Insulation", lambda units: f"{units.tidy(thick)} {units.name} thick, once it is fixed"))
    if solved.run.bender is not None:
        rows.append(("Bender", solved.run.bender.name))
    if not solved.table.bends:
        rows.append(("Bends", "none: a straight piece"))
    return Facts(tuple(rows))


def former_words_of(solved: SolvedRun) -> Words:
    """Return the formers of a run in words, each with its bends where there are several."""
    return lambda units: "; ".join(words for label, words in former_facts(solved, units) if label == "Former")


def _former_fact(solved: SolvedRun, number: int) -> Words:
    return lambda units: former_facts(solved, units)[number][1]


def _cut(solved: SolvedRun) -> Words:
    """Say what to cut, and what of it is not between the ends."""
    length, cut, ends = solved.table.length_mm, solved.cut_length_mm, solved.run.ends

    def words(units: Units) -> str:
        parts = [f"{units.length(ends.in_fittings_mm)} goes into the fittings"] if ends.in_fittings_mm else []
        parts += [f"{units.between(length, cut)} is trimmed off the finish after bending"] if ends.trim_mm else []
        return f"{units.length(cut)} {units.name}" + (f", of which {' and '.join(parts)}" if parts else "")

    return words
