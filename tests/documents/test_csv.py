"""The CSV: read back with the standard library, and no name may become a formula."""

import csv
import io

import gallery
import pytest
from command_line import CUPBOARD, run, run_apart

from pipemodel import story
from pipemodel.documents.tables.csv_table import COLUMNS, _taped, cell, schedule_csv
from pipemodel.messages.units import INCHES


def read_back(text):
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def test_read_back_it_says_what_the_record_says():
    record = story.results(gallery.two_runs()).schedule_record
    text = schedule_csv(record)
    assert text.startswith("\ufeff")
    assert text.count("\r\n") == text.count("\n")
    rows = read_back(text)
    assert list(rows[0]) == list(COLUMNS)
    bends = [(r["name"], b) for r in record["runs"] for b in r["bends"]]
    assert len(rows) == len(bends)
    for row, (name, bend) in zip(rows, bends, strict=True):
        assert row["run"] == name
        assert int(row["bend"]) == bend["number"]
        for key in ("start_mm", "mark_mm", "angle_deg", "pull_deg", "turn_deg", "arc_mm", "gain_mm"):
            assert float(row[key]) == pytest.approx(bend[key], abs=5e-7)


def test_a_straight_run_has_a_row_of_its_own():
    (row,) = read_back(schedule_csv(story.results(gallery.straight()).schedule_record))
    assert row["bend"] == ""
    assert float(row["cut_length_mm"]) == 1000.0


@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES)
def test_no_name_becomes_a_formula(name):
    # The signs that spreadsheets take for the beginning of a formula: OWASP, "CSV Injection".
    shown = str(cell(name))
    assert shown.lstrip()[:1] not in ("=", "+", "-", "@", "\t", "\r", "\n")
    assert shown.isprintable()
    text = schedule_csv(story.results(gallery.job(name, [gallery.run(name)])).schedule_record)
    rows = read_back(text)
    assert len(rows) == 4
    assert {row["run"] for row in rows} == {shown}


@pytest.mark.parametrize("text", ["  =1+1", "＝1+1", "=cmd|' /C calc'!A0"])
def test_formulas_in_disguise(text):
    assert str(cell(text)).startswith("'")


def test_numbers_stay_numbers():
    assert cell(-90.0) == -90.0
    assert str(cell(-1e-12)) == "0.0"
    assert cell(None) is None


@pytest.mark.slow
def test_the_command_writes_the_same_bytes_on_every_terminal():
    here = run("schedule", CUPBOARD, "--format", "csv").out.encode()
    assert run_apart("schedule", CUPBOARD, "--format", "csv", PYTHONIOENCODING="cp1252").stdout == here


@pytest.mark.parametrize(
    ("mm", "text"),
    [(9.525, "0 3/8"), (304.8, "12"), (306.3875, "12 1/16"), (25.4, "1"), (None, None)],
)
def test_no_fraction_of_an_inch_is_taken_for_a_date(mm, text):
    """3/8 by itself is the third of August, or the eighth of March, to a spreadsheet."""
    assert _taped(mm, INCHES) == text
