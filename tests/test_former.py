"""A former's marks and its guide's travel, worked by hand."""

import pytest
from command_line import LEAST

from pipemodel import story


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
