"""Ways out that would run into the room are not proposed: a set in front of a shelf, by hand."""

import pytest
from command_line import run

from pipemodel.bending.schedule import solve
from pipemodel.checks import clear_ways as module
from pipemodel.checks.bender import bender as bender_check
from pipemodel.checks.clash import clash
from pipemodel.checks.clear_ways import clear_ways
from pipemodel.job.read import read_job

# The slope of a set of 45 at 45 degrees has 63.6 - 2 * 55 tan 22.5 = 18.1 of straight, and 20 is needed.
JOB = """\
job: in the way
tube: {outside: 15, wall: 0.7}
former: {radius: 55, hold: 60, guide: 20, springback: {fixed: 2, per_degree: 0.03}}
room:
  %s
runs:
  rise: {points: [[0, 0, 0], [300, 0, 0], [345, 0, 45], [700, 0, 45]]}
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("thing", "kinds"),
    [
        ("post: {box: {from: [0, 900, 0], to: [10, 910, 10]}}", ["angle", "offset", "leg"]),
        # The upper side of the finish leg: 52.5, and 57.5 with an offset of 50, and 53.9 with a slope longer by 2.
        ("board: {box: {from: [400, -50, 56], to: [900, 50, 700]}}", ["angle", "leg"]),
        ("board: {box: {from: [400, -50, 53], to: [900, 50, 700]}}", ["angle"]),
        # At 30 degrees its first corner comes 16.5 nearer to the start: the tube there is up to 4.4 higher.
        ("block: {box: {from: [280, -50, 8.2], to: [290, 50, 30]}}", ["offset", "leg"]),
        # What it runs into already it may not run into deeper.
        ("board: {box: {from: [400, -50, 52], to: [900, 50, 700]}}", ["angle"]),
    ],
)
def test_only_what_stays_clear_of_the_room_is_proposed(tmp_path, thing, kinds):
    path = tmp_path / "job.yaml"
    path.write_text(JOB % thing)
    schedule = solve(read_job(path, {}))
    assert [way.kind for way in clear_ways(schedule, 0)] == kinds
    said = [str(finding.said) for finding in bender_check(schedule) if finding.code == "B108"]
    assert len(said) == len(kinds)


def test_text_in_both_languages_and_json_have_them(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB % "post: {box: {from: [0, 900, 0], to: [10, 910, 10]}}")
    text = " ".join(run("schedule", path).out.split())
    assert "the set of bends 1 to 2 at 30\u00b0 instead of 45\u00b0" in text
    assert "with an offset of 50 mm instead of 45 mm; the finish end then moves by 5 mm" in text
    german = " ".join(run("schedule", path, "--language", "de").out.split())
    assert "die Etage aus den B\u00f6gen 1 bis 2 mit 30\u00b0 statt 45\u00b0" in german


def test_only_what_is_near_is_measured_again(tmp_path, monkeypatch):
    """Forty runs with a set each: a proof of one looks at none of the others, 285 off, and at the board beside it."""
    seen = []

    def looked(schedule, moves):
        seen.append((len(schedule.runs), len(schedule.job.things), moves))
        return clash(schedule, moves)

    monkeypatch.setattr(module, "clash", looked)
    board = "board: {box: {from: [400, -50, 53], to: [900, 50, 700]}}"
    things = f"{board}\n  far: {{box: {{from: [0, 0, 9000], to: [9, 9, 9009]}}}}"
    runs = [f"  run {k}: {{points: [[0, {y}, 0], [300, {y}, 0], [345, {y}, 45], [700, {y}, 45]]}}"
            for k, y in enumerate(range(0, 12000, 300))]  # fmt: skip
    path = tmp_path / "job.yaml"
    path.write_text(JOB.split("  rise")[0] % things + "\n".join(runs))
    schedule = solve(read_job(path, {}))
    assert [way.kind for way in clear_ways(schedule, 0)] == ["angle"]
    assert seen
    assert set(seen) == {(1, 1, False)}
