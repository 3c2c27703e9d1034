"""`pipemodel new --ask`: a few answers make a job that checks clean, and breaking off leaves nothing."""

import io
import re

import pytest
from click.testing import CliRunner
from german_words import NOT_GERMAN

from pipemodel import check, load, schedule
from pipemodel.cli import main
from pipemodel.cli import pipemodel as program


def run(*words, input=None):
    return CliRunner().invoke(program, [str(word) for word in words], input=input)


def bends(job):
    return [round(b.angle_deg, 6) for r in schedule(load(job)).runs for b in r.bends]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize(
    ("case", "angles"), [("1", [45, 45]), ("2", [22.5, 45, 22.5]), ("3", [90]), ("4", [30, 30]), ("5", [30, 30])]
)
def test_the_usual_answers_make_a_job_that_checks_clean(tmp_path, case, angles, language):
    job = tmp_path / "a.yaml"
    done = run("new", job, "--ask", "--language", language, input=case + "\n" * 10)
    assert done.exit_code == 0, done.output
    assert bends(job) == angles
    assert run("check", job).exit_code == 0


def test_a_set_takes_the_difference_of_two_readings_off_the_wall(tmp_path):
    job = tmp_path / "a.yaml"
    assert run("new", job, "--ask", input="9\n1\n15\n400\n2 cm\nfar away\n85\n30\n-4\n300\n").exit_code == 0
    corners = load(job).runs[0].route.corners
    assert corners[-1][2] == pytest.approx(65.0)
    assert bends(job) == [30, 30]


@pytest.mark.parametrize(
    ("language", "typed", "says"),
    [
        ("en", "1\n15\n400\n20\n2 cm\n80\n45\n400\n", "as far from the wall as before the set, 20 mm"),
        ("de", "1\n15\n400\n20\n20\n80\n45\n400\n", "derselbe Abstand von der Wand wie vor der Etage, 20 mm"),
        ("en", "1\n15\n400\n20\n80\n95\n45°\n400\n", "at most 90 degrees"),
        ("en", "1\n15\n400\n20\n80\nsteep\n45 deg\n400\n", "is no angle"),
        ("en", "1\n17\n15\n400\n20\n80\n45\n400\n", "'17' is no tube of the tables"),
        ("de", "1\nRohr\n15\n400\n20\n80\n45\n400\n", "steht nicht in den Rohrtabellen"),
        ("en", "4\n15\n80\n600\n50\n20\n40\n30\n500\n", "held 80 mm from the wall, a straight tube"),
        ("en", "5\n15\n30\n75\n0\n350\n350\n120\n30\n", "from the floor to the valve is 350 mm"),
    ],
)
def test_an_answer_that_makes_no_bend_is_asked_for_again_at_its_question(tmp_path, language, typed, says):
    job = tmp_path / "a.yaml"
    done = run("new", job, "--ask", "--language", language, input=typed)
    assert done.exit_code == 0, done.output
    assert says in done.output
    assert len(bends(job)) == 2


def test_a_set_back_to_the_wall_is_the_same_piece(tmp_path):
    """From 80 off the wall to 20, as from 20 to 80; a comma for the decimals as well."""
    jobs = [tmp_path / name for name in ("out.yaml", "back.yaml")]
    for job, near, far in zip(jobs, ("20,5", "80"), ("80", "20,5"), strict=True):
        assert run("new", job, "--ask", input=f"1\n15\n400\n{near}\n{far}\n45\n400\n").exit_code == 0
    corners = [load(job).runs[0].route.corners for job in jobs]
    assert corners[0] == corners[1]
    assert abs(corners[0][-1][2]) == pytest.approx(59.5)


def axis_off(corners, wall):
    return [round(wall - y, 6) for _, y, _ in corners]


def test_round_a_step_the_tube_keeps_both_readings(tmp_path):
    """Held 20 off the wall and, past a step 50 out, 15 off that; slope and bends clear of the step by 15 as well."""
    job = tmp_path / "a.yaml"
    assert run("new", job, "--ask", input="4\n22\n20\n700\n50\n15\n30\n600\n").exit_code == 0
    made = load(job)
    (wall, step), (piece,) = made.things, made.runs
    off = axis_off(piece.route.corners, 20.0 + 11.0)
    assert off == pytest.approx([31.0, 31.0, 50.0 + 15.0 + 11.0, 50.0 + 15.0 + 11.0])
    assert wall.shape.point[1] == pytest.approx(31.0)
    assert step.shape.low[:2] == pytest.approx((700.0, 31.0 - 50.0))
    found = {d.against: d.distance_mm for d in check(made).distances}
    assert found == pytest.approx({wall.name: 20.0, step.name: 15.0}, abs=1e-6)


