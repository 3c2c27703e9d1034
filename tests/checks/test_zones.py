"""Voids that runs stay within and room that is kept free: by formulas of flat-ended cylinders, and by shapely."""

import math
import random

import numpy as np
import pytest
import shapely

from pipemodel import story
from pipemodel.job.model import JobError


def checked(tmp_path, room, runs, more=""):
    path = tmp_path / "job.yaml"
    room = "".join(f"  {line}\n" for line in room.strip().splitlines())
    runs = "".join(f"  {name}: {{points: {points}}}\n" for name, points in runs.items())
    path.write_text(f"job: x\ntube: 15\n{more}\nroom:\n{room}runs:\n{runs}", encoding="utf-8")
    return story.check(story.load(path))


def faults(tmp_path, room, runs):
    with pytest.raises(JobError) as error:
        checked(tmp_path, room, runs)
    return "".join(error.value.lines())


def reach(a, b, way, radius):
    """How far a cylinder with flat ends reaches along a unit vector: its ends, and its rims' lean."""
    a, b, way = (np.array(v, dtype=float) for v in (a, b, way))
    axis = (b - a) / np.linalg.norm(b - a)
    return max(a @ way, b @ way) + radius * math.sqrt(max(0.0, 1.0 - (axis @ way) ** 2))


SIDES = {"east": (1, 0, 0), "west": (-1, 0, 0), "north": (0, 1, 0), "south": (0, -1, 0)}
SIDES |= {"up": (0, 0, 1), "down": (0, 0, -1)}


@pytest.mark.parametrize("seed", range(12))
def test_a_straight_run_in_a_void_is_as_far_from_every_side_as_its_ends_say(seed, tmp_path):
    dice = random.Random(seed)
    low, high = (0.0, 0.0, 0.0), (800.0, 300.0, 200.0)
    a, b = ([dice.uniform(low[k], high[k]) for k in range(3)] for _ in range(2))
    report = checked(tmp_path, f"bay: {{void: {{from: {list(low)}, to: {list(high)}}}}}", {"a": [a, b]})
    found = {row.against.removeprefix("bay "): row.distance_mm for row in report.distances}
    worst = 0.0
    for side, way in SIDES.items():
        wall = high if sum(way) > 0 else low
        margin = abs(np.dot(wall, way)) * (1 if sum(way) > 0 else -1) - reach(a, b, way, 7.5)
        assert found[side] == pytest.approx(margin, abs=1e-6)
        worst = min(worst, margin)
    errors = [f for f in report.findings if f.code == "C109"]
    assert bool(errors) == (worst < -1e-6)
    if errors:
        assert min(f.distance_mm for f in errors) == pytest.approx(worst, abs=1e-6)


L_PLAN = [(0, 0), (1200, 0), (1200, 400), (500, 400), (500, 900), (0, 900)]


@pytest.mark.parametrize("seed", range(12))
def test_a_level_run_in_a_void_of_an_outline_by_shapely(seed, tmp_path):
    dice, plan = random.Random(100 + seed), shapely.Polygon(L_PLAN)
    while True:
        a, b = ([dice.uniform(20, 1180), dice.uniform(20, 880), 100.0] for _ in range(2))
        if plan.contains(shapely.MultiPoint([a[:2], b[:2]])) and math.dist(a, b) > 60.0:
            break
    void = f"{{void: {{outline: {[list(p) for p in L_PLAN]}, bottom: 0, top: 200}}}}"
    report = checked(tmp_path, f"pod: {void}", {"a": [a, b]})
    tube = shapely.LineString([a[:2], b[:2]]).buffer(7.5, cap_style="flat")
    found = {row.against: row.distance_mm for row in report.distances}
    if plan.contains(tube):
        assert found["pod side"] == pytest.approx(plan.exterior.distance(tube), abs=1e-6)
        assert not [f for f in report.findings if f.code == "C109"]
    else:
        assert found["pod side"] <= 1e-6
        if tube.difference(plan).area > 1e-3:
            assert [f.against for f in report.findings if f.code == "C109"] == ["pod side"]
    assert found["pod up"] == pytest.approx(92.5)
    assert found["pod down"] == pytest.approx(92.5)


