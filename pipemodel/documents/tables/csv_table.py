"""The schedule as CSV: a row per bend, the run's own figures repeated, so that it sorts and filters as it is.

Every other list is a file of its own, with the columns that it has in the workbook.

Written for spreadsheets: UTF-8 with a byte order mark (or they guess the letters), lines ended by CR LF as
RFC 4180 has it, commas between and a point in numbers. Numbers are numbers, to six places. A text that a
spreadsheet would take for a formula gets an apostrophe before it, so that it stays a text.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from pipemodel.lists.table import Cell, Table, as_number
from pipemodel.messages.units import MM, MM_PER_INCH, Units
from pipemodel.results.record import Record
from pipemodel.wording.safe_text import shown

BYTE_ORDER_MARK = "\ufeff"
PLACES = 6
_FORMULA_STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
_RUN = ("run", "tube", "former", "cut_length_mm", "centreline_mm", "straight_after_mm")
_BEND = (
    "number",
    "start_mm",
    "mark_mm",
    "straight_before_mm",
    "angle_deg",
    "pull_deg",
    "turn_deg",
    "radius_mm",
    "arc_mm",
    "gain_mm",
)
_PULL = ("pull", "held", "pull_mark_mm", "end_for_end", "roll_deg")
COLUMNS = (*_RUN, "bend", *_BEND[1:], *_PULL)
TAPED = ("mark_to_draw", "cut_length")
"""Columns more where lengths are in inches: to the nearest 1/16, as a tape shows them."""


def schedule_csv(record: Record, units: Units = MM) -> str:
    """Return the schedule's record as CSV text, byte order mark included; a run without bends has one row.

    In inches every length is a decimal number, and the mark is given as a tape shows it too.
    """
    rows = (row for run in record["runs"] for row in _rows(run))
    if units.name != "in":
        return _csv(COLUMNS, rows)
    return _csv([*(_in_units(name) for name in COLUMNS), *TAPED], (_in_inches(row, units) for row in rows))


def list_csv(table: Table, units: Units = MM) -> str:
    """Return a list as CSV text, byte order mark included."""
    columns = table.for_data.columns
    rows = (zip(row, columns, strict=True) for row in table.for_data.rows)
    return _csv(
        [column.titled(units) for column in columns],
        ([as_number(value, column.kind, units) for value, column in row] for row in rows),
    )


def _csv(heads: Sequence[Cell], rows: Iterable[Sequence[Cell]]) -> str:
    out = io.StringIO()
    out.write(BYTE_ORDER_MARK)
    csv.writer(out, lineterminator="\r\n").writerows(map(cell, row) for row in (heads, *rows))
    return out.getvalue()


def _in_inches(row: list[Cell], units: Units) -> list[Cell]:
    """Return a row with its lengths in inches, and what is taped of it as a tape shows it."""
    named = dict(zip(COLUMNS, row, strict=True))
    mark = named["mark_mm"] if named["pull_mark_mm"] is None else named["pull_mark_mm"]
    return [
        *(_converted(name, value) for name, value in named.items()),
        *(_taped(value, units) for value in (mark, named["cut_length_mm"])),
    ]


def _taped(value: Cell, units: Units) -> Cell:
    """Return a length to the sixteenth; a bare fraction would be taken for a date, so a zero goes before it."""
    if not isinstance(value, float):
        return None
    text = units.short(value)
    return f"0 {text}" if "/" in text and " " not in text else text


def _in_units(name: str) -> str:
    return f"{name.removesuffix('_mm')}_in" if name.endswith("_mm") else name


def _converted(name: str, value: Cell) -> Cell:
    return value / MM_PER_INCH if name.endswith("_mm") and isinstance(value, float) else value


def cell(value: Cell) -> Cell:
    """Return a value as it goes into a spreadsheet: numbers to six places, texts that start nothing."""
    if isinstance(value, float):
        return round(value, PLACES) + 0.0
    if isinstance(value, str):
        text = shown(value)
        return f"'{text}" if starts_a_formula(text) else text
    return value


def starts_a_formula(text: str) -> bool:
    """Tell whether a spreadsheet would take a text for a formula if it were typed in."""
    # A leading blank does not keep a spreadsheet from seeing one.
    return text.lstrip().startswith(_FORMULA_STARTS)


def _rows(run: dict[str, Any]) -> list[list[Cell]]:
    about = [
        run["name"],
        run["tube"]["name"],
        "; ".join(former["name"] for former in run["formers"]),
        run["cut_length_mm"],
        run["centreline_mm"],
        run["straight_after_mm"],
    ]
    pulls = {pull["bend"]: pull for pull in run["plan"]["pulls"]}
    if not run["bends"]:
        return [[*about, *([None] * (len(COLUMNS) - len(about)))]]
    return [[*about, *(bend[key] for key in _BEND), *_pull_cells(pulls.get(bend["number"]))] for bend in run["bends"]]


def _pull_cells(pull: dict[str, Any] | None) -> list[Cell]:
    if pull is None:
        return [None] * len(_PULL)
    over = "yes" if pull["turn_round"] else "no"
    return [pull["number"], pull["held"], pull["mark_mm"], over, pull["roll_deg"]]
