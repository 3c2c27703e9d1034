"""The lists of a job as plain tables, from which spreadsheet and Markdown are written.

A table's cells hold what the record holds, lengths in mm. What a column's figures are decides how they are
shown: as a tape is read, worked out and rounded, or in full.
"""

from collections.abc import Iterator
from enum import Enum
from typing import NamedTuple, TypeAlias

from pipemodel.bending.angle_words import deg
from pipemodel.cutting.split import Split
from pipemodel.geometry.vectors import distance, scale, sub
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.phrases import former_facts, point_words, tube_words
from pipemodel.wording.rounding import turn_before
from pipemodel.wording.units import MM_PER_INCH, Length, Units, in_units

PLACES = 6


class Kind(Enum):
    """What a column holds, and so how it is shown."""

    TEXT = "text"
    COUNT = "count"
    TAPED = "a length read off a tape: a `Length`, rounded so that a run adds up"
    ROUNDED = "a length worked out, such as a gap: mm, shown to 0.1 mm or 0.01 in"
    FULL = "a length in full: mm; for calculating with, left out where people read"
    ANGLE = "degrees"
    SHARE = "a part of 1, in full, such as one of a direction's three; left out where people read"


Value: TypeAlias = str | int | float | Length | None
Cell: TypeAlias = str | int | float | None


class Column(NamedTuple):
    """A column's head, and what it holds."""

    head: str
    kind: Kind = Kind.TEXT

    def titled(self, units: Units) -> str:
        """Return the head with the unit of its figures."""
        if self.kind in (Kind.TAPED, Kind.ROUNDED, Kind.FULL):
            return f"{self.head}, {units.name}"
        return f"{self.head}, degrees" if self.kind is Kind.ANGLE else self.head


class Table(NamedTuple):
    """One list: its name, its columns, and a row of values for each."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]


def tables_of(answer: Results) -> tuple[Table, ...]:
    """Return every list of a job, the empty ones too."""
    pieces = answer.pieces
    return (
        _runs(answer, pieces),
        _corners(pieces, answer.paperwork.units),
        _schedule(answer, pieces),
        _pulls(answer, pieces),
        _cuts(answer),
        _clips(answer),
        _findings(answer),
        _distances(answer),
        *([_changes(answer)] if answer.changes_record is not None else []),
    )


def as_number(value: Value, kind: Kind, units: Units) -> Cell:
    """Return a value as a spreadsheet takes it: a number wherever it is one."""
    if isinstance(value, Length):
        return float(value.short) if units.name == "mm" else str(value)
    if isinstance(value, float) and kind is Kind.ROUNDED:
        return float(units.reading(value))
    if isinstance(value, float):
        scale = MM_PER_INCH if kind is Kind.FULL and units.name == "in" else 1.0
        return round(value / scale, PLACES) + 0.0
    return value


def as_text(value: Value, kind: Kind, units: Units) -> str:
    """Return a value as people read it."""
    if value is None:
        return ""
    if isinstance(value, float):
        return deg(value) if kind is Kind.ANGLE else units.reading(value)
    return str(value)


def _table(name: str, columns: str, rows: Iterator[tuple[Value, ...]]) -> Table:
    """Make a table; `columns` are heads parted by commas, each with a sign for what it holds."""
    kinds = {"#": Kind.COUNT, "~": Kind.TAPED, "=": Kind.ROUNDED, "*": Kind.FULL, "^": Kind.ANGLE, "/": Kind.SHARE}
    made = []
    for head in columns.split(", "):
        kind = kinds.get(head[-1], Kind.TEXT)
        made.append(Column(head.rstrip("#~=*^/"), kind))
    return Table(name, tuple(made), tuple(rows))


def _runs(answer: Results, pieces: tuple[Piece, ...]) -> Table:
    units = answer.paperwork.units

    def rows() -> Iterator[tuple[Value, ...]]:
        for piece in pieces:
            solved, said = piece.solved, piece.figures
            line = solved.centreline
            yield (
                solved.name,
                tube_words(solved.tube),
                "; ".join(words for label, words in former_facts(solved, units) if label == "Former" and said.bends),
                len(said.bends),
                said.cut_length,
                said.straight_after,
                said.trim,
                said.in_fittings,
                "; ".join(in_units(why, units) for why in piece.plan.why_not),
                solved.cut_length_mm,
                solved.table.length_mm,
                *line.start,
                *line.finish,
            )

    heads = (
        "run, tube, former, bends#, cut length~, straight after~, trimmed off~, in the fittings~, cannot be pulled, "
    )
    heads += "cut length in full*, centreline in full*, start x*, start y*, start z*, finish x*, finish y*, finish z*"
    return _table("runs", heads, rows())


def _corners(pieces: tuple[Piece, ...], units: Units) -> Table:
    """List every run's start, corners and finish, and which way the leg from there goes."""

    def rows() -> Iterator[tuple[Value, ...]]:
        for piece in pieces:
            corners = piece.solved.run.route.corners
            for number, here in enumerate(corners, 1):
                what = {1: "start", len(corners): "finish"}.get(number, "corner")
                onward = corners[number] if number < len(corners) else here
                far = distance(here, onward)
                way = scale(sub(onward, here), 1.0 / far) if far > 0.0 else (None, None, None)
                yield (piece.solved.name, number, what, point_words(here, units), far or None, *here, *way)

    heads = "run, point#, what, at, to the next point=, x*, y*, z*, goes east/, goes north/, goes up/"
    return _table("corners", heads, rows())


