"""Movement by temperature: against closed forms, a handbook's table, and a program that integrates along the tube."""

import random
from dataclasses import replace
from math import pi

import numpy as np
import pytest

from pipemodel import story
from pipemodel.bending.schedule import solve
from pipemodel.checks.movement import freedom_mm, movement, movement_of
from pipemodel.geometry.vectors import distance
from pipemodel.job.model import Job, JobError, Route, Run, Temperatures
from pipemodel.trade.formers import generic_former
from pipemodel.trade.materials import find_material
from pipemodel.trade.tubes import find_tube

COPPER = find_material("copper")
WARM = Temperatures(10.0, 60.0)
INCH = 25.4


def solved(points, size=15, temperatures=WARM):
    tube = find_tube(size)
    run = Run("rise", tube, generic_former(tube), Route(tuple(points)), temperatures=temperatures)
    return solve(Job("warm", (run,)))


def of(points, clips=(), **kwargs):
    return movement_of(solved(points, **kwargs).runs[0], WARM, COPPER, clips)


@pytest.mark.parametrize("clips", [(), (300.0, 1500.0), (700.0,)])
def test_a_straight_fixed_at_both_ends_is_pressed_by_e_alpha_t(clips):
    # Any textbook of strength of materials: sigma = E alpha dT, whatever slides along it.
    got = of([(0, 0, 0), (2000, 300, 100)], clips)
    assert got.stress_n_mm2 == pytest.approx(107560 * 16.8e-6 * 50, rel=1e-6)
    assert got.moves_mm < 1e-6
    assert got.grows_mm == pytest.approx(16.8e-6 * 50 * distance((0, 0, 0), (2000, 300, 100)))


@pytest.mark.parametrize(
    ("outside_in", "coil_in", "length_in"),
    # Copper Development Association (US), Copper Tube Handbook, table 8: 1 in of expansion, nominal 1/4 to 2.
    [(0.375, 9, 54), (0.5, 10, 63), (0.625, 11, 70), (0.875, 13, 83), (1.125, 15, 94), (1.375, 17, 104),
     (1.625, 18, 113), (2.125, 21, 129)],
)  # fmt: skip
def test_the_length_of_a_loop_is_the_handbook_s(outside_in, coil_in, length_in):
    free = freedom_mm(1.0 * INCH, outside_in * INCH, COPPER) / INCH
    assert free == pytest.approx(length_in, abs=1.0)
    assert free / (2.0 * pi) == pytest.approx(coil_in, abs=1.0)


def by_integration(line, tube, strain):
    """The greatest stress of a run without clips by the force method.

    It is cut at its finish, and the six reactions there are those that bring the finish back; flexibilities are
    integrals along the axis. Nothing of it is the program's but the axis.
    """
    e, nu = 107560.0, 0.34
    area = pi * (tube.outside_mm**2 - tube.bore_mm**2) / 4.0
    second = pi * (tube.outside_mm**4 - tube.bore_mm**4) / 64.0
    places, weights = [], []
    for low, high in zip(line.offsets[:-1], line.offsets[1:], strict=True):
        x, w = np.polynomial.legendre.leggauss(24)
        places += list((low + high) / 2 + (high - low) / 2 * x)
        weights += list((high - low) / 2 * w)
    finish = np.array(line.finish)

    def inner(s):
        """Force and moment at s, as functions of the six reactions at the finish."""
        arm = finish - np.array(line.point_at(s))
        cross = np.array([[0, -arm[2], arm[1]], [arm[2], 0, -arm[0]], [-arm[1], arm[0], 0]])
        return np.block([[np.eye(3), np.zeros((3, 3))], [cross, np.eye(3)]])

    def gives(s):
        t = np.array(line.direction_at(s))
        along, across = np.outer(t, t), np.eye(3) - np.outer(t, t)
        force = along / (e * area)
        moment = across / (e * second) + along / (e / (2 * (1 + nu)) * 2 * second)
        return np.block([[force, np.zeros((3, 3))], [np.zeros((3, 3)), moment]])

    flexibility = sum(w * inner(s).T @ gives(s) @ inner(s) for s, w in zip(places, weights, strict=True))
    free = np.concatenate([strain * (finish - np.array(line.start)), np.zeros(3)])
    reactions = np.linalg.solve(flexibility, -free)
    worst = 0.0
    for s in np.linspace(0.0, line.length, 4001):
        loads, t = inner(s) @ reactions, np.array(line.direction_at(s))
        bending = np.linalg.norm(loads[3:] - t * (loads[3:] @ t))
        worst = max(worst, bending * tube.outside_mm / 2 / second + abs(loads[:3] @ t) / area)
    return worst


