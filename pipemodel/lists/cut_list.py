"""What to cut from which length of stock, and where long runs are jointed."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pipemodel.lists.blocks import Content, Group, Paragraph, Part
from pipemodel.lists.table import CellValue, Column, Kind, Lines, Table, Words, say
from pipemodel.messages.units import Units
from pipemodel.messages.values import Message, Name, Tape, listed, message, word
from pipemodel.results.results import Results
from pipemodel.trade.model import Tube
from pipemodel.wording.phrases import tube_words

if TYPE_CHECKING:
    from pipemodel.cutting.cuts import TubeCuts
    from pipemodel.cutting.split import Split
    from pipemodel.cutting.stock import Bar, StockPiece, StockPlan

COLUMNS = (
    Column("tube"),
    Column("stock", Kind.COUNT),
    Column("from", said=message("cuts.head from")),
    Column("stock length", Kind.TAPED),
    Column("piece"),
    Column("cut", Kind.TAPED),
    Column("left over", Kind.TAPED),
    Column("not possible"),
)
BARS = (
    Column("from", said=message("cuts.head from")),
    Column("pieces"),
    Column("left over", Kind.TAPED),
)


def cut_list(results: Results) -> Content:
    """Return the cuts of every size of tube."""
    rows: list[tuple[CellValue, ...]] = []
    for run, split in zip(results.schedule.runs, results.cutting.runs, strict=True):
        if split.why_not is not None:
            rows.append((_tube(run.tube), None, None, None, run.name, None, None, split.why_not))
    number = 0
    for cuts in results.cutting.cuts:
        if cuts.stock is None:
            rows.append((_tube(cuts.tube), *[None] * 6, cuts.why_not))
            continue
        for bar in cuts.stock.bars:
            number += 1
            rows += _cuts_of(cuts, number, bar)
    whole = tuple(_of_job(results))
    groups = (Group(whole),) if whole else ()
    return Content(Table(COLUMNS, tuple(rows)), (*groups, *(_group(cuts) for cuts in results.cutting.cuts)))


def _cuts_of(cuts: "TubeCuts", number: int, bar: "Bar") -> Iterator[tuple[CellValue, ...]]:
    for piece in bar.pieces:
        left = bar.left_mm if piece is bar.pieces[-1] else None
        yield (
            _tube(cuts.tube), number, word("offcut" if bar.offcut else "length"), bar.length_mm, piece.name,
            piece.length_mm, left, None,
        )  # fmt: skip


def _tube(tube: Tube) -> Words:
    return lambda units: tube_words(tube, units.metric)


def _of_job(results: Results) -> Iterator[Part]:
    """Say what the saw takes, and which runs are jointed where, or cannot be."""
    kerf = results.schedule.job.kerf_mm
    if kerf:
        yield Paragraph(message("cuts.saw", kerf=Tape(kerf, exact=True)))
    for solved, split in zip(results.schedule.runs, results.cutting.runs, strict=True):
        if split.why_not is not None:
            yield Paragraph(_not_possible(split.why_not), "wrong")
        elif split.joints:
            yield Paragraph(_jointed(solved.name, split))


def _jointed(run: str, split: "Split") -> Words:
    from pipemodel.cutting.joint_places import side_of

    places = listed([Tape(joint.at_mm, unit=False) for joint in split.joints], ",")
    said = [message("cuts.jointed", run=Name(run, quoted=False), places=places)]
    for joint in split.joints:
        if joint.side is not None:
            at, side, other = Tape(joint.at_mm, unit=False), side_of(joint.side), Name(joint.away_from, quoted=False)
            said.append(message("cuts.joint", at=at, side=side, other=other))
    return lambda units: " ".join(say(one, units) for one in said)


def _not_possible(why: Message) -> Message:
    return message("cuts.not possible", why=why)


def _group(cuts: "TubeCuts") -> Group:
    def tube(units: Units) -> str:
        return tube_words(cuts.tube, units)

    if cuts.stock is None:
        return Group((Paragraph(_not_possible(cuts.why_not), "wrong"),), tube, run=False)
    bars = Table(BARS, tuple(_bar(bar) for bar in cuts.stock.bars))
    return Group((bars, Paragraph(_left_over(cuts.stock))), tube, run=False)


def _bar(bar: "Bar") -> tuple[CellValue, ...]:
    length = Tape(bar.length_mm, unit=False)
    whole = message("cuts.offcut of", length=length) if bar.offcut else message("cuts.length of", length=length)
    pieces = Lines(tuple((_length(piece), piece.name) for piece in bar.pieces))
    return (whole, pieces, bar.left_mm)


def _length(piece: "StockPiece") -> Words:
    return lambda units: units.length(piece.length_mm)


def _left_over(stock: "StockPlan") -> Message:
    used, waste = Tape(stock.used_mm, unit=False), Tape(stock.waste_mm, unit=False)
    if stock.proven_best:
        return message("cuts.best", used=used, waste=waste)
    return message("cuts.bound", used=used, waste=waste, bound=Tape(stock.bound_mm, unit=False))
