"""Do what the papers say at a bench of the tests' own, and get the piece that the job's corner points mean."""

import ast
from pathlib import Path

import follower
import pytest
from follower.shape import compare
from follower.sheets import csv_runs, markdown_tables, table_runs, text_runs, workbook_tables
from follower.steps import follow
from papers import papers

SEEDS = range(24)


def test_the_follower_shares_no_code_with_the_program():
    files = list(Path(follower.__file__).parent.glob("*.py"))
    assert len(files) > 5
    for file in files:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import | ast.ImportFrom) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not any("pipemodel" in name for name in names), file
        assert "import_module" not in file.read_text(encoding="utf-8")


def bent_right(read, wanted, mm=0.6):
    """Bend what a paper says of a run, and hold it against the corner points."""
    made = follow(read.steps, read.cut, wanted.former)
    off = compare(made, wanted.piece)
    assert not off.mirrored, (read.name, off)
    assert off.within(mm, 0.06, 0.11), (read.name, off)
    return len(read.steps)


def text_of(folder, unit):
    return text_runs((folder / "schedule.txt").read_text(encoding="utf-8"), unit)


READERS = {
    "text": text_of,
    "csv": lambda folder, unit: csv_runs((folder / "schedule.csv").read_text(encoding="utf-8"), unit),
    "workbook": lambda folder, unit: table_runs(workbook_tables(folder / "schedule.xlsx"), unit),
    "markdown": lambda folder, unit: table_runs(
        markdown_tables((folder / "schedule.md").read_text(encoding="utf-8")), unit
    ),
}


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("paper", READERS)
def test_the_piece_comes_out_as_the_corners_say(paper, unit):
    pulls = bent = finish = over = out_of_order = rolled = 0
    for seed in SEEDS:
        job, folder = papers(seed, unit)
        for read, wanted in zip(READERS[paper](folder, unit), job.runs, strict=True):
            assert read.name == wanted.name
            if read.impossible or not read.steps:
                continue
            pulls += bent_right(read, wanted)
            bent += 1
            finish += any(step.held == "finish" for step in read.steps)
            over += any(step.turned.end_for_end for step in read.steps)
            out_of_order += [step.bend for step in read.steps] != sorted(step.bend for step in read.steps)
            rolled += sum(step.turned.clockwise % 180 != 0 for step in read.steps)
    assert bent >= 18, (bent, pulls)
    assert min(finish, over, out_of_order) >= 2, (finish, over, out_of_order)
    assert rolled >= 15
