"""Millimetres or inches: what people read is rounded so that it agrees with itself, whatever the unit."""

import re
from fractions import Fraction

import gallery
import pytest
from command_line import CUPBOARD, LEAST, run
from hypothesis import given
from hypothesis import strategies as st

from pipemodel import story
from pipemodel.bending.schedule import solve
from pipemodel.messages.units import INCHES, MM, units_for
from pipemodel.trade.fittings import Ends
from pipemodel.wording.rounding import run_text

JOBS = ("airing_cupboard", "return_run", "straight", "two_runs", "unbendable_order")


def inches(text):
    """A taped length such as "16 1/4" as an exact number of inches."""
    return sum(Fraction(part) for part in text.split())


def value(length, units):
    return Fraction(length.short) if units is MM else inches(length.short)


def step(units):
    return Fraction(1, 2) if units is MM else Fraction(1, 16)


# The inch is 25.4 mm exactly (ISO 31-1 and the international yard agreement of 1959, from memory).
@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (25.4, "1 (1.00)"),
        (412.75, "16 1/4 (16.25)"),
        (418.0, "16 7/16 (16.46)"),  # 16.4567; sixteenths 263.3
        (3.0, "1/8 (0.12)"),  # 0.1181; 1.89 sixteenths
        (0.0, "0"),
        (0.7, "0 (0.03)"),
        (0.8, "1/16 (0.03)"),  # 0.504 sixteenths
        (-12.7, "-1/2 (-0.50)"),
        (3022.6, "119 (119.00)"),
    ],
)
def test_inches_to_the_sixteenth_with_the_decimal_beside(mm, text):
    assert INCHES.length(mm) == text


@given(st.floats(-1e5, 1e5))
def test_a_sixteenth_is_in_lowest_terms_and_the_nearest(mm):
    text = INCHES.short(mm)
    negative = text.startswith("-")
    number = inches(text.removeprefix("-")) * (-1 if negative else 1)
    assert abs(number - Fraction(mm) / Fraction("25.4")) <= Fraction(1, 32) + Fraction(1, 10**9)
    for fraction in re.findall(r"(\d+)/(\d+)", text):
        assert int(fraction[0]) % 2 == 1
        assert fraction[1] in ("2", "4", "8", "16")


@given(st.floats(-1e5, 1e5))
def test_a_decimal_is_the_nearest_hundredth(mm):
    decimal = INCHES.written(mm).decimal
    # Nothing is nothing: it has no decimal beside it.
    assert abs(float(decimal or 0.0) - mm / 25.4) <= 0.005 + 1e-9
    assert not decimal.startswith("-0.00")


@pytest.mark.parametrize("units", [MM, INCHES], ids=["mm", "in"])
@pytest.mark.parametrize("named", JOBS)
def test_legs_and_arcs_add_up_to_the_cut_length(named, units):
    solved = solve(getattr(gallery, named)())
    for run_, plan in zip(solved.runs, story.plans(solved), strict=False):
        said = run_text(run_, plan, units)
        parts = [length for row in said.bends for length in (row.straight_before, row.arc)]
        parts += [said.straight_after, *([said.trim] if said.trim else [])]
        assert sum(value(p, units) for p in parts) == value(said.cut_length, units)
        if units is INCHES:
            assert sum(Fraction(p.decimal) for p in parts) == Fraction(said.cut_length.decimal)


@pytest.mark.slow
@given(
    st.lists(st.floats(120.0, 3000.0), min_size=3, max_size=9),
    st.floats(0.0, 50.0),
    st.sampled_from([MM, INCHES]),
)
def test_nothing_is_further_from_the_truth_than_one_step(legs, trim, units):
    corners, at = [(0.0, 0.0, 0.0)], [0.0, 0.0, 0.0]
    for i, leg in enumerate(legs):
        at[i % 3] += leg
        corners.append(tuple(at))
    made = gallery.run(corners=corners)
    job = gallery.job(runs=[made.__class__(**{**made.__dict__, "ends": Ends(trim_mm=trim)})])
    solved = solve(job)
    (run_,), (plan,) = solved.runs, story.plans(solved)
    said = run_text(run_, plan, units)
    unit = Fraction(1) if units is MM else Fraction("25.4")
    truths = [(said.cut_length, run_.cut_length_mm), (said.straight_after, run_.table.straight_after_mm)]
    truths += [(row.straight_before, row.bend.straight_before_mm) for row in said.bends]
    truths += [(row.arc, row.bend.arc_mm) for row in said.bends]
    for length, truth in truths:
        assert abs(value(length, units) - Fraction(truth) / unit) <= step(units) + Fraction(1, 10**9)
    parts = [length for row in said.bends for length in (row.straight_before, row.arc)]
    total = sum(value(p, units) for p in (*parts, said.straight_after)) + (
        value(said.trim, units) if said.trim else Fraction(0)
    )
    assert total == value(said.cut_length, units)


def test_a_job_says_what_its_papers_are_in(tmp_path):
    path = tmp_path / "towel rail.yaml"
    path.write_text("units: in\n" + LEAST, encoding="utf-8")
    said = run("schedule", path)
    assert said.code == 0
    assert "All lengths in inches" in said.out
    assert "in mm" in run("schedule", path, "--units", "mm").out
    # The record stays in mm, whatever people read.
    plain = tmp_path / "plain.yaml"
    plain.write_text(LEAST, encoding="utf-8")
    assert run("schedule", path, "--format", "json").out == run("schedule", plain, "--format", "json").out


def test_inches_keep_to_80_columns():
    for command in ("schedule", "check", "cut"):
        said = run(command, CUPBOARD, "--units", "in")
        assert said.code == 0
        assert max(map(len, said.out.splitlines())) <= 80


def test_units_are_chosen_by_name():
    assert units_for("mm") is MM
    assert units_for("in") is INCHES
    assert run("schedule", CUPBOARD, "--units", "cubits").code == 2


def test_text_says_the_same_marks_as_the_record():
    solved = solve(gallery.airing_cupboard())
    (plan,) = story.plans(solved)
    said = run_text(solved.runs[0], plan, INCHES)
    planned = {pull.bend: pull.mark_mm for pull in plan.pulls}
    assert [str(row.mark) for row in said.bends] == [INCHES.length(planned[row.bend.number]) for row in said.bends]
