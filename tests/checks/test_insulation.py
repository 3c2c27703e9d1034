"""Insulation round a run: read from the file, and fitted in on top of the clearance."""

import json

import pytest
from command_line import LEAST, run

import pipemodel

LAGGED = LEAST.replace("clearance: 5", "clearance: 5\ninsulation: 13")


@pytest.fixture
def job_file(tmp_path):
    def write(text):
        path = tmp_path / "job.yaml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_one_thickness_for_all_runs_and_another_for_one(job_file):
    text = LAGGED + "    insulation: 1 in\n  other:\n    points: [[0, 900, 0], [500, 900, 0]]\n"
    job = pipemodel.load(job_file(text))
    assert [r.insulation_mm for r in job.runs] == [25.4, 13.0]


def test_none_unless_asked_for(job_file):
    assert pipemodel.load(job_file(LEAST)).runs[0].insulation_mm == 0.0


def test_it_has_to_fit_in_on_top_of_the_clearance(job_file):
    """The pipe's axis lies 80 above the tube's: 80 - 25 - 7.5 = 47.5 between the two surfaces."""
    for thickness, passes in ((42.4, True), (42.6, False)):
        path = job_file(LEAST.replace("clearance: 5", f"clearance: 5\ninsulation: {thickness}"))
        stated = json.loads(run("check", path, "--format", "json").out)
        found = [f for f in stated["findings"] if f["check"] == "clash"]
        assert (not found) == passes
        assert all(f["required_mm"] == pytest.approx(5.0 + thickness) for f in found)
        waste = next(d for d in stated["distances"] if d["against"] == "waste pipe")
        assert waste["distance_mm"] == pytest.approx(47.5)


def test_between_two_runs_both_count(job_file):
    """Two level tubes of 15, axes 60 apart: 45 between them, room for 5 + 20 + 20 and for no more."""
    text = "job: two\ntube: 15\nformer: {radius: 55}\nclearance: 5\ninsulation: %s\nruns:\n"
    text += "  a: {points: [[0, 0, 0], [500, 0, 0]]}\n  b: {points: [[0, 60, 0], [500, 60, 0]]}\n"
    assert run("check", job_file(text % 20)).code == 0
    assert run("check", job_file(text % 20.1)).code == 1


def test_less_than_none_is_refused(job_file):
    said = run("check", job_file(LEAST.replace("clearance: 5", "clearance: 5\ninsulation: -3")))
    assert said.code == 2
    assert ":5:" in said.err
