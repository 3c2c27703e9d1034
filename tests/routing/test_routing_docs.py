"""The reference of job files: its examples are worked out, its corners are right, and no key is left unsaid."""

import re
from pathlib import Path

import jsonschema
import pytest
import yaml
from routes import route

from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.job.routing.words import DIRECTIONS
from pipemodel.job.schema import json_schema
from pipemodel.story import schedule

PAGE = (Path(__file__).parents[2] / "docs" / "job-files.md").read_text(encoding="utf-8")
FENCES = re.findall(r"```(\w+)\n(.*?)```", PAGE, re.DOTALL)
JOBS = [text for kind, text in FENCES if kind == "yaml" and text.startswith("job:")]
ROUTES = [(text, FENCES[i + 1][1]) for i, (kind, text) in enumerate(FENCES) if kind == "yaml" and text.startswith("- ")]
ROOM = next(job_of_text(text, "job.yaml") for text in JOBS if "the room of the examples" in text)


def test_the_page_has_examples():
    assert len(JOBS) == 19
    assert len(ROUTES) >= 14
    assert len(JOBS) + 2 * len(ROUTES) + 1 == len(FENCES)


@pytest.mark.parametrize("text", JOBS[:-1], ids=lambda text: text.splitlines()[0])
def test_whole_jobs_are_worked_out(text):
    assert schedule(job_of_text(text, "job.yaml")).runs


@pytest.mark.parametrize(("text", "corners"), ROUTES, ids=lambda text: text.splitlines()[0])
def test_routes_go_where_the_page_says(text, corners):
    run = ROOM.runs[0]
    made = route(*yaml.safe_load(text), things=ROOM.things, tube=run.tube, former=run.former)
    said = [tuple(map(float, point.split(","))) for point in corners.removeprefix("corners").split()]
    assert len(made.corners) == len(said)
    for corner, point in zip(made.corners, said, strict=True):
        assert corner == pytest.approx(point, abs=6e-4)


def test_faults_are_given_as_the_page_says():
    (said,) = (text for kind, text in FENCES if kind == "faults")
    with pytest.raises(JobError) as error:
        job_of_text(JOBS[-1], "job.yaml")
    assert error.value.lines() == said.splitlines()


def keys_of(schema):
    if isinstance(schema, dict):
        properties = schema.get("properties")
        yield from properties if isinstance(properties, dict) else ()
        for value in schema.values():
            yield from keys_of(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from keys_of(value)


def test_every_key_and_every_direction_is_on_the_page():
    said = " ".join(PAGE.split())
    bender = {"name", "like", "radius", "source", "body", "lever", "guide", "room", "file"}
    unsaid = [key for key in {*keys_of(json_schema()), *DIRECTIONS} - bender if not re.search(rf"\b{key}\b", said)]
    between = {"north west", "south east", "south west"}
    assert set(unsaid) <= between


def test_an_editors_schema_takes_what_the_page_says_and_no_slips():
    check = jsonschema.Draft202012Validator(json_schema())
    for text in JOBS[:-1]:
        check.validate(yaml.safe_load(text))
    frame = yaml.safe_load(next(text for text in JOBS if "the room of the examples" in text))
    for text, _ in ROUTES:
        frame["runs"]["example"]["route"] = yaml.safe_load(text)
        check.validate(frame)
    for slip in (
        {"trun": "up"},
        {"go": 5, "turn": "up"},
        {"turn": "upp"},
        {"go": None},
        {},
        {"set": {"to": "up", "anlge": 3}},
    ):
        frame["runs"]["example"]["route"] = [slip]
        assert not check.is_valid(frame)
