"""`pipemodel learn`: readings kept in the file named and nowhere else, whole or not at all."""

import json
import re
import stat

import pytest
from command_line import run
from former_simulator import Bender, bent
from learning_records import records

import pipemodel
from pipemodel.calibration.finished_piece import PieceFacts
from pipemodel.job.history import History, read_history, with_records
from pipemodel.output import whole_file
from pipemodel.output.history_file import HistoryError

JOB = """\
job: towel rail
tube: 15
former: {name: mine, radius: 55, mark: 38}
runs:
  return:
    points: [[0, 0, 0], [600, 0, 0], [600, 400, 0], [600, 400, 350]]
"""
READINGS = "bends:\n  - {bend: 1, angle: 87.5, start: 545.5}\n  - {bend: 2, angle: 88, start: 922, roll: -91}\n"


@pytest.fixture
def bench(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "job.yaml").write_text(JOB)
    (tmp_path / "readings.yaml").write_text(READINGS)
    return tmp_path


def learn(*more):
    return run("learn", "job.yaml", "--readings", "readings.yaml", "--history", "bends.yaml", *more)


def test_readings_are_kept_and_said_back(bench):
    answer = learn("--date", "2026-03-01", "--batch", "B7", "--by", "Jo")
    assert answer.code == 0
    assert "bends.yaml: made, with 2 bends of piece 1" in answer.err
    assert "Former 'mine', tube 15 x 0.7 copper, R250" in answer.out
    assert "from 2 bends of 1 piece" in answer.out
    assert "The hands of 'Jo', by 2 bends of 1 piece" in answer.out
    one, two = read_history("bends.yaml").records
    assert (one.date, one.batch, one.by, one.number) == ("2026-03-01", "B7", "Jo", 1)
    assert (two.start_mm, two.turned_deg) == (922.0, -91.0)


def test_nothing_is_kept_unless_a_file_is_named(bench):
    before = {path.name: path.read_bytes() for path in bench.iterdir()}
    assert run("learn", "job.yaml", "--readings", "readings.yaml").code == 2
    assert run("schedule", "job.yaml").code == 0
    assert {path.name: path.read_bytes() for path in bench.iterdir()} == before


def test_the_same_piece_twice_changes_nothing_though_the_job_has_learned_since(bench):
    """Once the job uses the history its pulls are others, and so would the records be."""
    learn()
    kept = (bench / "bends.yaml").read_bytes()
    (bench / "job.yaml").write_text(JOB + "learned: bends.yaml\n")
    pulls = [json.loads(run("schedule", "job.yaml", "--format", "json").out)["runs"][0]["bends"][0]["pull_deg"]]
    assert pulls[0] != pytest.approx(91.8)
    answer = learn()
    assert "nothing added" in answer.err
    assert (bench / "bends.yaml").read_bytes() == kept


def test_a_bend_measured_later_joins_its_piece_and_another_piece_needs_a_name(bench):
    (bench / "readings.yaml").write_text("bends: [{bend: 1, angle: 87.5}]\n")
    learn()
    (bench / "readings.yaml").write_text("bends: [{bend: 1, angle: 87.5}, {bend: 2, angle: 88}]\n")
    assert "1 bend of piece 1 added" in learn().err
    (bench / "readings.yaml").write_text("bends: [{bend: 1, angle: 89}]\n")
    kept = (bench / "bends.yaml").read_bytes()
    refused = learn()
    assert refused.code == 2
    assert "--piece 2" in refused.err
    assert (bench / "bends.yaml").read_bytes() == kept
    assert "1 bend of piece 2 added" in learn("--piece", "2").err


