"""Runs laid beside another: a small program of its own bends both from their corners and measures between them.

It knows nothing of how the corners were found: it takes those of both runs, rounds them off, and measures.
"""

import json
import math

import numpy as np
import pytest
from scipy.spatial import KDTree

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text


def job_text(flow, other, head="former: {radius: 55, hold: 30, guide: 10}"):
    lines = ["job: side by side", "tube: 15", head, "runs:", *flow, *other]
    return "\n".join(lines) + "\n"


def both(flow, beside, **more):
    """The corners of a run through points, and of the one beside it."""
    points = json.dumps([[float(c) for c in p] for p in flow])
    job = job_of_text(
        job_text([f"  flow: {{points: {points}}}"], [f"  return: {{beside: {beside}}}"], **more), "job.yaml"
    )
    return [np.array(run.route.corners) for run in job.runs]


def straights(corners, radius):
    """The straights between bends of a radius, from and to; (n, 2, 3)."""
    ways = np.diff(corners, axis=0)
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    cosine = np.clip((ways[:-1] * ways[1:]).sum(axis=1), -1.0, 1.0)
    back = np.r_[0.0, radius * np.tan(np.arccos(cosine) / 2.0), 0.0]
    return np.stack([corners[:-1] + back[:-1, None] * ways, corners[1:] - back[1:, None] * ways], axis=1)


def axis_points(corners, radius, step):
    """Points of the axis, straights and arcs, no farther apart than a step."""
    legs, points = straights(corners, radius), []
    for k, (a, b) in enumerate(legs):
        n = max(int(np.linalg.norm(b - a) / step), 1) + 1
        points.append(a + np.linspace(0.0, 1.0, n)[:, None] * (b - a))
        if k + 1 < len(legs):
            c = legs[k + 1][0]
            u, v = b - corners[k + 1], c - corners[k + 1]
            middle = corners[k + 1] + (u + v) / np.linalg.norm(u + v) * math.hypot(np.linalg.norm(u), radius)
            for share in np.linspace(0.0, 1.0, 40):
                way = (1.0 - share) * (b - middle) + share * (c - middle)
                points.append((middle + radius * way / np.linalg.norm(way))[None])
    return np.concatenate(points)


def nearest(points, line):
    """How near points come to a line through points close together: to the stretches before and after the nearest."""
    _, k = KDTree(line).query(points)
    a, ab = line[:-1], np.diff(line, axis=0)
    k = np.clip(np.stack([k - 1, k]), 0, len(ab) - 1)
    rel = points - a[k]
    share = np.clip((rel * ab[k]).sum(-1) / np.maximum((ab[k] ** 2).sum(-1), 1e-30), 0.0, 1.0)
    return np.linalg.norm(rel - share[..., None] * ab[k], axis=-1).min()


def random_flow(dice):
    """A run of legs long enough for what lies inside; square, slight and sharp bends in any plane."""
    way, points = np.array([1.0, 0.0, 0.0]), [np.zeros(3)]
    for k in range(dice.integers(1, 6)):
        if k:
            side = (
                np.cross(way, dice.normal(size=3))
                if dice.random() < 0.5
                else np.cross(way, np.eye(3)[dice.integers(3)])
            )
            if np.linalg.norm(side) < 0.1:
                side = np.cross(way, [0.3, 0.5, 0.8])
            side /= np.linalg.norm(side)
            angle = math.radians(dice.choice([90.0, 90.0, 30.0, 45.0, 5.0, 110.0, dice.uniform(2.0, 120.0)]))
            way = math.cos(angle) * way + math.sin(angle) * side
        points.append(points[-1] + dice.uniform(700.0, 1100.0) * way)
    return points


