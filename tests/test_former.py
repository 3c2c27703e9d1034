"""A former's marks and its guide's travel, worked by hand."""

import math

import pytest
from command_line import LEAST
from made_runs import made_run

from pipemodel import story
from pipemodel.bending.plan import plan_pulls
from pipemodel.handover.record import schedule_record
from pipemodel.handover.words import former_words


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
    former = loaded(tmp_path, "{radius: 55, guide: 30, guide_travel: 20}").former
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
    record = schedule_record(story.schedule(job), story.plans(story.schedule(job)))
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
    from pipemodel.job.model import JobError

    with pytest.raises(JobError, match=words):
        story.load(written(tmp_path, former))
