"""Every figure that a job may leave out, and the bounds of those it gives: the last taken, the first refused.

The figures are those of the pages (docs/jobs.md, docs/jig.md and docs/bending.md), written out here by hand.
"""

import math
import re

import pytest
import yaml
from jsonschema import Draft202012Validator

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.job.schema import json_schema

BASE = "job: x\ntube: 15\nformer: {radius: 55}\n"
RUNS = "runs:\n  a: {points: [[0, 0, 0], [600, 0, 0], [600, 400, 0]]}\n"


def read(line="", former="{radius: 55}", tube="15", runs=RUNS):
    return job_of_text(f"job: x\ntube: {tube}\nformer: {former}\n{line}\n{runs}", "job.yaml")


def faults(line="", **more):
    with pytest.raises(JobError) as caught:
        read(line, **more)
    return [(f.place.line, f.place.column, f.message) for f in caught.value.faults]


def test_what_a_job_leaves_out():
    job = read()
    assert (job.clearance_mm, job.kerf_mm, job.units, job.revision, job.jig) == (0, 0, "mm", "", None)
    assert (job.stock.length_mm, job.stock.offcuts) == (3000, ())
    (run,) = job.runs
    assert (run.ends.trim_mm, run.clips, run.bender, run.insulation_mm) == (0, None, None, 0)
    former = run.former
    assert (former.mark_mm, former.guide_travel_mm, former.max_angle_deg, former.radius_within_mm) == (0, 0, 200, 0)
    assert (former.outside_mm, former.rim_mm, former.allow_tight, former.mark_at) == (None, None, False, "beginning")


def test_what_a_former_says_comes_out_as_said():
    """Each figure another number, so that none can stand for another."""
    (run,) = read(
        former="{radius: 61, springback: {per_degree: 0.07, fixed: 1.3}, mark: 12, rim: 31, hold: 43, guide: 47, "
        "guide_block: 107, guide_travel: 3, max_angle: 171, outside: 15, radius_within: 0.9, allow_tight: true}"
    ).runs
    f = run.former
    assert (f.radius_mm, f.springback.per_degree, f.springback.fixed_deg, f.mark_mm, f.rim_mm) == (
        61,
        0.07,
        1.3,
        12,
        31,
    )
    assert (f.hold_mm, f.guide_mm, f.guide_block_mm, f.guide_travel_mm) == (43, 47, 107, 3)
    assert (f.max_angle_deg, f.outside_mm, f.radius_within_mm, f.allow_tight) == (171, 15, 0.9, True)
    assert (f.mark_at, f.not_given, f.generic) == ("offset", (), False)


@pytest.mark.parametrize(
    ("mark", "mm", "at"), [("beginning", 0, "beginning"), ("square", 31, "square"), ("-4", -4, "offset")]
)
def test_how_a_mark_is_set(mark, mm, at):
    former = read(former=f"{{radius: 55, rim: 31, mark: {mark}}}").runs[0].former
    assert (former.mark_mm, former.mark_at) == (mm, at)


@pytest.mark.parametrize(
    ("given", "missing"),
    [("", ("springback", "hold", "guide")), (", springback: {}", ("springback", "hold", "guide")),
     (", springback: {fixed: 0}", ("hold", "guide")), (", hold: 0", ("springback", "guide")),
     (", guide: 0", ("springback", "hold")), (", guide_block: 90", ("springback", "hold"))],
)  # fmt: skip
def test_which_figures_of_a_former_are_taken_as_not_given(given, missing):
    assert read(former=f"{{radius: 55{given}}}").runs[0].former.not_given == missing


def test_a_mark_by_a_square_needs_the_rim():
    ((*_, message),) = faults(former="{radius: 55, mark: square}")
    assert message == "a mark set by a square against the rim needs the rim: its distance from the former's axis"


