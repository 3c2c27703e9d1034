"""Points that make no bend, sprinkled over runs: the bends must be those of the run without them.

The expected finish comes from plain rotations (scipy) about the figures of the bend table alone, as someone with the
JSON in hand would rebuild it; the expected bends from the polyline before anything was sprinkled on it.
"""

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from click.testing import CliRunner
from command_line import CUPBOARD
from scipy.spatial.transform import Rotation

from pipemodel.bending import closure, schedule
from pipemodel.bending.bends import bend_corners, gain
from pipemodel.bending.closure import NotClosedError
from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.schedule import solve, solve_run
from pipemodel.cli import pipemodel
from pipemodel.geometry.straighten import LEAST_BEND_DEG, SAME_POINT_MM, STRAIGHTEN_MM, find_corners
from pipemodel.job.model import Job, JobError, Place, Route, Run
from pipemodel.story import load
from pipemodel.trade.model import Former, Tube

R = 40.0


def run_of(points, joined=frozenset(), radius=R, **route):
    corners = tuple(tuple(map(float, p)) for p in points)
    return Run("one", Tube(15.0, 0.7, "15 x 0.7"), Former(radius), Route(corners, joined, **route), Place(7, 3))


def rebuilt(solved, direction, normal):
    """Bend a straight tube up by the table's figures: straight to each start_mm, then an arc, then the tail."""
    here, ahead, axis = np.array(solved.start), np.array(direction, float), np.array(normal, float)
    at = 0.0
    for bend in solved.bends:
        here = here + (bend.start_mm - at) * ahead
        axis = Rotation.from_rotvec(ahead * bend.turn_deg, degrees=True).apply(axis)
        centre = here + bend.radius_mm * np.cross(axis, ahead)
        turned = Rotation.from_rotvec(axis * bend.angle_deg, degrees=True)
        here, ahead = centre + turned.apply(here - centre), turned.apply(ahead)
        at = bend.start_mm + bend.arc_mm
    return here + solved.straight_after_mm * ahead


def unit(v):
    return np.asarray(v, float) / np.linalg.norm(v)


def random_polyline(dice):
    """Corners of 10 to 120 degrees with legs long enough for them, in any direction."""
    points, ahead = [dice.uniform(-500, 500, 3)], unit(dice.normal(size=3))
    for _ in range(int(dice.integers(1, 7))):
        points.append(points[-1] + ahead * dice.uniform(150, 600))
        side = unit(np.cross(ahead, dice.normal(size=3)))
        angle = math.radians(dice.uniform(10, 110))
        ahead = math.cos(angle) * ahead + math.sin(angle) * side
    points.append(points[-1] + ahead * dice.uniform(150, 600))
    return [tuple(map(float, p)) for p in points]


def sprinkled(dice, points, near):
    """The same run with points repeated, `near` mm off at the most, and points in line put in."""
    out = []
    for i, point in enumerate(points):
        again = int(dice.integers(0, 4))
        repeats = [tuple(np.add(point, unit(dice.normal(size=3)) * near * dice.uniform())) for _ in range(again)]
        if i == len(points) - 1:
            out += [*repeats, point]
            break
        out += [point, *repeats]
        for share in sorted(dice.uniform(0.1, 0.9, int(dice.integers(0, 4)))):
            here = tuple(np.add(np.multiply(point, 1 - share), np.multiply(points[i + 1], share)))
            out += [here] * int(dice.integers(1, 4))
    return out


def test_points_that_make_no_bend_change_nothing():
    dice = np.random.default_rng(11)
    put_in = compared = 0
    for _ in range(150):
        points = random_polyline(dice)
        more = sprinkled(dice, points, 0.0)
        plain, solved = solve_run(run_of(points)), solve_run(run_of(more))
        assert len(solved.bends) == len(points) - 2
        for bend, same in zip(solved.bends, plain.bends, strict=True):
            assert bend == pytest.approx(same, abs=1e-7)
        first = unit(np.subtract(points[1], points[0]))
        normal = unit(np.cross(first, np.subtract(points[2], points[1])))
        assert rebuilt(solved, first, normal) == pytest.approx(points[-1], abs=1e-6)
        assert solved.finish == pytest.approx(points[-1], abs=1e-6)
        assert not solved.straightened
        assert len(solved.notes) == len(more) - len(points)
        put_in += len(more) - len(points)
        compared += len(solved.bends)
    assert put_in > 2000
    assert compared > 400


