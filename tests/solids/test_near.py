"""In a room of many things papers and solids show those near a run, and say how many they leave out."""

import random
from dataclasses import replace

import gallery
import numpy as np
import pytest

from pipemodel import story
from pipemodel.documents.drawing_files import write_dxf_files, write_svg_files
from pipemodel.documents.solid_files import write_step_files
from pipemodel.geometry.shapes import Box, HalfSpace
from pipemodel.job.model import Thing
from pipemodel.solids.extent import run_extent
from pipemodel.solids.near import FEW_THINGS, far_words, near_things

SQUARE = ((0, 0, 0), (600, 0, 0), (600, 400, 0))
WALL = Thing("wall", HalfSpace((0.0, 9_000.0, 0.0), (0.0, -1.0, 0.0)))


def room(number, seed=5):
    """Blocks all over a site of 5 m, and a wall; two runs in it."""
    draw = random.Random(seed)
    blocks = []
    for i in range(number):
        low = [draw.uniform(-2500.0, 2500.0) for _ in range(3)]
        blocks.append(Thing(f"b{i}", Box(tuple(low), tuple(x + draw.uniform(10.0, 500.0) for x in low))))
    runs = [gallery.run("a", SQUARE), gallery.run("b", tuple((x + 1500, y, z) for x, y, z in SQUARE))]
    return story.schedule(gallery.job("site", runs, [*blocks, WALL]))


def off(thing, run):
    """How far apart two blocks along the axes are, axis by axis."""
    (low, high), box = thing.shape.bounds(), run_extent(run)
    return sum(max(box.low[k] - high[k], low[k] - box.high[k], 0.0) ** 2 for k in range(3)) ** 0.5


def test_of_many_things_those_near_a_run_are_shown():
    schedule = room(FEW_THINGS)
    shown = [thing.name for thing in near_things(schedule)]
    lines = [run.centreline for run in schedule.runs]
    axis = np.array([line.point_at(at) for line in lines for at in np.arange(0.0, line.length, 5.0)])
    far = {}
    for thing in schedule.job.things[:-1]:
        low, high = np.array(thing.shape.bounds())
        far[thing.name] = np.linalg.norm(axis - np.clip(axis, low, high), axis=1).min() - 7.5
    # Of a bend it is the block about it that counts, whose corner lies 55 (sqrt 2 - 1) off it.
    assert {name for name, mm in far.items() if mm <= 298.0} <= set(shown)
    assert {name for name, mm in far.items() if mm > 350.0}.isdisjoint(shown)
    assert shown == [thing.name for thing in schedule.job.things if thing.name in set(shown)]
    assert 2 < len(shown) < FEW_THINGS / 2


# The nearer is within what is measured in such a room, 500 mm, and beyond what is shown of itself, 300 mm.
@pytest.mark.parametrize(("least", "most"), [(310.0, 470.0), (600.0, 1400.0)])
def test_what_is_nearer_than_asked_for_is_shown_however_far_that_is(least, most):
    schedule = room(FEW_THINGS)
    far = next(t for t in schedule.job.things[:-1] if least < min(off(t, r) for r in schedule.runs) < most)
    asked = replace(far, clearance_mm=most + 20.0)
    job = replace(schedule.job, things=tuple(asked if t is far else t for t in schedule.job.things))
    assert far.name not in {thing.name for thing in near_things(schedule)}
    assert far.name in {thing.name for thing in near_things(story.schedule(job))}


def test_of_few_things_more_are_shown():
    few, many = room(FEW_THINGS - 1), room(FEW_THINGS)
    assert len(near_things(few)) > 2 * len(near_things(many))


def test_what_touches_a_run_or_is_too_near_is_always_shown():
    schedule = room(2000)
    report = story.check(schedule.job)
    wrong = {finding.against for finding in report.findings if finding.against and finding.severity == "error"}
    assert wrong
    assert wrong <= {thing.name for thing in near_things(schedule)}


@pytest.mark.slow
def test_step_and_drawings_say_what_they_leave_out(tmp_path):
    schedule = room(FEW_THINGS)
    results = story.results(schedule.job)
    (line,) = far_words(schedule, results.paper_options.reading)
    left = FEW_THINGS + 1 - len(near_things(schedule))
    assert line == f"{left} things farther than 300 mm from every run: not shown."
    assert line in write_step_files(results, tmp_path)
    step = (tmp_path / "job.step").read_text()
    shown = {thing.name for thing in near_things(schedule)}
    for thing in schedule.job.things:
        assert (f"PRODUCT('{thing.name}'" in step) == (thing.name in shown), thing.name
    write_svg_files(results, tmp_path)
    assert line in (tmp_path / "job.svg").read_text()
    write_dxf_files(results, tmp_path)
    assert line in (tmp_path / "job.dxf").read_text()