def random_points(seed):
    draw = random.Random(seed)
    points, axis = [(0.0, 0.0, 0.0)], draw.randrange(3)
    for _ in range(draw.randint(2, 7)):
        last = list(points[-1])
        last[axis] += draw.choice((-1, 1)) * draw.uniform(250, 1800)
        axis = (axis + draw.choice((1, 2))) % 3
        points.append(tuple(last))
    return points


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_stress_of_runs_without_clips_against_integration_along_the_axis(seed):
    run = solved(random_points(seed), size=(15, 22, 28)[seed % 3]).runs[0]
    got = movement_of(run, WARM, COPPER, ())
    expected = by_integration(run.centreline, run.tube, 16.8e-6 * 50.0)
    assert got.stress_n_mm2 == pytest.approx(expected, rel=0.03)


def test_a_set_between_clips_against_the_same_with_the_clips_as_ends():
    """A clip at each end of a straight that goes on: it slides there, and the far straights push the set together."""
    points = [(0, 0, 0), (2000, 0, 0), (2000, 500, 0), (4000, 500, 0)]
    line = solved(points).runs[0].centreline
    loose, tight = of(points), of(points, (1890.0, line.length - 1890.0))
    assert loose.stress_n_mm2 < tight.stress_n_mm2
    # A bar whose ends are kept from turning and moved aside by d: 6 E I d / l^2 is the moment there, so 3 E D d / l^2
    # the stress (any textbook); here the clips keep them from turning, and pressure along the tube adds a little.
    growth = 16.8e-6 * 50 * 4000
    assert tight.stress_n_mm2 == pytest.approx(3 * 107560 * 15 * growth / 500**2, rel=0.1)


def test_more_clips_never_make_it_easier_near_a_bend():
    points = [(0, 0, 0), (3000, 0, 0), (3000, 1200, 0)]
    stress = [of(points, (3000.0 + at,)).stress_n_mm2 for at in (1000.0, 600.0, 300.0, 100.0)]
    assert stress == sorted(stress)
    assert stress[0] < 41.4 < stress[-1]