@pytest.mark.parametrize("near", [1e-9, 1e-7, 1e-6, 1e-5, 1e-3, 0.01])
def test_points_nearly_repeated_move_no_more_than_they_are_off(near):
    dice = np.random.default_rng(12)
    compared = 0
    for _ in range(25):
        points = random_polyline(dice)
        plain, solved = solve_run(run_of(points)), solve_run(run_of(sprinkled(dice, points, near)))
        assert len(solved.bends) == len(points) - 2
        assert solved.finish == pytest.approx(points[-1], abs=1e-6)
        for bend, same in zip(solved.bends, plain.bends, strict=True):
            assert bend.angle_deg == pytest.approx(same.angle_deg, abs=math.degrees(4 * near / 150) + 1e-7)
            assert bend.start_mm == pytest.approx(same.start_mm, abs=30 * near + 1e-6)
            compared += 1
    assert compared > 60


@pytest.mark.parametrize("near", [1e-9, 1e-4, 0.01])
def test_repeats_beside_a_return_bend(near):
    dice = np.random.default_rng(13)
    u = [(0, 0, 0), (300, 0, 0), (300, 2 * R, 0), (0, 2 * R, 0), (0, 2 * R, 200)]
    plain = solve_run(run_of(u, frozenset({1})))
    for before, between, after in [(0, 0, 1), (1, 0, 0), (2, 0, 2), (3, 0, 1)]:

        def off(point, times):
            return [tuple(np.add(point, unit(dice.normal(size=3)) * near)) for _ in range(times)]

        points = [u[0], (150, 0, 0), *off(u[1], before), u[1], u[2], *off(u[2], after), (150, 2 * R, 0), *u[3:]]
        solved = solve_run(run_of(points, frozenset({2 + before})))
        assert between == 0
        assert [b.angle_deg for b in solved.bends] == [180.0, pytest.approx(90.0, abs=1e-9)]
        for bend, same in zip(solved.bends, plain.bends, strict=True):
            assert bend == pytest.approx(same, abs=1e-6)


def test_a_return_bend_leaves_its_legs_no_play():
    u = [(0, 0, 0), (300, 0, 0), (300, 2 * R, 0), (150, 2 * R + 1e-3, 0), (0, 2 * R, 0)]
    with pytest.raises(UnbendableError, match=r"no return bend|beside a return bend"):
        solve_run(run_of(u, frozenset({1})))
    with pytest.raises(UnbendableError, match=r"no return bend: it needs two corners 80 apart"):
        solve_run(run_of([u[0], u[1], (300, 80.001, 0), (0, 80.001, 0)], frozenset({1})))


def test_a_run_that_starts_with_a_return_bend_is_refused():
    """The leg has no length, and no way to set out; it once divided by zero."""
    for start in [(300, 0, 0), (300, 0.001, 0)]:
        with pytest.raises(UnbendableError, match=r"40.0000 is missing|need 40.0000"):
            solve_run(run_of([start, (300, 0, 0), (300, 2 * R, 0), (0, 2 * R, 0)], frozenset({1})))