def _schedule(answer: Results, pieces: tuple[Piece, ...]) -> Table:
    def rows() -> Iterator[tuple[Value, ...]]:
        for piece in pieces:
            pulls = {pull.bend: pull for pull in piece.plan.pulls}
            for row in piece.figures.bends:
                bend, pull = row.bend, pulls.get(row.bend.number)
                yield (
                    piece.solved.name,
                    bend.number,
                    row.straight_before,
                    row.arc,
                    bend.angle_deg,
                    row.plane,
                    pull.number if pull else None,
                    bend.turn_deg,
                    pull.mark_mm if pull else piece.solved.mark_mm(bend),
                    bend.start_mm,
                    bend.straight_before_mm,
                    bend.arc_mm,
                    bend.radius_mm,
                    bend.gain_mm,
                )

    heads = "run, bend#, straight before~, bend takes~, angle^, turn of the plane in words, pull#, turn of the plane^, "
    heads += "mark in full*, start in full*, straight before in full*, arc in full*, radius*, gain*"
    return _table("schedule", heads, rows())


def _pulls(answer: Results, pieces: tuple[Piece, ...]) -> Table:
    units = answer.paperwork.units

    def rows() -> Iterator[tuple[Value, ...]]:
        for piece in pieces:
            for card in piece.cards:
                pull = card.pull
                yield (
                    piece.solved.name,
                    pull.number,
                    pull.bend,
                    pull.held,
                    units.written(pull.mark_mm),
                    pull.pull_deg,
                    pull.angle_deg,
                    turn_before(pull, units),
                    card.roll,
                    "yes" if pull.turn_round else "no",
                    "; ".join(card.to_do(units.named)),
                    "; ".join(card.to_check(units.named)),
                )

    heads = "run, pull#, bend#, held by, mark~, pull to^, springs back to^, turn the tube before it, roll, "
    heads += "turn end for end, what to do, what must then be true"
    return _table("pulls", heads, rows())


def _cuts(answer: Results) -> Table:
    units = answer.paperwork.units

    def rows() -> Iterator[tuple[Value, ...]]:
        for run, split in zip(answer.schedule.runs, answer.cutting.runs, strict=True):
            if not isinstance(split, Split):
                yield (tube_words(run.tube), None, None, None, run.name, None, None, in_units(split.why, units))
        number = 0
        for cuts in answer.cutting.cuts:
            if cuts.stock is None:
                yield (tube_words(cuts.tube), None, None, None, None, None, None, in_units(cuts.why_not, units))
                continue
            for bar in cuts.stock.bars:
                number += 1
                left = units.written(bar.left_mm)
                for i, piece in enumerate(bar.pieces):
                    yield (
                        tube_words(cuts.tube),
                        number,
                        "offcut" if bar.offcut else "length",
                        units.written(bar.length_mm),
                        piece.name,
                        units.written(piece.length_mm),
                        left if i == len(bar.pieces) - 1 else None,
                        None,
                    )

    return _table("cut list", "tube, stock#, from, stock length~, piece, cut~, left over~, not possible", rows())


def _clips(answer: Results) -> Table:
    units = answer.paperwork.units

    def rows() -> Iterator[tuple[Value, ...]]:
        for solved, plan in zip(answer.schedule.runs, answer.clips, strict=True):
            for clip in plan.clips if plan else ():
                yield (
                    solved.name,
                    clip.number,
                    units.written(clip.at_mm),
                    clip.leg,
                    clip.face,
                    units.written(clip.across.distance_mm),
                    clip.across.reference,
                    units.written(clip.up.distance_mm),
                    clip.up.reference,
                    *clip.point,
                )

    heads = "run, clip#, along the bent tube~, leg#, on, across~, from, up~, measured from, x*, y*, z*"
    return _table("clips", heads, rows())


def _findings(answer: Results) -> Table:
    units = answer.paperwork.units

    def rows() -> Iterator[tuple[Value, ...]]:
        for f in answer.report.findings:
            point = f.point or (None, None, None)
            text = in_units(f.message, units)
            yield (f.severity, f.code, f.check, f.run, f.against, text, f.distance_mm, f.required_mm, f.at_mm, *point)

    heads = "severity, code, check, run, against, message, distance=, asked for=, along the run=, x*, y*, z*"
    return _table("findings", heads, rows())


def _distances(answer: Results) -> Table:
    def rows() -> Iterator[tuple[Value, ...]]:
        asked = {run.name: of for run, of in zip(answer.runs, answer.asked_mm, strict=True)}
        for d in sorted(answer.report.distances, key=lambda d: d.distance_mm):
            yield (d.run, d.against, d.distance_mm, asked[d.run][d.against], d.at_mm, *d.point)

    return _table("distances", "run, to, distance=, asked for=, along the run=, x*, y*, z*", rows())


def _changes(answer: Results) -> Table:
    def rows() -> Iterator[tuple[Value, ...]]:
        for change in (answer.changes_record or {})["changes"]:
            yield (change["run"], change["what"], change["bend"], change["text"])

    return _table("changes", "run, what, bend#, in words", rows())
