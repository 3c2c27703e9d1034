"""A job's cuts: long runs jointed within reach, pieces on stock, and what `pipemodel cut` says of it."""

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner
from command_line import run

from pipemodel.cli import pipemodel as program
from pipemodel.wording.safe_text import columns

LONG = """
job: long and short
tube: 15
former: {radius: 55, hold: 60, guide: 45}
kerf: 2
stock: {length: %s, offcuts: [1200, 900]}
room: {%s}
runs:
  long: {points: [[0, 0, 0], [600, 0, 0], [600, 2600, 0], [600, 2600, 900]]}
  short: {points: [[0, 100, 0], [500, 100, 0], [500, 400, 0]]}
"""


def cut(tmp_path: Path, stock: str = "3 m", room: str = "", *more: str):
    job = tmp_path / "job.yaml"
    job.write_text(LONG % (stock, room))
    return CliRunner().invoke(program, ["cut", str(job), *more])


def answer(tmp_path, stock="3 m", room=""):
    result = cut(tmp_path, stock, room, "--format", "json")
    return result.exit_code, json.loads(result.stdout)


def test_pieces_add_up_to_the_runs_and_fit_their_stock(tmp_path):
    code, cuts = answer(tmp_path)
    assert code == 0
    long = cuts["runs"][0]
    assert len(long["pieces"]) == 2
    # 600 + 2600 + 900 less two gains of a square bend of radius 55 (first principles: 23.606 each).
    assert sum(p["cut_length_mm"] for p in long["pieces"]) == pytest.approx(4100 - 2 * 23.606, abs=0.01)
    for bar in cuts["tubes"][0]["bars"]:
        needed = sum(p["length_mm"] for p in bar["pieces"]) + 2 * (len(bar["pieces"]) - 1)
        assert needed <= bar["length_mm"] + 1e-9
    named = sorted(p["name"] for bar in cuts["tubes"][0]["bars"] for p in bar["pieces"])
    assert named == ["long piece 1", "long piece 2", "short"]
    assert cuts["tubes"][0]["used_mm"] >= cuts["tubes"][0]["bound_mm"]


def test_a_joint_keeps_off_a_thing_that_is_in_the_way(tmp_path):
    _, clear = answer(tmp_path)
    at = clear["runs"][0]["joints"][0]["point"]
    low, high = at[1] - 30, at[1] + 30
    post = f"post: {{box: {{from: [608, {low}, -50], to: [640, {high}, 50]}}}}"
    _, moved = answer(tmp_path, room=post)
    again = moved["runs"][0]["joints"][0]["point"]
    # The coupling is 10.6 deep either side of the joint (EN 1254-1, from memory).
    assert not low - 10.6 < again[1] < high + 10.6


def test_stock_shorter_than_the_least_piece_is_said(tmp_path):
    code, cuts = answer(tmp_path, stock="100")
    assert code == 1
    assert "run 'long'" in cuts["runs"][0]["why_not"]


@pytest.mark.parametrize(("stock", "code"), [("", 0), ("stock: {length: 3000}\n", 1)])
def test_only_stock_that_the_job_names_can_make_it_fail(tmp_path, stock, code):
    job = tmp_path / "job.yaml"
    run = (
        "runs: {a: {points: [[0, 0, 0], [4000, 0, 0]]}}\nroom: {duct: {box: {from: [-9, 8, -90], to: [4009, 20, 90]}}}"
    )
    job.write_text(f"job: no room for a joint\ntube: 15\n{stock}{run}\n")
    result = CliRunner().invoke(program, ["check", str(job), "--format", "json"])
    found = {f["code"]: f for f in json.loads(result.stdout)["findings"]}
    assert result.exit_code == code
    assert found["L102"]["severity"] == ("error" if code else "warning")
    assert ("taken for granted" in found["L102"]["message"]) is not bool(code)


def test_the_text_names_lengths_pieces_and_what_is_left(tmp_path):
    result = cut(tmp_path)
    assert result.exit_code == 0
    assert "length of 3000" in result.stdout
    assert "jointed at" in result.stdout
    assert "no plan uses less" in result.stdout
    assert "Local codes" in result.stdout


def test_the_text_keeps_to_its_width_in_ascii_too(tmp_path):
    job = tmp_path / "job.yaml"
    wide = LONG.replace("long and short", "„" + "長" * 40).replace("  long:", f"  {'長' * 40}:")
    job.write_text(wide % ("3 m", ""), encoding="utf-8")
    for charset in ("ascii", "utf-8"):
        text = CliRunner(charset=charset).invoke(program, ["cut", str(job)]).stdout
        assert text.isascii() is (charset == "ascii")
        assert max(columns(line) for line in text.splitlines()) <= 80


