"""Readings of a finished piece: what they make, and what no piece could have."""

import pytest

import pipemodel
from pipemodel.calibration.finished_piece import PieceFacts, records_of_piece
from pipemodel.job.model import JobError
from pipemodel.pulls.plan import plan_pulls

JOB = """\
job: towel rail
tube: 15
former: {name: mine, radius: 55, mark: 38, springback: {fixed: 1, per_degree: 0.04}}
runs:
  return:
    points: [[0, 0, 0], [600, 0, 0], [600, 400, 0], [600, 400, 350]]
"""
GOOD = "{bend: 2, angle: 88.5, start: 921, roll: -91, radius: 54.5}"


def read(tmp_path, text, job=JOB, **more):
    (tmp_path / "job.yaml").write_text(job)
    (tmp_path / "readings.yaml").write_text(text)
    loaded = pipemodel.load(tmp_path / "job.yaml")
    [run] = pipemodel.schedule(loaded).runs
    return records_of_piece(tmp_path / "readings.yaml", loaded, run, plan_pulls(run), PieceFacts(), **more)


def test_a_record_says_what_was_asked_done_and_measured(tmp_path):
    """Pulled to 90 + 1 + 0.04 x 90; bend 2 begins 600 - 55 + 55 pi / 2 + 400 - 110 along the tube."""
    [record] = read(tmp_path, f"tape: 0.7\nprotractor: 0.4\nbends: [{GOOD}]\n")
    assert record.pulled_deg == pytest.approx(94.6)
    assert record.mark_mm == pytest.approx(921.393798 + 38, abs=1e-5)
    assert (record.former, record.outside_mm, record.wall_mm, record.temper) == ("mine", 15.0, 0.7, "R250")
    assert (record.got_deg, record.got_sd, record.start_mm, record.start_sd) == (88.5, 0.4, 921.0, 0.7)
    assert (record.turn_deg, record.turned_deg, record.turned_sd) == (-90.0, -91.0, 0.4)
    assert (record.radius_mm, record.radius_got_mm, record.held) == (55.0, 54.5, "start")
    assert (record.job, record.run, record.bend) == ("towel rail", "return", 2)


def test_what_the_card_does_not_say_is_written_beside_the_reading(tmp_path):
    [record] = read(tmp_path, "bends: [{bend: 1, angle: 80, pulled: 86, mark: 590}]\n")
    assert (record.pulled_deg, record.mark_mm, record.start_mm, record.turned_deg) == (86.0, 590.0, None, None)


def test_the_turn_of_the_plane_serves_as_well_as_the_roll(tmp_path):
    [record] = read(tmp_path, "bends: [{bend: 2, turn: 91}]\n")
    assert (record.turn_deg, record.turned_deg) == (90.0, 91.0)


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("", "1:1", "a group of keys"),
        ("bends: []\n", "1:8", "bends needs at least 1; this has 0"),
        ("bend: [{bend: 1}]\n", "1:1", "did you mean 'bends'"),
        ("bends: [{angle: 90}]\n", "1:9", "item 1 of bends lacks 'bend' (its number, from the start end)"),
        ("bends: [{bend: 1, angel: 90}]\n", "1:19", "did you mean 'angle'"),
        ("bends: [{bend: 1, angle: ninety}]\n", "1:26", "ninety"),
        ("bends: [{bend: 3, angle: 90}]\n", "1:16", "has no bend 3; it has 2"),
        ("bends: [{bend: 1}]\n", "1:16", "has no reading"),
        ("bends: [{bend: 1, angle: 90}, {bend: 1, angle: 89}]\n", "1:38", "given twice"),
        ("run: flow\nbends: [{bend: 1, angle: 90}]\n", "1:6", "of the run 'flow', not of 'return'"),
        ("bends: [{bend: 1, angle: 99}]\n", "1:26", "pulled to 94.6 and cannot come out as 99"),
        ("bends: [{bend: 1, angle: 60}]\n", "1:26", "another run"),
        ("bends: [{bend: 1, start: 54.5}]\n", "1:26", "centimetres"),
        ("bends: [{bend: 1, start: 5450}]\n", "1:26", "not at 5450"),
        ("bends: [{bend: 1, start: -3}]\n", "1:26", "not at -3"),
        ("bends: [{bend: 1, roll: 3}]\n", "1:25", "pulled first"),
        ("bends: [{bend: 1, turn: 3}]\n", "1:25", "no bend comes before bend 1"),
        ("bends: [{bend: 2, roll: 91}]\n", "1:25", "write -91"),
        ("bends: [{bend: 2, roll: 90, turn: -90}]\n", "1:35", "not both"),
        ("bends: [{bend: 1, radius: 90}]\n", "1:27", "another run"),
        ("protractor: 0\nbends: [{bend: 1, angle: 90}]\n", "1:13", "more than 0"),
        ("tape: 1e-9\nbends: [{bend: 1, angle: 90}]\n", "1:7", "at least 0.001"),
    ],
)
def test_what_is_wrong_is_named_at_its_place(tmp_path, text, place, words):
    with pytest.raises(JobError) as caught:
        read(tmp_path, text)
    lines = caught.value.lines()
    assert any(f"readings.yaml:{place}: " in line and words in line for line in lines), lines


@pytest.mark.parametrize("reading", ["angle: 60", "start: 500", "roll: 91", "radius: 90"])
def test_what_looks_like_a_slip_is_taken_where_it_is_said_to_be_right(tmp_path, reading):
    text = f"bends: [{{bend: 2, {reading}}}]\n"
    with pytest.raises(JobError):
        read(tmp_path, text)
    assert len(read(tmp_path, text, as_measured=True)) == 1


@pytest.mark.parametrize("former", ["former: {radius: 55}", "former: {radius: 60, hold: 60}"])
def test_a_former_without_a_name_is_asked_for_one(tmp_path, former):
    job = JOB.replace("former: {name: mine, radius: 55, mark: 38, springback: {fixed: 1, per_degree: 0.04}}", former)
    with pytest.raises(JobError, match=r"job.yaml:5:3: a former needs a name") as caught:
        read(tmp_path, f"bends: [{GOOD}]\n", job)
    assert "name: mine" in str(caught.value)
