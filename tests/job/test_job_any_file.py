"""No job file, whatever is in it, gives anything but a job or a list of faults with places inside the file."""

import json
import tempfile
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from wide import few_or_many

from pipemodel.bending.schedule import Schedule, solve
from pipemodel.job.model import Job, JobError
from pipemodel.job.read import read_job
from pipemodel.job.yaml_tree import read_tree

HERE = Path(__file__).parents[1]
SEEDS = [path.read_text(encoding="utf-8") for path in sorted((HERE.parent / "examples").glob("*.yaml"))]
SEEDS.append(
    """\
job: routes
parameters: {drop: 350, gap: 3/4 in, half: "${drop / 2}"}
tube: {outside: 22, wall: 0.9}
former: &former {radius: 77, springback: {per_degree: 0.02, fixed: 1}, hold: 60}
clearance: "${gap}"
room:
  wall: {face: {at: [0, 2000, 0], facing: south}}
  duct: {extrusion: {outline: [[0, 0], [1, 0], [0, 1 cm]], from: 900, to: 950}, clearance: 2}
  beam: {mesh: {file: beam.stl, at: [1, 2, 3], turn: [{about: x, by: 30}], unit: m}}
  waste: {cylinder: {from: [600, 200, -9], to: [600, 200, 9], diameter: 40}}
runs:
  flow:
    start: [0, 0, 0]
    heading: east
    former: *former
    route:
      - go: 600
      - north: {to face of: wall, standoff: 60}
      - up: 40 cm
      - turn: {to: west, angle: 45}
      - set: {to: north, offset: 60, angle: 30}
      - go: "${drop}"
  return: {points: [[0, 0, "${drop}"], [600, 0, 0], [600, 40 in, 0]], tube: 15, former: {radius: 55}}
"""
)
QUICK = settings(
    max_examples=few_or_many(50, 1000),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def outcome(data: bytes) -> Job | JobError:
    """Read a file of these bytes, and solve it if it can be read."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.yaml"
        path.write_bytes(data)
        (Path(folder) / "beam.stl").write_bytes(b"")
        try:
            job = read_job(path)
            assert isinstance(job, Job)
            assert isinstance(solve(job), Schedule)
        except JobError as error:
            check_faults(error, data)
            return error
        return job


def check_faults(error: JobError, data: bytes) -> None:
    lines = data.decode("utf-8", "replace").splitlines() or [""]
    assert error.faults
    for fault in error.faults:
        assert 1 <= fault.place.line <= len(lines) + 1
        assert fault.place.column >= 1
        assert fault.message
        assert fault.message.isprintable()
        assert len(fault.message) < 1200


NASTY = [
    *("[", "]", "{", "}", ":", "- ", "\t", "&a ", "*a", "!x ", "|", ">", "'", '"', "#", "%", "@", "`", "\n", "---\n"),
    *("${", "}", "${a}", "${drop}", "${1/0}", "null", "true", ".nan", ".inf", "-1e999", "9" * 500, "1:30", "0x10"),
    *("\x00", "\x85", "\u2028", "é", "\U0001f527", "\ufeff", "../", "con", " " * 50, "1/0 in", "3/4", "<<: *former\n"),
]


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """A valid job with a few things changed: text put in or taken out, lines dropped, doubled, moved or indented."""
    text = draw(st.sampled_from(SEEDS))
    for _ in range(draw(st.integers(1, 5))):
        lines = text.split("\n")
        i = draw(st.integers(0, len(lines) - 1))
        j = draw(st.integers(0, len(lines) - 1))
        at = draw(st.integers(0, len(text)))
        change = draw(st.sampled_from(["put", "cut", "drop", "double", "swap", "indent", "swap words"]))
        if change == "put":
            text = text[:at] + draw(st.sampled_from(NASTY)) + text[at:]
        elif change == "cut":
            text = text[:at] + text[at + draw(st.integers(1, 8)) :]
        elif change == "swap words":
            words = text.split(" ")
            k, m = draw(st.integers(0, len(words) - 1)), draw(st.integers(0, len(words) - 1))
            words[k], words[m] = words[m], words[k]
            text = " ".join(words)
        else:
            if change == "drop":
                del lines[i]
            elif change == "double":
                lines.insert(j, lines[i])
            elif change == "swap":
                lines[i], lines[j] = lines[j], lines[i]
            else:
                lines[i] = " " * draw(st.integers(1, 5)) + lines[i]
            text = "\n".join(lines)
    return text


KEYS = [
    *("job", "parameters", "tube", "former", "clearance", "room", "runs", "outside", "wall", "radius"),
    *("springback", "per_degree", "fixed", "mark", "hold", "max_angle", "box", "cylinder", "face"),
    *("extrusion", "mesh", "from", "to", "at", "facing", "outline", "diameter", "file", "turn", "about"),
    *("by", "unit", "points", "start", "heading", "route", "go", "north", "up", "set", "offset", "angle"),
    *("thing", "gap", "bends", "corner", "wall.", "1", "nul", "ends", "clips", "stock", "bender", "jig"),
]  # fmt: skip
LEAVES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-1000, 1000),
    st.integers(),
    st.floats(),
    st.sampled_from([15, 22, 55, 600, "15", "60 cm", "north", "up", "x", "${drop}", "${1+1}", "3/4 in", "job", "wall"]),
    st.text(max_size=12),
)
POINTS = st.lists(st.lists(st.one_of(st.integers(-900, 900), LEAVES), min_size=2, max_size=4), max_size=5)
NAMES = st.sampled_from(KEYS) | st.text(max_size=5)
TREES = st.recursive(
    LEAVES | POINTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(NAMES, inner, max_size=5),
    max_leaves=25,
)
RUN_LIKE = st.fixed_dictionaries(
    {}, optional={"points": POINTS, "route": TREES, "start": POINTS | TREES, "tube": TREES}
)
JOB_LIKE = st.fixed_dictionaries(
    {"job": LEAVES, "runs": st.dictionaries(st.text(max_size=4), RUN_LIKE | TREES, max_size=3)},
    optional={
        "tube": TREES,
        "former": TREES,
        "clearance": LEAVES,
        "parameters": st.dictionaries(st.sampled_from(["drop", "a", "b"]), LEAVES, max_size=3) | TREES,
        "room": st.dictionaries(st.text(max_size=4), TREES, max_size=3) | TREES,
    },
)


@pytest.mark.slow
@QUICK
@given(mutated())
def test_mutated_jobs(text: str) -> None:
    outcome(text.encode("utf-8", "surrogatepass"))


@pytest.mark.slow
@QUICK
@given(st.sampled_from(SEEDS), st.data())
def test_flipped_bytes(text: str, data: st.DataObject) -> None:
    raw = bytearray(text.encode())
    for _ in range(data.draw(st.integers(1, 6))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
    outcome(bytes(raw))


@pytest.mark.slow
@QUICK
@given(JOB_LIKE, st.booleans())
def test_trees_like_a_job(tree: Any, flow: bool) -> None:
    try:
        text = json.dumps(tree, allow_nan=True) if flow else yaml.safe_dump(tree, sort_keys=False)
    except yaml.YAMLError:
        return
    outcome(text.encode("utf-8", "surrogatepass"))


@pytest.mark.slow
@QUICK
@given(st.text() | st.text(alphabet="[]{}:-,&*!|>'\"#%@`\n\t abc01.${}", max_size=60))
@example("? ? ?\n")
@example("&a : *a")
@example("a: &a\n  b: *a")
@example("[" * 10000)
@example("- " * 3000)
@example("{a: " * 3000)
@example("a: " + "&x " * 100)
@example("a: *" + "x" * 5000)
@example("'" * 9999)
def test_any_text(text: str) -> None:
    outcome(text.encode("utf-8", "surrogatepass"))


@QUICK
@given(st.binary())
def test_any_bytes(data: bytes) -> None:
    outcome(data)


@pytest.mark.slow
@QUICK
@given(st.text(alphabet="0123456789.+-*/^() ,abdropminsqt$", max_size=40))
def test_any_expression(text: str) -> None:
    outcome(f"job: x\nparameters: {{drop: 3}}\ntube: 15\nclearance: '${{{text}}}'\nruns: {{}}\n".encode())


@pytest.mark.slow
@QUICK
@given(JOB_LIKE)
def test_json_is_yaml(tree: Any) -> None:
    """Against the standard library: YAML 1.2 (2009, section 1.3) reads every JSON text as JSON does."""
    text = json.dumps(tree, ensure_ascii=False)
    assume(not set("\x85\u2028\u2029") & set(text))  # line ends to YAML 1.1; `read_text` refuses them
    read = read_tree(text)
    if read.complete and not read.faults and "Infinity" not in text and "NaN" not in text:
        assert json.dumps(read.values) == json.dumps(json.loads(text))
