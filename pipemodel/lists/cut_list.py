"""What to cut from which length of stock, and where long runs are jointed."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pipemodel.lists.blocks import Content, Group, Paragraph, Part
from pipemodel.lists.table import Column, Kind, Lines, Table, Value, Words, prose
from pipemodel.results.results import Results
from pipemodel.wording.phrases import tube_words
from pipemodel.wording.units import Units, in_units

if TYPE_CHECKING:
    from pipemodel.cutting.cuts import TubeCuts
    from pipemodel.cutting.split import Joint, Split
    from pipemodel.cutting.stock import Bar, Piece, StockPlan

COLUMNS = (
    Column("tube"),
    Column("stock", Kind.COUNT),
    Column("from"),
    Column("stock length", Kind.TAPED),
    Column("piece"),
    Column("cut", Kind.TAPED),
    Column("left over", Kind.TAPED),
    Column("not possible"),
)
BARS = (Column("from"), Column("pieces"), Column("left over", Kind.TAPED))


def cut_list(results: Results) -> Content:
    """Return the cuts of every size of tube."""
    from pipemodel.cutting.split import Split  # loads numpy

    rows: list[tuple[Value, ...]] = []
    for run, split in zip(results.schedule.runs, results.cutting.runs, strict=True):
        if not isinstance(split, Split):
            rows.append((tube_words(run.tube), None, None, None, run.name, None, None, prose(split.why)))
    number = 0
    for cuts in results.cutting.cuts:
        if cuts.stock is None:
            rows.append((tube_words(cuts.tube), *[None] * 6, prose(cuts.why_not)))
            continue
        for bar in cuts.stock.bars:
            number += 1
            rows += _cuts_of(cuts, number, bar)
    whole = tuple(_of_job(results))
    groups = (Group(whole),) if whole else ()
    return Content(Table(COLUMNS, tuple(rows)), (*groups, *(_group(cuts) for cuts in results.cutting.cuts)))


def _cuts_of(cuts: "TubeCuts", number: int, bar: "Bar") -> Iterator[tuple[Value, ...]]:
    for piece in bar.pieces:
        left = bar.left_mm if piece is bar.pieces[-1] else None
        yield (
            tube_words(cuts.tube), number, "offcut" if bar.offcut else "length", bar.length_mm, piece.name,
            piece.length_mm, left, None,
        )  # fmt: skip


def _of_job(results: Results) -> Iterator[Part]:
    """Say what the saw takes, and which runs are jointed where, or cannot be."""
    from pipemodel.cutting.split import Split

    kerf = results.schedule.job.kerf_mm
    if kerf:
        yield Paragraph(lambda units: f"The saw takes {units.tidy(kerf)} {units.name} at each cut.")
    for solved, split in zip(results.schedule.runs, results.cutting.runs, strict=True):
        if not isinstance(split, Split):
            yield Paragraph(_not_possible(split.why), "wrong")
        elif split.joints:
            yield Paragraph(_jointed(solved.name, split))


def _jointed(run: str, split: "Split") -> Words:
    def words(units: Units) -> str:
        where = ", ".join(units.length(joint.at_mm) for joint in split.joints)
        made = (f" {_made(joint, units)}" for joint in split.joints if joint.side is not None)
        return f"Run {run} is jointed at {where} along it, from its start.{''.join(made)}"

    return words


def _made(joint: "Joint", units: Units) -> str:
    from pipemodel.cutting.joint_places import side_words

    assert joint.side is not None
    made = f"from {side_words(joint.side)}, away from {joint.away_from}; the other side cannot be reached"
    return f"The joint at {units.length(joint.at_mm)} is made {made}."


def _not_possible(why: str) -> Words:
    return lambda units: f"NOT POSSIBLE: {in_units(why, units)}"


def _group(cuts: "TubeCuts") -> Group:
    if cuts.stock is None:
        return Group((Paragraph(_not_possible(cuts.why_not), "wrong"),), tube_words(cuts.tube), run=False)
    bars = Table(BARS, tuple(_bar(bar) for bar in cuts.stock.bars))
    return Group((bars, Paragraph(_left_over(cuts.stock))), tube_words(cuts.tube), run=False)


def _bar(bar: "Bar") -> tuple[Value, ...]:
    kind = "offcut of" if bar.offcut else "length of"
    pieces = Lines(tuple((_length(piece), piece.name) for piece in bar.pieces))
    return (lambda units: f"{kind} {units.length(bar.length_mm)}", pieces, bar.left_mm)


def _length(piece: "Piece") -> Words:
    return lambda units: units.length(piece.length_mm)


def _left_over(stock: "StockPlan") -> Words:
    def words(units: Units) -> str:
        best = "no plan uses less" if stock.proven_best else f"no plan can use less than {units.length(stock.bound_mm)}"
        return f"{units.length(stock.used_mm)} of stock, {units.length(stock.waste_mm)} left over; {best}."

    return words