JIG = {
    # key: default, least, most
    "base_thickness": (5, 2, 30),
    "bar": (26, 20, 120),
    "screw": (4, 2, 10),
    "joint_gap": (0.15, 0.02, 1),
    "steepest": (60, 5, 70),
    "allowance": (0.2, 0, 1.5),
    "nozzle": (0.4, 0.25, 1.5),
    "layer": (0.2, 0.04, 0.32),
    "walls": (3, 1, 50),
    "infill": (0.15, 0, 1),
    "density": (1.24, 0.5, 5),
    "speed": (8, 0.1, 500),
}
"""Nozzle and layer go together: a layer is at most 0.8 of the nozzle, so the other's default bounds each."""


def jig_values(jig):
    p = jig.print
    return {
        "base_thickness": jig.base_mm, "bar": jig.bar_mm, "screw": jig.screw_mm, "joint_gap": jig.joint_gap_mm,
        "steepest": jig.steepest_deg, "allowance": p.allowance_mm, "nozzle": p.nozzle_mm, "layer": p.layer_mm,
        "walls": p.walls, "infill": p.infill, "density": p.density_g_cm3, "speed": p.speed_mm3_s,
    }  # fmt: skip


def test_a_blank_jig_has_every_usual_figure():
    jig = read("jig:\n  gauges: true").jig
    assert jig_values(jig) == {key: usual for key, (usual, _, _) in JIG.items()}
    assert (jig.bed.x_mm, jig.bed.y_mm, jig.bed.z_mm) == (220, 220, 250)
    assert (jig.decision, jig.base, jig.inserts, jig.gauges) == ("balanced", "printed", False, True)
    assert (jig.standoff_mm, jig.revision) == (None, "A")
    t = jig.tolerance
    assert (t.position_mm, t.angle_deg, t.start_mm, t.finish_mm, t.at_start_mm, t.at_finish_mm) == (
        3,
        1,
        None,
        None,
        3,
        3,
    )


@pytest.mark.parametrize("key", JIG)
def test_the_bounds_of_a_jigs_figures(key):
    _, least, most = JIG[key]
    for value in (least, most):
        if value:
            assert jig_values(read(f"jig: {{{key}: {value}}}").jig)[key] == value
    for value in ((least - 0.001) if least else -0.001, most + 0.001):
        if key == "walls" and value > 1:
            value = 51
        (*_, message), *_ = faults(f"jig: {{{key}: {value:g}}}")
        assert key in message or "must" in message or "too thick" in message


def test_each_figure_of_a_jig_is_its_own():
    """Every key set to a figure no other has comes out under its own name."""
    said = {"base_thickness": 7, "bar": 31, "screw": 5, "joint_gap": 0.31, "steepest": 51, "allowance": 0.13,
            "nozzle": 0.6, "layer": 0.33, "walls": 4, "infill": 0.22, "density": 1.05, "speed": 11}  # fmt: skip
    text = ", ".join(f"{key}: {value}" for key, value in said.items())
    text += ", bed: [201, 202, 203], tolerance: {position: 2, angle: 1.5, start: 4, finish: 6}, standoff: 17"
    text += ", revision: 2.1, decision: go, base: board, inserts: true, gauges: false"
    jig = read(f"jig: {{{text}}}").jig
    assert jig_values(jig) == said
    assert (jig.bed.x_mm, jig.bed.y_mm, jig.bed.z_mm) == (201, 202, 203)
    t = jig.tolerance
    assert (t.position_mm, t.angle_deg, t.at_start_mm, t.at_finish_mm) == (2, 1.5, 4, 6)
    assert (jig.standoff_mm, jig.revision, jig.decision, jig.base) == (17, "2.1", "go", "board")
    assert (jig.inserts, jig.gauges) == (True, False)


