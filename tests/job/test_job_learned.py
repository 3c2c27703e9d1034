"""A job that names a history: its formers and hands are what finished pieces say."""

import re
from dataclasses import replace

import pytest
from former_simulator import Bender, bent
from learning_records import records

import pipemodel
from pipemodel.job.history import History, with_records
from pipemodel.job.model import JobError
from pipemodel.learning.learned import learned_hands

JOB = """\
job: towel rail
tube: {outside: 15, wall: 0.7}
former: FORMER
runs:
  return:
    points: [[0, 0, 0], [600, 0, 0], [600, 400, 0], [600, 400, 350]]
"""
TRUE = Bender(fixed=1.5, rate=0.06, radius=57.0, mark=38.0)
ROWS = records(bent(TRUE, 40, 4, 1, finish_held=0.4), by="Jo")


def job(folder, former, more="", rows=ROWS, name="bends.yaml"):
    (folder / name).write_text(with_records(History("", ()), rows))
    path = folder / "job.yaml"
    path.write_text(JOB.replace("FORMER", former) + more)
    return path


def faults(path):
    with pytest.raises(JobError) as caught:
        pipemodel.load(path)
    return caught.value.lines()


@pytest.mark.parametrize(
    ("former", "more"),
    [
        ("{name: mine, radius: 55, history: bends.yaml}", ""),
        ("{name: mine, radius: 55}", "learned: bends.yaml\n"),
        ("{file: formers.yaml, name: mine, history: bends.yaml}", ""),
        ("{file: formers.yaml, name: mine}", "learned: bends.yaml\n"),
    ],
)
def test_a_former_is_as_its_pieces_say(tmp_path, former, more):
    (tmp_path / "formers.yaml").write_text("mine: {radius: 55}\n")
    found = pipemodel.load(job(tmp_path, former, more)).runs[0].former
    assert found.springback.pull_deg(90) == pytest.approx(90 + 1.5 + 5.4, abs=0.3)
    assert found.radius_mm == pytest.approx(57.0, abs=0.4)
    assert found.mark_mm == pytest.approx(38.0, abs=0.3)
    assert found.radius_within_mm > 0.0
    assert "springback" not in found.not_given


def test_the_schedule_follows(tmp_path):
    """Pulls and marks are those of the former as learned, and what that rests on stands in a note and a finding."""
    loaded = pipemodel.load(job(tmp_path, "{name: mine, radius: 55, history: bends.yaml}"))
    former, [run] = loaded.runs[0].former, pipemodel.schedule(loaded).runs
    assert run.bends[0].pull_deg == pytest.approx(90 * (1 + former.springback.per_degree) + former.springback.fixed_deg)
    assert run.bends[0].mark_mm == pytest.approx(600 - former.radius_mm + former.mark_mm)
    [finding] = [f for f in pipemodel.check(loaded).findings if f.code == "B121"]
    assert re.search(
        r"springback 6\.\d ± 0\.\d degrees at a bend of 90 \(from 160 bends of 40 pieces\)", finding.message
    )
    assert any("learned from the pieces in 'bends.yaml'" in str(note) for note in pipemodel.schedule(loaded).notes)


def test_figures_on_papers_stay_short(tmp_path):
    found = pipemodel.load(job(tmp_path, "{name: mine, radius: 55, history: bends.yaml}")).runs[0].former
    assert found.radius_mm == round(found.radius_mm, 2)
    assert found.mark_mm == round(found.mark_mm, 2)


def test_a_generic_former_that_was_learned_is_no_longer_generic_but_for_hold_and_guide(tmp_path):
    rows = tuple(replace(row, former="15 mm hand bender") for row in ROWS)
    path = job(tmp_path, "15 mm hand bender", "learned: bends.yaml\n", rows)
    codes = [finding.code for finding in pipemodel.check(pipemodel.load(path)).findings]
    assert "B104" not in codes
    assert {"B112", "B121"} <= set(codes)
    assert pipemodel.load(path).runs[0].former.not_given == ("hold", "guide")


