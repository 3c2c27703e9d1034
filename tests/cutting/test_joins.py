"""What a run is connected to it may touch; everything else, and the rest of the run, is judged as ever."""

import json

import pytest
from command_line import run

JOB = """\
job: boiler
tube: 15
former: {{radius: 55, hold: 30, guide: 10}}
clearance: 5
{more}
room:
  boiler: {{box: {{from: [-300, -200, -300], to: [30, 200, 200]}}}}
  valve:  {{box: {{from: [40, -40, 16], to: [80, 40, 60]}}}}
runs:
  flow:
    points: {points}
    ends: {{{ends}}}
"""
STRAIGHT_OUT = "[[0, 0, 0], [400, 0, 0], [400, 300, 0]]"


@pytest.fixture
def stated(tmp_path):
    def check(ends="", points=STRAIGHT_OUT, more="", runs=""):
        path = tmp_path / "job.yaml"
        path.write_text(JOB.format(ends=ends, points=points, more=more) + runs, encoding="utf-8")
        said = run("check", path, "--format", "json")
        assert said.code in (0, 1), said.err
        record = json.loads(said.out)
        found = [f for f in record["findings"] if f["check"] == "clash"]
        return found, {(d["run"], d["against"]): d["distance_mm"] for d in record["distances"]}, record["verdict"]

    return check


def test_a_run_that_starts_in_a_boiler_clashes_unless_it_joins_it(stated):
    found, distances, _ = stated()
    assert [(f["code"], f["against"]) for f in found] == [("C101", "boiler")]
    found, joined, verdict = stated("start: {joins: boiler}")
    assert (found, verdict) == ([], "pass")
    # What there is is still said: the contract's least distance over the whole run.
    assert joined == distances


def test_the_fitting_may_say_it_too(stated):
    found, _, verdict = stated("start: {fitting: compression, to: end, joins: boiler}")
    assert (found, verdict) == ([], "pass")


def test_everything_else_is_still_judged(stated):
    # The valve's underside at 16 is 8.5 off the tube: fine for 5, too near for 5 and insulation of 9.
    assert stated("start: {joins: boiler}", more="insulation: 3")[0] == []
    (near,), _, _ = stated("start: {joins: boiler}", more="insulation: 9")
    assert (near["code"], near["against"], near["required_mm"]) == ("C102", "valve", 14.0)
    assert "14 mm is asked for, 9 mm of it insulation" in near["message"]


def test_bare_of_insulation_near_the_joint(stated):
    # The valve ends at x 80: bare up to there and a little more, only the clearance is asked for.
    assert stated("start: {joins: boiler, bare: 95}", more="insulation: 9")[0] == []
    (near,), _, _ = stated("start: {joins: boiler, bare: 60}", more="insulation: 9")
    assert near["at_mm"] == pytest.approx(60.0, abs=1e-6)
    assert near["distance_mm"] == pytest.approx(8.5)


def test_the_way_back_to_the_boiler_is_a_clash(stated):
    """It starts in the boiler, goes out, and comes back into it higher up."""
    points = "[[0, 0, 0], [300, 0, 0], [300, 0, 120], [-100, 0, 120]]"
    found, _, _ = stated("start: {joins: boiler}", points)
    (boiler,) = (f for f in found if f["against"] == "boiler")
    assert boiler["code"] == "C101"
    assert len(boiler["contacts"]) == 1
    # Its end, 130 into the boiler, and not the start, 30 in it.
    assert boiler["contacts"][0]["at_mm"] > 600


def test_leaving_it_flat_along_the_face_is_not_excused(stated):
    """Out of the boiler's side at a slant of 10 degrees: 100 on it is still too near."""
    points = "[[0, 0, 0], [30, 0, 0], [230, 0, 0]]"
    assert stated("start: {joins: boiler}", points)[0] == []
    slant = "[[28, -150, 0], [64, 50, 0], [300, 50, 0]]"
    found, _, _ = stated("start: {joins: boiler}", slant)
    assert [f["against"] for f in found] == ["boiler"]


def test_an_end_that_does_not_reach_what_it_joins(stated):
    (short,), _, verdict = stated("start: {joins: boiler}", "[[200, 0, -60], [600, 0, -60]]")
    assert (short["code"], short["severity"], verdict) == ("C107", "warning", "pass")
    assert short["distance_mm"] == pytest.approx(170.0, abs=0.02)
    assert "its start is to join 'boiler' and ends 170.0 mm from it" in short["message"]
    (finish,), _, _ = stated("finish: {joins: boiler}", "[[600, 0, -60], [200, 0, -60]]")
    assert finish["at_mm"] == pytest.approx(400.0)


OTHER = """\
  branch:
    points: {points}
    ends: {{start: {{joins: flow}}}}
"""


@pytest.mark.slow
def test_a_run_may_join_another_run(stated):
    tee = OTHER.format(points="[[250, 0, 0], [250, -300, 0]]")
    assert stated("start: {joins: boiler}", runs=tee)[0] == []
    again = OTHER.format(points="[[150, 0, 0], [150, 0, -200], [270, 0, -200], [270, 0, 200]]")
    (crossed,), _, _ = stated("start: {joins: boiler}", runs=again)
    assert (crossed["code"], crossed["run"], crossed["against"]) == ("C101", "flow", "branch")
    (contact,) = crossed["contacts"]
    assert contact["point"][0] == pytest.approx(270.0, abs=8.0)
    # Without `joins` both places are listed.
    both = again.replace("    ends: {start: {joins: flow}}\n", "")
    assert len(stated("start: {joins: boiler}", runs=both)[0][0]["contacts"]) == 2


def test_text_says_joined(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(ends="start: {joins: boiler}", points=STRAIGHT_OUT, more=""), encoding="utf-8")
    rows = [line.split() for line in run("check", path).out.splitlines()]
    assert ["-30.0", "joined", "0.0", "boiler"] in rows
    assert ["8.5", "5.0"] in [row[:2] for row in rows if row[-1:] == ["valve"]]


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        (
            "start: {joins: boilr}",
            "there is no thing in the room, or other run, called 'boilr'; did you mean 'boiler'?",
        ),
        ("start: {joins: flow}", "a run does not join itself"),
        ("start: {}", "say what the end goes into"),
        ("start: {joins: boiler, bare: -1}", "must not be less than 0"),
    ],
)
def test_bad_ends(tmp_path, ends, words):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(ends=ends, points=STRAIGHT_OUT, more=""), encoding="utf-8")
    said = run("check", path)
    assert said.code == 2
    assert words in said.err
    assert f"{path}:" in said.err