@pytest.mark.parametrize(
    ("valve", "side", "moved"), [("75", "0", (0.0, -37.5)), ("20", "60", (60.0, 17.5)), ("100", "-80", (-80.0, -62.5))]
)
def test_a_tail_ends_in_the_middle_of_the_valve(tmp_path, valve, side, moved):
    """It comes up 30 + 7.5 off the wall; the valve stands so far off it, and so far to the right."""
    job = tmp_path / "a.yaml"
    assert run("new", job, "--ask", input=f"5\n15\n30\n{valve}\n{side}\n400\n130\n30\n").exit_code == 0
    corners = load(job).runs[0].route.corners
    assert corners[-1] == pytest.approx((*moved, 400.0), abs=1e-9)
    assert corners[-2][2] == pytest.approx(270.0)
    assert run("check", job).exit_code == 0


def test_a_valve_straight_above_takes_no_bend(tmp_path):
    job = tmp_path / "a.yaml"
    assert run("new", job, "--ask", input="5\n15\n30\n37.5\n0\n400\n130\n30\n").exit_code == 0
    assert bends(job) == []


@pytest.mark.parametrize("case", ["1", "2", "3", "4", "5", ""])
def test_german_throughout(tmp_path, case):
    """Questions, comments and names; what stands in the job's own words is taken out."""
    job = tmp_path / "a.yaml"
    done = run("new", job, *(["--ask"] if case else []), "--language", "de", input=case + "\n" * 10)
    comments = [line.split("#")[-1] for line in job.read_text().splitlines() if "#" in line]
    said = "\n".join([done.output, *(c for c in comments if ": " not in c and "--set" not in c)])
    own = "left|right|in|out|box|cylinder|cone|face|extrusion|plate|mesh|pipemodel check|north|south|east|west|down"
    assert not NOT_GERMAN.findall(re.sub(rf"\b({own})\b", "", said.replace(str(job), "")))
    assert schedule(load(job)).job.language == "de"


@pytest.mark.parametrize(
    ("language", "says"),
    [
        ("en", "this leg is 22.5 long, measured to the corners, but its bend takes 55.0"),
        ("de", "dieser Schenkel ist 22,5 lang, bis zu den Ecken gemessen, aber sein Bogen braucht 55,0"),
    ],
)
def test_answers_that_make_no_piece_are_asked_for_again_and_kept(tmp_path, language, says):
    """A leg of 30 to the back has no room for its bend; the second time the tube and the other leg are kept."""
    job = tmp_path / "a.yaml"
    done = run("new", job, "--ask", "--language", language, input="3\n15\n30\n600\n\n300\n\n")
    assert done.exit_code == 0, done.output
    assert says in done.output
    assert "--first" not in done.output
    corners = load(job).runs[0].route.corners
    assert [max(map(abs, c)) for c in (corners[1], corners[-1])] == pytest.approx([292.5, 592.5])


@pytest.mark.parametrize("case", ["1", "2", "3", "4", "5"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_questions_are_no_wider_than_a_terminal(tmp_path, case, language):
    """Nothing typed is echoed here, so a question ends behind its brackets and not at the end of a line."""
    done = run("new", tmp_path / "a.yaml", "--ask", "--language", language, input=case + "\n" * 10)
    asked = done.output.replace("]: ", "]:\n").splitlines()[:-2]
    assert [line for line in asked if len(line) > 79] == []
    assert len(asked) > 10


@pytest.mark.parametrize(("language", "says"), [("en", "interrupted"), ("de", "abgebrochen")])
def test_breaking_off_is_said_in_the_language_of_the_questions(tmp_path, monkeypatch, capsys, language, says):
    monkeypatch.setattr("sys.argv", ["pipemodel", "new", str(tmp_path / "a.yaml"), "--ask", "--language", language])
    monkeypatch.setattr("sys.stdin", io.StringIO("1\n"))
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 130
    assert capsys.readouterr().err.rstrip().endswith(says)


def test_breaking_off_leaves_nothing(tmp_path):
    job = tmp_path / "a.yaml"
    assert run("new", job, "--ask", input="1\n15\n").exit_code != 0
    assert not job.exists()
