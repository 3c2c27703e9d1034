"""A former's marks and its guide's travel, worked by hand."""

import csv
import json
import math

import pytest
from command_line import LEAST, ROOT, run
from made_runs import made_run

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.pulls.plan import plan_pulls
from pipemodel.results.results import Results
from pipemodel.wording.phrases import former_words


def loaded(tmp_path, former):
    job = tmp_path / "job.yaml"
    job.write_text(LEAST.replace("{radius: 55}", former))
    return story.schedule(story.load(job)).runs[0]


def test_a_square_against_the_rim_marks_the_back_of_the_bend(tmp_path):
    """With the rim at the outside of the tube, R + D/2 from the axis, the square finds the back of a 90.

    First principles: the back of a square bend lies R + D/2 beyond its beginning.
    """
    run = loaded(tmp_path, "{radius: 55, rim: 62.5, mark: square}")
    first = run.table.bends[0]
    assert run.mark_mm(first) == pytest.approx(545 + 62.5)
    # Corner at 600 from the start end, outside half the tube further: that is the back.
    assert run.mark_mm(first) == pytest.approx(600 + 15 / 2)


def test_the_beginning_is_no_offset(tmp_path):
    run = loaded(tmp_path, "{radius: 55, mark: beginning}")
    assert run.mark_mm(run.table.bends[0]) == pytest.approx(545)


def test_a_guide_that_travels_needs_more_for_a_longer_pull(tmp_path):
    former = loaded(tmp_path, "{radius: 55, springback: {fixed: 0}, guide: 30, guide_travel: 20}").former
    assert former.guide_needed_mm(0) == 30
    assert former.guide_needed_mm(90) == pytest.approx(50)
    assert former.guide_needed_mm(45) == pytest.approx(40)


def test_the_travel_counts_in_the_plan(tmp_path):
    """295 of straight follow the last bend: enough for a guide of 290, not for one that travels 10 more."""
    held = "{radius: 55, hold: 400, guide: 290%s}"
    assert story.plans(story.schedule(story.load(written(tmp_path, held % ""))))[0].possible
    plan = story.plans(story.schedule(story.load(written(tmp_path, held % ", guide_travel: 10"))))[0]
    assert not plan.possible


@pytest.mark.parametrize(("angle", "needs"), [(90, 8.6), (45, 51.8), (30, 66.2), (100, 0.0), (180, 0.0)])
def test_a_guide_block_needs_more_straight_after_a_lesser_bend(tmp_path, angle, needs):
    """First principles: 95 mm of block lie on the tube, a bend of radius 55 takes up 55 x angle of them."""
    former = loaded(tmp_path, "{radius: 55, hold: 30, guide_block: 95}").former
    assert former.guide_needed_mm(angle) == pytest.approx(needs, abs=0.05)


def test_a_block_never_needs_less_than_the_guide_and_a_guide_alone_is_one_figure(tmp_path):
    both = loaded(tmp_path, "{radius: 55, hold: 30, guide: 10, guide_block: 95}").former
    assert [both.guide_needed_mm(a) for a in (90, 180)] == [10, 10]
    assert both.guide_needed_mm(45) == pytest.approx(95 - 55 * math.pi / 4)
    alone = loaded(tmp_path, "{radius: 55, hold: 30, guide: 45}").former
    assert [alone.guide_needed_mm(a) for a in (5, 45, 90, 180)] == [45] * 4