def test_insulation_has_to_fit_within_and_a_clearance_of_its_own_is_asked_for(tmp_path):
    """15 tube 10 from the side: with insulation of 9 it is clear by 1, with 13 it is 3 short."""
    void, run = "bay: {void: {from: [0, 0, 0], to: [900, 300, 200]}}", {"a": [[50, 17.5, 100], [800, 17.5, 100]]}
    assert not [f for f in checked(tmp_path, void, run, "insulation: 9\nclearance: 90").findings if f.code == "C109"]
    (found,) = (f for f in checked(tmp_path, void, run, "insulation: 13").findings if f.code == "C109")
    assert (found.against, found.required_mm, found.distance_mm) == ("bay south", 13.0, pytest.approx(10.0))
    (contact,) = found.contacts
    assert contact.move == pytest.approx((0.0, 3.0, 0.0), abs=0.02)
    assert "side of the void 'bay'" in found.message
    own = void.replace("}}", "}, clearance: 12}")
    (found,) = (f for f in checked(tmp_path, own, run).findings if f.code == "C109")
    assert found.required_mm == 12.0


def test_an_open_side_lets_the_run_out_and_only_the_runs_that_are_named_are_held(tmp_path):
    void = "bay: {void: {from: [0, 0, 0], to: [900, 300, 200], open: up}, runs: [a]}"
    runs = {"a": [[100, 100, 100], [400, 100, 100], [400, 100, 600]], "b": [[100, 200, 900], [400, 200, 900]]}
    report = checked(tmp_path, void, runs)
    assert not [f for f in report.findings if f.code == "C109"]
    held = {(row.run, row.against) for row in report.distances if row.against.startswith("bay")}
    assert held == {("a", f"bay {side}") for side in SIDES if side != "up"}


@pytest.mark.parametrize(
    ("room", "said"),
    [
        ("v: {void: {from: [0, 0, 0], to: [300, 300, 200]}}", "the finish of 'a' lies 200 outside the void 'v' (east)"),
        ("v: {void: {from: [0, 0, 0], to: [900, 0, 200]}}", "a void with no room in it"),
        ("v: {void: {from: [0, 0, 0], to: [900, 300, 200], open: [in]}}", "a side of a void is"),
        ("v: {void: {outline: [[0, 0], [9, 9], [9, 0], [0, 9]], bottom: 0, top: 9}}", "crosses or touches itself"),
        ("v: {void: {from: [0, 0, 0], to: [900, 300, 200]}, runs: [b]}", "there is no run called 'b'"),
        ("v: {void: {from: [0, 0, 0], to: [900, 300, 200]}, keep free: x}", "has a size of its own"),
        ("v: {box: {from: [0, 0, 0], to: [9, 9, 9]}, runs: [a]}", "a solid thing is in everyone's way"),
        ("v: {swing: {hinge: [0, 0], width: 762, height: 1981, closed: north, opens: up}}", "opens to a level side"),
        ("v: {access: {at: [0, 0, 0], facing: [1, 0, 1], width: 9, height: 9, depth: 9}}", "it faces level"),
        ("v: {duct: {points: [[0, 0, 0], [9, 0, 9]], size: [200, 100]}}", "neither level nor upright"),
    ],
)
def test_what_cannot_be_is_refused_at_its_line(room, said, tmp_path):
    text = faults(tmp_path, room, {"a": [[100, 100, 100], [500, 100, 100]]})
    assert said in text
    assert "job.yaml:5:" in text


