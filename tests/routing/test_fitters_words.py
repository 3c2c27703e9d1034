"""Left, right, in and out as the fitter sees them, against vectors put together here from where the fitter stands."""

import math
import random

import numpy as np
import pytest

from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text

JOB = """\
job: as the fitter sees it
tube: 15
former: {{radius: 55, hold: 30, guide: 10}}
{head}
room:
  north wall: {{face: {{at: [0, 500, 0], facing: south}}}}
  east wall: {{face: {{at: [900, 0, 0], facing: west}}}}
  floor: {{face: {{at: [0, 0, -900], facing: up}}}}
  nib: {{box: {{from: [-300, -400, -500], to: [-200, 300, 500]}}}}
runs:
  a:
    start: [0, 0, 0]
{run}
"""


def corners(run, head="seen from: south"):
    text = JOB.format(head=head, run="\n".join(f"    {line}" for line in run))
    return np.array(job_of_text(text, "job.yaml").runs[0].route.corners)


def fault(run, head=""):
    with pytest.raises(JobError) as caught:
        corners(run, head)
    (found,) = caught.value.faults
    return found


def seen(bearing):
    """The fitter's words as vectors: one who stands at a bearing looks the other way, up is overhead."""
    looks = -np.array([math.sin(math.radians(bearing)), math.cos(math.radians(bearing)), 0.0])
    up = np.array([0.0, 0.0, 1.0])
    right = np.cross(looks, up)
    return {"right": right, "left": -right, "in": looks, "out": -looks, "up": up, "down": -up}


@pytest.mark.parametrize(
    ("side", "right", "out"),
    [("south", "east", "south"), ("north", "west", "north"), ("east", "north", "east"), ("west", "south", "west")],
)
def test_who_stands_south_and_looks_north_has_east_to_the_right(side, right, out):
    words = ["route: [right: 300, up: 200, out: 150, left: 400, in: 300]"]
    turned = {"east": "west", "west": "east", "north": "south", "south": "north"}
    compass = f"route: [{right}: 300, up: 200, {out}: 150, {turned[right]}: 400, {turned[out]}: 300]"
    assert corners(words, f"seen from: {side}").tolist() == corners([compass], "").tolist()


def test_any_way_from_anywhere():
    dice = random.Random(5)
    for _ in range(120):
        bearing = dice.choice([0.0, 90.0, 137.5, 180.0, 225.0, dice.uniform(0.0, 360.0)])
        ways, expected, items, before = seen(bearing), [np.zeros(3)], [], None
        for _ in range(dice.randint(1, 6)):
            words = [w for w in ways if before is None or abs(ways[w] @ ways[before]) < 0.5]
            before, size = dice.choice(words), dice.randint(150, 900)
            items.append(f"{before}: {size}")
            expected.append(expected[-1] + size * ways[before])
        found = corners([f"route: [{', '.join(items)}]"], f"seen from: {bearing}")
        assert found == pytest.approx(np.array(expected), abs=1e-9)


def test_sets_and_passovers_go_out_and_to_the_left():
    run = ["route:", "  - up: 400", "  - set: {to: out, offset: 60, angle: 90}", "  - go: 300",
           "  - set: {to: {left: 30, out: 40}, angle: 90}", "  - go: 300"]  # fmt: skip
    big = [line.replace("60", "160").replace("30,", "90,").replace("40}", "120}") for line in run]
    found = corners(big, "seen from: west")
    out, left = np.array([-1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])
    assert found[-1] == pytest.approx(160.0 * out + 120.0 * out + 90.0 * left + [0.0, 0.0, 1000.0], abs=1e-9)


def test_the_words_stay_the_fitters_whichever_way_the_run_heads():
    """Without a fitter, the second left is counted from the first; with one, it goes on the same way."""
    run = ["heading: north", "route: [go: 300, left: 300, up: 200, left: 300]"]
    assert corners(run).tolist()[-1] == pytest.approx([-600.0, 300.0, 200.0])
    assert corners(run, "").tolist()[-1] == pytest.approx([-300.0, 0.0, 200.0])


def test_ahead_and_back_stay_the_runs_own():
    run = ["route: [right: 300, up: 200, turn: ahead, go: 250]"]
    assert corners(run).tolist()[-1] == pytest.approx([550.0, 0.0, 200.0])


@pytest.mark.parametrize(
    ("clips", "out"),
    [
        ("north wall", (0.0, -1.0)),
        ("east wall", (-1.0, 0.0)),
        ("nib", (1.0, 0.0)),
        ("floor", (0.0, -1.0)),
        ("[north wall, east wall]", (0.0, -1.0)),
    ],
)
def test_out_is_away_from_the_wall_the_run_is_clipped_to_and_else_towards_the_fitter(clips, out):
    """The fitter stands south; one floor, or two walls, are no wall to come out from."""
    run = [f"clips: {{face: {clips}}}", "route: [up: 200, out: 300]"]
    assert corners(run).tolist()[-1] == pytest.approx([300.0 * out[0], 300.0 * out[1], 200.0])


def test_out_is_away_from_the_wall_that_the_run_names():
    run = ["wall: east wall", "clips: {face: north wall}", "route: [up: 200, out: 300]"]
    assert corners(run, "").tolist()[-1] == pytest.approx([-300.0, 0.0, 200.0])


def test_a_run_on_another_wall_has_its_own_side():
    run = ["seen from: east", "heading: right", "route: [go: 300, up: 200]"]
    assert corners(run).tolist()[-1] == pytest.approx([0.0, 300.0, 200.0])


def test_a_heading_by_word():
    assert corners(["heading: out", "route: [go: 300]"]).tolist()[-1] == pytest.approx([0.0, -300.0, 0.0])


@pytest.mark.parametrize(
    ("run", "said", "line"),
    [
        (["route: [out: 300]"], "this job tells neither; say on which side you stand, such as `seen from: south`", 13),
        (["route: [up: 300, set: {to: in, offset: 160, angle: 45}, go: 300]"], "tells neither", 13),
        (["heading: left", "route: [go: 300]"], "'left' is the fitter's; say on which side you stand", 13),
        (["heading: in", "route: [go: 300]"], "tells neither", 13),
        (["route: [up: 300, turn: forward, go: 300]"], "may be either way; say 'out' (from the wall), 'in', or", 13),
        (
            ["wall: floor", "route: [out: 300]"],
            "'floor' has no one upright face with the start of this run before it",
            13,
        ),
        (
            ["wall: est wall", "route: [out: 300]"],
            "there is no thing in the room called 'est wall'; did you mean 'east wall'?",
            13,
        ),
        (["seen from: up", "route: [up: 300]"], "nobody stands above or below a run", 13),
    ],
)
def test_words_that_nothing_gives_a_meaning_to(run, said, line):
    found = fault(run)
    assert said in found.message
    assert found.place.line == line
    assert found.place.column > 1