@pytest.mark.slow
def test_every_leg_lies_alongside_at_the_distance_and_no_bend_comes_nearer():
    dice, bent = np.random.default_rng(11), 0
    for _ in range(60):
        flow, gap = random_flow(dice), float(dice.choice([0.0, 10.0, 40.0, 100.0]))
        asked = dice.choice([f"gap: {gap}", f"centres: {gap + 15.0}"])
        side = dice.choice(["", ", to: down", ", to: up", ", to: north", ", to: south"])
        one, other = both(flow, f"{{run: flow, {asked}{side}}}")
        apart = gap + 7.5 + 7.5
        assert len(one) == len(other)
        first, second = straights(one, 55.0), straights(other, 55.0)
        for (a, b), (c, d) in zip(first, second, strict=True):
            way = (b - a) / np.linalg.norm(b - a)
            assert (d - c) / np.linalg.norm(d - c) == pytest.approx(way, abs=1e-9)
            across = (c - a) - ((c - a) @ way) * way
            assert np.linalg.norm(across) == pytest.approx(apart, abs=1e-9)
        # The whole of it, bends and all, against the whole of the other.
        near = nearest(axis_points(other, 55.0, 4.0), axis_points(one, 55.0, 4.0))
        assert near >= apart - 0.01
        bent += len(one) > 2
    assert bent > 30


def test_the_side_is_kept_through_bends_out_of_the_plane():
    """Below a level leg; round a bend up it lies outside; where that turns north it lies east as before."""
    flow = [(0, 0, 0), (600, 0, 0), (600, 0, 500), (600, 400, 500)]
    _, other = both(flow, "{run: flow, gap: 35, to: down}")
    assert other == pytest.approx(np.array([(0, 0, -50), (650, 0, -50), (650, 0, 500), (650, 400, 500)]), abs=1e-9)
    _, inner = both(flow, "{run: flow, gap: 35, to: up}")
    assert inner == pytest.approx(np.array([(0, 0, 50), (550, 0, 50), (550, 0, 500), (550, 400, 500)]), abs=1e-9)
    _, level = both(flow, "{run: flow, gap: 35, to: south}")
    assert level == pytest.approx(np.array([(0, -50, 0), (600, -50, 0), (600, -50, 550), (600, 400, 550)]), abs=1e-9)


@pytest.mark.parametrize(
    ("flow", "side"),
    [([(0, 0, 0), (600, 0, 0)], (0, 0, -55)), ([(0, 0, 0), (0, 0, 600)], (55, 0, 0)),
     ([(0, 0, 0), (500, 0, -200)], (0, 0, -55)), ([(0, 0, 0), (0, 0, -600)], (55, 0, 0))],
)  # fmt: skip
def test_with_no_side_named_it_lies_below_a_level_leg_and_right_of_a_rising_one(flow, side):
    one, other = both(flow, "{run: flow, gap: 40}")
    way = (one[1] - one[0]) / np.linalg.norm(one[1] - one[0])
    expected = np.array(side) - (np.array(side) @ way) * way
    assert other[0] - one[0] == pytest.approx(55.0 * expected / np.linalg.norm(expected), abs=1e-9)


def test_right_of_a_rising_leg_is_the_fitters_right():
    head = "former: {radius: 55, hold: 30, guide: 10}\nseen from: north"
    one, other = both([(0, 0, 0), (0, 0, 600)], "{run: flow, gap: 40}", head=head)
    assert other[0] - one[0] == pytest.approx((-55.0, 0.0, 0.0))


def test_the_check_measures_the_gap():
    """Tubes of two sizes, the whole way through, by the program's own measure of finished runs."""
    text = job_text(
        ["  flow: {points: [[0, 0, 0], [700, 0, 0], [700, 0, 600], [700, 500, 600], [1300, 500, 600]]}"],
        ["  return: {tube: 22, former: {radius: 77, hold: 60, guide: 60}, beside: {run: flow, gap: 40, to: up}}"],
    )
    found = [d.distance_mm for d in story.check(job_of_text(text, "job.yaml")).distances if d.run == "return"]
    assert found == pytest.approx([40.0], abs=1e-6)