def test_a_stock_length_that_is_none_is_refused_where_it_stands(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(LONG % ("-3 m", ""))
    said = run("cut", job)
    assert said.code == 2
    assert "job.yaml:6:17: " in said.err
    assert said.out == ""


@pytest.mark.slow
def test_check_and_cut_say_the_same(tmp_path):
    """Two runs of 4,500 and one offcut of 4,900: one is cut from it, and the other is jointed, or is in the way."""
    text = "job: two\ntube: 15\nstock: {length: 3000, offcuts: [4900]}\n%sruns:\n"
    text += "  a: {points: [[0, 0, 0], [4500, 0, 0]]}\n  b: {points: [[0, 90, 0], [4500, 90, 0]]}\n"
    job = tmp_path / "job.yaml"
    duct = (
        "room: {duct: {box: {from: [-9, 40, -90], to: [4509, 50, 90]}}, top: {face: {at: [0, 0, 8], facing: down}}}\n"
    )
    for room, code in (("", 0), (duct, 1)):
        job.write_text(text % room)
        checked, made = run("check", job, "--format", "json"), run("cut", job, "--format", "json")
        assert (checked.code, made.code) == (code, code)
        codes = [f["code"] for f in json.loads(checked.out)["findings"] if f["code"].startswith("L")]
        assert codes == ["L102" if code else "L101"]
        whole = [r for r in json.loads(made.out)["runs"] if r["pieces"] and not r["joints"]]
        assert len(whole) == 1


def test_offcuts_by_size_and_a_list_without_a_tube(tmp_path):
    job = tmp_path / "job.yaml"
    runs = "runs:\n  a: {tube: 15, points: [[0, 0, 0], [700, 0, 0]]}\n"
    runs += "  b: {tube: 22, points: [[0, 0, 90], [800, 0, 90]]}\n"
    job.write_text("job: two sizes\nstock: {offcuts: {15 mm: [75 cm], 22: [900, 60]}}\n" + runs)
    cuts = json.loads(run("cut", job, "--format", "json").out)
    assert [[bar["length_mm"] for bar in tube["bars"]] for tube in cuts["tubes"]] == [[750.0], [900.0]]
    job.write_text("job: two sizes\nstock: {offcuts: [900]}\n" + runs)
    said = run("cut", job)
    assert said.code == 2
    assert "job.yaml:2:" in said.err
    assert "by size" in said.err
    job.write_text("job: two sizes\nstock: {offcuts: {15.3: [900]}}\n" + runs)
    assert "job.yaml:2:" in (said := run("cut", job)).err
    assert said.code == 2


def test_clips_keep_off_couplings(tmp_path):
    """Middles of clips stay as far from a coupling's mouth as the job asks from a bend; capillary, 10.6 deep or so."""
    job = tmp_path / "job.yaml"
    clipped = "job: along a wall\ntube: 15\n%sroom: {wall: {face: {at: [0, -25, 0], facing: north}}}\n"
    clipped += "clips: {face: wall, standoff: 25, off_bend: 60, spacing: {level: 1500, upright: 1500}}\n"
    clipped += "runs: {a: {points: [[0, 0, 0], [5990, 0, 0]]}}\n"
    at = {}
    for stock in ("stock: {length: 6000}\n", "stock: {length: 3000, offcuts: [1490]}\n"):
        job.write_text(clipped % stock)
        table = run("schedule", job, "--format", "json").out
        clips = [c["at_mm"] for c in json.loads(table)["runs"][0]["clips"]["clips"]]
        joints = [j["at_mm"] for j in json.loads(run("cut", job, "--format", "json").out)["runs"][0]["joints"]]
        assert all(abs(c - j) >= 60.0 + 10.0 for c in clips for j in joints)
        at[stock] = (clips, joints)
        assert run("check", job).code == 0
    (free, none), (_, some) = at.values()
    assert none == []
    assert len(some) == 1
    # Without the joint a clip would stand where it is not far enough off.
    assert any(abs(c - some[0]) < 70.0 for c in free)


CLIPPED = """
job: through a plate
tube: 15
bender: 15 mm hand bender in a vice
former: {radius: 55, hold: 30, guide: 10}
room: {wall: {face: {at: [0, -25, 0], facing: north}}}
clips: {face: wall, standoff: 25, off_bend: 20, edge: 0, near_fitting: 90, spacing: {level: 90, upright: 90}}
runs:
  a: {points: %s}
"""
"""Bent in one piece it would run into its bender, and so it is jointed though it is shorter than stock."""


def test_clips_keep_off_couplings_of_a_run_that_is_within_stock(tmp_path):
    """The coupling's mouths are 10.6 from the joint or so, and clips keep off them as off a bend: by 20."""
    # Four legs of 100 between bends of 120, 120 and 90 degrees about the same way, radius 55.
    corners, at, heading = [(0.0, 0.0)], (0.0, 0.0), 0.0
    setbacks = [55.0 * math.tan(math.radians(angle) / 2.0) for angle in (120.0, 120.0, 90.0)]
    for n, turn in enumerate((120.0, 120.0, 90.0, 0.0)):
        leg = 100.0 + sum(setbacks[max(n - 1, 0) : n + 1])
        at = (at[0] + leg * math.cos(math.radians(heading)), at[1] + leg * math.sin(math.radians(heading)))
        corners.append(at)
        heading += turn
    job = tmp_path / "job.yaml"
    # Upright against the wall, so that every leg lies along it.
    job.write_text(CLIPPED % [[x, 0, z] for x, z in corners])
    clips = json.loads(run("schedule", job, "--format", "json").out)["runs"][0]["clips"]["clips"]
    (joint,) = json.loads(run("cut", job, "--format", "json").out)["runs"][0]["joints"]
    assert clips
    assert all(abs(clip["at_mm"] - joint["at_mm"]) >= 20.0 + 10.0 for clip in clips)


def test_clips_of_pieces_are_those_of_the_run(tmp_path):
    """A run is clipped as one: a clip is at one place in the room, whether its run or its piece says it."""
    job = tmp_path / "job.yaml"
    clipped = "job: along a wall\ntube: 15\nformer: {radius: 55}\nstock: {length: 3000}\n"
    clipped += "room: {wall: {face: {at: [0, -25, 0], facing: north}}}\n"
    clipped += "clips: {face: wall, standoff: 25, off_bend: 60, spacing: {level: 1500, upright: 1500}}\n"
    clipped += "runs: {a: {points: [[0, 0, 0], [2500, 0, 0], [2500, 0, 2000], [6500, 0, 2000]]}}\n"
    job.write_text(clipped)
    whole = json.loads(run("schedule", job, "--format", "json").out)["runs"][0]["clips"]["clips"]
    made = json.loads(run("cut", job, "--format", "json").out)["runs"][0]
    begins = [0.0, *(joint["at_mm"] for joint in made["joints"])]
    assert len(begins) > 2
    ofs = [(begin, clip) for begin, piece in zip(begins, made["pieces"], strict=True)
           for clip in piece["clips"]["clips"]]  # fmt: skip
    assert [clip["number"] for _, clip in ofs] == [clip["number"] for clip in whole]
    assert [clip["point"] for _, clip in ofs] == [clip["point"] for clip in whole]
    assert [begin + clip["at_mm"] for begin, clip in ofs] == pytest.approx([clip["at_mm"] for clip in whole])
    for piece in made["pieces"]:
        for clip in piece["clips"]["clips"]:
            leg = piece["legs"][clip["leg"] - 1]
            on_leg = [a + clip["along_leg_mm"] * d for a, d in zip(leg["start"], leg["direction"], strict=True)]
            assert on_leg == pytest.approx(clip["point"], abs=1e-6)


def test_pieces_of_a_jointed_run_have_marks_of_their_own(tmp_path):
    """Each bend lies as far from the joint on its piece as it does in the run."""
    _, cuts = answer(tmp_path)
    joint, (first, second) = cuts["runs"][0]["joints"][0]["at_mm"], cuts["runs"][0]["pieces"]
    # Square bends of radius 55: the first begins 545 along, the second 545 + 86.394 + 2600 - 110.
    starts = [545.0, 545.0 + 55 * 3.14159265 / 2 + 2490.0]
    stated = [b["start_mm"] for b in first["bends"]] + [joint + b["start_mm"] for b in second["bends"]]
    assert stated == pytest.approx(starts, abs=1e-3)
    assert all(piece["plan"]["possible"] for piece in (first, second))
    text = cut(tmp_path).stdout
    assert "RUN long piece 1" in text
    assert "RUN long piece 2" in text
    assert "RUN short" not in text


def test_the_schedule_of_a_run_too_long_sends_to_its_pieces(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(LONG % ("3 m", ""))
    text = CliRunner().invoke(program, ["schedule", str(job)]).stdout
    assert text.count("Longer than any stock, 3000: cut and bend it in the pieces of the cut list") == 1
