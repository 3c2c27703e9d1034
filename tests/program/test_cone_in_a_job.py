"""A cone in a job, from its form to the check, the route, the solid, the drawing, the page and the picture."""

import pytest
import yaml

from pipemodel import story
from pipemodel.documents.page.room import room_parts
from pipemodel.drawing.solids import room_solids
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.job.model import JobError

JOB = """\
job: past the hopper
tube: {outside: 15, wall: 0.7}
former: {radius: 55, hold: 60, guide: 45}
clearance: 5
room:
  hopper: {cone: {from: [400, 0, 0], to: [400, 0, 300], diameters: [50, 350]}}
runs:
  under: {points: [[0, 0, -40], [800, 0, -40], [800, 400, -40]]}
  beside: {points: [[0, -180, 300], [800, -180, 300]]}
"""


def written(tmp_path, text):
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def hopper(tmp_path_factory):
    return story.load(written(tmp_path_factory.mktemp("cone"), JOB))


def test_what_it_becomes(hopper):
    assert hopper.things[0].shape == Cone((400.0, 0.0, 0.0), (400.0, 0.0, 300.0), (50.0, 350.0))


def test_its_clearance_is_checked(hopper):
    """40 - 7.5 under its bottom; beside its rim 180 - 175 - 7.5, which overlaps."""
    report = story.check(hopper)
    found = {d.run: d.distance_mm for d in report.distances if d.against == "hopper"}
    assert found == pytest.approx({"under": 32.5, "beside": -2.5}, abs=1e-9)
    clash = [f for f in report.findings if f.check == "clash" and f.severity == "error"]
    assert [(f.run, f.against) for f in clash] == [("beside", "hopper")]
    (contact,) = clash[0].contacts
    assert contact.move == pytest.approx((0.0, -7.5, 0.0), abs=1e-3)


def test_it_is_drawn_and_named(hopper):
    solved = story.schedule(hopper)
    (part,) = room_parts(solved)
    assert tuple(part.triangles.reshape(-1, 3).min(axis=0)) == pytest.approx((225.0, -175.0, 0.0), abs=1.0)
    assert all(p[:2] == (400.0, 0.0) for p in part.anchors)
    (solid,) = room_solids(solved)
    assert solid.body.closes
    # Seen from the side, its outline keeps to the taper: no edge between its flats is drawn.
    from pipemodel.geometry.view import View
    from pipemodel.solids.projected import projected

    for stroke in projected([solid.body], View("", (0.0, -1.0, 0.0))):
        for x, z in stroke.points:
            on_side = abs(abs(x - 400.0) - (25.0 + z / 2.0)) < 0.2
            assert on_side or z == pytest.approx(0.0, abs=1e-6) or z == pytest.approx(300.0, abs=1e-6)


@pytest.mark.slow
@pytest.mark.kernel
def test_its_files(hopper, tmp_path):
    story.make(hopper, tmp_path / "out", ["step", "svg"])
    step = (tmp_path / "out" / "job.step").read_text(encoding="utf-8", errors="replace")
    assert "CONICAL_SURFACE" in step
    assert "hopper" in step
    assert {"job.step", "job.svg"} <= {p.name for p in (tmp_path / "out").iterdir()}


@pytest.mark.parametrize(
    ("cone", "said"),
    [
        ("{from: [0, 0, 0], to: [0, 0, 90], diameters: [40, 40]}", "write a cylinder of that diameter"),
        ("{from: [0, 0, 0], to: [0, 0, 90], diameters: [0, 0]}", "one has to be more than 0"),
        ("{from: [0, 0, 0], to: [0, 0, 0], diameters: [40, 50]}", "the cone has no length"),
        ("{from: [0, 0, 0], to: [0, 0, 90], diameters: [40]}", "a cone has two diameters"),
        ("{from: [0, 0, 0], to: [0, 0, 90], diameters: 40}", "a cone has two diameters"),
        ("{from: [0, 0, 0], to: [0, 0, 90], diameters: [-4, 40]}", "-4 must not be less than 0"),
    ],
)
def test_what_is_refused(tmp_path, cone, said):
    text = JOB.replace("{from: [400, 0, 0], to: [400, 0, 300], diameters: [50, 350]}", cone)
    with pytest.raises(JobError) as error:
        story.load(written(tmp_path, text))
    (fault,) = error.value.faults
    assert said in fault.message
    assert fault.place.line == 6


def test_a_clip_is_not_fixed_to_it(tmp_path):
    text = JOB + "clips: {face: hopper, standoff: 30}\n"
    with pytest.raises(JobError, match="no flat face for a clip"):
        story.load(written(tmp_path, text))


@pytest.mark.slow
def test_a_run_passes_over_it(tmp_path):
    """Over a cone that lies across the way the run comes as near as it is asked to, and no nearer."""
    text = """\
job: over the reducer
tube: {outside: 15, wall: 0.7}
former: {radius: 55, hold: 60, guide: 45}
room:
  reducer: {cone: {from: [500, -300, 20], to: [500, 300, 20], diameters: [40, 110]}}
runs:
  feed:
    start: [0, 0, 20]
    heading: east
    route:
      - pass over: {thing: reducer, gap: 10, bends: 3, angle: 45, to: up}
      - go: 1000
"""
    job = story.load(written(tmp_path, text))
    (found,) = story.check(job).distances
    assert found.distance_mm == pytest.approx(10.0, abs=1e-6)


def test_a_leg_ends_before_it(tmp_path):
    """The rim of its end, which points up under the taper, stays off it by the gap."""
    text = """\
job: up to the hopper
tube: {outside: 15, wall: 0.7}
former: {radius: 55, hold: 60, guide: 45}
room:
  hopper: {cone: {from: [400, 0, 0], to: [400, 0, 300], diameters: [50, 350]}}
runs:
  feed:
    start: [0, 0, 150]
    heading: east
    route:
      - go: {to face of: hopper, gap: 10}
"""
    job = story.load(written(tmp_path, text))
    (found,) = story.check(job).distances
    assert found.distance_mm == pytest.approx(10.0, abs=1e-9)


def test_the_schema_knows_it():
    import jsonschema

    from pipemodel.job.schema import json_schema

    validator = jsonschema.Draft202012Validator(json_schema())
    job = yaml.safe_load(JOB)
    assert not list(validator.iter_errors(job))
    job["room"]["hopper"]["cone"]["diameters"] = [50]
    assert list(validator.iter_errors(job))
