"""A room measured with a tape in the chance that a run fits: against rooms measured again and again.

Each time the tape's readings are drawn again, the points found by scipy's least squares and the piece made to them,
bent by the other program's hands; the true room stands still.
"""

import hands_simulator
import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import norm

from pipemodel import check, load
from pipemodel.results.results import Results
from pipemodel.story import schedule

TRUE = {"A": (0.0, 0.0), "B": (1500.0, 0.0), "C": (1400.0, 900.0), "D": (100.0, 800.0)}
LINES = [("A", "B"), ("A", "C"), ("A", "D"), ("B", "C"), ("B", "D"), ("C", "D")]
TAPE = 2.0
JOB = """\
job: measured
tube: 15
former: {{radius: 55, springback: {{per_degree: 0, fixed: 0}}, hold: 60, guide: 45}}
hands: {hands}
measured:
  tape: {tape}
  points:
    A: [0, 0, 0]
    B: {{y: 0, z: 0, side: east}}
    C: {{z: 0, side: north}}
    D: {{z: 0, side: north}}
  readings:
{readings}
room:
{room}
runs:
  r:
    points: {points}
    ends: {{finish: {{within: {{sideways: 4, along: 4}}}}}}
"""
POINTS = '[C, ["${C.x}", "${C.y}", 300], ["${D.x}", "${C.y}", 300], ["${D.x}", "${D.y - 200}", 300]]'


def reading(a, b):
    return float(np.hypot(*np.subtract(TRUE[a], TRUE[b])))


def written(tmp_path, hands="{mark: 0, angle: 0, turn: 0}", room="  {}", points=POINTS, tape=TAPE):
    readings = "\n".join(f"    - {{points: [{a}, {b}], reads: {reading(a, b)!r}}}" for a, b in LINES)
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(hands=hands, room=room, points=points, readings=readings, tape=tape))
    return path


def found_again(count, seed, tape=TAPE):
    """Coordinates B.x, C.x, C.y, D.x, D.y as so many tapings find them, (count, 5)."""
    right = np.array([TRUE["B"][0], *TRUE["C"], *TRUE["D"]])
    dice = np.random.default_rng(seed)

    def places(x):
        return {"A": (0.0, 0.0), "B": (x[0], 0.0), "C": (x[1], x[2]), "D": (x[3], x[4])}

    def lines(x):
        at = places(x)
        return np.array([np.hypot(*np.subtract(at[a], at[b])) for a, b in LINES])

    out = []
    for _ in range(count):
        read = lines(right) + dice.normal(0.0, tape, len(LINES))
        out.append(least_squares(lambda x, read=read: lines(x) - read, right).x)
    return np.array(out)


@pytest.mark.slow
@pytest.mark.parametrize("hands", [(0.0, 0.0, 0.0), (1.0, 0.3, 0.3)])
def test_the_chance_is_that_of_rooms_measured_again(tmp_path, hands):
    count = 1500
    job = load(written(tmp_path, "{{mark: {}, angle: {}, turn: {}}}".format(*hands)))
    (fit,) = check(job).fits
    record = Results(schedule(job)).schedule_record["runs"][0]
    found = found_again(count, 3)
    # A piece made to the places found and set down at the true C ends short of the true D by what the way between
    # the two was found wrong: along x, and along y.
    way = found[:, 3:5] - found[:, 1:3]
    true = np.subtract(TRUE["D"], TRUE["C"])
    off = np.column_stack([way - true, np.zeros(count)])
    covariance = np.cov(off.T)
    if not any(hands):
        assert np.array(fit.linear)[:2, :2] == pytest.approx(covariance[:2, :2], rel=0.12, abs=0.3)
        assert fit.room_part == pytest.approx(1.0)
        assert fit.shares == ()
    in_frame = hands_simulator.many(record, hands, count, 4, record["plan"]["pulls"])
    nominal = hands_simulator.many(record, (0.0, 0.0, 0.0), 1, 4)[0]
    # The other program's frame: x along the first leg, which goes up, z the axis of the first bend.
    x = np.array([0.0, 0.0, 1.0])
    y = np.array([-1.0, 0.0, 0.0])
    off = off + (in_frame - nominal) @ np.array([x, y, np.cross(x, y)])
    last = np.array([0.0, -1.0, 0.0])
    along = off @ last
    sideways = np.linalg.norm(off - np.outer(along, last), axis=1)
    share = np.mean((sideways <= 4.0) & (abs(along) <= 4.0))
    assert fit.chance.value == pytest.approx(share, abs=4.0 * np.sqrt(share * (1.0 - share) / count) + 0.01)


@pytest.mark.slow
def test_a_wall_at_a_measured_point_is_touched_as_often_as_rooms_measured_again_have_it(tmp_path):
    # Up, then west along a wall that faces south at D: as drawn the tube is 3 clear of it.
    room = "  wall: {face: {at: D, facing: south}}"
    points = '[["${C.x}", "${D.y - 10.5}", 0], ["${C.x}", "${D.y - 10.5}", 300], [-200, "${D.y - 10.5}", 300]]'
    (fit,) = check(load(written(tmp_path, room=room, points=points))).fits
    # The start is measured off the wall itself: both are found wrong by as much, and nothing is touched.
    assert fit.touches[0].distance_mm == pytest.approx(3.0, abs=1e-6)
    assert fit.touches[0].chance.hits == 0
    # Measured from A, it is out by what D is.
    points = points.replace('"${D.y - 10.5}"', "789.5")
    (fit,) = check(load(written(tmp_path, room=room, points=points))).fits
    found = found_again(1500, 5)
    # The wall truly stands nearer than it was found by as much as it was found too far off.
    share = np.mean(found[:, 4] - 800.0 > 3.0)
    assert fit.touches[0].chance.low - 0.02 < share < fit.touches[0].chance.high + 0.02
    assert share == pytest.approx(norm.sf(3.0 / found[:, 4].std()), abs=0.02)
    assert share > 0.02


def test_a_tape_that_never_errs_leaves_nothing_open(tmp_path):
    (fit,) = check(load(written(tmp_path, tape=0.001))).fits
    assert fit.chance.value == 1.0
    assert np.array(fit.linear).max() < 1e-4


def test_ten_times_as_far_off(tmp_path):
    one, ten = (check(load(written(tmp_path, tape=tape))).fits[0] for tape in (0.5, 5.0))
    assert np.array(ten.linear) == pytest.approx(100.0 * np.array(one.linear), abs=0.02)
    assert ten.chance.value < one.chance.value


def test_it_says_that_the_room_matters_most(tmp_path):
    found = [f for f in check(load(written(tmp_path))).findings if f.code == "F101"]
    assert "how well the room is measured matters most" in str(found[0].message)
