"""The schedule of a run with formers of its own at some corners, and what is noted of it: figures worked by hand."""

from math import pi

import pytest

from pipemodel.bending.bends import gain
from pipemodel.bending.closure import NotClosedError
from pipemodel.bending.schedule import solve, solve_run
from pipemodel.job.model import Job, JobError, Place, Route, Run
from pipemodel.job.read import read_job
from pipemodel.messages.values import Name, Number, message
from pipemodel.trade.fittings import Ending, Ends, Fitting
from pipemodel.trade.model import Former, Springback, Tube

TUBE = Tube(15.0, 0.7, "15 x 0.7")
SMALL = Former(55.0, "small", Springback(0.02, 1.0), mark_mm=10.0)
LARGE = Former(80.0, "large", Springback(0.05, 0.0), mark_mm=25.0)
STEP = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0), (1000.0, 400.0, 0.0))
"""East, north, east, with a point in line before the first corner."""


def made(corners, formers=(), joined=frozenset(), tube=TUBE, ends=None, notes=()):
    route = Route(tuple(corners), joined, notes=notes, formers=formers)
    return solve_run(Run("step", tube, SMALL, route, ends=ends or Ends()))


def test_each_bend_is_marked_and_pulled_by_its_own_former():
    """Bend 1 on 80: begins at 520, takes 40 pi; bend 2 on 55: 400 - 80 - 55 further on, 265."""
    solved = made(STEP, (None, None, LARGE, None, None))
    one, two = solved.bends
    assert (one.start_mm, one.mark_mm, one.radius_mm, one.straight_before_mm) == (520.0, 545.0, 80.0, 520.0)
    assert (one.angle_deg, one.pull_deg, one.turn_deg) == (90.0, 94.5, 0.0)
    assert one.arc_mm == pytest.approx(40.0 * pi)
    assert one.gain_mm == pytest.approx(160.0 - 40.0 * pi)
    assert two.start_mm == pytest.approx(520.0 + 40.0 * pi + 265.0)
    assert two.mark_mm == pytest.approx(two.start_mm + 10.0)
    assert (two.pull_deg, two.turn_deg, two.radius_mm, two.straight_before_mm) == (92.8, 180.0, 55.0, 265.0)
    assert solved.straight_after_mm == 345.0
    assert solved.centreline_mm == pytest.approx(1400.0 - (160.0 - 40.0 * pi) - (110.0 - 27.5 * pi))
    assert solved.formers == (LARGE, SMALL) == solved.formers_used
    assert (solved.start, solved.finish) == ((0.0, 0.0, 0.0), pytest.approx((1000.0, 400.0, 0.0)))


def test_the_other_bend_has_its_own_former():
    solved = made(STEP, (None, None, None, LARGE, None))
    assert [former.name for former in solved.formers] == ["small", "large"]
    assert solved.largest_radius_mm(90.0) == 80.0
    assert solved.largest_radius_mm(45.0) == 55.0
    assert solved.bends[1].mark_mm == pytest.approx(545.0 + 27.5 * pi + 265.0 + 25.0)


def test_without_a_former_of_its_own_a_run_has_that_of_the_run():
    solved = made(STEP)
    assert solved.formers == (SMALL, SMALL)
    assert solved.formers_used == (SMALL,)
    assert made(STEP[:2]).formers == ()
    assert made(STEP[:2]).formers_used == (SMALL,)


def test_what_is_cut_is_the_axis_and_the_trim():
    ends = Ends(Ending(Fitting("capillary", 15.0, 10.6)), Ending(), 20.0)
    solved = made(STEP[:2], ends=ends)
    assert (solved.centreline_mm, solved.cut_length_mm) == (300.0, 320.0)


def test_a_former_at_a_point_that_makes_no_bend_is_noted():
    solved = made(
        STEP, (None, LARGE, None, None, None), notes=(message("tube.name", name=Name("the route's own", quoted=False)),)
    )
    assert tuple(map(str, solved.notes)) == (
        "the route's own",
        "point 2 is in line with points 1 and 3: no bend there",
        "point 2 makes no bend, so its own large is not used",
    )
    assert solved.formers == (SMALL, SMALL)


