"""What the papers say of former, marks, distances and changes, held against the job file."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest
from command_line import run
from follower.bench import Bench
from follower.clips import CLEARANCE, RADIUS
from follower.figures import length
from follower.html import page
from follower.jobs import random_job
from follower.shape import axis_through, compare, half_turn
from follower.sheets import text_runs
from papers import clip_papers, papers
from wide import few_or_many

SEEDS = range(few_or_many(12, 24))
SCALE = {"mm": 1.0, "in": 25.4}
TAPED = r"(\d+(?:[ /]\d+)*(?:\.\d+)?(?: \([\d.]+\))?)"
ROUNDED = {"mm": 0.02, "in": 0.13}
"""In inches to the hundredth that stands beside the sixteenth of a tape."""


@pytest.mark.slow
def test_the_former_is_described_as_the_job_has_it():
    marks = set()
    for seed in SEEDS:
        unit = ("mm", "in")[seed % 2]
        job, folder = papers(seed, unit)
        for read, wanted in zip(text_runs((folder / "schedule.txt").read_text("utf-8"), unit), job.runs, strict=True):
            stated = re.search(
                rf"radius {TAPED} to the centreline; holds {TAPED}, guides {TAPED}", read.facts["Former"]
            )
            is_so = (wanted.former.radius, wanted.hold, wanted.guide)
            assert [length(x, unit).mm for x in stated.groups()] == pytest.approx(is_so, abs=ROUNDED[unit])
            where, mark = read.facts["Marks"], wanted.former.mark
            side = "past " if mark > 0 else "short of "
            far = re.match(rf"{TAPED} (past |short of )where the bend begins, coming from the side that is held", where)
            if mark:
                assert far[2] == side
                assert length(far[1], unit).mm == pytest.approx(abs(mark), abs=ROUNDED[unit])
            else:
                assert where == "where the bend begins, coming from the side that is held"
            spring = read.facts["Springback"]
            fixed, share = (re.search(p, spring) for p in (r"([\d.]+) degrees?\b", r"([\d.]+) % of the angle"))
            assert float(fixed[1]) if fixed else pytest.approx(wanted.former.fixed) == 0.0
            assert (float(share[1]) / 100 if share else 0.0) == pytest.approx(wanted.former.per_degree)
            marks.add(np.sign(mark))
    assert marks == {-1, 0, 1}


@pytest.mark.slow
def test_the_bends_as_drawn_are_those_of_the_corners():
    """Straights, what the bends take, angles, and the turn of each plane: clockwise seen from the start end."""
    turns = 0
    for seed in SEEDS:
        unit = ("mm", "in")[seed % 2]
        job, folder = papers(seed, unit)
        for read, wanted in zip(text_runs((folder / "schedule.txt").read_text("utf-8"), unit), job.runs, strict=True):
            piece = wanted.piece
            assert [int(row[0]) for row in read.bends] == list(range(1, len(piece.angles) + 1))
            for (_, straight, _, angle, plane), leg, bend, twist in zip(
                read.bends, piece.straights, piece.angles, piece.twists, strict=False
            ):
                # In inches the decimals stand in the line under it.
                assert length(straight, unit).mm == pytest.approx(leg, abs=0.6 if unit == "mm" else 1.7)
                assert float(angle) == pytest.approx(bend, abs=0.051)
                if plane == "first bend":
                    continue
                size, words = plane.split(" ", 1) if " " in plane else (plane, "")
                stated = float(size.rstrip(",")) * (-1 if words == "anticlockwise" else 1)
                assert abs(half_turn(stated - twist)) < 0.051
                turns += abs(twist) not in (0, 180)
    assert turns >= 10


@pytest.mark.slow
def test_least_distances_are_there_along_the_run_nearest_first():
    rows = 0
    for seed in range(few_or_many(6, 12)):
        unit = ("mm", "in")[seed % 2]
        job, folder = clip_papers(seed, unit)
        text = (folder / "check.txt").read_text(encoding="utf-8")
        table = text[text.index("  --------  -------  -------------") :].split("\n\n")[0].splitlines()[1:]
        stated = [re.match(r" +(-?[\d.]+) +([\d.]+) +([\d.]+)  (\S.*)$", row).groups() for row in table]
        assert len(stated) == len(job.planes)
        assert [float(row[0]) for row in stated] == sorted(float(row[0]) for row in stated)
        places, ways, along = axis_through(job.points, RADIUS)
        for near, asked, at, name in stated:
            plane, normal = job.planes[name]
            near, asked, at = (float(x) * SCALE[unit] for x in (near, asked, at))
            off = (places - plane) @ normal - 7.5 * np.sqrt(np.clip(1 - (ways @ normal) ** 2, 0, None))
            give = 0.06 if unit == "mm" else 0.15
            assert asked == pytest.approx(CLEARANCE, abs=give)
            assert near == pytest.approx(off.min(), abs=give + 0.3)
            # Along a straight beside the plane, every place is as near.
            assert np.interp(at, along, off) == pytest.approx(near, abs=give + 0.6)
            rows += 1
    assert rows == 4 * few_or_many(6, 12)


@pytest.mark.slow
def test_the_record_says_what_hold_guide_and_roll_there_are():
    """Each pull's straights on both sides, its turning over and end for end, by the tests' own reckoning."""
    pulls = over = ends = 0
    for seed in SEEDS:
        job, folder = papers(seed)
        record = json.loads((folder / "schedule.json").read_text(encoding="utf-8"))
        for stated, wanted in zip(record["runs"], job.runs, strict=True):
            assert (stated["former"]["hold_mm"], stated["former"]["guide_mm"]) == (wanted.hold, wanted.guide)
            flat = [(b["start_mm"], b["start_mm"] + b["arc_mm"]) for b in stated["bends"]]
            bench, last = Bench(stated["cut_length_mm"], wanted.former), None
            for pull in stated["plan"]["pulls"]:
                done = [flat[p["bend"] - 1] for p in stated["plan"]["pulls"] if p["number"] < pull["number"]]
                begins, finishes = flat[pull["bend"] - 1]
                left = begins - max((b for _, b in done if b <= begins), default=0.0)
                right = min((a for a, _ in done if a >= finishes), default=stated["cut_length_mm"]) - finishes
                has = (left, right) if pull["held"] == "start" else (right, left)
                assert (pull["hold_has_mm"], pull["guide_has_mm"]) == pytest.approx(has, abs=1e-6)
                assert pull["turn_round"] == (last is not None and pull["held"] != last["held"])
                assert pull["turn_over"] == (abs(pull["roll_deg"]) > 0.5)
                if last is None:
                    bench.lay_in(pull["held"])
                elif pull["turn_round"]:
                    bench.end_for_end()
                bench.roll(pull["roll_deg"])
                bench.pull(pull["mark_mm"], pull["pull_deg"], pull["held"])
                pulls, over, ends = pulls + 1, over + pull["turn_over"], ends + pull["turn_round"]
                last = pull
            if last is not None:
                assert compare(bench.piece(), wanted.piece).within(1e-5, 1e-5, 1e-5)
    assert pulls >= 30
    assert over >= 10
    assert ends >= 2


# ---- what changed


def steps_given(folder):
    return [
        {step.number: step for step in read.steps} for read in text_runs((folder / "schedule.txt").read_text("utf-8"))
    ]


def changed(home, name, before, after):
    """Make two packs, the second against the first; return what is said of the changes, and both lists of pulls."""
    for part, yaml in (("a", before), ("b", after)):
        (home / name / part).mkdir(parents=True)
        (home / name / part / "job.yaml").write_text(yaml)
    only = ("--only", "json,txt")
    run("make", home / name / "a/job.yaml", "--out", home / name / "old", *only)
    said = run(
        "make",
        home / name / "b/job.yaml",
        "--out",
        home / name / "new",
        *only,
        "--against",
        home / name / "old/schedule.json",
    )
    assert said.code in (0, 1), said.err
    text = (home / name / "new/changes.txt").read_text(encoding="utf-8")
    lines = re.findall(r"^  - (.+(?:\n    .+)*)", text, flags=re.M)
    return (
        [" ".join(line.split()) for line in lines],
        steps_given(home / name / "old"),
        steps_given(home / name / "new"),
    )


def corners(*points):
    return ", ".join(str(list(point)) for point in points)


JOB = """\
job: spare bedroom
tube: 15
former: {{radius: 55, springback: {{fixed: {fixed}, per_degree: 0.02}}, hold: 60, guide: 45}}
runs:
  flow:
    points: [{points}]