@pytest.mark.parametrize(
    ("jig", "words"),
    [
        ("{bed: [59.9, 220, 220]}", "a bed of 59.9 x 220 x 220; each must be from 60 to 2000"),
        ("{bed: [220, 220, 2001]}", "a bed of 220 x 220 x 2001; each must be from 60 to 2000"),
        ("{bed: [220, 220]}", "a bed is its sizes, such as [220, 220, 250], or one of mini, small"),
        ("{tolerance: {angle: 0.04}}", "a tolerance of 0.04 degrees; write 0.05 to 20, such as 1"),
        ("{tolerance: {angle: 20.1}}", "a tolerance of 20.1 degrees; write 0.05 to 20, such as 1"),
        ("{tolerance: {position: 0.29}}", "a position tolerance of 0.29: a printed slot is no truer than 0.3"),
        ("{tolerance: {start: 0.29}}", "a start tolerance of 0.29"),
        ("{tolerance: {finish: 0.29}}", "a finish tolerance of 0.29"),
        ("{layer: 0.33}", "layers of 0.33 are too thick for a nozzle of 0.4: at most 0.8 of it"),
        ("{revision: ABCDEFG}", "'ABCDEFG' is no revision; write up to six letters and figures, such as A or 2.1"),
        ("{revision: a b}", "is no revision"),
        ("{revision: true}", "is no revision"),
        ("{bar: 19}", "bar is 19; it must be from 20 to 120"),
        ("{decision: best}", "decision is balanced, go or fine, not 'best'"),
    ],
)
def test_what_a_jig_cannot_be(jig, words):
    ((line, _, message),) = faults(f"jig: {jig}")
    assert line == 4
    assert words in message


@pytest.mark.parametrize("jig", ["{bed: [60, 60, 2000]}", "{tolerance: {angle: 0.05}}", "{tolerance: {angle: 20}}",
                                 "{tolerance: {position: 0.3, start: 0.3, finish: 0.3}}", "{revision: ABCDEF}",
                                 "{revision: 7}", "{revision: 2-1.a}", "{bed: MINI}", "{layer: 0.32}"])  # fmt: skip
def test_what_a_jig_may_just_be(jig):
    assert read(f"jig: {jig}").jig is not None


@pytest.mark.parametrize(
    ("springback", "words"),
    [
        ("{per_degree: 1.01}", "springback of 1.01 per degree; write a share such as 0.05"),
        ("{per_degree: -0.51}", "springback of -0.51 per degree"),
        ("{fixed: 45.1}", "a fixed springback of 45.1 degrees; write a few degrees, such as 1.5"),
        ("{fixed: -45.1}", "a fixed springback of -45.1 degrees"),
    ],
)
def test_springback_beyond_reason(springback, words):
    ((*_, message),) = faults(former=f"{{radius: 55, springback: {springback}}}")
    assert words in message


@pytest.mark.parametrize(("per_degree", "fixed"), [(1, 45), (-0.5, -45), (0, 0)])
def test_springback_at_its_bounds(per_degree, fixed):
    made = read(former=f"{{radius: 55, springback: {{per_degree: {per_degree}, fixed: {fixed}}}}}").runs[0].former
    assert (made.springback.per_degree, made.springback.fixed_deg) == (per_degree, fixed)


def test_a_tube_by_its_measures():
    tube = read(tube="{outside: 14, wall: 0.9, material: copper, temper: R250}").runs[0].tube
    assert (tube.outside_mm, tube.wall_mm, tube.name, tube.material, tube.temper) == (
        14, 0.9, "14 x 0.9 copper", "copper", "R250")  # fmt: skip
    assert read(tube="{outside: 14, wall: 0.9}").runs[0].tube.name == "14 x 0.9"
    assert read(tube="{outside: 14, wall: 6.9}").runs[0].tube.wall_mm == 6.9
    ((*_, message),) = faults(tube="{outside: 14, wall: 7}")
    assert message == "a wall of 7 leaves no bore in a tube of 14; it must be less than 7"


