"""Slips of YAML, values of the wrong kind and parameters without a value: what is said of them, and where."""

import re

import pytest
import yaml
from pydantic import ValidationError
from short_jobs import RUNS, faults, read

from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.job.routing.forms import PassoverForm
from pipemodel.job.starter.blank import Wishes, starter


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
        ("a: *\n", "1:5: this cannot be read as YAML: a sign here has"),
        ("a: - 1\n", "1:4: a '-' is not expected here; start the list on a line of its own"),
        ("a: 'x\n", "a quote is opened here and never closed"),
        ('a: "\\q"\n', "a '\\' in double quotes starts an escape; use single quotes instead"),
        ("a: `x`\n", "1:4: text that starts with '`' must stand in quotes"),
        ("a: %x\n", "1:4: text that starts with '%' must stand in quotes"),
        ("a: 'x\n---\nb: 1\n", "a quote or bracket is still open before this line"),
        ("  a: 1\n b: 2\n", "2:2: this line fits nothing above it; line it up with the first key"),
        ("a: 1\n\tb: 2\n", "2:1: a tab; indent with spaces"),
        ("a: 1\n \tb: 2\n", "2:2: a tab; indent with spaces"),
        ("a: 1\nb: c\td: e\n", "a ':' is not expected here"),
        ("a: &x 1\nb: *y\n", "2:4: *y stands for nothing; mark what it repeats with &y before it"),
        ("a: &x [*x]\n", "*x stands inside &x and would repeat itself without end"),
        ("a: &x 1\n? *x\n: 2\n", "2:3: *x cannot be a key; a key is plain text"),
    ],
)
def test_slips_of_yaml_are_given_in_plain_words(text, words):
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


def test_a_long_ring_of_parameters_is_given_in_short():
    names = "abcdefghij"
    sheet = ", ".join(f"{n}: '${{{m}}}'" for n, m in zip(names, names[1:] + "a", strict=True))
    ((*_, message),) = faults(f"parameters: {{{sheet}}}")
    assert message == "the parameter a is made from itself: a -> b -> ... -> a"
    two = ", ".join(f"{n}: '${{{m}}}'" for n, m in zip("abcd", "badc", strict=True))
    assert [m for *_, m in faults(f"parameters: {{{two}}}")] == [
        "the parameter a is made from itself: a -> b -> a",
        "the parameter c is made from itself: c -> d -> c",
    ]


def test_what_hangs_on_a_parameter_at_fault_is_not_given_again():
    lines = faults("parameters: {a: x, b: '${a}'}\nclearance: ${b}\nkerf: ${c}")
    assert [(line, column) for line, column, _ in lines] == [(4, 17), (6, 7)]


def test_a_parameter_may_be_an_angle_or_text_with_a_unit():
    job = read("parameters: {a: 30 deg, b: 2 in, c: '${b / 2}'}\nclearance: ${c}")
    assert (job.parameters, job.clearance_mm) == ({"a": 30, "b": 50.8, "c": 25.4}, 25.4)


def test_floor_and_ceil_go_their_own_way():
    job = read("parameters: {a: '${floor(2.7)}', b: '${ceil(2.2)}', c: '${floor(-2.2)}', d: '${ceil(-2.7)}'}")
    assert job.parameters == {"a": 2, "b": 3, "c": -3, "d": -2}


WALL = "room: {wall: {face: {at: [0, 500, 0], facing: south}}}\n"


def test_a_service_may_be_written_in_capitals_and_a_number_is_none():
    assert read(WALL + "clips: {face: wall, service: ' Water '}").runs[0].clips is not None
    ((_, _, said),) = faults(WALL + "clips: {face: wall, service: 5}")
    assert said.startswith("service is text, not 5")


def test_what_lacks_a_key_is_named():
    ((_, _, said),) = faults(WALL + "clips: {service: water}")
    assert said.startswith("clips lacks 'face' (")
    with pytest.raises(JobError) as caught:
        job_of_text("tube: 15\n" + RUNS, "job.yaml")
    assert caught.value.faults[0].message.startswith("the job lacks 'job'")
    ((_, _, said),) = faults("room: {post: {cylinder: {from: [0, 0, 0], to: [0, 0, 9]}}}")
    assert said.startswith("cylinder lacks 'diameter'")


@pytest.mark.parametrize(
    ("bends", "angle", "refused"), [(4, 90, False), (4, 91, True), (3, 91, False), (3, 120, False)]
)
def test_only_a_passover_of_four_bends_goes_no_further_than_square(bends, angle, refused):
    form = {"thing": "pipe", "gap": 10, "bends": bends, "angle": angle}
    if refused:
        with pytest.raises(ValidationError, match="with four are of 90 degrees at most, not 91"):
            PassoverForm.model_validate(form)
    else:
        assert PassoverForm.model_validate(form).angle == angle
    with pytest.raises(ValidationError, match="a passover with three bends has no flat on top"):
        PassoverForm.model_validate(form | {"bends": 3, "flat": 100})


@pytest.mark.parametrize("tube", ["15", "22", "28"])
def test_the_waste_pipe_of_a_job_to_start_from_lies_along_its_floor(tube):
    data = yaml.safe_load(starter(Wishes(tube=tube)).text)
    floor, pipe = data["room"]["floor"]["face"]["at"][2], data["room"]["waste pipe"]["cylinder"]
    assert pipe["from"][2] == pipe["to"][2]
    assert 0.0 <= pipe["from"][2] - pipe["diameter"] / 2.0 - floor <= 10.0
    assert pipe["from"][0] == pipe["to"][0]
    assert pipe["from"][1] < 0.0 < data["room"]["wall"]["face"]["at"][1] <= pipe["to"][1]
