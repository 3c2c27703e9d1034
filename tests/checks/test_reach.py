"""An arm gets there or not, against the shortest way round an edge, worked out here.

In a slice across a straight edge the shortest way from one side of a thin screen to the other is the straight, or goes
over the edge (both sides of a triangle, Euclid I.20); a rod of some thickness is never shorter. Extended to three
dimensions by unfolding the two half-planes at the edge: hypot(along, a + b).
"""

from pathlib import Path

import numpy as np
import pytest
from command_line import run

from pipemodel import story
from pipemodel.cutting.arm import HAND_MM, Standing, reached
from pipemodel.geometry.shapes import Box

OPENING = [(-10.0, 0.0, -10.0), (10.0, 0.0, -10.0), (10.0, 0.0, 10.0), (-10.0, 0.0, 10.0)]


def screen(edge):
    """All of x below an edge, 2 mm thick, 200 mm behind the opening."""
    return Box((-5000.0, 200.0, -5000.0), (edge, 202.0, 5000.0))


@pytest.mark.parametrize("seed", range(6))
def test_round_an_edge(seed):
    """The opening is a point but for 20 mm, the arm a thin stick; with the elbow on a grid a fifth more is enough."""
    rng = np.random.default_rng(seed)
    edge = rng.uniform(60.0, 200.0)
    place = (rng.uniform(-100.0, 30.0), 201.0 + HAND_MM + rng.uniform(60.0, 150.0), rng.uniform(-80.0, 80.0))
    over = np.hypot(edge, 201.0) + np.hypot(edge - place[0], place[1] - 201.0)
    shortest = float(np.hypot(over, place[2]))
    # From anywhere in the opening it is no more than half its diagonal shorter.
    assert not reached(place, OPENING, shortest - 15.0, 2.0, Standing([screen(edge)]))
    assert reached(place, OPENING, 1.2 * shortest, 2.0, Standing([screen(edge)]))
    # Closed on the other side as well there is no way; with the screen away the straight is one.
    assert not reached(place, OPENING, 1.2 * shortest, 2.0, Standing([screen(5000.0)]))
    assert reached(place, OPENING, float(np.linalg.norm(place)) + 1.0, 2.0, Standing([]))


@pytest.mark.parametrize(("wide", "there"), [(99.0, False), (101.5, True)])
def test_no_thicker_than_the_gap(wide, there):
    """A straight arm 100 thick between two blocks, looked at far before the hand begins."""
    opening = [(-60.0, 0.0, -60.0), (60.0, 0.0, -60.0), (60.0, 0.0, 60.0), (-60.0, 0.0, 60.0)]
    half = wide / 2.0
    blocks = [Box((-900.0, 0.0, -900.0), (-half, 300.0, 900.0)), Box((half, 0.0, -900.0), (900.0, 300.0, 900.0))]
    assert reached((0.0, 500.0, 0.0), opening, 520.0, 100.0, Standing(blocks)) is there


JOB = """\
job: behind the panel
tube: 15
former: {radius: 55, hold: 30, guide: 30}
room:
  panel: {box: {from: [0, -12, 0], to: [900, 0, 900]}, holes: [{from: [300, -12, 300], to: [600, 0, 600]}]}
openings:
  hatch: {corners: [[300, 0, 300], [600, 0, 300], [600, 0, 600], [300, 0, 600]], outside: [450, -100, 450]}
reach: REACH
runs:
  hot: {points: [[320, 200, 450], [580, 200, 450]], ends: {finish: {fitting: capillary}}}
"""


@pytest.mark.parametrize(("asked", "codes"), [("yes", ["H102"]), ("{arm: 150}", ["H101", "H102"]), ("no", [])])
def test_findings(asked, codes, tmp_path: Path):
    (path := tmp_path / "job.yaml").write_text(JOB.replace("REACH", asked))
    from pipemodel.checks.reach import reach

    assert [one.code for one in reach(story.schedule(story.read(path)))] == codes


@pytest.mark.parametrize(
    ("asked", "said"),
    [("{through: door}", "there is 'hatch'"), ("{arm: 9000}", "1500"), ("{thick: 0}", "0"), ("far", "write yes, no")],
)
def test_refused_at_its_line(asked, said, tmp_path: Path):
    (path := tmp_path / "job.yaml").write_text(JOB.replace("REACH", asked))
    answer = run("check", path)
    assert answer.code == 2
    assert "job.yaml:8:" in answer.err
    assert said in answer.err


LONG = """\
job: along the eaves
tube: 15
former: {radius: 55, hold: 30, guide: 30}
stock: {length: 3 m}
room:
  panel: {box: {from: [0, -12, 0], to: [4000, 0, 900]}, holes: [{from: [LEFT, -12, 300], to: [RIGHT, 0, 600]}]}
openings:
  hatch: {corners: [[LEFT, 0, 300], [RIGHT, 0, 300], [RIGHT, 0, 600], [LEFT, 0, 600]], outside: [450, -100, 450]}
reach: ASKED
runs:
  hot: {points: [[10, 200, 450], [3990, 200, 450]]}
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("left", "asked", "within"), [(1500, "{arm: 400}", True), (1500, "no", None), (200, "{arm: 400}", False)]
)
def test_a_long_run_is_jointed_where_a_hand_reaches(left, asked, within, tmp_path: Path):
    """A joint of 3.98 m out of lengths of 3 m lies from 980 to 3,000; an arm of 400 is 200 deep when it is there."""
    text = LONG.replace("LEFT", str(left)).replace("RIGHT", str(left + 300)).replace("ASKED", asked)
    (path := tmp_path / "job.yaml").write_text(text)
    found = story.check(story.read(path)).findings
    assert not [one for one in found if one.severity == "error"]
    codes = {one.code for one in found}
    assert ("H101" in codes) is (within is False)
    (joint,) = story.cut(story.read(path)).runs[0].joints
    far = max(left - joint.point[0], joint.point[0] - left - 300, 0.0)
    if within is not None:
        assert (float(np.hypot(far, 200.0)) <= 400.0) is within
