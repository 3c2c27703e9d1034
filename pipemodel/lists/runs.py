"""What is bent: every run, or the pieces it is jointed from, with what to cut for it."""

from pipemodel.lists.blocks import Content
from pipemodel.lists.run_block import former_words_of
from pipemodel.lists.schedule import straight_after
from pipemodel.lists.table import CellValue, Column, For, Kind, Stretch, Table, Words
from pipemodel.messages.say import say
from pipemodel.messages.units import Units
from pipemodel.messages.values import message
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.phrases import tube_words

COLUMNS = (
    Column("run"),
    Column("tube"),
    Column("former", who=For.DATA),
    Column("bends", Kind.COUNT),
    Column("pulls", Kind.COUNT, For.PEOPLE),
    Column("cut length", Kind.TAPED, said=message("runs.head cut")),
    *(Column(head, Kind.TAPED, For.DATA) for head in ("straight after", "trimmed off", "in the fittings")),
    Column("cannot be pulled", who=For.DATA),
    *(Column(head, Kind.FULL) for head in ("cut length in full", "centreline in full")),
    *(Column(f"{end} {axis}", Kind.FULL) for end in ("start", "finish") for axis in "xyz"),
)


def runs(results: Results) -> Content:
    """Return a row for each piece that is bent."""
    return Content(Table(COLUMNS, tuple(_row(piece) for piece in results.pieces)))


def _row(piece: Piece) -> tuple[CellValue, ...]:
    solved, table, ends = piece.solved, piece.solved.table, piece.solved.run.ends
    return (
        solved.name,
        lambda units: tube_words(solved.tube, units.metric),
        former_words_of(solved) if table.bends else "",
        len(table.bends),
        len(piece.plan.pulls) if piece.plan.possible else message("runs.none works"),
        solved.cut_length_mm,
        straight_after(piece),
        Stretch(table.length_mm, solved.cut_length_mm) if ends.trim_mm else None,
        ends.in_fittings_mm or None,
        _why_not(piece),
        solved.cut_length_mm,
        table.length_mm,
        *solved.centreline.start,
        *solved.centreline.finish,
    )


def _why_not(piece: Piece) -> Words:
    def words(units: Units) -> str:
        return "; ".join(say(why, units) for why in piece.plan.why_not)

    return words
