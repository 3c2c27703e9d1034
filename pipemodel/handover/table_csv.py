"""The schedule as CSV: a row per bend, the run's own figures repeated, so that it sorts and filters as it is.

Written for spreadsheets: UTF-8 with a byte order mark (or they guess the letters), lines ended by CR LF as
RFC 4180 has it, commas between and a point in numbers. Numbers are numbers, to six places. A text that a
spreadsheet would take for a formula gets an apostrophe before it, so that it stays a text.
"""

import csv
import io
from typing import Any, TypeAlias

from pipemodel.handover.plain import shown
from pipemodel.handover.record import Record

Cell: TypeAlias = str | float | int | None

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
_PULL = ("pull", "held", "pull_mark_mm")
COLUMNS = (*_RUN, "bend", *_BEND[1:], *_PULL)


def schedule_csv(record: Record) -> str:
    """Return the schedule's record as CSV text, byte order mark included; a run without bends has one row."""
    out = io.StringIO()
    out.write(BYTE_ORDER_MARK)
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for run in record["runs"]:
        for row in _rows(run):
            writer.writerow([cell(value) for value in row])
    return out.getvalue()


def cell(value: Cell) -> Cell:
    """Return a value as it goes into a spreadsheet: numbers to six places, texts that start nothing."""
    if isinstance(value, float):
        return round(value, PLACES) + 0.0
    if isinstance(value, str):
        text = shown(value)
        # A leading blank does not keep a spreadsheet from seeing a formula.
        return f"'{text}" if text.lstrip().startswith(_FORMULA_STARTS) else text
    return value


def _rows(run: dict[str, Any]) -> list[list[Cell]]:
    about = [
        run["name"],
        run["tube"]["name"],
        run["former"]["name"],
        run["cut_length_mm"],
        run["centreline_mm"],
        run["straight_after_mm"],
    ]
    pulls = {pull["bend"]: pull for pull in run["plan"]["pulls"]}
    if not run["bends"]:
        return [[*about, *([None] * (len(COLUMNS) - len(about)))]]
    return [[*about, *(bend[key] for key in _BEND), *_pull_cells(pulls.get(bend["number"]))] for bend in run["bends"]]


def _pull_cells(pull: dict[str, Any] | None) -> list[Cell]:
    return [None, None, None] if pull is None else [pull["number"], pull["held"], pull["mark_mm"]]
