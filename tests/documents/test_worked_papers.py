"""The papers of a job worked by hand, read word by word.

Its lengths, marks, rolls and pulls are derived in `worked_job`. The pages under worked_papers were written by the
program and then read against those figures; thinning, ovality, the lengths in fittings and the sentences themselves
were not derived independently, and are held here only as they are: a word or figure that changes on paper shows.
"""

import csv
import io
from pathlib import Path

import pytest
from pdf_lines import pages_of
from worked_job import SHORT_STOCK, WORKED, worked

from pipemodel.documents.pack.document import PackReader, pack_pdf
from pipemodel.documents.tables.csv_table import schedule_csv
from pipemodel.documents.tables.markdown import markdown
from pipemodel.documents.text.check import check_text
from pipemodel.documents.text.cut_list import cuts_record, cuts_text
from pipemodel.documents.text.schedule import schedule_text
from pipemodel.lists.all_lists import listings
from pipemodel.lists.table import as_text
from pipemodel.messages.units import INCHES, MM
from pipemodel.results.identity import identity

PAGES = Path(__file__).parents[1] / "worked_papers"
ARC = 86.39379797371932  # 55 pi / 2
LEG_2 = 555.6 + ARC + 490.0
TUBE = "15 x 0.7 copper, R250 (EN 1057)"


def page(name):
    return (PAGES / name).read_text(encoding="utf-8")


def rows_of(answer, name, units=MM):
    """Return a list as people read it: a dict for each row, what is empty left out."""
    table = next(one.content.table.for_data for one in listings(answer) if one.kind.name == name)
    heads = [column.titled(units) for column in table.columns]
    said = [[as_text(v, c.kind, units) for v, c in zip(row, table.columns, strict=True)] for row in table.rows]
    return [{head: text for head, text in zip(heads, row, strict=True) if text} for row in said]


def test_the_schedule():
    answer = worked()
    assert schedule_text(answer) == page("schedule.txt")


def test_what_the_checks_found():
    answer = worked()
    assert check_text(answer) == page("check.txt")


def test_the_cut_list_and_the_pieces_of_a_jointed_run():
    answer = worked(SHORT_STOCK)
    assert cuts_text(answer) == page("cuts.txt")


@pytest.mark.slow
def test_the_sheets_of_the_pack():
    """Job sheet, schedules, cards and lists of both packs, all that stands before the drawings."""
    answer = worked()
    for reader, name, number in ((PackReader.FITTER, "pack.txt", 4), (PackReader.DESIGNER, "design.txt", 3)):
        pages = [p.text for p in pages_of(pack_pdf(answer, reader))]
        said = "\f".join(pages[:number]).replace(identity(answer.schedule), "worked IDENTITY") + "\n"
        assert said.split() == page(name).split()


def test_the_cut_list_as_a_record():
    answer = worked(SHORT_STOCK)
    record = cuts_record(answer)
    assert (record["job"], record["kerf_mm"]) == ("worked", 2.0)
    rise, stub = record["runs"]
    assert [p["cut_length_mm"] for p in rise["pieces"]] == pytest.approx([887.0, LEG_2 + ARC + 265.0 - 887.0])
    (joint,) = rise["joints"]
    assert joint["at_mm"] == pytest.approx(887.0)
    # Leg 2 goes up at x 600 from z 555 on, where bend 1 ends.
    assert joint["point"] == pytest.approx([600.0, -15.0, 555.0 + 887.0 - 555.6 - ARC])
    assert joint["away_from"] == "north wall"
    assert joint["side"][1] < 0.0  # from the south
    assert joint["side"][0] < 0.0  # from the west: the post is to the east
    assert (stub["joints"], stub["pieces"]) == ([], [{"name": "stub", "cut_length_mm": 560.0}])
    (tube,) = record["tubes"]
    assert [(b["length_mm"], b["offcut"], [p["name"] for p in b["pieces"]]) for b in tube["bars"]] == [
        (900.0, True, ["rise piece 1"]),
        (1000.0, False, ["rise piece 2"]),
        (1000.0, False, ["stub"]),
    ]
    left = [900 - 887 - 2, 1000 - (LEG_2 + ARC + 265 - 887) - 2, 1000 - 560 - 2]
    assert [bar["left_mm"] for bar in tube["bars"]] == pytest.approx(left)
    assert tube["used_mm"] == 2900.0
    assert tube["waste_mm"] == pytest.approx(2900.0 - (LEG_2 + ARC + 265.0) - 560.0)


