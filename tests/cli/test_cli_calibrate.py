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
    path.write_text(yaml.safe_dump({"tube": {"outside": OUTSIDE, "wall": 0.7}, "pieces": rows} | more))
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


@pytest.mark.slow
def test_a_wrong_reading_is_named_and_nothing_is_written(tmp_path):
    pieces = [*GOOD, measured("4", 60), measured("5", 45)]
    wrong = pieces[1].__class__(**{**vars(pieces[1]), "start_to_back_mm": pieces[1].start_to_back_mm + 15})
    into = tmp_path / "formers.yaml"
    answer = run("calibrate", written(tmp_path, [pieces[0], wrong, *pieces[2:]]), "--into", into)
    assert answer.exit_code == 1
    assert "Piece 2: its start to back looks wrong" in answer.output
    assert not into.exists()
    # A reading that the others contradict is not taken as measured either.
    path = written(tmp_path, [pieces[0], wrong, *pieces[2:]])
    assert run("calibrate", path, "--into", into, "--as-measured").exit_code == 1
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
        ("tube: 15\npieces: []\n", "2:9", "at least 1"),
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
    from pipemodel.calibration.pieces_file import read_pieces

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
    path = tmp_path / "pieces.yaml"
    path.write_text(page_pieces())
    answer = run("calibrate", path, "--into", tmp_path / "formers.yaml", "--name", "ours")
    assert answer.exit_code == 0
    ours = yaml.safe_load((tmp_path / "formers.yaml").read_text())["ours"]
    # The readings are those of the known former, to half a mm.
    assert ours["radius"] == pytest.approx(TRUE["radius"], abs=1.5)
    assert ours["mark"] == pytest.approx(TRUE["mark"], abs=1.5)


DOCS = Path(__file__).parents[2] / "docs" / "bending.md"


def page_pieces():
    (block,) = [
        b for b in re.findall(r"```yaml\n(.*?)```", DOCS.read_text("utf-8"), re.DOTALL) if b.startswith("tube:")
    ]
    return block


def test_the_pages_pieces_give_a_former_that_a_job_can_use(tmp_path):
    """Its radius, 54.4 within 1.5, lies below the 55 published for the tube, and its interval does not."""
    (tmp_path / "pieces.yaml").write_text(page_pieces())
    assert run("calibrate", tmp_path / "pieces.yaml", "--into", tmp_path / "f.yaml", "--name", "ours").exit_code == 0
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: a\ntube: 15\nformer: {file: f.yaml, name: ours}\n"
        "runs: {a: {points: [[0, 0, 0], [500, 0, 0], [500, 400, 0]]}}\n"
    )
    loaded = pipemodel.load(job)
    assert 53 < loaded.runs[0].former.radius_mm < 55
    report = pipemodel.check(loaded)
    assert "D106" in {f.code for f in report.findings}
    assert not any(f.severity == "error" for f in report.findings)


def test_hold_and_guide_measured_on_the_bender_go_into_the_former(tmp_path):
    into = tmp_path / "f.yaml"
    path = written(tmp_path, GOOD, hold=62, guide="9 mm", allow_tight=True)
    assert run("calibrate", path, "--into", into, "--name", "mine").exit_code == 0
    entry = yaml.safe_load(into.read_text())["mine"]
    assert (entry["hold"], entry["guide"], entry["allow_tight"]) == (62, 9, True)
    assert entry["radius_within"] > 0
    bare = written(tmp_path, GOOD)
    assert run("calibrate", bare, "--into", into, "--name", "bare").exit_code == 0
    assert not {"hold", "guide", "allow_tight"} & set(yaml.safe_load(into.read_text())["bare"])
    zero = written(tmp_path, GOOD, hold=0)
    assert run("calibrate", zero, "--into", into, "--name", "zero").exit_code == 0
    assert yaml.safe_load(into.read_text())["zero"]["hold"] == 0