@pytest.mark.slow
def test_an_outer_bend_may_be_as_much_wider_as_it_lies_farther_out():
    """Round one middle, 55 and 110, the two run 40 apart all the way round; a millimetre nearer is refused."""
    flow = ["  flow: {points: [[0, 0, 0], [700, 0, 0], [700, 0, 600]]}"]
    outer = "  return: {{former: {{radius: 110, hold: 60, guide: 60}}, beside: {{run: flow, gap: {}}}}}"
    job = job_of_text(job_text(flow, [outer.format(40)]), "job.yaml")
    assert [d.distance_mm for d in story.check(job).distances] == pytest.approx([40.0, 40.0], abs=1e-6)
    one, other = (axis_points(np.array(run.route.corners), r, 0.5) for run, r in zip(job.runs, (55, 110), strict=True))
    assert nearest(other, one) == pytest.approx(55.0, abs=2e-3)
    with pytest.raises(JobError, match=r"1\.0 too tight for it"):
        job_of_text(job_text(flow, [outer.format(39)]), "job.yaml")


def refused_with(flow, beside):
    try:
        both(flow, beside)
    except JobError as error:
        return str(error)


@pytest.mark.slow
def test_what_is_refused_would_come_nearer_and_what_is_laid_does_not():
    """Bends of another radius: by the corners alone, rounded off here, whether the two come nearer than their legs."""
    dice, laid, refused = np.random.default_rng(23), 0, 0
    for _ in range(30):
        flow, gap, wide = random_flow(dice), float(dice.choice([0.0, 25.0, 60.0])), float(dice.uniform(20.0, 150.0))
        where = f"{{run: flow, gap: {gap}, to: {dice.choice(['down', 'up', 'north', 'south'])}"
        one, other = both(flow, where + "}")
        near = nearest(axis_points(other, wide, 2.0), axis_points(one, 55.0, 2.0))
        own = f", former: {{radius: {wide}, hold: 9, guide: 9, allow_tight: true}}}}"
        if (refusal := refused_with(flow, where + own)) is None:
            assert near >= gap + 15.0 - 0.05
            laid += 1
        else:
            assert "too tight for it" in refusal
            assert near < gap + 15.0 + 0.01
            refused += 1
    assert laid > 8
    assert refused > 3


def test_part_of_the_way_among_other_moves():
    """From where it has come to, east of legs 2 and 3, and up where the flow turns east: as far short of that leg."""
    text = job_text(
        ["  flow: {points: [[0, 0, 0], [600, 0, 0], [600, 0, 500], [600, 700, 500], [1200, 700, 500]]}"],
        ["  return:", "    start: [1000, 0, -300]", "    route:", "      - west: 350",
         "      - beside: {run: flow, gap: 35, legs: [2, 3]}", "      - up: 400"],
    )  # fmt: skip
    job = job_of_text(text, "job.yaml")
    expected = [(1000, 0, -300), (650, 0, -300), (650, 0, 500), (650, 650, 500), (650, 650, 900)]
    assert np.array(job.runs[1].route.corners) == pytest.approx(np.array(expected), abs=1e-9)


def test_a_run_that_goes_on_by_itself():
    text = job_text(
        ["  flow: {points: [[0, 0, 0], [600, 0, 0], [600, 0, 500]]}"],
        ["  return:", "    beside: {run: flow, gap: 35, to: down, legs: 1}", "    route: [go: 200, up: 300]"],
    )
    corners = np.array(job_of_text(text, "job.yaml").runs[1].route.corners)
    assert corners == pytest.approx(np.array([(0, 0, -50), (850, 0, -50), (850, 0, 250)]), abs=1e-9)


def test_a_route_that_begins_beside_another_run_needs_no_start():
    run = [
        "  return:",
        "    route:",
        "      - beside: {run: flow, gap: 35, legs: 1}",
        "      - go: 200",
        "      - up: 300",
    ]
    job = job_of_text(job_text(["  flow: {points: [[0, 0, 0], [600, 0, 0], [600, 0, 500]]}"], run), "job.yaml")
    assert np.array(job.runs[1].route.corners) == pytest.approx(
        np.array([(0, 0, -50), (850, 0, -50), (850, 0, 250)]), abs=1e-9
    )


