"""Moves and features with formers of their own: the tube is bent up again with plain rotations and measured."""

import json
import math
import random

import numpy as np
import pytest
from command_line import run as command
from kernel_measures import measured
from scipy.spatial.transform import Rotation

from pipemodel import story
from pipemodel.job.model import JobError

D = 15.0
HEAD = "job: moves\ntube: 15\nformer: {radius: 55, springback: {fixed: 1}, hold: 60, guide: 45}\n"
ROOM = """\
room:
  end wall:   {face: {at: [1900, 0, 0], facing: west}}
  north wall: {face: {at: [0, 500, 0], facing: south}}
  waste pipe: {cylinder: {from: [800, -900, 0], to: [800, 900, 0], diameter: 43}}
  plinth:     {box: {from: [1200, -400, -60], to: [1300, 400, 20]}}
"""
WIDE = "{radius: 110, springback: {fixed: 2}, hold: 80, guide: 30}"
TIGHT = "{radius: 40, springback: {fixed: 3}, hold: 20, guide: 10, allow_tight: true}"


def written(folder, *items, room=ROOM):
    job = folder / "job.yaml"
    listed = "".join(f"      - {item}\n" for item in items)
    job.write_text(f"{HEAD}{room}runs:\n  a:\n    start: [0, 0, 0]\n    route:\n{listed}")
    return job


def schedule(folder, *items, room=ROOM):
    said = command("schedule", written(folder, *items, room=room), "--format", "json")
    assert said.out, said.err
    (record,) = json.loads(said.out)["runs"]
    return record


def axis(record, ahead, normal, step=0.5):
    """Points of the axis, (n, 3), of a straight tube bent as a schedule says."""
    here, ahead, normal = (np.array(v, float) for v in (record["start"], ahead, normal))
    at, points = 0.0, []
    for bend in [*record["bends"], None]:
        ends = record["centreline_mm"] if bend is None else bend["start_mm"]
        points += [here + ahead * s for s in np.arange(0.0, ends - at, step)]
        here = here + ahead * (ends - at)
        if bend is not None:
            normal = Rotation.from_rotvec(ahead * bend["turn_deg"], degrees=True).apply(normal)
            centre = here + bend["radius_mm"] * np.cross(normal, ahead)
            steps = math.ceil(bend["radius_mm"] * math.radians(bend["angle_deg"]) / step)
            turns = Rotation.from_rotvec(np.outer(np.linspace(0, bend["angle_deg"], steps + 1), normal), degrees=True)
            points += list(centre + turns.apply(here - centre))
            here, ahead, at = points[-1], turns[-1].apply(ahead), ends + bend["radius_mm"] * math.radians(
                bend["angle_deg"]
            )  # fmt: skip
    return np.array([*points, here])


def radii(record):
    return [bend["radius_mm"] for bend in record["bends"]]


def test_every_move_and_feature_bends_round_its_own_former(tmp_path):
    record = schedule(
        tmp_path,
        "east: 300",
        f"up: {{to centre: 300, former: {WIDE}}}",
        f"set: {{to: north, offset: 60, angle: 30, former: {TIGHT}}}",
        "go: 300",
        f"turn: {{to: east, former: {WIDE}}}",
        f"corner: {{at: [750, 60, 703.923048454133], former: {TIGHT}}}",
        "down: 400",
        f"turn: {{back: west, former: {WIDE}}}",
        "go: 200",
        "west: 300",
        room="",
    )
    assert radii(record) == [110, 40, 40, 110, 40, 110, 55]
    assert [b["angle_deg"] for b in record["bends"]] == pytest.approx([90, 30, 30, 90, 90, 180, 90])
    assert [b["pull_deg"] for b in record["bends"]] == pytest.approx([92, 33, 33, 92, 93, 182, 91])
    points = axis(record, (1, 0, 0), (0, -1, 0))
    assert points[-1] == pytest.approx(record["finish"], abs=1e-6)
    # The return is two of its own radii wide, 220, and ends 200 after it.
    assert points[-1] == pytest.approx([750 - 220 - 300, 60, 703.923048454133 - 400 + 200], abs=1e-6)
    assert [(f["name"], f["bends"]) for f in record["formers"]] == [
        ("former of radius 110 mm", [1, 4, 6]), ("former of radius 40 mm", [2, 3, 5]), ("former of the job", [7])
    ]  # fmt: skip
    used = {1: 80, 4: 80, 6: 80, 2: 20, 3: 20, 5: 20, 7: 60}
    assert all(pull["hold_has_mm"] >= used[pull["bend"]] for pull in record["plan"]["pulls"])