@pytest.mark.parametrize(
    ("former", "tube", "words"),
    [
        ("{radius: 7.5}", "{outside: 15, wall: 0.7}", "7.5 mm; 0 mm is missing"),
        ("{radius: 55, outside: 22}", "15", "is for tube of 22 mm, and this is 15 x 0.7 copper; name a former of its"),
        ("{radius: 54, radius_within: 0.5}", "15", "a radius of 54 \u00b1 0.5 mm is smaller than 15 x 0.7 copper "
         "allows: it needs at least 55 mm, 0.5 mm is missing at its upper end; use a larger former, or say allow"),
        ("{radius: 54}", "15", "a radius of 54 mm is smaller than 15 x 0.7 copper allows: it needs at least 55 mm, "
         "1 mm is missing; use"),
    ],
)  # fmt: skip
def test_a_former_that_does_not_fit_its_tube(former, tube, words):
    ((*_, message),) = faults(former=former, tube=tube)
    assert words in message


@pytest.mark.parametrize(
    ("former", "tube"),
    [("{radius: 7.6}", "{outside: 15, wall: 0.7}"), ("{radius: 54, radius_within: 1}", "15"), ("{radius: 55}", "15"),
     ("{radius: 40, allow_tight: true}", "15"), ("{radius: 55, outside: 15}", "15"),
     ("{name: 15 mm hand bender, allow_tight: true}", "15")],
)  # fmt: skip
def test_a_former_that_just_fits_its_tube(former, tube):
    assert read(former=former, tube=tube).runs


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


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a: b\n  c: d\n", "2:4: a ':' is not expected here"),
        ("a: 1\nbc\nd: 2\n", "this line is no 'key: value'; add the ':', or line it up with the text above"),
        ("a: [1\nb: 2\n", "a ',' or the closing ']' is missing before this (opened on line 1, column 4)"),
        ("a: {b: 1\nc: 2}\n", "2:2: a ',' or the closing '}' is missing before this (opened on line 1, column 4)"),
        ("a: [1, 2\n- 3\n", "3:1: a ',' or the closing ']' is missing before this (opened on line 1, column 4)"),
        ("a:\n  - 1\n b: 2\n", "3:2: this line fits nothing above it; line it up with the keys it belongs to"),
        ("- 1\na: 2\n", "2:1: this line fits no list above it; line it up with the other '-'"),
        ("a: [1,\n\n\n", "4:1: a value is missing here"),
        ("a: *\n", "1:5: this cannot be read as YAML: did not find"),
        ("a: - 1\n", "1:4: a '-' is not expected here; start the list on a line of its own"),
        ("a: 'x\n", "a quote is opened here and never closed"),
        ('a: "\\q"\n', "a '\\' in double quotes starts an escape; use single quotes instead"),
        ("a: `x`\n", "1:4: text that starts with '`' must stand in quotes"),
        ("a: %x\n", "1:4: text that starts with '%' must stand in quotes"),
        ("a: 'x\n---\nb: 1\n", "a quote or bracket is still open before this line"),
        ("  a: 1\n b: 2\n", "2:2: this line fits nothing above it; line it up with the first key"),
        ("a: 1\n\tb: 2\n", "2:1: a tab; indent with spaces"),
        ("a: &x 1\nb: *y\n", "2:4: *y stands for nothing; mark what it repeats with &y before it"),
        ("a: &x [*x]\n", "*x stands inside &x and would repeat itself without end"),
        ("a: &x 1\n? *x\n: 2\n", "2:3: *x cannot be a key; a key is plain text"),
    ],
)
def test_slips_of_yaml_are_told_in_plain_words(text, words):
    with pytest.raises(JobError) as caught:
        job_of_text(text, "job.yaml")
    lines = caught.value.lines()
    assert all(re.match(r"job\.yaml:\d+:\d+: ", line) for line in lines)
    assert any(words in line for line in lines), lines


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("clearance: {a: 1}", "4:1 a group of keys is no length; write a length such as 600, 60 cm, 0.6 m or 23 5"),
        ("insulation: -1", "4:13 -1 must not be less than 0"),
        ("units: ft", "4:8 units is mm or in, not 'ft'"),
        ("units:", "4:7 units is mm or in, not empty"),
        ("units: [mm]", "4:8 units is mm or in, not a list"),
        ("units: {mm: 1}", "4:1 units is mm or in, not a group of keys"),
        ("units: 3", "4:8 units is mm or in, not 3"),
        ("jig: {inserts: 7}", "4:16 inserts is true or false, not 7"),
        ("jig: {inserts: maybe}", "4:16 inserts is true or false, not 'maybe'"),
        ("room: {w: {face: {at: [1, 2], facing: up}}}", "4:23 a point is three lengths, [x, y, z]; this has 2"),
        ("room: {w: {face: {at: 3, facing: up}}}", "4:23 a point is three lengths, [x, y, z]; this is 3"),
        ("room: {w: {face: {at: true, facing: up}}}", "4:23 a point is three lengths, [x, y, z]; this is true"),
        ("room: {w: {face: {at: x, facing: up}}}", "4:23 a point is three lengths, [x, y, z]; this is 'x'"),
        ("room: {w: {face: {facing: up}}}", "4:12 face lacks 'at' (any point of the face)"),
        ("room: {w: {extrusion: {outline: [[0, 0]], from: 1, to: 2}}}",
         "4:33 outline needs at least 3; this has 1"),
        ("room: {w: {mesh: {file: ''}}}", "4:25 file is empty"),
        ("room: {w: {mesh: {file: 3}}}", "4:25 file is text, not 3"),
        ("room: {w: {mesh: {file: a.stl, turn: {about: x}}}}", "4:32 item 1 of turn lacks 'by' (how far, in degrees)"),
        ("stock: {lenght: 3}", "4:9 unknown key 'lenght'; did you mean 'length'?"),
        ("revision: " + "B" * 21, "4:11 a revision is a few letters or figures, such as B, at most 20"),
        ("stock: {length: 0}", "4:17 0 must be a length of more than 0"),
        ("stock: {offcuts: [5, x]}", "4:22 'x' is no length; write a length such as 600, 60 cm, 0.6 m or 23 5/8 in"),
        ("bender: 3", "4:9 a bender is the name of one"),
    ],
)  # fmt: skip
def test_what_does_not_fit_the_form_is_said_in_one_line(line, fault):
    found = [f"{line}:{column} {message}" for line, column, message in faults(line)]
    assert len(found) == 1
    assert found[0].startswith(fault)


