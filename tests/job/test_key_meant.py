"""An unknown key is answered with the key that was meant: another word for it, where it stands, or its letters."""

import pytest

from pipemodel.job.key_meant import _OTHER_WORDS
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.job.schema import json_schema

HEAD = "job: x\ntube: 15\n"
ROUTE = HEAD + "runs: {a: {start: [0, 0, 0], route: [{east: 300}, %s]}}"


def said(text: str) -> list[str]:
    with pytest.raises(JobError) as caught:
        job_of_text(text, "job.yaml")
    return [line.split("unknown key ")[1] for line in caught.value.lines() if "unknown key" in line]


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        (HEAD + "runs: {a: {start: [0, 0, 0], moves: [{east: 9}]}}", "'moves'; did you mean 'route'?"),
        (HEAD + "runs: {a: {from: [0, 0, 0], route: [{east: 9}]}}", "'from'; did you mean 'start'?"),
        (HEAD + "runs: {a: {path: [[0, 0, 0], [9, 0, 0]]}}", "'path'; did you mean 'points'?"),
        ("job: x\ntube: {diameter: 15, wall: 1}\n", "'diameter'; did you mean 'outside'?"),
        (ROUTE % "{to: [300, 0, 9]}", "'to'; did you mean 'corner'?"),
        (ROUTE % "{Osten: 9}", "'Osten'; did you mean 'east'?"),
        (ROUTE % "{up: {distance: 9}}", "'distance'; did you mean 'to centre'?"),
        (ROUTE % "{pass over: {over: b, gap: 9, angle: 45}}", "'over'; did you mean 'thing'?"),
        (ROUTE % "{go: 9, heading: east}", "'heading'; it stands beside 'route', not in it"),
        (HEAD + "runs: {a: {service: gas}}", "'service'; it stands in 'clips'"),
        (HEAD + "runs: {a: {rules: []}}", "'rules'; it stands beside 'runs', not in it"),
        (HEAD + "room: {b: {box: {from: [0, 0, 0], holes: []}}}", "'holes'; it stands beside 'box', not in it"),
        (HEAD + "room: {j: {joists: {count: 3}}}", "'count'; did you mean 'number'?"),
        (HEAD + "bender: {file: b.yaml, name: b, radius: 3}", "'radius'; the keys here are file, name"),
        (HEAD + "stok: {}\n", "'stok'; did you mean 'stock'?"),
        (HEAD + "colour: red\n", "'colour'; the keys here are job, parameters, tube,"),
    ],
)  # fmt: skip
def test_an_unknown_key_is_answered_with_the_one_that_was_meant(text, answer):
    assert any(line.startswith(answer) for line in said(text)), said(text)


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        (HEAD + "clips: wall\n", "clips is a group of keys, not 'wall'; its keys are face, standoff, service,"),
        (HEAD + "runs: {a: [[0, 0, 0], [9, 0, 0]]}", "a is a group of keys, not a list; its keys are points, start,"),
        (ROUTE % "{set: 60 up}", "set is a group of keys, not '60 up'; its keys are to, offset, rise, clear, gap,"),
        (HEAD + "room: [1]", "room is a group of names, each with what belongs to it, not a list"),
    ],
)
def test_what_should_be_a_group_of_keys_is_answered_with_its_keys(text, answer):
    with pytest.raises(JobError) as caught:
        job_of_text(text, "job.yaml")
    assert any(answer in line for line in caught.value.lines()), caught.value.lines()
    assert not any("its keys are file" in line for line in caught.value.lines())


def keys_in(node: object) -> set[str]:
    if isinstance(node, list):
        return set().union(*map(keys_in, node))
    if not isinstance(node, dict):
        return set()
    return set(node.get("properties", {})).union(*map(keys_in, node.values()))


def test_every_key_that_other_words_lead_to_is_one_of_a_job():
    assert set(_OTHER_WORDS) <= keys_in(json_schema())
