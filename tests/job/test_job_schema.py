"""The JSON Schema agrees with the reader: what is read is valid, what is misspelt is not."""

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner
from wide import few_or_many

from pipemodel.cli.schema import command
from pipemodel.job.read import read_job
from pipemodel.job.schema import json_schema
from pipemodel.job.yaml_tree import read_tree

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
EVERYTHING = """\
job: everything a job may say
parameters: {drop: 350, gap: 3/4 in, half: "${drop / 2}"}
tube: {outside: 15 mm, wall: "0.7", material: copper, temper: R250}
former:
  radius: 5.5 cm
  springback: {per_degree: 0.02, fixed: 1 deg}
  mark: -3
  hold: "${half}"
  guide: 1 1/2"
  max_angle: 180
  allow_tight: false
clearance: "${gap}"
room:
  box: {box: {from: [0, 0, 0], to: [1, 1, 1]}, clearance: 2}
  waste pipe: {cylinder: {from: [0, 0, 0], to: ["${drop}", 0, 1], diameter: 1 in}}
  wall: {face: {at: [0, 0, 0], facing: south}}
  roof: {face: {at: [0, 0, 0], facing: [0, -1, "${drop}"]}}
  duct: {extrusion: {outline: [[0, 0], [1, 0], [0, 1 cm]], from: 0, to: 5}}
  beam: {mesh: {file: beam.stl, at: [1, 2, 3], turn: {about: x, by: 30}, unit: m}}
  post: {mesh: {file: post.STEP, turn: [{about: x, by: 30}, {about: z, by: "${drop / 10}"}]}}
runs:
  points: {points: [[0, 0, 0], [600, 0, "${drop}"], ["23 5/8 in", 1, 2]]}
  route: {start: [0, 0, 0], heading: south-west, route: [{go: 600}, {up: 40 cm}, {north: "${drop}"}]}
  bearing: {start: [0, 0, 0], heading: 30°, route: [{go: "${drop}"}], tube: 22, former: 22 mm hand bender}
"""


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    schema = json_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def values(text: str) -> Any:
    tree = read_tree(text)
    assert tree.complete
    assert not tree.faults
    return tree.values


@pytest.mark.slow
def test_everything_a_job_may_say(tmp_path: Path, validator: jsonschema.Draft202012Validator) -> None:
    (tmp_path / "job.yaml").write_text(EVERYTHING)
    for name in ("beam.stl", "post.STEP"):
        (tmp_path / name).write_text("")
    read_job(tmp_path / "job.yaml")
    validator.validate(values(EVERYTHING))


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples(path: Path, validator: jsonschema.Draft202012Validator) -> None:
    validator.validate(values(path.read_text(encoding="utf-8")))


def key_paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(value, dict):
        return [p for key, inner in value.items() for p in ((*path, key), *key_paths(inner, (*path, key)))]
    if isinstance(value, list):
        return [p for i, inner in enumerate(value) for p in key_paths(inner, (*path, i))]
    return []


FREE = ({"parameters"}, {"room"}, {"runs"})
"""The sections whose keys are the user's own names."""
MISSPELT = [p for p in key_paths(values(EVERYTHING)) if not (len(p) == 2 and {p[0]} in FREE)]


@pytest.mark.parametrize("path", MISSPELT[:: few_or_many(3, 1)], ids=lambda p: ".".join(map(str, p)))
def test_misspelt_keys_do_not_validate(path: tuple[Any, ...], validator: jsonschema.Draft202012Validator) -> None:
    job = deepcopy(values(EVERYTHING))
    holder = job
    for step in path[:-1]:
        holder = holder[step]
    holder[f"{path[-1]}x"] = holder.pop(path[-1])
    assert not validator.is_valid(job)


@pytest.mark.parametrize(
    ("section", "value"),
    [
        ("clearance", "five"),
        ("clearance", -1),
        ("clearance", [1]),
        ("clearance", 2e9),
        ("tube", {"outside": 15}),
        ("former", {"radius": 0}),
        ("runs", {}),
        ("runs", {".hidden": {"points": [[0, 0, 0], [1, 0, 0]]}}),
        ("runs", {"a": {"points": [[0, 0, 0]]}}),
        ("runs", {"a": {"points": [[0, 0, 0], [1, 0]]}}),
        ("runs", {"a": {}}),
        ("runs", {"a": {"route": [{"east": 100}]}}),
        ("runs", {"a": {"points": [[0, 0, 0], [1, 0, 0]], "start": [0, 0, 0]}}),
        ("room", {"wall": {}}),
        ("room", {"wall": {"face": {"at": [0, 0, 0], "facing": "up"}, "box": {"from": [0, 0, 0], "to": [1, 1, 1]}}}),
        ("room", {"wall": {"face": {"at": [0, 0, 0], "facing": "upwards"}}}),
    ],
)
def test_wrong_values_do_not_validate(section: str, value: Any, validator: jsonschema.Draft202012Validator) -> None:
    assert not validator.is_valid({**values(EVERYTHING), section: value})


def test_command_prints_it() -> None:
    result = CliRunner().invoke(command)
    assert result.exit_code == 0
    assert json.loads(result.output) == json_schema()