def test_the_pulls_are_printed_and_in_the_json_with_their_joint_interval(tmp_path):
    path = written(tmp_path, GOOD)
    text = run("calibrate", path).output
    answer = json.loads(run("calibrate", path, "--format", "json").stdout)
    assert [p["angle_deg"] for p in answer["pulls"]] == [45, 90, 120]
    for pull, true in zip(answer["pulls"], (48.75, 96.0, 127.5), strict=True):
        assert pull["pull_deg"] == pytest.approx(true, abs=1e-6)
        line = rf"for {pull['angle_deg']:g} pull to +{pull['pull_deg']:.1f} \S+ {pull['uncertainty']:.1f} degrees"
        assert re.search(line, text)
    assert answer["pulls"][1]["uncertainty"] < answer["fixed_deg"]["uncertainty"]
    ((aa, ab), (ba, bb)) = answer["springback_covariance"]
    assert ab == pytest.approx(ba)
    assert ab < 0 < min(aa, bb)


def test_a_mistake_is_named_and_nothing_is_written_unless_it_is_meant(tmp_path):
    into = tmp_path / "f.yaml"
    path = written(tmp_path, [measured(n, 90, line="centre") for n in "12"])
    answer = run("calibrate", path, "--into", into)
    assert answer.exit_code == 1
    assert (
        "Probably the legs were measured to the centre of the tube, not to its back (then radius 54.2" in answer.output
    )
    assert f"{into} is left as it was" in answer.output
    assert not into.exists()
    found = json.loads(run("calibrate", path, "--format", "json").stdout)
    assert found["usable"] is False
    assert "centre" in found["mistakes"][0]["what"]
    assert run("calibrate", path, "--into", into, "--as-measured").exit_code == 0
    assert into.exists()


def test_a_file_of_formers_keeps_its_comments_and_its_mode_and_a_link_stays_a_link(tmp_path):
    real = tmp_path / "van" / "formers.yaml"
    real.parent.mkdir()
    real.write_text("# ours\nmine: {radius: 50,  hold: 61}  # lent\n\n# end\n")
    real.chmod(0o640)
    link = tmp_path / "formers.yaml"
    link.symlink_to(real)
    assert run("calibrate", written(tmp_path, GOOD), "--into", link, "--name", "mine").exit_code == 0
    text = real.read_text()
    assert text.startswith("# ours\nmine: {radius: 54.2,  hold: 61, ")
    assert text.endswith("}  # lent\n\n# end\n")
    assert link.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert [p.name for p in real.parent.iterdir()] == ["formers.yaml"]


def test_a_layout_that_cannot_be_kept_is_left_and_the_lines_are_said(tmp_path):
    into = tmp_path / "f.yaml"
    text = "a: {radius: 50, springback: &s {fixed: 1}}\nb: {radius: 60, springback: *s}\n"
    into.write_text(text)
    answer = run("calibrate", written(tmp_path, GOOD), "--into", into, "--name", "a")
    assert answer.exit_code == 2
    assert "write into it yourself" in answer.output
    assert "springback: {fixed: 1.5, per_degree: 0.05, fixed_within:" in answer.output
    assert into.read_text() == text


def test_a_folder_that_is_not_there_is_said(tmp_path):
    answer = run("calibrate", written(tmp_path, GOOD), "--into", tmp_path / "no" / "f.yaml")
    assert answer.exit_code == 2
    assert "cannot be written" in answer.output


def test_a_former_that_no_job_could_use_is_not_written(tmp_path):
    """A springback of 110 degrees, taken as measured, is more than a former may have."""
    into = tmp_path / "f.yaml"
    into.write_text("# mine\nother: {radius: 55}\n")
    pieces = [p.__class__(**{**vars(p), "pull_deg": 200.0}) for p in (measured("1", 90), measured("2", 90))]
    answer = run("calibrate", written(tmp_path, pieces), "--into", into, "--as-measured")
    assert answer.exit_code == 2
    assert "no job could use such a former" in answer.output
    assert into.read_text() == "# mine\nother: {radius: 55}\n"


def test_a_former_tighter_than_published_is_calibrated_when_that_is_meant(tmp_path):
    """15 mm tube of the table: 55 mm published; the same tube by its measures is judged alike."""
    tight = {**TRUE, "radius": 42.0}
    pieces = [measured(str(n), a, true=tight) for n, a in enumerate((90, 45, 120))]
    for tube in (15, {"outside": 15, "wall": 0.7}):
        refused = run("calibrate", written(tmp_path, pieces, tube=tube))
        assert refused.exit_code == 1
        assert "below the smallest published, 55 mm" in refused.output
        assert run("calibrate", written(tmp_path, pieces, tube=tube, allow_tight=True)).exit_code == 0


