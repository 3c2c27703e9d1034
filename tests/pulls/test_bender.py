"""What the bender check says of a run, finding by finding."""

from made_runs import SPRINGY, made_run

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.bender import bender
from pipemodel.job.model import Job


def findings_of(*runs):
    return bender(Schedule(Job("test", tuple(r.run for r in runs)), tuple(runs)))


def test_nothing_to_say_of_a_run_with_room():
    assert findings_of(made_run([300, 300, 300], [90, 90])) == ()


def test_a_short_leg_is_an_error_with_what_it_has_and_needs():
    finding, way_out = findings_of(made_run([200, 31.2, 200], [90, 90]))
    assert (finding.check, finding.code, finding.severity, finding.run) == ("bender", "B101", "error", "made")
    assert (way_out.code, way_out.severity) == ("B108", "note")
    assert abs(finding.distance_mm - 31.2) < 1e-9
    assert abs(finding.required_mm - 45.0) < 1e-9
    # The middle of that leg: 200 + a quarter circle of 55 + half of 31.2.
    assert abs(finding.at_mm - (200 + 55 * 3.141592653589793 / 2 + 15.6)) < 1e-9
    assert abs(finding.point[0] - 255.0) < 1e-9


def test_a_pull_too_far_is_an_error_at_its_bend():
    (finding,) = findings_of(made_run([300, 300], [90], springback=SPRINGY, max_angle_deg=95.0))
    assert (finding.code, finding.severity) == ("B102", "error")
    assert "pulled to 96" in finding.message


def test_an_unusual_order_is_a_note():
    (finding,) = findings_of(made_run([200, 50, 200], [30, 30], [180]))
    assert (finding.code, finding.severity) == ("B103", "note")
    assert "bends 1, 2 in that order; all held by the finish side" in finding.message


def test_a_former_nobody_measured_is_a_note():
    (finding,) = findings_of(made_run([300, 300], [90], generic=True, name="generic 15 former"))
    assert (finding.code, finding.severity) == ("B104", "note")
    assert "generic 15 former" in finding.message