def test_three_side_by_side_written_in_any_order():
    text = job_text(
        [
            "  third: {beside: {run: second, gap: 20, to: north}}",
            "  second: {beside: {run: first, gap: 40, to: north}}",
        ],
        ["  first: {points: [[0, 0, 0], [600, 0, 0], [600, 0, 500]]}"],
    )
    job = job_of_text(text, "job.yaml")
    assert [run.name for run in job.runs] == ["third", "second", "first"]
    assert [run.route.corners[0][1] for run in job.runs] == pytest.approx([90.0, 55.0, 0.0])


@pytest.mark.parametrize(("side", "joined", "count"), [("up", True, 4), ("north", False, 4)])
def test_beside_a_return_bend(side, joined, count):
    """Across its plane a return stays one bend of 180; outside it, it is two square ones, twice the distance wider."""
    flow = ["  flow:", "    start: [0, 0, 0]", "    route: [east: 400, turn: {back: south}, go: 400]"]
    job = job_of_text(job_text(flow, [f"  return: {{beside: {{run: flow, gap: 40, to: {side}}}}}"]), "job.yaml")
    route = job.runs[1].route
    assert len(route.corners) == count
    assert bool(route.joined) == joined
    width = math.dist(route.corners[1], route.corners[2])
    assert width == pytest.approx(110.0 if joined else 220.0)
    assert len(story.schedule(job).runs[1].table.bends) == (1 if joined else 2)


@pytest.mark.parametrize(
    ("beside", "said", "line"),
    [
        ("{run: flow, gap: 30, to: south}", "this leg is 20.0 long, measured to the corners, but its bends", 6),
        ("{run: flow, gap: 80, to: south}", "nothing is left of a leg beside leg 2 of 'flow'", 6),
        ("{run: flwo, gap: 40}", "there is no run called 'flwo'; did you mean 'flow'?", 6),
        ("{run: return, gap: 40}", "a run cannot lie beside itself", 6),
        ("{run: flow}", "either the gap between the two tubes, or the distance of their centres", 6),
        ("{run: flow, gap: 40, centres: 60}", "either the gap", 6),
        ("{run: flow, gap: -1}", "must not be less than 0", 6),
        ("{run: flow, gap: 40, to: east}", "lies along the tube", 6),
        ("{run: flow, gap: 40, legs: [2, 9]}", "'flow' has 3 legs, and this asks for leg 9", 6),
        ("{run: flow, gap: 40, legs: 0}", "legs are counted from 1", 6),
        ("{run: flow, gap: 40, legs: [3, 1]}", "legs are counted from 1", 6),
        ("{run: flow, gap: 40, gpa: 3}", "unknown key 'gpa'", 6),
        ("flow", "beside is a group of keys, not 'flow'", 6),
        ("{run: flow, gap: 10, to: north, former: {radius: 110}}", "this run lies outside and is bent to 110", 6),
    ],
)  # fmt: skip
def test_what_cannot_be_laid_is_refused_at_its_place(beside, said, line):
    """The flow goes round two square bends, 110 apart, south of it: inside there is no room."""
    flow = ["  flow: {points: [[0, 0, 0], [600, 0, 0], [600, -110, 0], [0, -110, 0]]}"]
    with pytest.raises(JobError) as caught:
        job_of_text(job_text(flow, [f"  return: {{beside: {beside}}}"]), "job.yaml")
    (fault,) = caught.value.faults
    assert said in fault.message
    assert fault.place.line == line
    assert fault.place.column > 1


def test_runs_beside_each_other_in_a_ring_are_refused():
    with pytest.raises(JobError) as caught:
        job_of_text(job_text(["  a: {beside: {run: b, gap: 40}}"], ["  b: {beside: {run: a, gap: 40}}"]), "job.yaml")
    (fault,) = caught.value.faults
    assert "cannot lie beside 'a', which lies beside this one" in fault.message


def test_beside_a_run_at_fault_nothing_more_is_said():
    with pytest.raises(JobError) as caught:
        job_of_text(
            job_text(["  flow: {points: [[0, 0, 0]]}"], ["  return: {beside: {run: flow, gap: 40}}"]), "job.yaml"
        )
    assert len(caught.value.faults) == 1