@pytest.mark.parametrize(("closed", "opens"), [("north", "west"), ("east", "north"), ("south", "east")])
@pytest.mark.parametrize("angle", [30, 90, 180])
def test_the_swing_of_a_door_holds_all_of_its_quarter_and_hardly_more(closed, opens, angle, tmp_path):
    swing = f"{{hinge: [500, 400], width: 762, height: 1981, closed: {closed}, opens: {opens}, angle: {angle}}}"
    path = tmp_path / "job.yaml"
    run = "runs: {a: {points: [[0, 0, 9000], [90, 0, 9000]]}}\n"
    path.write_text(f"job: x\ntube: 15\nroom: {{d: {{swing: {swing}}}}}\n{run}")
    (door,) = story.load(path).things
    made = shapely.Polygon(door.shape.outline)
    ways = {"north": (0, 1), "east": (1, 0), "south": (0, -1), "west": (-1, 0)}
    turns = np.radians(np.linspace(0.0, angle, 4001))
    rim = 762.0 * (np.cos(turns)[:, None] * ways[closed] + np.sin(turns)[:, None] * ways[opens]) + (500.0, 400.0)
    true = shapely.Polygon([(500.0, 400.0), *rim])
    assert made.is_valid
    assert true.difference(made).area < 1e-3
    assert made.difference(true.buffer(1.0 + 1e-6)).area < 1e-6
    assert (door.shape.bottom, door.shape.top, door.why, door.role) == (0.0, 1981.0, "swing of a door", "kept free")


def test_a_run_through_a_door_s_swing_is_an_error_that_says_why(tmp_path):
    """Across the door 300 above its foot, 100 within the bow: 762 less 100 from the hinge, and half the tube."""
    swing = "{hinge: [0, 0], width: 762, height: 1981, closed: north, opens: east}"
    report = checked(tmp_path, f"d: {{swing: {swing}}}", {"a": [[-900, 662, 300], [900, 662, 300]]}, "clearance: 50")
    (found,) = (f for f in report.findings if f.against == "d")
    assert (found.code, found.severity, found.required_mm) == ("C110", "error", 0.0)
    assert "(swing of a door)" in found.message
    clear = checked(tmp_path, f"d: {{swing: {swing}}}", {"a": [[-900, 772, 300], [900, 772, 300]]}, "clearance: 50")
    assert not [f for f in clear.findings if f.against == "d"]


def test_access_radiator_tank_and_duct_are_the_blocks_they_are_said_to_be(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: x\ntube: 15\nroom:\n"
        "  valve: {access: {at: [100, 200, 300], facing: north, width: 150, height: 120, depth: 400}}\n"
        "  hatch: {access: {at: [0, 0, 0], facing: up, width: 150, height: 120, depth: 400}}\n"
        "  radiator: {radiator: {at: [1000, 0, 150], facing: north, width: 800, height: 600, depth: 100}}\n"
        "  tank: {tank: {at: [500, 600], bottom: 20, height: 1050, diameter: 450, insulation: 50}}\n"
        "  duct:\n    duct: {points: [[0, 0, 0], [2000, 0, 0], [2000, 0, 900], [2000, 700, 900]], size: [200, 100],\n"
        "           insulation: 10}\n"
        "  ring: {cable: {points: [[0, 0, 0], [2000, 0, 0]]}}\n"
        "  hand: {cylinder: {from: [0, 0, 0], to: [0, 0, 500], diameter: 110}, keep free: reach of a hand}\n"
        "runs: {a: {points: [[0, 0, 9000], [900, 0, 9000]]}}\n"
    )
    things = {thing.name: thing for thing in story.load(path).things}
    blocks = {
        "valve": [(25, 200, 240), (175, 600, 360)],
        "hatch": [(-75, -60, 0), (75, 60, 400)],
        "radiator": [(600, 40, 150), (1400, 140, 750)],
        "tank": [(225, 325, 20), (775, 875, 1070)],
        # Each leg to the far side of the next: 110 and 60 about the middle of a duct of 220 by 120 outside.
        "duct leg 1": [(0, -110, -60), (2110, 110, 60)],
        "duct leg 2": [(1890, -60, -60), (2110, 60, 960)],
        "duct leg 3": [(1890, -60, 840), (2110, 700, 960)],
        "ring": [(0, -5, -5), (2000, 5, 5)],
    }
    for name, block in blocks.items():
        assert np.array(things[name].shape.bounds()) == pytest.approx(np.array(block, dtype=float)), name
    assert things["ring"].kind == "cable"
    assert (things["hand"].role, things["hand"].why) == ("kept free", "reach of a hand")
    assert things["tank"].role == "solid"