def said(text, tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    report = story.check(story.load(path))
    return [f for f in report.findings if f.check == "movement"]


JOB = """\
job: x
tube: 22
former: {radius: 77}
room: {wall: {face: {at: [0, 33, 0], facing: south}}}
clips: {face: wall, service: water, standoff: 33}
TEMPERATURE
runs: {L: {points: [[0, 0, 0], [6000, 0, 0], [6000, 0, 1050]]}}
stock: {length: 9000}
"""
WRITTEN = "temperature: {coldest: 5, hottest: 75}"


def test_clips_that_hold_a_bend_are_named_and_leaving_them_loose_is_proved(tmp_path):
    (found,) = said(JOB.replace("TEMPERATURE", WRITTEN), tmp_path)
    assert (found.code, found.severity) == ("T101", "warning")
    assert "grows by 7.2 mm" in found.message  # 16.8e-6 x 70 x sqrt(6^2 + 1.05^2) m
    assert "with clip 5 such that the tube can move aside there it would be" in found.message


def test_a_straight_needs_an_offset_or_a_loop(tmp_path):
    text = JOB.replace("TEMPERATURE", WRITTEN).replace(", [6000, 0, 1050]", "")
    (found,) = said(text, tmp_path)
    assert found.code == "T101"
    # sqrt(3 x 107560 x 22 x 7.056 / 41.4) = 1099.7 mm
    assert "a loop with 1100 mm of straight tube" in found.message


@pytest.mark.parametrize(("size", "radius", "length"), [(15, 55, 4500), (22, 77, 9000), (28, 98, 8000)])
def test_a_loop_with_so_much_straight_tube_takes_it_up_with_clips_right_beside_it(size, radius, length):
    tube = find_tube(size)
    free = freedom_mm(COPPER.expansion_per_k * 50 * length, tube.outside_mm, COPPER)
    x, side = length / 2, free / 3 + 2 * radius
    low, high = x - side / 2, x + side / 2
    line = [(0, 0, 0), (low, 0, 0), (low, side, 0), (high, side, 0), (high, 0, 0), (length, 0, 0)]
    former = replace(generic_former(tube), radius_mm=radius)
    run = solve(Job("warm", (Run("rise", tube, former, Route(tuple(line)), temperatures=WARM),))).runs[0]
    guides = [low - radius - 60, run.centreline.length - (low - radius - 60)]
    got = movement_of(run, WARM, COPPER, guides)
    assert COPPER.allowed_n_mm2 / 4 < got.stress_n_mm2 <= COPPER.allowed_n_mm2


def test_nothing_is_said_unless_asked(tmp_path):
    assert said(JOB.replace("TEMPERATURE\n", ""), tmp_path) == []


def test_stainless_has_no_published_stress_and_others_no_table(tmp_path):
    text = JOB.replace("TEMPERATURE", WRITTEN)
    (steel,) = said(text.replace("tube: 22", "tube: 22 stainless").replace("{radius: 77}", "{radius: 90}"), tmp_path)
    assert (steel.code, "no stress is published for stainless" in steel.message) == ("T102", True)
    (other,) = said(text.replace("tube: 22", "tube: {outside: 22, wall: 1, material: brass}"), tmp_path)
    assert (other.code, "nothing was looked at" in other.message) == ("T102", True)


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("temperature: {coldest: 75, hottest: 5}", "must be more than coldest"),
        ("temperature: {coldest: 5}", "hottest"),
        ("temperature: {coldest: 5, hottest: 5000}", "write from -60 to 250"),
        ("temperature: 60", "6:14"),
    ],
)
def test_temperatures_that_cannot_be_are_faults_at_their_place(written, why, tmp_path):
    with pytest.raises(JobError) as caught:
        said(JOB.replace("TEMPERATURE", written), tmp_path)
    assert why in str(caught.value)
    assert ":6:" in str(caught.value)


def test_a_run_may_have_its_own(tmp_path):
    text = JOB.replace("TEMPERATURE", WRITTEN).replace("points:", "temperature: {coldest: 10, hottest: 11}, points:")
    (found,) = said(text, tmp_path)
    assert found.code == "T102"
    assert "between 10 and 11" in found.message


def test_clips_at_a_bend_s_end_or_twice_at_one_place_do_no_harm():
    points = [(0, 0, 0), (1000, 0, 0), (1000, 1000, 0)]
    run = solved(points).runs[0]
    bend = run.table.bends[0]
    for clips in ((bend.start_mm, bend.finish_mm), (0.0, run.centreline.length), (500.0, 500.0)):
        assert np.isfinite(movement_of(run, WARM, COPPER, clips).stress_n_mm2)


def test_a_run_of_many_bends_is_looked_at_whole():
    points = [(0.0, 0.0, 0.0)]
    for i in range(60):
        x, y, z = points[-1]
        points.append((x + 300, y, z) if i % 2 else (x, y + 300, z))
    schedule = solved(points)
    (found,) = movement(schedule)
    assert found.code == "T102"