def test_a_gentle_chain_is_followed_or_refused_but_never_cut_off():
    """Each point 0.0005 mm off the straight between its neighbours, all together 25 mm off that of the ends."""
    n = 200
    chain = [(10.0 * i, 0.0005 * i * (n - i) / 1.0, 0.0) for i in range(n + 1)]
    with pytest.raises(UnbendableError, match=r"too small to be pulled") as caught:
        solve_run(run_of([(-300, -300, 0), *chain]))
    assert all(f.corner > 1 for f in caught.value.faults)
    # The same, but so flat that all of it lies within what is straightened.
    flat = [(x, y / 20.0, z) for x, y, z in chain]
    solved = solve_run(run_of([(0, -300, 0), *flat]))
    assert len(solved.bends) == 1
    assert max(i.aside_mm for i in solved.straightened) <= STRAIGHTEN_MM
    worst = max(abs(y) for _, y, _ in flat)
    assert max(i.aside_mm for i in solved.straightened) == pytest.approx(worst, rel=1e-3)


def test_every_point_left_out_lies_where_it_is_said_to_lie():
    dice = np.random.default_rng(14)
    seen = {"repeated": 0, "in line": 0, "too slight": 0}
    for _ in range(200):
        points = [tuple(p) for p in np.cumsum(dice.choice([0.0, 0.01, 3.0, 80.0], (12, 3)) * [1, 0, 0], axis=0)]
        points = [tuple(np.add(p, dice.normal(size=3) * dice.choice([0, 1e-4, 0.02, 0.2]))) for p in points]
        found = find_corners(points)
        kept = np.array([points[i] for i in found.kept])
        for out in found.left_out:
            p = np.array(points[out.point])
            a, d = kept[:-1], np.diff(kept, axis=0)
            share = np.clip(((p - a) * d).sum(1) / np.maximum((d * d).sum(1), 1e-300), 0, 1)
            true = np.linalg.norm(p - a - share[:, None] * d, axis=1).min()
            assert true <= out.aside_mm + 1e-9 or out.reason == "repeated"
            assert (
                out.aside_mm
                <= {"repeated": SAME_POINT_MM, "in line": STRAIGHTEN_MM, "too slight": STRAIGHTEN_MM}[out.reason]
            )
            seen[out.reason] += 1
        assert {*found.kept} | {o.point for o in found.left_out} == set(range(12))
    assert min(seen.values()) > 50


def test_nothing_too_slight_to_be_pulled_is_left():
    """Random points a little off a straight between two firm corners: bends of at least 1 degree, or a fault."""
    dice = np.random.default_rng(15)
    straightened = refused = solved_at_all = 0
    for _ in range(200):
        xs = np.sort(dice.uniform(50, 1950, 3))
        points = [(0, -500, 0), (0, 0, 0), *((x, *dice.normal(size=2) * dice.choice([0.05, 0.5, 3])) for x in xs)]
        points += [(2000, 0, 0), (2000, 0, 500)]
        try:
            solved = solve_run(run_of(points, radius=1.0))
        except UnbendableError as error:
            refused += all("too small to be pulled" in f.said for f in error.faults)
            continue
        assert all(b.angle_deg >= LEAST_BEND_DEG * (1 - 1e-9) for b in solved.bends)
        straightened += bool(solved.straightened)
        solved_at_all += 1
    assert straightened > 60
    assert refused > 40
    assert solved_at_all + refused == 200


def test_the_least_bend_is_pulled_and_one_below_is_not():
    def at(angle, leg):
        a = math.radians(angle)
        return [(0, 0, 0), (leg, 0, 0), (leg + leg * math.cos(a), leg * math.sin(a), 0)]

    assert len(solve_run(run_of(at(1.0, 500))).bends) == 1
    assert solve_run(run_of(at(0.2, 500))).straightened[0].aside_mm == pytest.approx(
        500 * math.tan(math.radians(0.1)), rel=1e-3
    )
    with pytest.raises(UnbendableError, match=r"0.9 degrees, too small to be pulled \(the least is 1\).* at 3.93 mm"):
        solve_run(run_of(at(0.9, 500)))


def test_in_the_file_the_fault_stands_at_the_point(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: a\ntube: 15\nformer: {radius: 55}\nruns:\n  one:\n    points:\n      - [0, 0, 0]\n"
        "      - [300, 2.6, 0]\n      - [600, 0, 0]\n"
    )
    with pytest.raises(JobError, match=r":8:9: run 'one': point 2 asks for a bend of 0.9931 degrees, too small to be"):
        load(job)