def test_a_changed_springback_is_a_warning(tmp_path):
    rows = records(bent(Bender(hand_angle=0.3), 30, 3, 5, after=21, more=3.0))
    report = pipemodel.check(pipemodel.load(job(tmp_path, "{name: mine, radius: 55, history: bends.yaml}", rows=rows)))
    [finding] = [f for f in report.findings if f.code == "B122"]
    assert finding.severity == "warning"
    assert "from piece 21 ('piece 21') on the tube springs back" in finding.message
    assert "worn former" in finding.message


@pytest.mark.parametrize("by", ["", ", by: Jo"])
def test_hands_are_as_the_pieces_say_and_a_figure_written_wins(tmp_path, by):
    path = job(tmp_path, "{name: mine, radius: 55}", f"hands: {{file: bends.yaml{by}, turn: 2}}\n")
    loaded, right = pipemodel.load(path), learned_hands(ROWS)
    assert loaded.hands[:2] == pytest.approx((right.mark.value, right.angle.value), abs=1e-5)
    assert loaded.hands.turn_deg == 2.0
    report = pipemodel.check(loaded)
    assert [f.message for f in report.findings if f.code == "F121"] == [str(loaded.hands_learned)]
    assert report.fits[0].run == "return"


@pytest.mark.parametrize(
    ("former", "more", "place", "words"),
    [
        ("{radius: 55, history: bends.yaml}", "", "3:9", "needs a name"),
        ("{name: mine, radius: 55, history: none.yaml}", "", "3:43", "there is no file 'none.yaml'"),
        ("{name: other, radius: 55, history: bends.yaml}", "", "3:44", "it has the former 'mine'"),
        ("{name: mine, radius: 55, history: ../bends.yaml}", "", "3:43", "outside"),
        ("15 mm hand bender", "learned: job.yaml\n", "7:10", "a history is a list of records"),
        (
            "15 mm hand bender",
            "hands: {file: bends.yaml, by: Ann}\n",
            "7:15",
            "no bend in this file by 'Ann'; there is 'Jo'",
        ),
        ("15 mm hand bender", "hands: {by: Ann}\n", "7:13", "write the file too"),
        ("{file: formers.yaml, name: mine}", "", "3:9", "leave out the history of the former 'mine'"),
    ],
)
def test_what_is_wrong_is_named_at_its_place(tmp_path, former, more, place, words):
    (tmp_path / "formers.yaml").write_text("mine: {radius: 55, history: bends.yaml}\n")
    (tmp_path.parent / "bends.yaml").write_text("")
    lines = faults(job(tmp_path, former, more))
    assert any(f"job.yaml:{place}: " in line and words in line for line in lines), lines


def test_a_spoilt_history_is_named_with_its_own_line(tmp_path):
    path = job(tmp_path, "{name: mine, radius: 55, history: bends.yaml}", "hands: {file: bends.yaml}\n")
    file = tmp_path / "bends.yaml"
    file.write_text(file.read_text().replace("got: ", "got: 1", 1))
    [line] = faults(path)
    assert "'bends.yaml', line 2, column" in line
    assert "does not go with its id" in line


def test_a_history_of_other_formers_leaves_a_job_as_it_is(tmp_path):
    """Named for all formers: those it does not know stay, and are named; so does a job beside an empty one."""
    plain = pipemodel.load(job(tmp_path, "15 mm hand bender"))
    for rows in (ROWS, ()):
        beside = pipemodel.load(job(tmp_path, "15 mm hand bender", "learned: bends.yaml\n", rows))
        assert beside.runs == plain.runs
        assert any("no reading that says something of it" in str(note) for note in beside.notes) == bool(rows)


def test_a_radius_that_no_tube_can_take_is_refused_with_the_history_named(tmp_path):
    rows = records(bent(Bender(radius=30.0), 40, 4, 1, finish_held=1.0), radius=30.0)
    [line] = faults(job(tmp_path, "{name: mine, radius: 40, history: bends.yaml, allow_tight: true}", rows=[
        replace(row, radius_got_mm=5.0, radius_got_sd=0.01) for row in rows
    ]))  # fmt: skip
    assert "with what 'bends.yaml' says of it" in line