def test_each_pull_says_what_it_needs_and_what_it_has(tmp_path):
    """545 before, 295 after the last of three square bends; 8.6 of block beyond each of them, and no less than 10."""
    job = story.load(written(tmp_path, "{radius: 55, hold: 30, guide: 10, guide_block: 95}"))
    record = Results(story.schedule(job)).schedule_record
    (run,) = record["runs"]
    assert run["former"]["guide_block_mm"] == 95
    for pull in run["plan"]["pulls"]:
        assert (pull["hold_needed_mm"], pull["guide_needed_mm"]) == (30, 10)
        assert pull["guide_has_mm"] >= 10
    small = made_run([200, 60, 200], [30, 30], [180], hold_mm=30.0, guide_mm=10.0, guide_block_mm=95.0)
    for pull in plan_pulls(small).pulls:
        assert pull.guide_needed_mm == pytest.approx(95 - 55 * math.pi / 6)
        assert pull.guide_has_mm >= pull.guide_needed_mm


def test_the_papers_say_what_the_block_needs(tmp_path):
    job = story.load(written(tmp_path, "{radius: 55, hold: 30, guide: 10, guide_block: 95}"))
    former = story.schedule(job).runs[0].former
    block = "guides at least 10 (block of 95: 66.2 at 30, 51.8 at 45, 10 at 90 degrees)"
    assert f"holds 30, {block}" in former_words(former)
    alone = loaded(tmp_path, "{radius: 55, hold: 30, guide: 45}").former
    assert "holds 30, guides 45" in former_words(alone)
    assert "block" not in former_words(alone)


def test_too_little_for_the_block_is_named_with_what_the_angle_needs():
    """A bend of 30 degrees leaves 95 - 55 x pi / 6 = 66.2 of the block: none of 50, 60 and 55 will do."""
    plan = plan_pulls(made_run([50, 60, 55], [30, 30], [180], hold_mm=30.0, guide_mm=10.0, guide_block_mm=95.0))
    assert not plan.possible
    assert "66.3 mm is needed to guide the pull beside it" in plan.why_not[0]


def written(tmp_path, former):
    job = tmp_path / "job.yaml"
    job.write_text(LEAST.replace("{radius: 55}", former))
    return job


@pytest.mark.parametrize(
    ("former", "words"),
    [("{radius: 55, mark: square}", "needs the rim"), ("{radius: 55, mark: middle}", "middle")],
)
def test_a_mark_that_cannot_be_found_is_refused(tmp_path, former, words):
    with pytest.raises(JobError, match=words):
        story.load(written(tmp_path, former))


# ---- what is not given


def usual(outside):
    """The row of the table of generic formers that is the usual one for a size."""
    with (ROOT / "pipemodel/trade/data/formers.csv").open() as file:
        (row,) = [r for r in csv.DictReader(file) if r["default"] and float(r["outside_mm"]) == outside]
    return {key: float(row[key]) for key in ("springback_per_degree", "springback_fixed_deg", "hold_mm", "guide_mm")}


@pytest.mark.parametrize(
    ("former", "missing"),
    [
        ("{radius: 55}", {"springback", "hold", "guide"}),
        ("{radius: 55, springback: {}}", {"springback", "hold", "guide"}),
        ("{radius: 55, hold: 0, guide: 0}", {"springback"}),
        ("{radius: 55, springback: {fixed: 0}, hold: 0}", {"guide"}),
        ("{radius: 55, springback: {per_degree: 0.1}, guide: 5}", {"hold"}),
        ("{radius: 55, springback: {fixed: 0}, hold: 0, guide: 0}", set()),
    ],
)
@pytest.mark.parametrize("from_file", [False, True])
def test_what_is_not_given_is_the_generic_formers_and_a_zero_is_given(tmp_path, former, missing, from_file):
    row = usual(15.0)
    if from_file:
        (tmp_path / "mine.yaml").write_text(f"ours: {former}\n")
        former_key = "{file: mine.yaml, name: ours}"
    else:
        former_key = former
    job = written(tmp_path, former_key)
    schedule = story.schedule(story.load(job))
    got = schedule.runs[0].former
    written_hold = 0.0 if "hold: 0" in former else None
    assert got.hold_mm == (row["hold_mm"] if "hold" in missing else written_hold)
    assert got.guide_mm == (row["guide_mm"] if "guide" in missing else 5.0 if "guide: 5" in former else 0.0)
    per_degree = row["springback_per_degree"] if "springback" in missing else 0.1 if "0.1" in former else 0.0
    assert got.springback.per_degree == per_degree
    assert got.springback.fixed_deg == 0.0
    assert schedule.runs[0].bends[0].pull_deg == pytest.approx(90 + 90 * per_degree)
    record = json.loads(run("check", job, "--format", "json").out)
    notes = [f for f in record["findings"] if f["code"] == "B112"]
    stated = " ".join(f["message"] for f in notes)
    assert len(notes) == len(schedule.notes) == bool(missing)
    missed = {figure for figure in ("hold", "guide", "springback") if figure in stated.partition(" not given")[0]}
    assert missed == set(missing)
    assert "15 mm hand bender" in stated or not missing