@pytest.mark.parametrize(
    "arguments",
    [
        ("learn",),
        ("learn", "--history", "none.yaml"),
        ("learn", "job.yaml", "--history", "bends.yaml"),
        ("learn", "--readings", "readings.yaml", "--history", "bends.yaml"),
        ("learn", "job.yaml", "job.yaml", "--readings", "readings.yaml", "--history", "bends.yaml"),
        ("learn", "--merge", "bends.yaml"),
        ("learn", "--merge", "--out", "c.yaml"),
        ("learn", "--history", "bends.yaml", "--out", "c.yaml"),
        ("learn", "job.yaml", "--readings", "none.yaml", "--history", "bends.yaml"),
        ("learn", "job.yaml", "--readings", "readings.yaml", "--history", "bends.yaml", "--run", "flow"),
        ("learn", "job.yaml", "--readings", "readings.yaml", "--history", "bends.yaml", "--date", "1 March"),
        ("learn", "job.yaml", "--readings", "readings.yaml", "--history", "bends.yaml", "--by", "a\nb"),
        ("learn", "job.yaml", "--readings", "readings.yaml", "--history", "no/such/folder.yaml"),
    ],
)
def test_what_cannot_be_done_ends_with_2_and_writes_nothing(bench, arguments):
    answer = run(*arguments)
    assert answer.code == 2
    assert "Traceback" not in answer.err
    assert sorted(path.name for path in bench.iterdir()) == ["job.yaml", "readings.yaml"]


def test_a_spoilt_history_is_named_and_left(bench):
    learn()
    path = bench / "bends.yaml"
    path.write_text(path.read_text().replace("got: 8", "got: 7", 1))
    spoilt = path.read_bytes()
    answer = learn("--piece", "2")
    assert answer.code == 2
    assert answer.err.startswith("bends.yaml:2:8: this record does not go with its id")
    assert path.read_bytes() == spoilt


@pytest.mark.parametrize("step", ["fsync", "replace", "chmod"])
def test_a_write_that_fails_leaves_the_file_as_it_was(bench, monkeypatch, step):
    learn()
    kept = (bench / "bends.yaml").read_bytes()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(whole_file.os, step, full)
    answer = learn("--piece", "2")
    assert answer.code == 2
    assert "No space left" in answer.err
    monkeypatch.undo()
    assert (bench / "bends.yaml").read_bytes() == kept
    assert sorted(path.name for path in bench.iterdir()) == ["bends.yaml", "job.yaml", "readings.yaml"]


def test_a_file_that_somebody_else_changed_meanwhile_is_left(bench, monkeypatch):
    learn()
    path, sync = bench / "bends.yaml", whole_file.os.fsync

    def meanwhile(number):
        sync(number)
        path.write_text(path.read_text() + "# theirs\n")

    monkeypatch.setattr(whole_file.os, "fsync", meanwhile)
    answer = learn("--piece", "2")
    assert answer.code == 2
    assert "try again" in answer.err
    assert path.read_text().endswith("# theirs\n")
    assert len(read_history(path).records) == 2


def test_a_link_stays_a_link_and_the_mode_stays(bench):
    learn()
    (bench / "bends.yaml").rename(bench / "kept.yaml")
    (bench / "kept.yaml").chmod(0o640)
    (bench / "bends.yaml").symlink_to("kept.yaml")
    learn("--piece", "2")
    assert (bench / "bends.yaml").is_symlink()
    assert stat.S_IMODE((bench / "kept.yaml").stat().st_mode) == 0o640
    assert len(read_history("kept.yaml").records) == 4


def written(path, rows):
    path.write_text(with_records(History("", ()), rows))


def test_files_are_put_together_either_way_and_as_often_as_one_likes(bench):
    rows = records(bent(Bender(), 20, 3, 1))
    written(bench / "a.yaml", rows[:40])
    written(bench / "b.yaml", rows[30:])
    assert "60 bends of 20 pieces" in run("learn", "--merge", "a.yaml", "b.yaml", "--out", "c.yaml").err
    assert run("learn", "--merge", "b.yaml", "a.yaml", "--out", "d.yaml").code == 0
    assert run("learn", "--merge", "c.yaml", "a.yaml", "b.yaml", "--out", "c.yaml").code == 0
    answers = [run("learn", "--history", name, "--format", "json").out for name in ("c.yaml", "d.yaml")]
    assert answers[0] == answers[1]
    assert json.loads(answers[0])["bends"] == 60
    assert {r.id for r in read_history("c.yaml").records} == {r.id for r in rows}


