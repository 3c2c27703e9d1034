"""`pipemodel tables`: readable at 80 columns, and the same rows as JSON and CSV."""

import csv
import io
import json
import math

import pytest
from click.testing import CliRunner

from pipemodel.cli.tables import TABLES, command
from pipemodel.trade.model import UnknownSizeError
from pipemodel.trade.rows import DATA, inches, read_rows
from pipemodel.trade.tubes import all_tubes, find_tube


def run(*args: str) -> str:
    result = CliRunner().invoke(command, args, catch_exceptions=False)
    assert result.exit_code == 0
    return result.output


def test_text_is_ascii_and_80_columns():
    text = run()
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 80
    for tube in all_tubes():
        assert tube.name in text


@pytest.mark.parametrize("name", list(TABLES))
def test_json_and_csv_have_the_same_rows(name):
    from_json = json.loads(run(name, "--format", "json"))[name]
    from_csv = list(csv.DictReader(io.StringIO(run(name, "--format", "csv"))))
    assert [{k: "" if v is None else str(v) for k, v in row.items()} for row in from_json] == from_csv
    assert all(row["source"] for row in from_csv)


def test_a_row_without_a_source_is_refused(tmp_path, monkeypatch):
    (tmp_path / "x.csv").write_text("size,source\n15,\n")
    monkeypatch.setattr("pipemodel.trade.rows.DATA", tmp_path)
    with pytest.raises(ValueError, match=r"x\.csv, line 2"):
        read_rows("x.csv")


def raw(name):
    with open(DATA / f"{name}.csv", encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_clips_and_fittings_are_as_their_files_say():
    """Read here by a reader of our own; an inch is 25.4 mm, a fraction of one a division."""
    for said, row in zip(json.loads(run("clips", "--format", "json"))["clips"], raw("clips"), strict=True):
        assert {key: str(value) if isinstance(value, str) else f"{value:g}" for key, value in said.items()} == row

    def mm(text, unit):
        if not text:
            return None
        whole, _, part = text.replace("-", " ").rpartition(" ")
        top, _, bottom = part.partition("/")
        return (float(whole or 0) + float(top) / float(bottom or 1)) * (25.4 if unit == "in" else 1)

    for said, row in zip(json.loads(run("fittings", "--format", "json"))["fittings"], raw("fittings"), strict=True):
        assert (said["fitting"], said["size"], said["source"]) == (
            row["fitting"], f"{row['size']} {row['unit']}", row["source"])  # fmt: skip
        assert said["depth_mm"] == pytest.approx(mm(row["depth"], row["unit"]))
        centre = mm(row["centre_to_stop"], row["unit"])
        assert said["centre_to_stop_mm"] == (None if centre is None else pytest.approx(centre))


def test_tubes_have_the_mass_of_their_section_and_the_limits_of_their_file():
    """Mass of a metre by the areas of two circles, not by pi (D - t) t."""
    said = json.loads(run("tubes", "--format", "json"))["tubes"]
    metric = raw("tubes_en1057") + raw("tubes_en10312")
    for tube, row in zip(said, metric, strict=False):
        outside, wall = float(row["outside_mm"]), float(row["wall_mm"])
        area = math.pi / 4 * (outside**2 - (outside - 2 * wall) ** 2)
        assert (tube["outside_mm"], tube["wall_mm"]) == (outside, wall)
        assert tube["mass_kg_per_m"] == pytest.approx(area * 1e-6 * float(row["density_kg_per_m3"]))
        if "outside_low_mm" in row:
            limits = float(row["outside_low_mm"]), float(row["outside_high_mm"])
        else:
            off = row["mean_tolerance_mm"]
            limits = (outside - float(off), outside + float(off)) if off else (None, None)
        assert (tube["outside_low_mm"], tube["outside_high_mm"]) == limits
        assert tube["wall_tolerance_percent"] == (
            float(row["wall_tolerance_percent"]) if row["wall_tolerance_percent"] else None
        )
    assert len(said) > len(metric) > 40


def test_the_printed_table_is_read_back():
    """Columns found by the heads, sources by their numbers: every row as in the JSON."""
    for name, columns in (
        ("tubes", {"outside": "outside_mm", "wall": "wall_mm", "kg/m": "mass_kg_per_m", "radius": "min_radius_mm"}),
        ("formers", {"radius": "radius_mm", "spring/deg": "springback_per_degree", "hold": "hold_mm",
                     "guide": "guide_mm", "block": "guide_block_mm", "max deg": "max_angle_deg"}),
        ("fittings", {"depth": "depth_mm", "centre to stop": "centre_to_stop_mm"}),
        ("clips", {"outside": "outside_mm", "level": "horizontal_mm", "upright": "vertical_mm",
                   "to a fitting": "near_fitting_mm"}),
    ):  # fmt: skip
        lines = run(name).splitlines()
        assert lines[:2] == [name.capitalize(), ""]
        head, *rest = lines[2:]
        body, notes = rest[: rest.index("")], rest[rest.index("") + 1 :]
        sources, number = {}, ""
        for line in notes:
            assert len(line) <= 80
            if line[:3].strip():
                number = line[:3].strip()
                sources[number] = line[3:].strip()
            else:
                sources[number] += " " + line.strip()
        assert list(sources) == [str(n + 1) for n in range(len(sources))]
        rows = json.loads(run(name, "--format", "json"))[name]
        first = next(iter(rows[0]))
        for line, row in zip(body, rows, strict=True):
            assert line.startswith(row[first])
            for title, key in columns.items():
                # Numbers end where their head ends.
                end = head.index(f" {title}") + 1 + len(title)
                printed = line[:end].split()[-1]
                assert line[end : end + 1] in ("", " ")
                assert printed == ("-" if row[key] is None else f"{row[key]:.4g}"), (name, title, line)
            named = line[head.index("source") :].split()
            said = [row[key] for key in ("source", "radius_source") if row.get(key)]
            assert ["".join(sources[n].split()) for n in named] == ["".join(text.split()) for text in said]


def test_all_tables_come_in_their_order_and_csv_is_of_the_tubes_if_none_is_named():
    lines = run().splitlines()
    assert [line for line in lines if line in ("Tubes", "Formers", "Fittings", "Clips")] == [
        "Tubes", "Formers", "Fittings", "Clips"]  # fmt: skip
    assert run("--format", "csv") == run("tubes", "--format", "csv")
    whole = json.loads(run("--format", "json"))
    assert list(whole) == ["format", "tubes", "formers", "fittings", "clips"]
    assert whole["format"] == "pipemodel.tables/1"
    assert "Clips" not in run("tubes")


def test_a_diameter_a_hundredth_off_is_another_size():
    assert find_tube(15.004).outside_mm == 15
    for off in (15.01, 14.99):
        with pytest.raises(UnknownSizeError):
            find_tube(off)


def test_sizes_in_inches():
    for text, size in (("3/4", 0.75), ("1-1/4", 1.25), ("1 1/4", 1.25), ("0.625", 0.625), ("2", 2.0)):
        assert inches(text) == size
    for text in ("1/0", "x", ""):
        with pytest.raises(ValueError, match=r"size in inches|Fraction"):
            inches(text)