@pytest.mark.slow
def test_measures_between_bends_of_different_radii(tmp_path):
    """Past 90 degrees the back of a bend is its crown: the leg reaches as far as the whole tube does along it."""
    dice = random.Random(5)
    tried = 0
    for _ in range(24):
        over = dice.choice([True, False])
        long = dice.uniform(600, 900)
        asked = [dice.choice([55, 110, 40]) for _ in range(2)]
        one, other = ({55: "", 110: f", former: {WIDE}", 40: f", former: {TIGHT}"}[radius] for radius in asked)
        measure = "back to back" if over else "inside to inside"
        record = schedule(
            tmp_path,
            f"turn: {{bearing: {dice.uniform(0, 360):.3f}}}",
            "go: 500",
            f"turn: {{to: up, angle: {dice.uniform(91, 140):.3f}{one}}}",
            f"go: {{{measure}: {long:.4f}}}",
            f"turn: {{to: {dice.choice(['down', 'left', 'right'])}, angle: {dice.uniform(91, 140):.3f}{other}}}",
            "go: 420",
            room="",
        )
        assert radii(record) == asked
        corners = story.load(tmp_path / "job.yaml").runs[0].route.corners
        first, leg = (np.subtract(corners[i + 1], corners[i]) for i in (0, 1))
        ahead, way = first / np.linalg.norm(first), leg / np.linalg.norm(leg)
        normal = np.cross(first, leg)
        along = axis(record, ahead, normal / np.linalg.norm(normal), 0.2) @ way
        assert along.max() - along.min() == pytest.approx(round(long, 4) + (-D if over else D), abs=1e-3)
        tried += asked[0] != asked[1]
    assert tried > 10


@pytest.mark.parametrize("former", [WIDE, TIGHT])
def test_a_gap_to_a_face_is_that_of_the_bend_as_made(tmp_path, former):
    turn = f"turn: {{to: up, angle: 130, former: {former}}}"
    record = schedule(tmp_path, "east: {to face of: end wall, gap: 12}", turn, "go: 600")
    assert axis(record, (1, 0, 0), (0, -1, 0), 0.1)[:, 0].max() + D / 2 == pytest.approx(1900 - 12, abs=1e-3)


@pytest.mark.slow
@pytest.mark.parametrize("former", [WIDE, TIGHT])
@pytest.mark.parametrize("bends", [3, 4])
def test_a_passover_keeps_its_gap_with_its_own_radius(tmp_path, former, bends):
    over = f"pass over: {{thing: waste pipe, gap: 10, bends: {bends}, angle: 50, former: {former}}}"
    record = schedule(tmp_path, "east: 1700", over, "up: 300")
    own = 110 if former == WIDE else 40
    assert radii(record) == [own] * bends + [55]
    points = axis(record, (1, 0, 0), (0, -1, 0), 0.05)
    gap = np.hypot(points[:, 0] - 800, points[:, 2]).min() - 21.5 - D / 2
    lowest = record["notes"] and "higher over" in record["notes"][0]
    assert gap >= 10 - 1e-4
    assert lowest or gap == pytest.approx(10, abs=1e-3)
    if bends == 4:
        # The flat leaves this former, not the run's, what it holds.
        assert record["bends"][2]["straight_before_mm"] >= (80 if former == WIDE else 20) - 1e-6


@pytest.mark.parametrize("former", [WIDE, TIGHT])
def test_a_set_that_clears_a_thing_goes_by_its_own_radius(tmp_path, former):
    clear = f"set: {{clear: plinth, gap: 10, to: up, angle: 45, former: {former}}}"
    record = schedule(tmp_path, "turn: east", clear, "go: 500")
    points = axis(record, (1, 0, 0), (0, -1, 0), 0.05)
    gap = np.linalg.norm(points - np.clip(points, (1200, -400, -60), (1300, 400, 20)), axis=1).min() - D / 2
    assert 10 - 1e-4 <= gap < 10.001


