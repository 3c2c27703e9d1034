"""A job whose run cannot be brought in: what the check says would help, by the search itself."""

import json
import re
from math import pi

import pytest
from rooms_with_openings import cupboard, job_text, ways
from wide import few_or_many

from pipemodel import story
from pipemodel.bending.schedule import solve
from pipemodel.checks.ways_in import _joins_of, ways_of
from pipemodel.job.read import job_of_text
from pipemodel.ways_in.helped import helps_for

# A cavity 60 deep: what lies flat in it can only come in flat, or nearly.
CAVITY = """
job: behind the panel
tube: 15
former: {{radius: 55}}
openings:
  panel: {{corners: [[0, -9, 0], [{wide}, -9, 0], [{wide}, -9, 300], [0, -9, 300]], outside: [200, -900, 100]}}
bring in: {{through: panel, margin: 2, effort: 6000}}
room:
  back: {{box: {{from: [-900, 60, -900], to: [1500, 90, 1500]}}}}
  left: {{box: {{from: [-900, -18, -900], to: [0, 0, 1500]}}}}
  right: {{box: {{from: [{wide}, -18, -900], to: [1500, 0, 1500]}}}}
  below: {{box: {{from: [0, -18, -900], to: [{wide}, 0, 0]}}}}
  above: {{box: {{from: [0, -18, 300], to: [{wide}, 0, 1500]}}}}
runs:
  tail: {{points: [[30, 30, 40], [430, 30, 40], [430, 30, 270]]}}
"""


def report_of(wide):
    return story.check(job_of_text(CAVITY.format(wide=wide), "job.yaml"))


@pytest.mark.slow
def test_what_cannot_come_in_comes_in_by_a_larger_opening() -> None:
    """The piece reaches from x 30 to 437.5; with 2 mm round it a panel from 0 to 240 is too narrow by 199.5."""
    report = report_of(240)
    (way,) = report.ways_in
    assert not way.found
    (said,) = [f for f in report.findings if f.code == "I105"]
    by = float(re.search(r"panel larger by ([\d.]+) mm all round", said.message)[1])
    # A little less will do where it comes in askew; how much more it takes to be found is the search's affair.
    assert 60.0 <= by <= 320.0
    assert said.severity == "note"
    assert said.run == "tail"


@pytest.mark.slow
def test_where_the_place_itself_is_too_near_no_greater_effort_is_proposed() -> None:
    text = CAVITY.format(wide=460).replace("back: {box: {from: [-900, 60,", "back: {box: {from: [-900, 38,")
    report = story.check(job_of_text(text, "job.yaml"))
    assert report.ways_in[0].impossible
    codes = [f.code for f in report.findings]
    assert "I102" in codes
    assert "I105" not in codes


@pytest.mark.slow
def test_what_comes_in_needs_no_help() -> None:
    report = report_of(460)
    assert report.ways_in[0].found
    assert not [f for f in report.findings if f.code == "I105"]


WALL = """
job: through the wall
tube: 15
former: {radius: 55}
openings:
  hole: {corners: [[-10, -50, 90], [10, -50, 90], [10, -50, 110], [-10, -50, 110]], outside: [0, -900, 100]}
bring in: {through: hole, margin: 2, effort: 1000}
room:
  left: {box: {from: [-350, -100, 50], to: [-10, 0, 450]}}
  right: {box: {from: [10, -100, 50], to: [80, 0, 450]}}
  below: {box: {from: [-10, -100, 50], to: [10, 0, 90]}}
  above: {box: {from: [-10, -100, 110], to: [10, 0, 450]}}
runs:
  elbow: {points: [[-300, 200, 100], [0, 200, 100], [0, 200, 400]]}
"""
BEHIND = """  back: {box: {from: [-350, 230, 50], to: [80, 250, 450]}}
  west: {box: {from: [-350, 0, 50], to: [-330, 230, 450]}}
  east: {box: {from: [60, 0, 50], to: [80, 230, 450]}}
  floor: {box: {from: [-330, 0, 50], to: [60, 230, 70]}}
  ceiling: {box: {from: [-330, 0, 430], to: [60, 230, 450]}}
runs:"""


@pytest.mark.slow
def test_a_bend_in_a_narrow_deep_hole_is_an_error_with_its_reason() -> None:
    report = story.check(job_of_text(WALL.replace("runs:", BEHIND), "job.yaml"))
    (way,) = report.ways_in
    assert way.impossible
    (said,) = [f for f in report.findings if f.code == "I102"]
    assert said.severity == "error"
    assert "bend 1 cannot stand in hole" in said.message
    assert report.verdict == "fail"