def test_a_file_that_is_none_of_those_put_together_is_left(bench):
    for name in ("a.yaml", "b.yaml"):
        written(bench / name, records(bent(Bender(), 1, 1, 1)))
    kept = (bench / "job.yaml").read_bytes()
    assert run("learn", "--merge", "a.yaml", "b.yaml", "--out", "job.yaml").code == 2
    assert (bench / "job.yaml").read_bytes() == kept


def test_json_has_all_that_is_learned(bench):
    written(bench / "bends.yaml", records(bent(Bender(hand_angle=0.3), 30, 4, 5, after=21, more=3.0, finish_held=0.5)))
    [former] = json.loads(run("learn", "--history", "bends.yaml", "--format", "json").out)["formers"]
    assert former["pieces"] == 10
    assert former["radius_mm"]["value"] == pytest.approx(54.0, abs=0.5)
    assert former["mark_mm"]["value"] == pytest.approx(38.0, abs=0.5)
    at_90 = former["springback"]["at_90"]
    assert at_90["value"] == pytest.approx(1.2 + 90 * 0.045 + 3.0, abs=at_90["within"])
    assert at_90["within"] < 0.7
    assert former["changes"][0]["piece"] == 21


def test_german(bench):
    answer = learn("--language", "de")
    assert "Biegematrize „mine“" in answer.out
    assert "angelegt, mit 2 Bögen von Stück 1" in answer.err


@pytest.mark.parametrize("language", ["en", "de"])
def test_no_line_is_wider_than_a_page_of_text(bench, language):
    """With intervals, drift and hands named: once without any piece, once with sixty bends of thirty."""
    (bench / "none.yaml").write_text("[]\n")
    written(bench / "bends.yaml", records(bent(Bender(hand_angle=0.3), 30, 4, 5, after=21, more=3.0, finish_held=0.5)))
    for history in ("none.yaml", "bends.yaml"):
        answer = run("learn", "--history", history, "--language", language)
        assert answer.code == 0, answer.err
        lines = answer.out.splitlines()
        assert lines
        assert max(map(len, lines)) <= 80
    assert any(line.startswith(" " * 24) for line in lines)


def test_the_same_from_python(bench):
    job = pipemodel.load("job.yaml")
    added = pipemodel.learn(job, "return", "readings.yaml", "bends.yaml", PieceFacts(by="Jo"))
    assert (added.made, added.bends, added.number) == (True, 2, 1)
    found = pipemodel.learned("bends.yaml", job)
    assert found.formers[0].bends == 2
    assert set(found.hands) == {"Jo"}
    (bench / "readings.yaml").write_text("bends: [{bend: 1, angle: 80}]\n")
    with pytest.raises(HistoryError):
        pipemodel.learn(job, None, "readings.yaml", "bends.yaml", PieceFacts(by="Jo"))


def test_it_says_what_the_figures_begin_from(bench):
    """With the job and without it they differ until there are pieces enough."""
    (bench / "job.yaml").write_text(JOB.replace("mark: 38", "mark: 38, springback: {fixed: 4, per_degree: 0.01}"))
    with_job, without = (" ".join(text.split()) for text in (learn().out, run("learn", "--history", "bends.yaml").out))
    assert "Begun from the job's own figures of it (springback 4.9 degrees at 90)" in with_job
    assert "Begun from common practice (springback 1.8 degrees at 90), as no job is named" in without
    at = [re.search(r"at 90 degrees (\S+)", text)[1] for text in (with_job, without)]
    assert at[0] != at[1]
    assert "comes out otherwise while pieces are few" in with_job
    assert "comes out otherwise while pieces are few" in without


def test_a_job_with_its_own_figures_is_gone_out_from_once(bench):
    """What the job has learned already is not taken for knowledge beside the same records."""
    (bench / "readings.yaml").write_text("bends: [{bend: 1, angle: 85, start: 548}]\n")
    first = learn("--format", "json").out
    (bench / "job.yaml").write_text(JOB + "learned: bends.yaml\n")
    assert learn("--format", "json").out == first