def test_repeats_and_slight_corners_in_a_job(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: a\ntube: 15\nformer: {radius: 55, springback: {fixed: 1}}\nruns:\n"
        "  one: {points: [[0,-400,0],[0,0,0],[300,0,0],[300,0,0],[600,0,0],[600,0,400]]}\n"
        "  two: {points: [[0,900,0],[300,900,0],[300,900,0],[600,900,0],[600,900,400]]}\n"
        "  three: {points: [[0,1900,0],[300,1900.1,0],[600,1900,0],[600,1900,400]]}\n"
    )
    runs = json.loads(CliRunner().invoke(pipemodel, ["schedule", str(job), "--format", "json"]).stdout)["runs"]
    assert [[b["angle_deg"] for b in run["bends"]] for run in runs] == [[90.0, 90.0], [90.0], [90.0]]
    assert [run["finish"] for run in runs] == [[600, 0, 400], [600, 900, 400], [600, 1900, 400]]
    findings = json.loads(CliRunner().invoke(pipemodel, ["check", str(job), "--format", "json"]).stdout)["findings"]
    (warning,) = [f for f in findings if f["code"] == "B111"]
    assert (warning["severity"], warning["run"]) == ("warning", "three")
    assert warning["distance_mm"] == pytest.approx(0.1)
    assert warning["point"] == pytest.approx([300, 1900, 0], abs=1e-6)
    assert "the finish stays where it is given" in warning["message"]


def test_the_example_whose_set_is_taken_away_by_a_parameter():
    """With `aside` at 0 two of its corners are one, and on a straight: two square bends are left."""
    (run,) = schedule.solve(load(CUPBOARD, {"aside": 0.0})).runs
    assert [b.angle_deg for b in run.bends] == [90.0, 90.0]
    assert run.finish == pytest.approx((1861, 120, 300), abs=1e-9)
    assert run.bends[1].start_mm == pytest.approx(490 + 55 * math.pi / 2 + 1861 - 2 * 55)
    # Nearly taken away, its two bends of 45 degrees have no room, which is said at the point.
    with pytest.raises(
        JobError, match=r":34:9: run 'flow': points 3 and 4 are 0.7071 apart, but their bends need 45.5"
    ):
        schedule.solve(load(CUPBOARD, {"aside": 0.5}))


def test_an_end_in_a_fitting_goes_by_the_next_true_corner(tmp_path):
    """A point repeated or in line beside an end once sent the tube's end out sideways, or bent it back on itself."""
    job = tmp_path / "job.yaml"
    text = (
        "job: a\ntube: 15\nformer: {radius: 55}\nruns:\n  one:\n    points: [%s]\n"
        "    ends:\n      start: {fitting: elbow, to: centre, depth: 12, centre_to_stop: 9}\n"
        "      finish: {fitting: elbow, to: centre, depth: 12, centre_to_stop: 9}\n"
    )

    def solved(points):
        job.write_text(text % points)
        done = CliRunner().invoke(pipemodel, ["schedule", str(job), "--format", "json"])
        assert done.exit_code == 0, done.stderr
        return json.loads(done.stdout)["runs"][0]

    plain = solved("[0,0,0], [400,0,0], [400,400,0]")
    odd = solved("[0,0,0], [0,0.005,0], [0.5,0,0], [1,0,0], [400,0,0], [400,399.5,0], [400.005,400,0], [400,400,0]")
    assert odd["bends"] == plain["bends"]
    assert (odd["start"], odd["finish"]) == (plain["start"], plain["finish"])


# ---- the program checks itself


def broken(**change):
    """Corners bent as they are, and then one figure of the last bend put wrong."""

    def bend(*asked):
        bent = bend_corners(*asked)
        bends = bent.table.bends
        last = bends[-1]
        off = {key: getattr(last, key) + by for key, by in change.items()}
        table = type(bent.table)(
            bent.table.start,
            bent.table.direction,
            bent.table.normal,
            (*bends[:-1], last._replace(**off)),
            bent.table.straight_after_mm,
        )
        return bent._replace(table=table)

    return bend