def test_follow_bends_round_its_own_former(tmp_path):
    turned = f"follow: {{face: north wall, standoff: 15, turn: east, for: 500, former: {WIDE}}}"
    assert radii(schedule(tmp_path, "turn: north", turned, "up: 300")) == [110, 55]
    moved = f"follow: {{face: north wall, standoff: 300, angle: 45, for: 500, former: {WIDE}}}"
    record = schedule(tmp_path, "east: 300", moved)
    assert radii(record) == [110, 110]
    assert record["finish"][1] == pytest.approx(200)


def test_a_point_by_its_distance_may_name_the_former_of_the_bend_at_it(tmp_path):
    by = f"by: {{at: [0, 0, 400], former: {WIDE}}}"
    record = schedule(tmp_path, "east: 400", by, "by: [0, 500, 0]", "corner: [400, 500, 900]")
    assert radii(record) == [55, 110, 55]


def faults(folder, *items):
    with pytest.raises(JobError) as caught:
        story.load(written(folder, *items))
    return str(caught.value)


def test_what_cannot_be_is_refused_by_the_radius_of_its_own_former(tmp_path):
    small = f"set: {{to: up, offset: 30, angle: 60, former: {WIDE}}}"
    assert "two bends of 60 degrees round 110 move the tube 110.0 aside" in faults(
        tmp_path, "east: 300", small, "go: 9"
    )
    back = f"turn: {{back: up, apart: 150, former: {WIDE}}}"
    assert "tighter than the former: twice its radius is 220" in faults(tmp_path, "east: 300", back, "go: 300")
    near = faults(tmp_path, "east: 100", f"up: {{to centre: 300, former: {WIDE}}}")
    assert "but its bend takes 110.0 of that: 10.0 is missing" in near
    assert ":14:38: no former 'no such'" in faults(tmp_path, "east: 300", "up: {to centre: 300, former: no such}")
    inner = faults(tmp_path, "east: 300", "turn: {to: up, former: {radius: 20}}", "go: 300")
    assert ":14:41: a radius of 20 mm is smaller than" in inner
    twice = faults(
        tmp_path, f"corner: {{at: [300, 0, 0], former: {WIDE}}}", f"turn: {{to: up, former: {TIGHT}}}", "go: 9"
    )
    assert "the corner that this bend is made at has a former of its own already" in twice
    # Straight on there is no bend to give a former to.
    straight = f"go: {{past: plinth, gap: 1, former: {WIDE}}}"
    assert "unknown key 'former'" in faults(tmp_path, "east: 9", straight)


def test_a_former_of_a_move_without_a_bend_is_not_used_and_said_so(tmp_path):
    record = schedule(
        tmp_path,
        f"east: {{to centre: 300, former: {WIDE}}}",
        f"corner: {{at: [600, 0, 0], former: {TIGHT}}}",
        "up: 300",
        f"corner: {{at: [600, 0, 500], former: {WIDE}}}",
    )
    assert radii(record) == [40]
    said = [note for note in record["notes"] if "makes no bend" in note]
    assert said == [
        f"item {n} of the route makes no bend, so its own former of radius 110 mm is not used" for n in (1, 4)
    ]
    same = "{radius: 55, springback: {fixed: 1}, hold: 60, guide: 45}"
    alone = schedule(tmp_path, "east: 300", f"up: {{to centre: 300, former: {same}}}")
    assert alone == schedule(tmp_path, "east: 300", "up: 300")


@pytest.mark.kernel
def test_the_solid_of_mixed_radii_has_the_volume_of_the_straight_tube(tmp_path):
    """Pappus: a bend of constant section keeps the volume of the straight tube of its axis' length."""
    from pipemodel.solids.brep import tube_solid

    over = f"pass over: {{thing: waste pipe, gap: 10, angle: 50, former: {TIGHT}}}"
    items = ("east: 1700", over, f"up: {{to centre: 400, former: {WIDE}}}", "north: 300")
    record = schedule(tmp_path, *items)
    assert len(set(radii(record))) == 3
    (solved,) = story.schedule(story.load(tmp_path / "job.yaml")).runs
    volume, _ = measured(tube_solid(solved.centreline, D, 0.7))
    points = axis(record, (1, 0, 0), (0, -1, 0), 0.1)
    length = np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
    assert volume == pytest.approx(math.pi / 4 * (D**2 - 13.6**2) * length, rel=1e-6)
