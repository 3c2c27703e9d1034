"""Will it fit: what a check of a whole job says."""

import json

import pytest
from command_line import run as run_cli

from pipemodel import check, load
from pipemodel.accuracy.values import Chance
from pipemodel.checks.fit_words import share
from pipemodel.job.model import JobError

JOB = """\
job: hands
tube: 15
former: {{radius: 55, springback: {{per_degree: 0, fixed: 0}}, hold: 60, guide: 45}}
{hands}
room:
  beside: {{box: {{from: [610, -100, -100], to: [700, 900, 900]}}}}
  end wall: {{face: {{at: [0, 412, 0], facing: south}}}}
  far: {{box: {{from: [3000, 0, 0], to: [3100, 100, 100]}}}}
runs:
  rise:
    points: [[0, 0, 0], [600, 0, 0], [600, 400, 0], [600, 400, 350]]
    {run}
  straight:
    points: [[0, 0, 900], [500, 0, 900]]
"""


def written(tmp_path, hands="hands: {mark: 1, angle: 1, turn: 1}", run=""):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(hands=hands, run=run))
    return path


def codes(path):
    return [(f.code, f.run, f.against) for f in check(load(path)).findings if f.check == "fit"]


def test_nothing_is_said_where_the_job_says_nothing_of_hands(tmp_path):
    path = written(tmp_path, hands="")
    assert check(load(path)).fits == ()
    assert codes(path) == []


def test_what_is_said(tmp_path):
    path = written(tmp_path)
    assert codes(path) == [
        ("F101", "rise", None),
        ("F102", "rise", "beside"),
        ("F102", "rise", "end wall"),
        ("F101", "straight", None),
    ]


def test_json_has_what_programs_read(tmp_path):
    path = written(tmp_path, run="ends: {finish: {within: {sideways: 20, along: 15}, joins: end wall}}")
    done = run_cli("check", str(path), "--format", "json")
    rise, straight = json.loads(done.out)["fit"]
    assert rise["run"] == "rise"
    assert 0.5 < rise["chance_low"] <= rise["chance"] <= rise["chance_high"] < 1.0
    assert rise["within"] == {"sideways_mm": 20.0, "along_mm": 15.0, "assumed": False, "trim_mm": 0.0}
    # What the end joins may be touched.
    assert [one["against"] for one in rise["touch"]] == ["beside", "far", "straight"]
    assert {one["against"]: one["chance"] for one in rise["touch"]}["far"] == 0.0
    assert rise["matters_most"] == {key: rise["shares"][0][key] for key in ("bend", "what")}
    assert straight["chance"] == 1.0
    assert straight["matters_most"] is None
    assert straight["finish_cov_mm2"] == [[0.0] * 3] * 3
    assert run_cli("check", str(path), "--format", "json").out == done.out


def test_chances_do_not_change_the_verdict(tmp_path):
    report = check(load(written(tmp_path, "hands: {mark: 10, angle: 10, turn: 20}")))
    assert report.verdict == "pass"
    assert {f.code for f in report.findings if f.check == "fit"} == {"F101", "F102", "F103"}


@pytest.mark.parametrize("language", ["en", "de"])
def test_people_read_chances_and_never_a_bare_yes(tmp_path, language):
    done = run_cli("check", str(written(tmp_path)), "--language", language)
    text = " ".join(done.out.split())
    for part in {
        "en": ("19 times in 20", "in 100 pieces fit", "matters most", "finish lands", "best check", "pieces tried"),
        "de": ("19 von 20", "von 100 Stücken passen", "zählt am meisten", "Ende liegt", "bestes Prüfmaß", "versucht"),
    }[language]:
        assert part in text


@pytest.mark.parametrize(
    ("run", "says"),
    [
        ("ends: {start: {within: {sideways: 5}}}", "job.yaml:12:20: the start lies where it is drawn"),
        ("ends: {finish: {within: {sideways: 0}}}", "job.yaml:12:40: 0 must be a length of more than 0"),
        ("ends: {finish: {within: {aside: 3}}}", "aside"),
    ],
)
def test_what_is_wrong_is_said_where_it_stands(tmp_path, run, says):
    with pytest.raises(JobError) as caught:
        load(written(tmp_path, run=run))
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("hits", "pieces", "said"),
    [
        (0, 50, "0 of 50 pieces tried"),
        (0, 20_000, "fewer than 1 in 100 pieces"),
        (50, 50, "50 of 50 pieces tried"),
        (20_000, 20_000, "more than 99 in 100 pieces"),
        (1, 50, "about 2 in 100 pieces"),
    ],
)
def test_few_pieces_tried_say_no_more_than_they_can(hits, pieces, said):
    """Of n without a hit the chance may still be about 3 / n: the rule of three."""
    assert str(share(Chance(hits, pieces))) == said
