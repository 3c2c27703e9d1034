"""`pipemodel calibrate`: from a file of readings to a former that a job can name."""

import json
import re
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from measured_pieces import OUTSIDE, TRUE, measured

import pipemodel
from pipemodel.cli import pipemodel as program
from pipemodel.job.model import JobError


def written(folder, pieces, **more):
    rows = [
        {
            "cut": p.cut_mm,
            "mark": p.mark_mm,
            "angle": p.angle_deg,
            "start to back": p.start_to_back_mm,
            "finish to back": p.finish_to_back_mm,
            "pull": p.pull_deg,
        }
        for p in pieces
    ]
    path = folder / "pieces.yaml"
    path.write_text(yaml.safe_dump({"tube": {"outside": OUTSIDE, "wall": 0.7}, "pieces": rows, **more}))
    return path


GOOD = [measured("1", 30), measured("2", 90), measured("3", 120)]


def run(*arguments):
    return CliRunner().invoke(program, [str(a) for a in arguments], standalone_mode=True)


def test_a_former_is_found_written_and_used_by_a_job(tmp_path):
    into = tmp_path / "formers.yaml"
    answer = run("calibrate", written(tmp_path, GOOD), "--into", into, "--name", "mine")
    assert answer.exit_code == 0
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: a\ntube: {outside: 15, wall: 0.7}\nformer: {file: formers.yaml, name: mine}\n"
        "runs: {a: {points: [[0, 0, 0], [500, 0, 0], [500, 400, 0]]}}\n"
    )
    former = pipemodel.load(job).runs[0].former
    assert former.name == "mine"
    assert former.radius_mm == pytest.approx(TRUE["radius"], abs=0.01)
    assert former.mark_mm == pytest.approx(TRUE["mark"], abs=0.01)
    assert former.springback.pull_deg(90) == pytest.approx(96, abs=0.01)


def test_an_update_keeps_what_was_not_calibrated_and_other_formers(tmp_path):
    into = tmp_path / "formers.yaml"
    into.write_text("mine: {radius: 50, hold: 61, guide: 44}\nother: {radius: 77}\n")
    assert run("calibrate", written(tmp_path, GOOD), "--into", into, "--name", "mine").exit_code == 0
    formers = yaml.safe_load(into.read_text())
    assert formers["other"] == {"radius": 77}
    assert formers["mine"]["hold"] == 61
    assert formers["mine"]["radius"] == pytest.approx(TRUE["radius"], abs=0.01)


def test_a_wrong_reading_is_named_and_nothing_is_written(tmp_path):
    pieces = [*GOOD, measured("4", 60), measured("5", 45)]
    wrong = pieces[1].__class__(**{**vars(pieces[1]), "start_to_back_mm": pieces[1].start_to_back_mm + 15})
    into = tmp_path / "formers.yaml"
    answer = run("calibrate", written(tmp_path, [pieces[0], wrong, *pieces[2:]]), "--into", into)
    assert answer.exit_code == 1
    assert "Piece 2: its start to back looks wrong" in answer.output
    assert not into.exists()


def test_the_finest_readings_that_may_be_claimed_still_give_figures(tmp_path):
    path = written(tmp_path, GOOD, protractor=0.001, tape=0.001)
    answer = json.loads(run("calibrate", path, "--format", "json").stdout)
    assert answer["radius_mm"]["value"] == pytest.approx(TRUE["radius"], abs=1e-6)


def test_json_has_every_figure(tmp_path):
    answer = json.loads(run("calibrate", written(tmp_path, GOOD), "--format", "json").stdout)
    assert answer["radius_mm"]["value"] == pytest.approx(TRUE["radius"], abs=1e-6)
    assert answer["radius_mm"]["more_to_halve"] == 9


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("tube: 15\npieces: []\n", "2:9", "at least one"),
        ("tube: 15\npeices: [{cut: 1, mark: 1, angle: 90}]\n", "2:1", "did you mean 'pieces'"),
        ("tube: 15\npieces:\n  - {cut: 500, mark: 200, angle: 90, pull: 60}\n", "3:5", "swapped"),
        ("tube: 15\npieces:\n  - {cut: 500, mark: 200, angle: ninety}\n", "3:34", "ninety"),
        ("tube: 16\npieces:\n  - {cut: 500, mark: 200, angle: 90}\n", "1:7", "15"),
        ("", "1:1", "group of keys"),
        ("tube: 15\nprotractor: 1e-320\npieces:\n  - {cut: 500, mark: 200, angle: 90}\n", "2:13", "at least 0.001"),
        ("tube: 15\ntape: 0.0009\npieces:\n  - {cut: 500, mark: 200, angle: 90}\n", "2:7", "at least 0.001"),
    ],
)
def test_bad_files_say_where_and_what_would_be_right(tmp_path, text, place, words):
    from pipemodel.bending.pieces_file import read_pieces

    path = tmp_path / "pieces.yaml"
    path.write_text(text)
    with pytest.raises(JobError) as caught:
        read_pieces(path)
    lines = caught.value.lines()
    assert any(f":{place}: " in line and words in line for line in lines), lines


def test_pieces_of_one_angle_leave_the_law_of_the_former_as_it_was(tmp_path):
    """Held is what the file says of each degree; the fixed part beside it comes from the pieces."""
    into = tmp_path / "formers.yaml"
    into.write_text("mine: {radius: 50, springback: {fixed: 9, per_degree: 0.05}}\n")
    pieces = [measured("1", 90), measured("2", 90)]
    assert run("calibrate", written(tmp_path, pieces), "--into", into, "--name", "mine").exit_code == 0
    springback = yaml.safe_load(into.read_text())["mine"]["springback"]
    assert springback == {"fixed": pytest.approx(TRUE["fixed"], abs=1e-3), "per_degree": 0.05}


def test_what_is_not_settled_is_not_written(tmp_path):
    into = tmp_path / "formers.yaml"
    into.write_text("mine: {radius: 50, mark: 12}\n")
    rows = [{"cut": 500, "mark": 200, "angle": a, "start to back": 216.0 + a - 90} for a in (90, 90.5)]
    path = tmp_path / "pieces.yaml"
    path.write_text(yaml.safe_dump({"tube": {"outside": OUTSIDE, "wall": 0.7}, "pieces": rows}))
    answer = run("calibrate", path, "--into", into, "--name", "mine")
    assert answer.exit_code == 0
    assert "not settled by these pieces" in answer.output
    assert yaml.safe_load(into.read_text())["mine"] == {"radius": 50, "mark": 12, "outside": 15}


def test_the_pages_pieces_give_a_former(tmp_path):
    page = (Path(__file__).parents[1] / "docs" / "bending.md").read_text(encoding="utf-8")
    (block,) = [b for b in re.findall(r"```yaml\n(.*?)```", page, re.DOTALL) if b.startswith("tube:")]
    path = tmp_path / "pieces.yaml"
    path.write_text(block)
    answer = run("calibrate", path, "--into", tmp_path / "formers.yaml", "--name", "ours")
    assert answer.exit_code == 0
    ours = yaml.safe_load((tmp_path / "formers.yaml").read_text())["ours"]
    # The readings are those of the known former, to half a mm.
    assert ours["radius"] == pytest.approx(TRUE["radius"], abs=1.5)
    assert ours["mark"] == pytest.approx(TRUE["mark"], abs=1.5)
