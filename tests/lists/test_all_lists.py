"""A list that is registered stands in all six papers, in the units asked for; and what a table is as people read it."""

import csv
import io

import openpyxl
import pytest
from lxml import html
from pdf_lines import pages_of
from worked_job import WORKED, worked

from pipemodel import story
from pipemodel.lists.all_lists import LISTS, listing, listings
from pipemodel.lists.blocks import Content, JobList
from pipemodel.lists.table import Column, For, Kind, Stretch, Table, TooNear, as_number, as_text
from pipemodel.messages.units import INCHES, MM


def valves(results):
    """Return a list of our own: a valve in the middle of each run."""
    columns = (
        Column("run"),
        Column("valve", Kind.COUNT, tick=True),
        Column("middle", Kind.TAPED, strong=True),
        Column("gap", Kind.ROUNDED),
        Column("to look at", who=For.PEOPLE),
        Column("middle in full", Kind.FULL),
    )
    rows = tuple(
        (run.name, n, run.solved.cut_length_mm / 2.0, 12.34, lambda units: f"keep {units.tidy(254.0)} free", 17.25)
        for n, run in enumerate(results.runs, 1)
    )
    return Content(Table(columns, rows))


@pytest.mark.slow
@pytest.mark.parametrize("units", [MM, INCHES], ids=["mm", "in"])
def test_a_list_of_ones_own_stands_in_all_six(monkeypatch, tmp_path, units):
    """560 mm of stub: its middle is at 280, which is 11.02 in, 11 0/16; 254 mm are 10 in, 12.34 are 0.49."""
    monkeypatch.setitem(LISTS, "valves", JobList("valves", "Valves to fit", valves))
    story.write(worked(WORKED, units, revision="V"), tmp_path / "out", ["txt", "lists", "xlsx", "md", "pdf", "html"])
    middle, gap, free = ("280", "12.3", "keep 254 free") if units is MM else ("11 (11.02)", "0.49", "keep 10 free")
    out, unit = tmp_path / "out", units.name
    text = (out / "schedule.txt").read_text(encoding="utf-8")
    block = text[text.index("Valves to fit") : text.index("Cautions")]
    row = next(line.split() for line in block.splitlines() if "stub" in line)
    assert row == ["stub", "2", *middle.split(), gap, *free.split()]
    (table,) = html.fromstring((out / "job.html").read_text(encoding="utf-8")).xpath(
        "//section[@aria-labelledby='valves']//table"
    )
    cells = [[" ".join(cell.text_content().split()) for cell in row.xpath("th|td")] for row in table.xpath(".//tr")]
    assert cells[0] == ["run", "valve", "middle", "gap", "to look at"]
    assert cells[2] == ["stub", "2", middle, gap, free]
    pack = next(page.text for page in pages_of((out / "job.pdf").read_bytes()) if "Valves to fit\n" in page.text
                and "\u25a1 2\n" in page.text)  # fmt: skip
    said = " ".join(pack[pack.rindex("Valves to fit") :].split())
    assert f"stub \u25a1 2 {middle} {gap} {free}" in said
    heads = ["run", "valve", f"middle, {unit}", f"gap, {unit}"]
    marked = (out / "schedule.md").read_text(encoding="utf-8").split("## Valves\n\n")[1].split("\n\n")[0].splitlines()
    assert [cell.strip() for cell in marked[0].strip("|").split("|")] == heads
    assert [cell.strip().replace("\\", "") for cell in marked[3].strip("|").split("|")] == ["stub", "2", middle, gap]
    full = 17.25 if units is MM else round(17.25 / 25.4, 6)
    wanted = ["stub", 2, 280.0 if units is MM else middle, float(gap), full]
    sheet = openpyxl.load_workbook(out / "schedule.xlsx")["valves"]
    assert [*sheet.iter_rows(values_only=True)][2] == tuple(wanted)
    listed = list(csv.reader(io.StringIO((out / "valves.csv").read_text(encoding="utf-8-sig"), newline="")))
    assert listed[0] == [*heads, f"middle in full, {unit}"]
    assert listed[2] == [str(value) for value in wanted]


def test_a_list_is_laid_out_once(monkeypatch):
    made = []
    monkeypatch.setitem(LISTS, "valves", JobList("valves", "Valves to fit", lambda results: made.append(1)))
    results = worked(WORKED, MM, revision="once")
    assert listing(results, "valves") is None
    assert "valves" not in {one.key for one in listings(results)}
    assert made == [1]
    assert listing(results, "clips") is listing(results, "clips")


def test_values_are_shown_by_what_they_are():
    # Ends at 10.3 and 20.2 are 10.5 and 20 to the half: 9.5 between them, though 9.9 is nearer 10.
    assert as_text(Stretch(10.3, 20.2), Kind.TAPED, MM) == "9.5"
    assert as_number(Stretch(10.3, 20.2), Kind.TAPED, MM) == 9.5
    assert as_text(9.9, Kind.TAPED, MM) == "10"
    assert as_text(9.94, Kind.ROUNDED, MM) == "9.9"
    assert as_text(TooNear(9.94), Kind.ROUNDED, MM) == "9.9"
    assert as_text(90.0, Kind.ANGLE, INCHES) == "90"
    assert as_number(90.0, Kind.ANGLE, INCHES) == 90.0
    # 254 mm are 10 in.
    assert as_text(254.0, Kind.TAPED, INCHES) == "10 (10.00)"
    assert as_number(254.0, Kind.FULL, INCHES) == 10.0
    assert as_number(254.0, Kind.ROUNDED, INCHES) == 10.0
    assert as_text(None, Kind.TEXT, MM) == ""
    assert as_number(None, Kind.FULL, MM) is None
    assert as_text("joined", Kind.ROUNDED, MM) == "joined"


def test_a_group_of_a_table_leaves_its_name_out():
    table = Table((Column("run"), Column("n", Kind.COUNT)), (("a", 1), ("b", 2), ("a", 3)), most=1)
    assert table.of("a") == Table((Column("n", Kind.COUNT),), ((1,), (3,)), 1)


def test_heads_of_the_lists_for_programs():
    """What a script that reads CSV or the workbook goes by: none may change by itself."""
    heads = {key: [c.titled(MM) for c in one.content.table.for_data.columns] for key in LISTS
             if (one := listing(worked(), key))}  # fmt: skip
    assert heads["cuts"] == [
        "tube",
        "stock",
        "from",
        "stock length, mm",
        "piece",
        "cut, mm",
        "left over, mm",
        "not possible",
    ]
    assert heads["pulls"] == [
        "run",
        "pull",
        "bend",
        "held by",
        "mark, mm",
        "pull to, degrees",
        "springs back to, degrees",
        "turn the tube before it",
        "roll",
        "turn end for end",
        "what to do",
        "what must then be true",
    ]
    assert heads["clips"] == [
        "run",
        "clip",
        "along the bent tube, mm",
        "leg",
        "on",
        "across, mm",
        "from",
        "up, mm",
        "measured from",
        "x, mm",
        "y, mm",
        "z, mm",
    ]
    assert heads["distances"] == [
        "run",
        "to",
        "distance, mm",
        "asked for, mm",
        "along the run, mm",
        "x, mm",
        "y, mm",
        "z, mm",
    ]
