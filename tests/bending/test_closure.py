"""The bend table held against the points asked for: any figure of it that is wrong is found, no right one is."""

import random
from dataclasses import replace

import numpy as np
import pytest

from pipemodel.bending.bends import Bend, BendTable, bend_corners, centreline_of
from pipemodel.bending.closure import NotClosedError, closed_centreline

CORNERS = [(0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0), (500.0, 400.0, 350.0), (900.0, 450.0, 350.0)]
RETURN = [(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 110.0, 0.0), (0.0, 110.0, 0.0), (0.0, 110.0, 400.0)]


def with_bend(bent, k, **other):
    bends = list(bent.table.bends)
    bends[k] = bends[k]._replace(**other)
    return bent._replace(table=replace(bent.table, bends=tuple(bends)))


def refused(bent):
    with pytest.raises(NotClosedError, match="please report it") as caught:
        closed_centreline(bent)
    return str(caught.value)


@pytest.mark.parametrize(("corners", "joined"), [(CORNERS, frozenset()), (RETURN, frozenset({1}))])
def test_every_figure_of_a_table_is_watched(corners, joined):
    bent = bend_corners(corners, 55.0, joined)
    assert closed_centreline(bent).finish == pytest.approx(corners[-1], abs=1e-9)
    counted = 0
    for k, bend in enumerate(bent.table.bends):
        for name in ("start_mm", "straight_before_mm", "angle_deg", "turn_deg", "radius_mm", "arc_mm"):
            if (k, name) == (0, "turn_deg"):
                continue  # it is in the table's own axis
            for off in (-1e-3, 1e-3):
                refused(with_bend(bent, k, **{name: getattr(bend, name) + off}))
                counted += 1
        refused(with_bend(bent, k, start_mm=float("nan")))
    assert counted > 20
    table = bent.table
    for wrong in (
        replace(table, straight_after_mm=table.straight_after_mm + 1e-3),
        replace(table, straight_after_mm=float("nan")),
        replace(table, start=(0.001, 0.0, 0.0)),
        replace(table, direction=(-1.0, 0.0, 0.0)),
        replace(table, normal=tuple(-x for x in table.normal)),
        replace(table, bends=table.bends[:-1]),
    ):
        refused(bent._replace(table=wrong))


def test_it_says_how_far_off_and_what_is_allowed():
    bent = bend_corners(CORNERS, 55.0)
    longer = bent._replace(table=replace(bent.table, straight_after_mm=bent.table.straight_after_mm + 2.0))
    assert "legs or a finish 2 mm from what is asked for, and 1e-06 mm is allowed" in refused(longer)


def test_a_leg_that_runs_past_its_corner_or_the_other_way_is_refused():
    straight = bend_corners([(0.0, 0.0, 0.0), (500.0, 0.0, 0.0)], 55.0)
    assert closed_centreline(straight).length == 500.0
    for direction, after in (((-1.0, 0.0, 0.0), 500.0), ((0.0, 1.0, 0.0), 500.0), ((1.0, 0.0, 0.0), 500.001)):
        refused(straight._replace(table=replace(straight.table, direction=direction, straight_after_mm=after)))


def test_long_runs_far_out_close_and_small_faults_in_them_do_not():
    """A thousand kilometres out and 20 m long; then off by a hundredth of a millimetre in 20 m."""
    dice = random.Random(3)
    counted = 0
    for far in (0.0, 1e5, 1e9):
        for _ in range(20):
            points = [(far, -far, far)]
            for k in range(30):
                step = [dice.uniform(-300, 300) for _ in range(3)]
                step[k % 3] += dice.choice((-1000, 1000))
                points.append(tuple(x + d for x, d in zip(points[-1], step, strict=True)))
            bent = bend_corners(points, 5.0)
            closed_centreline(bent)
            counted += 1
            if far < 1e6:
                off = bent.table.straight_after_mm + 0.01
                refused(bent._replace(table=replace(bent.table, straight_after_mm=off)))
    assert counted == 60


def test_a_run_of_very_many_bends_does_not_drift():
    """200 bends in all planes: what rounding leaves of the axis of one bend must not grow from bend to bend."""
    dice = random.Random(5)
    points = [(0.0, 0.0, 0.0)]
    for k in range(201):
        step = [dice.uniform(-20, 20) for _ in range(3)]
        step[k % 3] += 100.0 if k % 2 else -100.0
        points.append(tuple(x + d for x, d in zip(points[-1], step, strict=True)))
    assert closed_centreline(bend_corners(points, 5.0)).finish == pytest.approx(points[-1], abs=1e-8)


@pytest.mark.parametrize("angles", [(1.0, 90.0, 179.0, 30.0, 135.0), (1.0, 2.0, 5.0, 10.0)])
def test_a_hundred_bends_end_where_an_own_frame_says(angles):
    """Laid out here with matrices of numpy: roll about the tube, then each bend in the plane; no error may grow."""
    dice = random.Random(9)
    bends, frame, here = [], np.eye(3), np.zeros(3)  # columns: ahead, towards the centre, axis
    for _ in range(100):
        turn, angle, before = dice.uniform(-179.0, 179.0), dice.choice(angles), 50.0
        c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
        frame = frame @ np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
        here = here + before * frame[:, 0]
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        here = here + 55.0 * (s * frame[:, 0] + (1 - c) * frame[:, 1])
        frame = frame @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
        bends.append(Bend(len(bends) + 1, 0.0, before, angle, turn, 55.0, 0.0, 0.0))
    line = centreline_of(BendTable((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), tuple(bends), 50.0))
    assert line.finish == pytest.approx(tuple(here + 50.0 * frame[:, 0]), abs=1e-6)
