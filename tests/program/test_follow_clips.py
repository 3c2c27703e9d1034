"""Clip the finished tube where the clip list says: every clip lies on straight tube, at its measures from the walls."""

import pytest
from follower.clips import faults, page_clips, table_clips, text_clips
from follower.html import page
from follower.pack import pack_clips, pack_lines
from follower.sheets import markdown_tables, workbook_tables
from papers import clip_papers
from wide import few_or_many

SEEDS = range(few_or_many(6, 12))
READERS = {
    "text": lambda folder, unit: text_clips((folder / "schedule.txt").read_text(encoding="utf-8"), unit)[2],
    "workbook": lambda folder, unit: table_clips(workbook_tables(folder / "schedule.xlsx")["clips"], unit),
    "markdown": lambda folder, unit: table_clips(
        markdown_tables((folder / "schedule.md").read_text(encoding="utf-8"))["clips"], unit
    ),
    "page": lambda folder, unit: page_clips(
        [row for _, row in page((folder / "job.html").read_text(encoding="utf-8"), unit).clips], unit
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("paper", READERS)
def test_clips_stand_on_the_tube_where_the_list_says(paper):
    clips = 0
    for seed in SEEDS:
        unit = ("mm", "in")[seed % 2]
        job, folder = clip_papers(seed, unit)
        read = READERS[paper](folder, unit)
        assert read
        assert faults(job, read, 0.3) == [], seed
        clips += len(read)
    assert clips >= 20


@pytest.mark.slow
def test_the_spacings_are_those_of_the_job():
    stated = set()
    for seed in SEEDS:
        unit = ("mm", "in")[seed % 2]
        job, folder = clip_papers(seed, unit)
        level, upright, _ = text_clips((folder / "schedule.txt").read_text(encoding="utf-8"), unit)
        assert (level, upright) == pytest.approx((job.level, job.upright), abs=0.13)
        stated.add((job.level, job.upright))
    assert len(stated) == 3


@pytest.mark.slow
def test_the_pack_has_the_same_list():
    """Packs take a second each to make: two of them."""
    for seed, unit in ((0, "mm"), (1, "in")):
        job, folder = clip_papers(seed, unit, "pdf")
        read = pack_clips(pack_lines(folder / "job.pdf"), unit)
        assert len(read) >= 3
        assert faults(job, read, 0.3) == []
        _, folder = clip_papers(seed, unit)
        assert read == READERS["text"](folder, unit)
