"""`pipemodel tables`, read back from its text, its JSON and its CSV, against the data files it is made of."""

import csv
import json
import re
from fractions import Fraction
from pathlib import Path

import pytest
from command_line import run

import pipemodel

DATA = Path(pipemodel.__file__).parent / "trade" / "data"


def stored(name):
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def page(which):
    """The cells of a page by its headings, each line cut where the headings' columns lie; and the notes by number."""
    said = run("tables", which)
    assert said.code == 0
    title, _, head, *rest = said.out.rstrip("\n").split("\n")
    assert title == which.capitalize()
    blank = rest.index("")
    notes = {}
    for line in rest[blank + 1 :]:
        number, text = line[:5].strip(), line[5:]
        if number:
            notes[number] = text
        else:
            notes[max(notes, key=int)] += " " + text
    assert all(len(line) <= 80 for line in rest)
    return head, rest[:blank], notes


@pytest.mark.parametrize(
    ("which", "words"),
    [("tubes", ("tube", "temper")), ("formers", ("former",)), ("fittings", ("fitting",)), ("clips", ("service",))],
)
def test_columns_stand_under_their_headings(which, words):
    """Words and the notes begin where their heading begins; figures end where their heading ends."""
    head, lines, notes = page(which)
    columns = [(m.group(), m.start(), m.end()) for m in re.finditer(r"\S+(?: \S+)*", head)]
    assert columns[-1][0] == "source"
    assert len(lines) >= 8
    notes_at = columns[-1][1]
    for line in lines:
        for heading, begin, end in columns[:-1]:
            if heading in words:
                assert line[begin] != " "
                assert begin == 0 or line[begin - 1] == " "
            else:
                assert line[end - 1] != " "
                assert line[end] == " "
    used = set()
    for line in lines:
        for number in line[notes_at:].split():
            used.add(number)
        assert line[notes_at - 2 : notes_at] == "  "
        assert line[notes_at].isdigit()
    assert used == set(notes)
    firsts = [int(n) for line in lines for n in line[notes_at:].split()]
    assert [n for k, n in enumerate(firsts) if n not in firsts[:k]] == list(range(1, len(notes) + 1))


def test_formers_as_people_read_them():
    head, lines, _ = page("formers")
    assert head.split() == ["former", "radius", "spring/deg", "hold", "guide", "block", "max", "deg", "source"]
    rows = {line[: line.index("  ")]: line[line.index("  ") :].split() for line in lines}
    counted = 0
    for former in json.loads(run("tables", "formers", "--format", "json").out)["formers"]:
        figures = [former[key] for key in ("radius_mm", "springback_per_degree", "hold_mm", "guide_mm",
                                           "guide_block_mm", "max_angle_deg")]  # fmt: skip
        shown = ["-" if figure is None else f"{figure:.4g}" for figure in figures]
        assert rows[former["former"]][:6] == shown
        counted += former["hold_mm"] != former["guide_mm"]
    assert counted > 5


def number(text, unit="mm"):
    return None if text == "" else float(sum(map(Fraction, text.split("-")))) * (25.4 if unit == "in" else 1.0)


@pytest.mark.parametrize(
    ("which", "keys"),
    [
        ("formers", {"former": "name", "radius_mm": "radius_mm", "hold_mm": "hold_mm", "guide_mm": "guide_mm"}),
        ("fittings", {"fitting": "fitting", "depth_mm": "depth", "centre_to_stop_mm": "centre_to_stop"}),
        ("clips", {"service": "service", "horizontal_mm": "horizontal_mm", "vertical_mm": "vertical_mm",
                   "near_fitting_mm": "near_fitting_mm"}),
    ],
)  # fmt: skip
def test_json_and_csv_have_what_the_data_files_have(which, keys):
    wanted = stored(which)
    said = json.loads(run("tables", which, "--format", "json").out)
    assert set(said) == {"format", which}
    listed = list(csv.DictReader(run("tables", which, "--format", "csv").out.splitlines()))
    assert len(said[which]) == len(listed) == len(wanted)
    for row, line, data in zip(said[which], listed, wanted, strict=True):
        for key, column in keys.items():
            value = data[column]
            if isinstance(row[key], str):
                assert row[key] == line[key] == value
            else:
                assert row[key] == number(line[key]) == pytest.approx(number(value, data.get("unit")))
        assert row["source"]


def test_tubes_have_their_limits_the_right_way_round():
    rows = json.loads(run("tables", "tubes", "--format", "json").out)["tubes"]
    limited = [row for row in rows if row["outside_low_mm"] is not None]
    assert len(limited) > 5
    for row in limited:
        assert row["outside_low_mm"] < row["outside_high_mm"]
        assert row["outside_low_mm"] <= row["outside_mm"] + 0.1 <= row["outside_high_mm"] + 0.2
        assert row["wall_mm"] < row["outside_mm"] / 2


def test_all_tables_at_once_and_csv_of_one():
    text = run("tables").out
    assert [text.index(f"{name}\n\n") for name in ("Tubes", "Formers", "Fittings", "Clips")] == sorted(
        text.index(f"{name}\n\n") for name in ("Tubes", "Formers", "Fittings", "Clips")
    )
    assert set(json.loads(run("tables", "--format", "json").out)) == {"format", "tubes", "formers", "fittings", "clips"}
    assert run("tables", "--format", "csv").out == run("tables", "tubes", "--format", "csv").out