def test_a_tube_that_is_none():
    for tube in ("true", "''", "[15]"):
        (found, *_) = faults(tube=tube)
        assert found[2].startswith(
            "a tube is a size such as 15 or '15 x 1.0', or its measures {outside: 15, wall: 0.7}"
        )
    (found, *_) = faults(tube="2.5")
    assert "bare numbers are mm; a size in inches is written '1/2 in type L'" in found[2]
    (found, *_) = faults(tube="3")
    assert "bare numbers" not in found[2]


def test_text_that_is_too_long_is_refused_with_its_limit():
    ((*_, message), *_) = faults(tube="{outside: 15, wall: 0.7, material: " + "c" * 41 + "}")
    assert message == "material is too long; at most 40 characters"
    assert read(tube="{outside: 15, wall: 0.7, material: " + "c" * 40 + "}").runs


@pytest.mark.parametrize(
    ("sheet", "fault"),
    [
        ("{a: '${b}', b: '${c}', c: '${b}'}", "4:28 the parameter b is made from itself: b -> c -> b"),
        ("{a: '${a}'}", "4:17 the parameter a is made from itself: a -> a"),
        ("{3x: 1}", "4:14 a parameter's name is made of letters, digits and _; not '3x' but 'p_3x'"),
        ("{a b: 1}", "4:14 a parameter's name is made of letters, digits and _; not 'a b' but 'a_b'"),
        ("{a: 400 deg}", "4:17 "),
        ("{a: '${1/0}'}", "4:17 '1/0' divides by zero"),
    ],
)
def test_parameters_that_have_no_value(sheet, fault):
    found = [f"{line}:{column} {message}" for line, column, message in faults(f"parameters: {sheet}")]
    assert len(found) == 1
    assert found[0].startswith(fault)