def test_short_straights_no_longer_pass_for_want_of_figures(tmp_path):
    """A tail of 1 mm and 5 mm between two 90s: no hand bender makes that, though none of its figures were given."""
    points = "[[0, 0, 0], [56, 0, 0], [56, 115, 0], [256, 115, 0]]"
    text = f"job: a\ntube: 15\nformer: %s\nruns:\n  a: {{points: {points}}}\n"
    job = tmp_path / "job.yaml"
    job.write_text(text % "{radius: 55}")
    done = run("check", job, "--format", "json")
    assert done.code == 1
    assert "B101" in [f["code"] for f in json.loads(done.out)["findings"]]
    job.write_text(text % "{radius: 55, hold: 0, guide: 0}")
    assert run("check", job).code == 0


@pytest.mark.parametrize(("outside", "hold", "guide"), [(18, 36, 12), (54, 108, 36), (16, 32, 11)])
def test_a_size_without_a_row_goes_by_the_rules_of_thumb(tmp_path, outside, hold, guide):
    """Two diameters to hold and two thirds of one to guide, up to the whole mm (docs/tables.md: common practice)."""
    job = tmp_path / "job.yaml"
    job.write_text(
        f"job: a\ntube: {{outside: {outside}, wall: 1}}\nformer: {{radius: {4 * outside}}}\n"
        "runs:\n  a: {points: [[0, 0, 0], [900, 0, 0], [900, 900, 0]]}\n"
    )
    former = story.schedule(story.load(job)).runs[0].former
    assert (former.hold_mm, former.guide_mm, former.springback.per_degree) == (hold, guide, 0.02)
    assert "generic former" in former.completed_from


def test_each_tube_has_its_own_sizes_figures_from_one_former(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: a\nformer: {radius: 80}\nruns:\n"
        "  a: {tube: 15, points: [[0, 0, 0], [900, 0, 0], [900, 900, 0]]}\n"
        "  b: {tube: 22, points: [[0, 0, 500], [900, 0, 500], [900, 900, 500]]}\n"
    )
    schedule = story.schedule(story.load(job))
    assert [r.former.hold_mm for r in schedule.runs] == [usual(15.0)["hold_mm"], usual(22.0)["hold_mm"]]
    assert len(schedule.notes) == 2


def test_a_bend_from_flags_takes_what_is_left_out_too():
    done = run("bend", "90", "--first", "300", "--second", "400", "--radius", "55", "--format", "json")
    (piece,) = json.loads(done.out)["runs"]
    assert piece["former"]["hold_mm"] == usual(15.0)["hold_mm"]
    assert piece["former"]["not_given"] == ["springback", "hold", "guide"]
    text = run("bend", "90", "--first", "300", "--second", "400", "--radius", "55").out
    assert "not given and taken from the 15 mm hand bender" in " ".join(text.split())
    assert "(generic hold and guide)" in " ".join(text.split())


def test_a_former_by_name_has_its_own_figures(tmp_path):
    former = loaded(tmp_path, "15 mm spring").former
    assert former.not_given == ()
    assert former.completed_from == ""