"""
FLAT = corners((0, 0, 0), (400, 0, 0), (400, 400, 0), (400, 400, 450))


def test_a_longer_tail_changes_the_cut_length_and_the_finish(tmp_path):
    later = FLAT.replace("450]", "475]")
    lines, _, _ = changed(tmp_path, "tail", JOB.format(fixed=1.0, points=FLAT), JOB.format(fixed=1.0, points=later))
    # Two square bends: 2 x (2 - pi / 2) x 55 is saved against the legs.
    cut = 400 + 400 + 450 - 2 * (2 - np.pi / 2) * 55
    was, now = (f"{round(2 * x) / 2:g}" for x in (cut, cut + 25))
    assert f"run flow: cut length changed from {was} to {now}" in lines
    assert any(line.startswith("run flow: finish end moved from 400, 400, 450 to 400, 400, 475") for line in lines)


def test_another_springback_changes_every_pull(tmp_path):
    both = (JOB.format(fixed=fixed, points=FLAT) for fixed in (1.0, 2.5))
    lines, before, after = changed(tmp_path, "spring", *both)
    stated = [line for line in lines if "pull of bend" in line]
    assert sorted(stated) == [f"run flow: pull of bend {n} changed from 92.8° to 94.3°" for n in (1, 2)]
    assert {s.pull for s in before[0].values()} == {92.8}
    assert {s.pull for s in after[0].values()} == {94.3}


def test_a_leg_the_other_way_changes_plane_and_roll(tmp_path):
    later = FLAT.replace("450]", "-450]")
    both = (JOB.format(fixed=1.0, points=points) for points in (FLAT, later))
    lines, before, after = changed(tmp_path, "other way", *both)
    plane = [line for line in lines if line.startswith("run flow: turn of the plane at bend 2 changed")]
    assert plane == ["run flow: turn of the plane at bend 2 changed from 90 clockwise to 90 anticlockwise"]
    rolls = [steps[0][2].turned.clockwise for steps in (before, after)]
    ways = ["90 clockwise" if roll > 0 else "90 anticlockwise" for roll in rolls]
    assert ways[0] != ways[1]
    assert f"run flow: turn of the tube before pull 2 changed from {ways[0]} to {ways[1]}" in lines


def test_another_order_is_said(tmp_path):
    """With a finish tail that can be guided and not held, the tube is held by its start side."""
    short = FLAT.replace("450]", "105]")
    both = (JOB.format(fixed=1.0, points=points) for points in (FLAT, short))
    lines, before, after = changed(tmp_path, "order", *both)
    said = [", ".join(f"{s.bend} held by the {s.held}" for s in steps[0].values()) for steps in (before, after)]
    assert said[0] != said[1]
    assert f"run flow: order of pulls changed from {said[0]} to {said[1]}" in lines


@pytest.mark.slow
def test_the_page_and_the_text_have_the_same_list_of_pulls():
    for seed in range(few_or_many(4, 10)):
        _, folder = papers(seed, "mm", "html")
        listed = [r.steps for r in page((folder / "job.html").read_text("utf-8")).runs]
        _, folder = papers(seed)
        assert [r.steps for r in text_runs((folder / "schedule.txt").read_text("utf-8"))] == listed


def test_random_jobs_are_the_same_every_time():
    assert random_job(3).yaml == random_job(3).yaml
    assert replace(random_job(3), yaml="").stock == 6000.0