def test_lists_of_runs_and_corners():
    rise, stub = rows_of(worked(), "runs")
    assert rise == {
        "run": "rise", "tube": TUBE, "bends": "2", "cut length, mm": "1483.5", "straight after, mm": "245",
        "former": "former of the job: radius 55 to the centreline; holds 40, guides 25; up to 120 degrees",
        "trimmed off, mm": "20", "in the fittings, mm": "10.5", "cut length in full, mm": "1483.4",
        "centreline in full, mm": "1463.4", "start x, mm": "-10.6", "start y, mm": "-15.0", "start z, mm": "500.0",
        "finish x, mm": "600.0", "finish y, mm": "-315.0", "finish z, mm": "1100.0",
    }  # fmt: skip
    assert stub == {
        "run": "stub", "tube": TUBE, "bends": "0", "cut length, mm": "560", "straight after, mm": "560",
        "cut length in full, mm": "560.0", "centreline in full, mm": "560.0", "start x, mm": "0.0",
        "start y, mm": "-115.0", "start z, mm": "300.0", "finish x, mm": "560.0", "finish y, mm": "-115.0",
        "finish z, mm": "300.0",
    }  # fmt: skip
    corners = rows_of(worked(), "corners")
    assert [(c["run"], c["point"], c["what"], c["at"], c.get("to the next point, mm")) for c in corners] == [
        ("rise", "1", "start", "x -10.6, y -15, z 500", "610.6"),
        ("rise", "2", "corner", "x 600, y -15, z 500", "600.0"),
        ("rise", "3", "corner", "x 600, y -15, z 1100", "300.0"),
        ("rise", "4", "finish", "x 600, y -315, z 1100", None),
        ("stub", "1", "start", "x 0, y -115, z 300", "560.0"),
        ("stub", "2", "finish", "x 560, y -115, z 300", None),
    ]
    ways = [(c["goes east"], c["goes north"], c["goes up"]) for c in corners[:3]]
    assert ways == [("1.0", "0.0", "0.0"), ("0.0", "0.0", "1.0"), ("0.0", "-1.0", "0.0")]


def test_lists_of_bends_and_pulls():
    first, second = rows_of(worked(), "schedule")
    alike = {"run": "rise", "bend takes, mm": "86.5", "angle, degrees": "90", "arc in full, mm": "86.4",
             "radius, mm": "55.0", "gain, mm": "23.6"}  # fmt: skip
    # The gain of a square bend: 2 x 55 less the arc.
    assert first == alike | {
        "bend": "1", "straight before, mm": "555.5", "turn of the plane in words": "first bend", "pull": "1",
        "turn of the plane, degrees": "0", "mark in full, mm": "565.6", "start in full, mm": "555.6",
        "straight before in full, mm": "555.6",
    }  # fmt: skip
    assert second == alike | {
        "bend": "2", "straight before, mm": "490", "turn of the plane in words": "90 clockwise", "pull": "2",
        "turn of the plane, degrees": "90", "mark in full, mm": "1142.0", "start in full, mm": "1132.0",
        "straight before in full, mm": "490.0",
    }  # fmt: skip
    one, two = rows_of(worked(), "pulls")
    for row, number in ((one, "1"), (two, "2")):
        assert (row["pull"], row["bend"], row["held by"]) == (number, number, "start")
        assert (row["pull to, degrees"], row["springs back to, degrees"]) == ("92.8", "90")
        assert row["turn end for end"] == "no"
    assert (one["mark, mm"], one["turn the tube before it"]) == ("565.5", "first pull: any side up")
    assert (two["mark, mm"], two["turn the tube before it"]) == ("1142", "90 anticlockwise")
    (piece,) = (row for row in rows_of(worked(SHORT_STOCK), "pulls") if row["run"] == "rise piece 2")
    assert (piece["held by"], piece["mark, mm"]) == ("finish", "321.5")