@pytest.mark.parametrize("text", ["", "# ours\n", "# ours"])
def test_a_file_with_nothing_in_it_yet_is_written_into(tmp_path, text):
    into = tmp_path / "f.yaml"
    into.write_text(text)
    answer = run("calibrate", written(tmp_path, GOOD), "--into", into, "--name", "mine")
    assert answer.exit_code == 0
    assert f"{into}: mine\n" in answer.stderr
    assert into.read_text().startswith(text)
    assert yaml.safe_load(into.read_text())["mine"]["radius"] == pytest.approx(TRUE["radius"], abs=0.01)


def test_a_new_file_has_the_mode_that_any_new_file_has_and_the_usual_name(tmp_path):
    into, other = tmp_path / "f.yaml", tmp_path / "other"
    assert run("calibrate", written(tmp_path, GOOD), "--into", into).exit_code == 0
    other.touch()
    assert into.stat().st_mode == other.stat().st_mode
    assert list(yaml.safe_load(into.read_text())) == ["my former"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["f.yaml", "other", "pieces.yaml"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"mine: {radius: \xff}\n", "f.yaml cannot be read: "),
        (b"mine: {radius: big}\n", "'f.yaml', line 1: 'big' is no length"),
        (b"mine: {radius: 50}\nother: {radious: 50}\n", "'f.yaml', line 2: unknown key 'radious'"),
        (b"- 1\n", "'f.yaml' holds no formers"),
    ],
)
def test_a_file_of_formers_that_cannot_be_read_is_left_as_it_is(tmp_path, data, words):
    into = tmp_path / "f.yaml"
    into.write_bytes(data)
    answer = run("calibrate", written(tmp_path, GOOD), "--into", into, "--name", "mine")
    assert (answer.exit_code, answer.stdout) == (2, "")
    assert words in answer.stderr
    assert into.read_bytes() == data


def test_without_a_radius_there_is_no_former(tmp_path):
    """Two pieces of nearly one angle, without a reading that gives the radius: none to write and none there yet."""
    rows = [{"cut": 500, "mark": 200, "angle": a, "start to back": 216.0 + a - 90} for a in (90, 90.5)]
    path, into = tmp_path / "pieces.yaml", tmp_path / "f.yaml"
    path.write_text(yaml.safe_dump({"tube": {"outside": OUTSIDE, "wall": 0.7}, "pieces": rows}))
    answer = run("calibrate", path, "--into", into, "--name", "mine")
    assert answer.exit_code == 2
    assert f"nothing written: these pieces do not give the radius, and {into} has none for 'mine' yet" in answer.stderr
    assert not into.exists()


def test_json_says_whether_the_figures_are_usable_and_what_was_measured_on_the_bender(tmp_path):
    answer = run("calibrate", written(tmp_path, GOOD, hold=62, guide=9), "--format", "json")
    found = json.loads(answer.stdout)
    assert (found["usable"], found["hold_mm"], found["guide_mm"]) == (True, 62, 9)
    assert answer.stdout.endswith("}\n")
    one = json.loads(run("calibrate", written(tmp_path, GOOD[:1]), "--format", "json").stdout)
    assert "Infinity" not in json.dumps(one)


def test_a_write_that_fails_leaves_neither_half_a_file_nor_one_beside(tmp_path, monkeypatch):
    into = tmp_path / "f.yaml"
    into.write_text("mine: {radius: 50}\n")

    def refuse(*_):
        raise OSError(28, "No space left on device")

    path = written(tmp_path, GOOD)
    monkeypatch.setattr("os.replace", refuse)
    answer = run("calibrate", path, "--into", into, "--name", "mine")
    assert answer.exit_code == 2
    assert f"{into} cannot be written: No space left on device" in answer.stderr
    assert into.read_text() == "mine: {radius: 50}\n"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["f.yaml", "pieces.yaml"]
