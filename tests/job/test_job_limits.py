"""Every figure that a job may leave out, and the bounds of those it gives: the last taken, the first refused.

The figures are those of docs/job-files.md and docs/bending.md, written out here by hand.
"""

import math

import pytest
import yaml
from jsonschema import Draft202012Validator
from short_jobs import BASE, RUNS, faults, read

from pipemodel.job.schema import json_schema


def test_what_a_job_leaves_out():
    job = read()
    assert (job.clearance_mm, job.kerf_mm, job.units, job.revision, job.jig) == (0, 0, "mm", "", None)
    assert (job.stock.length_mm, job.stock.offcuts) == (3000, ())
    (run,) = job.runs
    assert (run.ends.trim_mm, run.clips, run.bender, run.insulation_mm) == (0, None, None, 0)
    former = run.former
    assert (former.mark_mm, former.guide_travel_mm, former.max_angle_deg, former.radius_within_mm) == (0, 0, 200, 0)
    assert (former.outside_mm, former.rim_mm, former.allow_tight, former.mark_at) == (None, None, False, "beginning")


def test_facing_and_heading_by_every_name():
    for name, vector in (("north", (0, 1, 0)), ("south", (0, -1, 0)), ("east", (1, 0, 0)), ("west", (-1, 0, 0)),
                         ("up", (0, 0, 1)), (" Down ", (0, 0, -1)), ("[0, 3, -4]", (0, 0.6, -0.8))):  # fmt: skip
        name = name if name.startswith("[") else f"'{name}'"
        face = read(f"room: {{w: {{face: {{at: [9, 999, 9], facing: {name}}}}}}}").things[0].shape
        assert face.normal == pytest.approx(vector)
    half = math.sqrt(0.5)
    for name, (x, y) in (("north east", (half, half)), ("south-west", (-half, -half)), ("NorthWest", (-half, half)),
                         ("southeast", (half, -half)), ("90", (1, 0)), ("180 deg", (0, -1))):  # fmt: skip
        runs = f"runs:\n  a: {{start: [0, 0, 0], heading: {name}, route: [{{go: 100}}]}}\n"
        assert read(runs=runs).runs[0].route.corners[-1] == pytest.approx((100 * x, 100 * y, 0))


@pytest.mark.parametrize(
    ("heading", "words"),
    [("nrth", "'nrth' is no heading; write north, south"), ("[0, 0]", "has three numbers, and this has 2; write"),
     ("[0, 0, 0]", "a direction of no length; write"), ("true", "this is no heading"), ("361", "this is no heading")],
)  # fmt: skip
def test_headings_that_are_none(heading, words):
    runs = f"runs:\n  a: {{start: [0, 0, 0], heading: {heading}, route: [{{go: 100}}]}}\n"
    ((line, column, message),) = faults(runs=runs)
    assert (line, column) == (6, 34)
    assert words in message


def test_a_box_and_an_extrusion_are_as_given_from_whichever_corner():
    box = read("room: {b: {box: {from: [9, 2, 8], to: [1, 5, 3]}}}").things[0].shape
    assert (box.low, box.high) == ((1, 2, 3), (9, 5, 8))
    for outline in ("[[0, 0], [9, 0], [9, 5]]", "[[9, 5], [9, 0], [0, 0]]", "[[0, 0], [9, 0], [9, 5], [0, 0]]"):
        made = read(f"room: {{b: {{extrusion: {{outline: {outline}, from: 7, to: 3}}}}}}").things[0].shape
        assert (made.bottom, made.top) == (3, 7)
        assert set(made.outline) == {(0, 0), (9, 0), (9, 5)}
        sides = zip(made.outline, made.outline[1:] + made.outline[:1], strict=True)
        area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in sides)
        assert area / 2 == pytest.approx(22.5)  # counter-clockwise, as seen from above
    tall = read("room: {c: {cylinder: {from: [1, 2, 3], to: [4, 5, 6], diameter: 7}}}").things[0].shape
    assert (tall.start, tall.finish, tall.diameter) == ((1, 2, 3), (4, 5, 6), 7)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ("box: {from: [1, 2, 3], to: [1, 5, 8]}", "no thickness along x (west to east): both corners are at 1"),
        ("box: {from: [1, 2, 3], to: [4, 2, 8]}", "no thickness along y (south to north): both corners are at 2"),
        ("box: {from: [1, 2, 3], to: [4, 5, 3]}", "no thickness along z (bottom to top): both corners are at 3"),
        ("extrusion: {outline: [[0, 0], [9, 0], [9, 5]], from: 3, to: 3}", "no height: 'from' and 'to' are both 3"),
        ("extrusion: {outline: [[0, 0], [9, 0], [0, 0]], from: 3, to: 4}", "an outline needs at least three corners"),
        ("extrusion: {outline: [[0, 0], [9, 0], [9, 0], [9, 5]], from: 3, to: 4}",
         "corner 2 of the outline is repeated"),
        ("extrusion: {outline: [[0, 0], [9, 0], [4, 0], [4, 5]], from: 3, to: 4}",
         "the side from corner 1 meets the one from corner 2"),
        ("extrusion: {outline: [[0, 0], [9, 0], [9, 9], [0, 9], [5, 0]], from: 3, to: 4}",
         "the side from corner 1 meets the one from corner 4"),
        ("extrusion: {outline: [[0, 0], [9]], from: 3, to: 4}", "a point of a plan outline is two lengths, [x, y]"),
        ("face: {at: [0, 0, 0], facing: [1, 2]}", "a face looks north, south, east, west, up, down, or in a direction"),
    ],
)  # fmt: skip
def test_things_that_are_none(shape, words):
    found = faults(f"room: {{t: {{{shape}}}}}")
    assert all(line == 4 for line, _, _ in found)
    assert words in found[0][2]