@pytest.mark.parametrize(
    "change",
    [
        {"angle_deg": 1e-4},
        {"turn_deg": 1e-4},
        {"turn_deg": 180.0},
        {"straight_before_mm": 1e-4},
        {"start_mm": 1e-4},
        {"radius_mm": 1e-4},
        {"arc_mm": 1e-4},
        {"start_mm": float("nan")},
    ],
    ids=str,
)
def test_a_table_that_does_not_close_never_leaves(monkeypatch, change):
    run = run_of([(0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350)])
    solve_run(run)
    monkeypatch.setattr(schedule, "bend_corners", broken(**change))
    with pytest.raises(NotClosedError, match="fault of pipemodel"):
        solve_run(run)
    with pytest.raises(JobError, match=r"job.yaml:7:3: run 'one': the bend table") as caught:
        solve(Job("a", (run,)))
    assert len(caught.value.faults) == 1


def test_a_bend_lost_does_not_close(monkeypatch):
    def bend(*asked):
        bent = bend_corners(*asked)
        table = type(bent.table)(
            bent.table.start, bent.table.direction, bent.table.normal, bent.table.bends[:-1], 300.0
        )
        return bent._replace(table=table)

    monkeypatch.setattr(schedule, "bend_corners", bend)
    with pytest.raises(NotClosedError):
        solve_run(run_of([(0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350)]))


@pytest.mark.parametrize(
    ("other", "tail"),
    [
        # The same start, radii and finish, by another way; and the right way to a finish that is short.
        ([(0, 0, 0), (600, 0, 0), (600, 0, 350), (600, 400, 350)], 0.0),
        ([(0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350)], -1e-4),
    ],
)
def test_legs_and_finish_are_both_looked_at(monkeypatch, other, tail):
    def bend(*asked):
        bent, table = bend_corners(*asked), bend_corners([tuple(map(float, p)) for p in other], R).table
        return bent._replace(table=replace(table, straight_after_mm=table.straight_after_mm + tail))

    monkeypatch.setattr(schedule, "bend_corners", bend)
    with pytest.raises(NotClosedError):
        solve_run(run_of([(0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350)]))


@pytest.mark.parametrize("away", [0.0, 1e4, 1e6, 1e8])
def test_sound_runs_close_wherever_they_are_and_however_long(away):
    dice = np.random.default_rng(16)
    for bends in (3, 40, 400):
        points = [np.array([away, -away, away])]
        for i in range(bends):
            points.append(points[-1] + np.roll([dice.uniform(200, 3000), 0, 0], i % 3))
        solved = solve_run(run_of(points))
        assert len(solved.bends) == bends - 1
        assert solved.finish == pytest.approx(points[-1], abs=1e-6 + 1e-12 * away)
    assert closure.CLOSES_MM == 1e-6


# ---- figures at the edges of what can be bent


def test_bends_that_lack_half_a_millimetre_are_refused():
    with pytest.raises(UnbendableError, match=r"0.4000 is missing"):
        bend_corners([(0.0, 0, 0), (300, 0, 0), (300, 2 * R - 0.4, 0), (600, 2 * R - 0.4, 0)], R)


def test_a_bend_of_178_degrees_at_one_corner():
    a = math.radians(178)
    bent = bend_corners([(0.0, 0, 0), (4000, 0, 0), (4000 + 4000 * math.cos(a), 4000 * math.sin(a), 0)], R)
    assert bent.table.bends[0].angle_deg == pytest.approx(178.0, rel=1e-12)
    assert bent.table.bends[0].start_mm == pytest.approx(4000 - R / math.tan(math.radians(1)), rel=1e-9)


def test_the_gain_of_a_return_bend():
    """Two legs measured to the corners of a U of width 2 R, so R + 2 R + R, against half the circle."""
    assert gain(R, 180.0) == pytest.approx(4 * R - math.pi * R, rel=1e-15)
