"""The words of a way in, followed by somebody who knows nothing but the words.

What stands and what lies between two poses is held against scipy's rotations; the sentences are parsed and replayed.
"""

import re

import numpy as np
import pytest
from scipy.spatial.transform import Rotation, Slerp
from way_jobs import pose_of, rotation, slid, turned_at

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.job.model import Opening
from pipemodel.messages.say import say
from pipemodel.messages.units import units_for
from pipemodel.ways_in.moves_in_words import in_words
from pipemodel.ways_in.poses import between, line_at, stands, turn_between
from pipemodel.ways_in.values import IN_PLACE, Pose, WayIn

AXES = {
    "north": (0, 1, 0),
    "south": (0, -1, 0),
    "east": (1, 0, 0),
    "west": (-1, 0, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}
R = 55.0
# Tail of 300 to the east, a bend up, a leg of 200, a bend to the north, a tail of 150.
PIECE = Centreline(
    (
        Straight((100.0, 50.0, 20.0), (1.0, 0.0, 0.0), 300.0),
        Arc((400.0, 50.0, 20.0 + R), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0), R, 90.0),
        Straight((400.0 + R, 50.0, 20.0 + R), (0.0, 0.0, 1.0), 200.0),
        Arc((400.0 + R, 50.0 + R, 220.0 + R), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), R, 90.0),
        Straight((400.0 + R, 50.0 + R, 220.0 + 2 * R), (0.0, 1.0, 0.0), 150.0),
    )
)


def random_way(seed: int, least: float = 400.0) -> WayIn:
    """A way of slides, turns about ends and legs, and of turns about anything, as a list of states."""
    rng = np.random.default_rng(seed)
    states = [IN_PLACE]
    for _ in range(int(rng.integers(2, 6))):
        what = rng.integers(5)
        if what == 0:
            way = np.zeros(3)
            way[rng.integers(3)] = rng.choice([-1, 1])
            states.append(slid(states[-1], tuple(way * rng.uniform(30, 600))))
        elif what == 1:
            states.append(slid(states[-1], tuple(rng.normal(size=3) * 200)))
        elif what == 2:
            axis = rng.normal(size=3)
            end = PIECE.start if rng.random() < 0.5 else PIECE.finish
            total, parts = rng.uniform(10, 120), 6
            for _ in range(parts):
                states.append(turned_at(states[-1], tuple(axis / np.linalg.norm(axis)), total / parts, end))
        elif what == 3:
            arc, axis = PIECE.arcs[rng.integers(2)], rng.normal(size=3)
            for _ in range(5):
                turned = turned_at(states[-1], tuple(axis / np.linalg.norm(axis)), 14.0, arc.point_at(arc.length / 2.0))
                states.append(turned)
        else:
            leg = PIECE.straights[rng.integers(3)]
            axis = rotation(states[-1]).apply(leg.direction)
            for _ in range(4):
                states.append(turned_at(states[-1], tuple(axis), float(rng.uniform(5, 25)), leg.start))
    return WayIn("r", True, False, None, 2.0, least, tuple(reversed(states)), None, 1)


def moves_of(text: str) -> np.ndarray:
    """Add up "north 400 mm, up 30 mm and east 5 mm"."""
    total = np.zeros(3)
    for way, far in re.findall(r"(north|south|east|west|up|down) ([\d.]+) mm", text):
        total += np.array(AXES[way]) * float(far)
    return total


def point_of(text: str) -> np.ndarray:
    return np.array([float(re.search(rf"{axis} (-?[\d.]+) mm", text)[1]) for axis in "xyz"])


