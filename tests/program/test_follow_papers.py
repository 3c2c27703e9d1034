"""Do what the papers say at a bench of the tests' own, and get the piece that the job's corner points mean."""

import ast
from itertools import pairwise
from math import radians
from pathlib import Path

import follower
import pytest
from follower.cards import do_cards
from follower.figures import length
from follower.html import page
from follower.pack import pack_lines, pack_runs
from follower.shape import compare
from follower.sheets import csv_runs, markdown_tables, table_runs, text_runs, workbook_tables
from follower.steps import follow
from papers import mixed_papers, papers
from wide import few_or_many

SEEDS = range(few_or_many(10, 24))


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
    made = follow(read.steps, read.cut, wanted.formers)
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


@pytest.mark.slow
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
    assert bent >= 8, (bent, pulls)
    assert min(finish, over, out_of_order) >= 2, (finish, over, out_of_order)
    assert rolled >= 10


@pytest.mark.slow
@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("paper", ["text", "workbook", "markdown"])
def test_the_cards_say_what_is_so(paper, unit):
    """Every sentence of every card: rolls, lines, levels, marks from backs, and the measures after each pull."""
    cards = claims = 0
    for seed in SEEDS:
        job, folder = papers(seed, unit)
        for read, wanted in zip(READERS[paper](folder, unit), job.runs, strict=True):
            if not read.steps:
                continue
            piece, held = do_cards(read.cards, read.cut, wanted.formers, wanted.outside)
            off = compare(piece, wanted.piece)
            assert off.within(0.6, 0.06, 0.11), (seed, read.name, off)
            cards, claims = cards + len(read.cards), claims + held
    assert cards >= 25
    assert claims >= 5 * cards