def test_both_corners_of_a_return_use_their_former():
    corners = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 160.0, 0.0), (0.0, 160.0, 0.0), (0.0, 600.0, 0.0))
    solved = made(corners, (None, LARGE, LARGE, None, None), frozenset({1}))
    assert tuple(map(str, solved.notes)) == ()
    assert [former.name for former in solved.formers] == ["large", "small"]
    assert [bend.angle_deg for bend in solved.bends] == [180.0, 90.0]
    assert solved.bends[0].gain_mm == pytest.approx(80.0 * (4.0 - pi))
    other = made(corners, (None, LARGE, LARGE, None, LARGE), frozenset({1}))
    assert tuple(map(str, other.notes)) == ("point 5 makes no bend, so its own large is not used",)


def test_two_bends_that_are_one_are_noted_with_how_to_write_them():
    """Two of 30 that touch: from the middle of the first leg between them the axis goes on round one circle."""
    setback = 55.0 * 0.2679491924311227  # tan 15
    near = 2.0 * setback
    cosine, sine = 0.8660254037844386, 0.5
    corners = [(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0 + near * cosine, near * sine, 0.0)]
    corners.append((corners[2][0] + 300.0 * sine, corners[2][1] + 300.0 * cosine, 0.0))
    assert tuple(map(str, made(corners).notes)) == (
        "bends 1 and 2 touch and go the same way: they are one of 60 degrees, and written as one corner, take one pull",
    )
    u = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 110.0, 0.0), (0.0, 110.0, 0.0))
    assert tuple(map(str, made(u).notes)) == (
        "bends 1 and 2 touch and go the same way: they are one of 180 degrees, and written as a return bend, take "
        "one pull",
    )


def test_bends_of_two_radii_are_not_one():
    u = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 135.0, 0.0), (0.0, 135.0, 0.0))
    assert tuple(map(str, made(u, (None, LARGE, None, None)).notes)) == ()


@pytest.mark.parametrize(("angle", "gain_mm"), [(60.0, 5.9135), (120.0, 75.334), (45.0, 2.3661), (180.0, 47.2124)])
def test_what_a_bend_saves_against_its_two_legs(angle, gain_mm):
    """2 R tan(a/2) - R a for 55: 63.5085 - 57.5959, 190.526 - 115.192, 45.5635 - 43.1969; of a return 4 R - pi R."""
    assert gain(55.0, angle) == pytest.approx(gain_mm, abs=1e-3)


def test_a_table_that_does_not_close_is_a_fault_of_its_run(monkeypatch):
    def open_(bent):
        raise NotClosedError(message("fault.not closed", off=Number(0.5, ".3g"), within=Number(0.1, ".3g")))

    monkeypatch.setattr("pipemodel.bending.schedule.closed_centreline", open_)
    with pytest.raises(JobError) as caught:
        solve(Job("one", (Run("one", TUBE, SMALL, Route(STEP), Place(7, 3)),)))
    (fault,) = caught.value.faults
    assert fault.message.startswith("run 'one': the bend table worked out gives legs or a finish 0.5 mm from what")
    assert fault.place == Place(7, 3)


def test_every_fault_of_every_run_has_its_place():
    places = (Place(3, 5), Place(4, 5), Place(5, 5), Place(6, 5))
    route = Route(((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 100.0, 0.0), (600.0, 100.0, 0.0)), places=places)
    whole = Run("whole", TUBE, SMALL, Route(STEP))
    with pytest.raises(JobError) as caught:
        solve(Job("two", (Run("one", TUBE, SMALL, route), whole, Run("other", TUBE, SMALL, route))))
    assert [(fault.place.line, fault.message) for fault in caught.value.faults] == [
        (5, f"run '{name}': points 2 and 3 are 100.0000 apart, but their bends need 110.0000 between them: "
            "10.0000 is missing") for name in ("one", "other")
    ]  # fmt: skip


@pytest.mark.parametrize(("finish", "said"), [((600.0, 0.0, 0.0), False), ((300.0, 300.0, 0.0), True)])
def test_what_former_serves_is_said_where_something_is_bent(tmp_path, finish, said):
    path = tmp_path / "job.yaml"
    path.write_text(f"job: stick\ntube: 15\nruns: {{stick: {{points: [[0, 0, 0], [300, 0, 0], {list(finish)}]}}}}\n")
    assert any("no former is given" in str(note) for note in solve(read_job(path, {})).notes) == said