@pytest.mark.parametrize("seed", range(40))
def test_who_follows_the_words_has_both_ends_where_the_way_has_them(seed: int) -> None:
    way = random_way(seed)
    said = in_words(PIECE, way)
    start = finish = None
    rolled_freely = False
    for step in said.steps:
        text = str(step.said)
        if step.kind == "begin":
            at_start, at_finish = text.split("its finish at")
            start, finish = point_of(at_start), point_of(at_finish)
        elif text.startswith("slide"):
            start, finish = start + moves_of(text), finish + moves_of(text)
        elif found := re.match(r"hold the (start|finish) end .* until it has gone (.*)", text):
            if found[1] == "start":
                finish = finish + moves_of(found[2])
            else:
                start = start + moves_of(found[2])
        elif found := re.match(r"hold leg \d.* until the (start|finish) end has gone (.*)", text):
            if found[1] == "start":
                start = start + moves_of(found[2])
            else:
                finish = finish + moves_of(found[2])
        elif found := re.match(r".*until its start has gone (.*), and its finish (.*)", text):
            start, finish = start + moves_of(found[1]), finish + moves_of(found[2])
        else:
            assert text.startswith("roll it")
            rolled_freely = True
        pose = way.states[step.last]
        for end, there in ((start, PIECE.start), (finish, PIECE.finish)):
            true = rotation(pose).apply(there) + pose.position
            # What is held may stray as far as the words allow it to; a step is rounded along each axis.
            allowed = said.step_mm / 2.0 + 20.0 + (10.0 if rolled_freely else 0.0)
            assert np.abs(end - true).max() <= allowed + 1e-6, text
    assert len(said.steps) >= 2


@pytest.mark.parametrize("number", [1, 2])
def test_a_turn_about_a_bend_is_said_of_that_bend(number: int) -> None:
    """Held where it is by scipy's turns, five of them about one level axis."""
    arc, states = PIECE.arcs[number - 1], [IN_PLACE]
    for _ in range(5):
        states.append(turned_at(states[-1], (0.6, 0.8, 0.0), 15.0, arc.point_at(arc.length / 2.0)))
    (_, step) = in_words(PIECE, WayIn("r", True, False, None, 2.0, 400.0, tuple(reversed(states)), None, 1)).steps
    assert str(step.said).startswith(f"hold bend {number} where it is and tip the piece by 75°, until its start")


def test_what_is_said_in_one_breath_is_one_motion() -> None:
    states = [IN_PLACE, slid(IN_PLACE, (0.0, -200.0, 0.0)), slid(IN_PLACE, (0.0, -420.0, 0.0))]
    for _ in range(6):
        states.append(turned_at(states[-1], (1.0, 0.0, 0.0), 15.0, PIECE.start))
    way = WayIn("r", True, False, None, 2.0, 60.0, tuple(reversed(states)), None, 1)
    words = [str(step.said) for step in in_words(PIECE, way).steps]
    assert words[-1] == "slide north 420 mm"
    assert words[1].startswith(
        "hold leg 1 where it is and roll the piece about it by 90°, until the finish end has gone"
    )
    assert len(words) == 3


@pytest.mark.parametrize(("leads", "turn"), [("start end", 0.0), ("finish end", 180.0), ("leg 1, sideways,", 90.0)])
def test_the_part_that_goes_through_first_is_named(leads: str, turn: float) -> None:
    stick = Centreline((Straight((0.0, 500.0, 0.0), (0.0, -1.0, 0.0), 300.0),))
    hatch = Opening(
        "hatch", ((-200.0, 0, -200.0), (200.0, 0, -200.0), (200.0, 0, 200.0), (-200.0, 0, 200.0)), (0, -900.0, 0)
    )
    inside = turned_at(IN_PLACE, (0.0, 0.0, 1.0), turn, (0.0, 350.0, 0.0))
    way = WayIn("r", True, False, None, 0.0, 50.0, (slid(inside, (0.0, -900.0, 0.0)), inside, IN_PLACE), "hatch", 1)
    assert (
        f"{leads} first through hatch: slide north 900 mm"
        in [str(s.said) for s in in_words(stick, way, hatch).steps][1]
    )


def test_a_wall_is_named_where_the_piece_turns_towards_it() -> None:
    states = [IN_PLACE]
    for _ in range(8):
        states.append(turned_at(states[-1], (0.0, 0.0, 1.0), -5.0, PIECE.start))
    way = WayIn("r", True, False, None, 2.0, 60.0, tuple(reversed(states)), None, 1)
    said = in_words(PIECE, way, walls={"back wall": (0.0, -1.0, 0.0), "floor": (0.0, 0.0, 1.0)})
    assert "turn the finish end towards back wall" in str(said.steps[1].said)