def test_lists_of_cuts_clips_and_distances():
    assert [tuple(row.values()) for row in rows_of(worked(SHORT_STOCK), "cut list")] == [
        (TUBE, "1", "offcut", "900", "rise piece 1", "887", "11"),
        (TUBE, "2", "length", "1000", "rise piece 2", "596.5", "401.5"),
        (TUBE, "3", "length", "1000", "stub", "560", "438"),
    ]
    assert [tuple(row.values()) for row in rows_of(worked(), "cut list")] == [
        (TUBE, "1", "length", "3000", "rise", "1483.5"),
        (TUBE, "1", "length", "3000", "stub", "560", "952.5"),
    ]
    right = "to the right of the start of the run"
    assert [tuple(row.values()) for row in rows_of(worked(), "clips")] == [
        ("rise", "1", "310.5", "1", "north wall", "310.5", right, "500", "from floor", "300.0", "-15.0", "500.0"),
        ("rise", "2", "1109.5", "2", "north wall", "610.5", right, "1022.5", "from floor", "600.0", "-15.0", "1022.5"),
    ]
    said = [tuple(row.values())[:4] for row in rows_of(worked(), "distances")]
    assert said == [
        ("rise", "post", "3.0", "6.0"),
        ("rise", "north wall", "7.5", "5.0"),
        ("stub", "post", "50.5", "15.0"),
        ("stub", "north wall", "107.5", "14.0"),
        ("rise", "stub", "208.6", "14.0"),
        ("stub", "rise", "208.6", "14.0"),
        ("stub", "floor", "292.5", "14.0"),
        ("rise", "floor", "492.5", "5.0"),
    ]
    found = rows_of(worked(), "findings")[0]
    assert (found["severity"], found["code"], found["run"], found["against"]) == ("error", "C102", "rise", "post")
    assert (found["distance, mm"], found["asked for, mm"], found["x, mm"]) == ("3.0", "6.0", "607.5")


def test_markdown_has_figures_to_the_right_and_words_to_the_left():
    lines = markdown(worked()).splitlines()
    head = next(i for i, line in enumerate(lines) if "straight before, mm" in line)
    heads, rules = ([cell.strip() for cell in line.strip("|").split("|")] for line in lines[head : head + 2])
    ends = {name: rule.endswith(":") for name, rule in zip(heads, rules, strict=True)}
    assert ends["straight before, mm"]
    assert ends["angle, degrees"]
    assert not ends["turn of the plane in words"]
    assert not ends["run"]


def test_csv_in_mm_and_inches():
    record = worked().schedule_record
    mm, inches = (
        list(csv.DictReader(io.StringIO(schedule_csv(record, units).removeprefix("\ufeff"), newline="")))
        for units in (MM, INCHES)
    )
    for rows, per, name in ((mm, 1.0, "mm"), (inches, 25.4, "in")):
        one, two, stub = rows
        assert [float(row[f"start_{name}"]) * per for row in (one, two)] == pytest.approx([555.6, LEG_2], abs=1e-4)
        assert [float(row[f"pull_mark_{name}"]) * per for row in (one, two)] == pytest.approx(
            [565.6, LEG_2 + 10], abs=1e-4
        )
        assert float(one[f"cut_length_{name}"]) * per == pytest.approx(LEG_2 + ARC + 265.0, abs=1e-4)
        assert float(one[f"centreline_{name}"]) * per == pytest.approx(LEG_2 + ARC + 245.0, abs=1e-4)
        assert [(r["bend"], r["pull"], r["held"], r["end_for_end"]) for r in (one, two)] == [
            ("1", "1", "start", "no"),
            ("2", "2", "start", "no"),
        ]
        assert [float(r[key]) for r in (one, two) for key in ("angle_deg", "pull_deg", "turn_deg", "roll_deg")] == [
            90.0, 92.8, 0.0, 0.0, 90.0, 92.8, 90.0, -90.0,
        ]  # fmt: skip
        assert (stub["bend"], stub["pull"], stub["held"]) == ("", "", "")
    # 565.6 mm are 22.268 in, nearest 22 4/16; 1141.994 are 44.960, nearest 44 15/16; 1483.388 are 58.401, 58 6/16.
    assert [(row["mark_to_draw"], row["cut_length"]) for row in inches[:2]] == [
        ("22 1/4", "58 3/8"),
        ("44 15/16", "58 3/8"),
    ]
    assert inches[0]["angle_deg"] == "90.0"


def test_in_inches_the_papers_show_the_same_pulls():
    answer = worked(WORKED, INCHES)
    lines = schedule_text(answer).splitlines()
    head = next(i for i, line in enumerate(lines) if line.startswith("  Pull  Bend  Held by"))
    said = [" ".join(line.split()) for line in (lines[head], *lines[head + 2 : head + 4])]
    assert said == [
        "Pull Bend Held by Mark Pull to Turn the tube before it",
        "1 1 start 22 1/4 (22.27) 92.8 first pull: any side up",
        "2 2 start 44 15/16 (44.96) 92.8 90 anticlockwise",
    ]
    # Straight 21.874 and 19.291, bends 3.401: rounded by position, 21 14/16; 25 4/16; 44 9/16; 47 15/16; 57 10/16.
    head = next(i for i, line in enumerate(lines) if line.startswith("  Bend   Straight"))
    said = [" ".join(line.split()) for line in lines[head + 3 : head + 7]]
    assert said[0].startswith("1 21 7/8 3 3/8 90 first bend")
    assert said[2].startswith("2 19 5/16 3 3/8 90 90 clockwise")