def test_an_editor_is_given_which_way_each_key_goes():
    """What is shown beside a key in an editor, read from the schema: each way says its own word and no other's."""
    items = json_schema()["$defs"]
    route = items["RouteItem"]["properties"]
    for name in ("north", "south", "east", "west", "up", "down"):
        assert route[name]["description"] == f"Turn {name} (unless heading so) and go"
    for name in ("left", "right"):
        assert route[name]["description"] == f"Turn {name} and go"
    go = items["GoForm"]["properties"]
    for key, words in (("to centre", "next"), ("to back", "next"), ("to inside", "next"), ("from back", "last"),
                       ("from inside", "last"), ("past", "far side")):  # fmt: skip
        assert words in go[key]["description"]
        assert key == "past" or key.split()[1] in go[key]["description"]
    of_set = items["SetForm"]["properties"]
    assert of_set["first bend"]["description"] == "How far on its first bend is, to the centre"
    assert of_set["last bend"]["description"] == "How far on its last bend is, to the centre"
    assert "below 0 for down" in of_set["rise"]["description"]
    turn = items["BendForm"]["properties"]
    assert turn["bearing"]["description"] == "Clockwise from north, degrees"
    assert turn["rise"]["description"].startswith("Above level")
    spacing = items["SpacingForm"]["properties"]
    assert "level" in spacing["level"]["description"]
    assert spacing["upright"]["description"] == "On tube that runs upright"
    former = items["FormerForm"]["properties"]
    assert "before a bend" in former["hold"]["description"]
    assert "after it" in former["guide"]["description"]
    assert "from the start" in former["mark"]["description"]
    run = items["RunForm"]["properties"]
    assert run["trim"]["description"] == "Left on at the finish, to be cut off after bending"
    tolerance = items["ToleranceForm"]["properties"]
    assert "start" in tolerance["start"]["description"]
    assert "finish" in tolerance["finish"]["description"]


def test_a_revision_is_text_or_a_whole_number():
    assert [read(f"revision: {text}").revision for text in ("B", "3", "'2.1'")] == ["B", "3", "2.1"]
    for text in ("true", "2.5", "[B]", "''"):
        ((line, _, message),) = faults(f"revision: {text}")
        assert line == 4
        assert message == "a revision is a few letters or figures, such as B, at most 20"


def test_what_a_schema_lets_by_and_what_not():
    """At the bounds of a length: 0 where 0 may stand, nothing below it, no more than 1e9."""

    def fits(line):
        whole = yaml.safe_load(BASE + line + "\n" + RUNS)
        return Draft202012Validator(json_schema()).is_valid(whole)

    for line, right in (("kerf: 0", True), ("kerf: 0.5", True), ("kerf: -0.1", False), ("kerf: 1000000000", True),
                        ("kerf: 1000000001", False), ("stock: {length: 0}", False), ("stock: {length: 0.1}", True),
                        ("kerf: 3 mm", True), ("kerf: abc", False), ("kerf: '${a}'", True), ("units: in", True),
                        ("units: ft", False), ("jig: {steepest: 361}", False), ("jig: {steepest: 45}", True),
                        ("former: {radius: 0}", False)):  # fmt: skip
        assert fits(line) is right, line