def test_the_closer_the_way_the_finer_the_words() -> None:
    steps = [in_words(PIECE, random_way(3, least)) for least in (500.0, 60.0, 12.0, 2.0)]
    assert [s.step_mm for s in steps] == sorted((s.step_mm for s in steps), reverse=True)
    assert steps[0].step_mm == 10.0
    assert steps[-1].step_mm == 1.0
    assert "at least" in str(steps[0].rounding)
    assert steps[0].kept_mm >= 2.0
    assert steps[-1].kept_mm < 2.0


def test_both_languages_say_every_step() -> None:
    for seed in range(12):
        for step in in_words(PIECE, random_way(seed)).steps:
            assert say(step.said, units_for("mm", "de")) != say(step.said, units_for("mm", "en"))


@pytest.mark.parametrize("seed", range(20))
def test_between_two_poses_it_turns_as_scipy_has_it(seed: int) -> None:
    rng = np.random.default_rng(seed)
    turns = Rotation.random(2, random_state=seed)
    ends = rng.normal(size=(2, 3)) * 300.0
    a, b = (pose_of(turns[i], ends[i]) for i in (0, 1))
    if seed % 2:  # the same turn by the other quaternion
        b = Pose(b.position, tuple(-x for x in b.rotation))
    slerp, p = Slerp([0, 1], turns), rng.normal(size=3) * 200.0
    for t in (0.0, 0.2, 0.7, 1.0):
        want = slerp(t).apply(p) + (1 - t) * ends[0] + t * ends[1]
        assert np.allclose(stands(between(a, b, t), tuple(p)), want, atol=1e-9)
    axis, angle = turn_between(a.rotation, b.rotation)
    assert np.isclose(angle, np.degrees((turns[1] * turns[0].inv()).magnitude()))
    assert np.allclose(
        Rotation.from_rotvec(np.radians(angle) * np.array(axis)).apply(turns[0].apply(p)), turns[1].apply(p)
    )
    moved = line_at(PIECE, a)
    for s in (0.0, 310.0, 500.0, PIECE.length):
        assert np.allclose(moved.point_at(s), turns[0].apply(PIECE.point_at(s)) + ends[0], atol=1e-9)


@pytest.mark.parametrize("seed", range(9))
def test_rounded_as_it_is_said_no_point_is_out_by_more_than_what_is_taken_off(seed: int) -> None:
    """Both ends out by half a step each way, and the roll by a step: held against the bound, by scipy's turns."""
    way = random_way(seed, least=(30.0, 90.0, 400.0)[seed % 3])
    said = in_words(PIECE, way)
    rng = np.random.default_rng(seed)
    axis = np.array([PIECE.point_at(s) for s in np.linspace(0.0, PIECE.length, 80)])
    worst = 0.0
    for _ in range(60):
        errors = rng.choice([-0.5, 0.5], size=(2, 3)) * said.step_mm
        line = np.array(PIECE.finish) - PIECE.start
        now = line + errors[1] - errors[0]
        # The least turn, and a roll about the line between the ends on top of it.
        cross = np.cross(line, now)
        angle = np.arctan2(np.linalg.norm(cross), line @ now)
        turn = Rotation.from_rotvec(cross / max(np.linalg.norm(cross), 1e-12) * angle)
        turns = sum("roll" in str(step.said) or "until its start" in str(step.said) for step in said.steps)
        rolled = np.radians(said.step_deg) * (turns > 0) * rng.uniform(-1, 1)
        turn = Rotation.from_rotvec(now / np.linalg.norm(now) * rolled) * turn
        moved = turn.apply(axis - PIECE.start) + PIECE.start + errors[0]
        worst = max(worst, float(np.linalg.norm(moved - axis, axis=1).max()))
    assert way.least_mm is not None
    assert worst <= way.least_mm - said.kept_mm + 1e-6
    assert worst > 0.0