@pytest.mark.slow
def test_a_piece_of_several_formers_comes_out_by_lists_and_cards():
    """The cards say which former goes in; held by either end, turned over, from points and from routes."""
    bent = finish = over = changes = 0
    for seed in range(few_or_many(5, 18)):
        unit = ("mm", "in")[seed // 2 % 2]
        job, folder = mixed_papers(seed, unit)
        (wanted,) = job.runs
        assert wanted.own
        papers_read = [READERS[paper](folder, unit)[0] for paper in ("text", "workbook", "markdown")]
        papers_read.append(page_of(folder, unit).runs[0])
        for read in papers_read:
            if not read.steps:
                continue
            bent_right(read, wanted)
            piece, _ = do_cards(read.cards, read.cut, wanted.formers, wanted.outside)
            assert compare(piece, wanted.piece).within(0.6, 0.06, 0.11), (seed, read)
            bent += 1
            finish += any(step.held == "finish" for step in read.steps)
            over += any(step.turned.end_for_end for step in read.steps)
            formers = [wanted.former_of(step.bend) for step in read.steps]
            changes += sum(a is not b for a, b in pairwise(formers))
    assert bent >= 12
    assert finish >= 3
    assert over >= 2
    assert changes >= 9


@pytest.mark.slow
def test_the_pack_puts_the_formers_in_as_its_cards_say():
    bent = 0
    for seed in range(few_or_many(2, 3)):
        unit = ("mm", "in")[seed % 2]
        job, folder = mixed_papers(seed, unit, "pdf")
        (run,) = pack_runs(pack_lines(folder / "job.pdf"), unit)
        if run.impossible:
            continue
        bent_right(run, job.runs[0])
        piece, _ = do_cards(run.cards, run.cut, job.runs[0].formers, 15.0)
        assert compare(piece, job.runs[0].piece).within(0.6, 0.06, 0.11)
        bent += 1
    assert bent >= 1


# ---- the page and the pack

PAGES, PACKS = range(few_or_many(4, 10)), range(few_or_many(3, 5))
"""Packs take a second each to make: every other one is in inches."""


def page_of(folder, unit):
    return page((folder / "job.html").read_text(encoding="utf-8"), unit)


@pytest.mark.slow
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_page_bends_the_piece_by_its_list_and_by_its_cards(unit):
    bent = claims = 0
    for seed in PAGES:
        job, folder = papers(seed, unit, "html")
        read = page_of(folder, unit)
        for run, wanted, (name, figures, marks) in zip(read.runs, job.runs, read.marks, strict=True):
            assert run.name == wanted.name == name
            assert length(figures["Cut"].removesuffix(f" {unit}"), unit).mm == pytest.approx(run.cut, abs=1e-9)
            if not run.steps:
                continue
            bent_right(run, wanted)
            assert compare(do_cards(run.cards, run.cut, wanted.formers, wanted.outside)[0], wanted.piece).within(
                0.6, 0.06, 0.11
            )
            listed = [(step.number, step.bend, step.mark) for step in run.steps]
            assert [(int(n), int(bend), length(at, unit).mm) for n, bend, at in marks] == listed
            for step in run.steps:
                big = run.facts[f"pull {step.number}"]
                assert (
                    length(big["Mark"].split(f" {unit} ")[0].removesuffix(" from the start end"), unit).mm == step.mark
                )
                assert big["Pull to"].startswith(f"{step.pull:g}°")
            bent, claims = bent + 1, claims + len(run.cards)
    assert bent >= 4, (bent, claims)


@pytest.mark.slow
def test_the_pack_bends_the_piece_by_its_sheets_and_by_its_cards():
    bent = 0
    for seed in PACKS:
        unit = ("mm", "in")[seed % 2]
        job, folder = papers(seed, unit, "pdf")
        lines = pack_lines(folder / "job.pdf")
        for run, wanted in zip(pack_runs(lines, unit), job.runs, strict=True):
            assert run.name == wanted.name
            assert run.impossible == (not run.steps)
            if run.impossible:
                continue
            bent_right(run, wanted)
            piece, _ = do_cards(run.cards, run.cut, wanted.formers, wanted.outside)
            assert compare(piece, wanted.piece).within(0.6, 0.06, 0.11)
            stated = [(n, bend, pull, length(mark, unit).mm) for n, bend, pull, mark in run.facts["heads"]]
            assert stated == [(step.number, step.bend, step.pull, step.mark) for step in run.steps]
            bent += 1
    assert bent >= 3


@pytest.mark.slow
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_tape_line_marks_and_rolls_as_the_list_of_pulls_does(unit):
    """Its figures, its strokes and its clock hands; what is drawn is to scale, and hatched where the bends are."""
    drawn = hands = 0
    for seed in PAGES:
        job, folder = papers(seed, unit, "html")
        read = page_of(folder, unit)
        for run, wanted, line in zip(read.runs, job.runs, read.tapes, strict=True):
            paper_mm = run.cut / 164
            assert line.start_left
            assert line.cut == pytest.approx(run.cut, abs=1.7)
            assert line.drawn == pytest.approx(line.figures, abs=0.02 * paper_mm + 0.9)
            ends, at = [], 0.0
            for leg, angle in zip(wanted.piece.straights, wanted.piece.angles, strict=False):
                arc = wanted.former.radius * radians(angle)
                ends.append((at + leg, at + leg + arc))
                at += leg + arc
            for (a, b), (c, d) in zip(line.hatched, ends, strict=True):
                assert (a, b) == pytest.approx((c, d), abs=0.03 * paper_mm + 1.0)
            assert [pull[0] for pull in line.pulls] == [step.number for step in run.steps]
            for (_, bend, turn), step in zip(line.pulls, run.steps, strict=True):
                assert (bend, turn) == (step.bend, step.turned)
                assert line.figures[bend] == pytest.approx(step.mark, abs=0.9)
                off = (line.hands[bend] - turn.clockwise + 180.0) % 360.0 - 180.0
                assert abs(off) < 0.6
                hands += turn.clockwise % 180 != 0
            drawn += 1
    assert drawn >= 4
    assert hands >= 3