@pytest.mark.slow
def test_with_nothing_behind_the_wall_it_is_no_proof() -> None:
    """The same wall stands free: one may go round it, or half round it and half through."""
    (way,) = ways_of(solve(job_of_text(WALL, "job.yaml")))
    assert not way.impossible
    assert "bend 1 cannot stand in hole" in str(way.why_not)
    assert "is not known to close it in everywhere else" in str(way.why_not)


@pytest.mark.slow
def test_what_lies_outside_already_is_said_to() -> None:
    """Where another run is to be on the other side; else the opening itself is refused, as in tests/job."""
    other = "  other: {points: [[-300, -300, 100], [0, -300, 100], [0, -300, 400]]}\n"
    text = WALL.replace("outside: [0, -900", "outside: [0, 900") + other
    way = next(one for one in ways_of(solve(job_of_text(text, "job.yaml"))) if one.run == "elbow")
    assert not way.found
    assert not way.impossible
    assert "lies outside 'hole' already; give outside on the other side" in str(way.why_not)


@pytest.mark.slow
def test_what_comes_in_with_two_joints_comes_in_in_those_pieces(tmp_path) -> None:
    """No leg of 590 goes straight into a cupboard where sqrt(220^2 + 450^2) = 501 is the longest way from the hatch.

    The pieces that are proposed are written as runs of their own, short of the couplings, and asked about again.
    """
    boxes, opening = cupboard(500.0, 220.0, 700.0, (180.0, 250.0, 120.0, 120.0))
    whole = [[50, 110, 50], [50, 110, 640], [440, 110, 640], [440, 110, 300]]
    # That it does not come in whole is soon known; what would help is looked for with the usual effort.
    text = job_text(boxes, opening, {"r": whole})
    (way,) = ways_of(solve(job_of_text(text.replace("margin: 2.0", "margin: 2.0, effort: 1000"), "job.yaml")))
    assert not way.found
    schedule = solve(job_of_text(text, "job.yaml"))
    helps, _ = helps_for(schedule, way, _joins_of(schedule))
    said = "; ".join(str(one.said) for one in helps)
    first, second = (float(at) for at in re.findall(r"([\d.]+) mm from the start", said))
    # Along the axis: a leg of 535, a bend of 55 pi / 2, then from x 105 on.
    up, along, gap = 50.0 + first, 105.0 + second - 535.0 - 55.0 * pi / 2.0, 15.0
    pieces = {
        "a": [whole[0], [50, 110, up - gap]],
        "b": [[50, 110, up], whole[1], [along - gap, 110, 640]],
        "c": [[along, 110, 640], *whole[2:]],
    }
    by_run, codes = ways(tmp_path, job_text(boxes, opening, pieces))
    assert all(by_run[name]["found"] for name in pieces)
    assert "I104" in codes


@pytest.mark.slow
def test_the_larger_opening_that_is_said_lets_it_in_and_what_is_left_of_the_effort_makes_it_smaller() -> None:
    """The cupboard is made again with the hatch that much larger, and asked about as a job of its own."""
    corners = [[40, 40, 40], [360, 40, 40], [360, 460, 40], [360, 460, 360]]

    def job(more, effort):
        hatch = (120.0 - more, 120.0 - more, 100.0 + 2.0 * more, 100.0 + 2.0 * more)
        boxes, opening = cupboard(400.0, 500.0, 400.0, hatch)
        return solve(job_of_text(job_text(boxes, opening, {"r": corners}, more=f", effort: {effort}"), "job.yaml"))

    (stuck,) = ways_of(job(0.0, 1000))
    assert not stuck.found
    said = []
    for effort in (1000, few_or_many(60_000, 150_000)):
        schedule = job(0.0, effort)
        helps, _ = helps_for(schedule, stuck, _joins_of(schedule))
        (opening,) = (str(one.said) for one in helps if one.kind == "opening")
        by, less = (float(mm) for mm in re.findall(r"by ([\d.]+) mm .*\(with ([\d.]+) mm no way", opening)[0])
        assert by == less + 5.0
        # What to write is the hatch of that cupboard; the boards round it are named.
        written = json.loads(re.search(r"write corners: (\[\[.*\]\]) \(line \d+\), and cut", opening)[1])
        wider = (120.0 - by, 120.0 - by, 100.0 + 2.0 * by, 100.0 + 2.0 * by)
        assert written == [list(corner) for corner in cupboard(400.0, 500.0, 400.0, wider)[1][0]]
        assert ways_of(job(by, few_or_many(100_000, 400_000)))[0].found
        said.append(by)
    assert said[1] <= said[0]