def test_a_long_ring_of_parameters_is_told_in_short():
    names = "abcdefghij"
    sheet = ", ".join(f"{n}: '${{{m}}}'" for n, m in zip(names, names[1:] + "a", strict=True))
    ((*_, message),) = faults(f"parameters: {{{sheet}}}")
    assert message == "the parameter a is made from itself: a -> b -> ... -> a"
    two = ", ".join(f"{n}: '${{{m}}}'" for n, m in zip("abcd", "badc", strict=True))
    assert [m for *_, m in faults(f"parameters: {{{two}}}")] == [
        "the parameter a is made from itself: a -> b -> a",
        "the parameter c is made from itself: c -> d -> c",
    ]


def test_what_hangs_on_a_parameter_at_fault_is_not_told_again():
    lines = faults("parameters: {a: x, b: '${a}'}\nclearance: ${b}\nkerf: ${c}")
    assert [(line, column) for line, column, _ in lines] == [(4, 17), (6, 7)]


def test_a_parameter_may_be_an_angle_or_text_with_a_unit():
    job = read("parameters: {a: 30 deg, b: 2 in, c: '${b / 2}'}\nclearance: ${c}")
    assert (job.parameters, job.clearance_mm) == ({"a": 30, "b": 50.8, "c": 25.4}, 25.4)


def test_an_editor_is_told_which_way_each_key_goes():
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


def test_an_editor_is_told_what_serves_where_a_key_is_left_out():
    """The figures shown in an editor are those that a job without the key really has."""
    properties = json_schema()["$defs"]["JigForm"]["properties"]
    for key, (usual, _, _) in JIG.items():
        assert properties[key]["default"] == usual
    whole = json_schema()["properties"]
    assert (whole["clearance"]["default"], whole["kerf"]["default"], whole["units"]["default"]) == (0, 0, "mm")


def test_a_revision_is_text_or_a_whole_number():
    assert [read(f"revision: {text}").revision for text in ("B", "3", "'2.1'")] == ["B", "3", "2.1"]
    for text in ("true", "2.5", "[B]", "''"):
        ((line, _, message),) = faults(f"revision: {text}")
        assert line == 4
        assert message == "a revision is a few letters or figures, such as B, at most 20"


@pytest.mark.parametrize(
    "broken", ["former: {radius: x}", "former: {radius: 55, hold: x}", "tube: {outside: x, wall: 1}"]
)
def test_where_a_former_or_a_tube_cannot_be_read_no_corner_is_blamed(tmp_path, broken):
    """A corner 20 from the start would be too tight for any generic former; only the figure at fault is told."""
    tube = "" if broken.startswith("tube") else "tube: 15\n"
    path = tmp_path / "job.yaml"
    path.write_text(f"job: x\n{tube}{broken}\nruns: {{a: {{points: [[0, 0, 0], [20, 0, 0], [20, 400, 0]]}}}}\n")
    with pytest.raises(JobError) as caught:
        story.read(path)
    assert ["'x' is no length" in f.message for f in caught.value.faults] == [True]


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


def test_floor_and_ceil_go_their_own_way():
    job = read("parameters: {a: '${floor(2.7)}', b: '${ceil(2.2)}', c: '${floor(-2.2)}', d: '${ceil(-2.7)}'}")
    assert job.parameters == {"a": 2, "b": 3, "c": -3, "d": -2}
