"""Cut what the cut list says, joint the pieces where it says so, and have every piece the job needs."""

import pytest
from follower.html import page
from follower.pack import pack_bars, pack_lines
from follower.shape import Piece, compare
from follower.sheets import markdown_tables, text_runs, workbook_tables
from follower.steps import follow
from follower.stock import bar, faults, joints_given, table_bars, text_bars
from papers import papers
from wide import few_or_many

SEEDS = range(few_or_many(12, 24))
READERS = {
    "text": lambda folder, unit: text_bars((folder / "cuts.txt").read_text(encoding="utf-8"), unit),
    "workbook": lambda folder, unit: table_bars(workbook_tables(folder / "schedule.xlsx")["cut list"], unit),
    "markdown": lambda folder, unit: table_bars(
        markdown_tables((folder / "schedule.md").read_text(encoding="utf-8"))["cut list"], unit
    ),
}


def wrong(bars, job, unit, pieces=None):
    wanted = pieces or {run.name: run.piece.length for run in job.runs}
    # Cuts and offcuts are whole tenths of a mm to the planner; a tape shows half of one, or a hundredth of an inch.
    return faults(bars, wanted, job.stock, job.offcuts, job.kerf, 0.3 if unit == "mm" else 0.25)


@pytest.mark.slow
@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("paper", READERS)
def test_the_list_gives_every_piece_out_of_the_rack(paper, unit):
    read = offcuts = 0
    for seed in SEEDS:
        job, folder = papers(seed, unit)
        bars = READERS[paper](folder, unit)
        if not bars:
            # No piece, or one that no order of pulls makes: no list.
            continue
        assert wrong(bars, job, unit) == [], seed
        read += 1
        offcuts += any(one.offcut for one in bars)
    assert read >= 8
    assert offcuts >= 2


@pytest.mark.slow
def test_page_and_pack_have_the_same_list():
    read = 0
    for seed in range(5):
        unit = ("mm", "in")[seed % 2]
        job, folder = papers(seed, unit, "pdf")
        stated = [bar(*row, unit) for row in pack_bars(pack_lines(folder / "job.pdf"))]
        job, folder = papers(seed, unit, "html")
        seen = page((folder / "job.html").read_text(encoding="utf-8"), unit)
        assert [bar(*row, unit) for row in seen.cuts] == stated
        if stated:
            assert wrong(stated, job, unit) == []
            read += 1
    assert read >= 3


@pytest.mark.slow
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_pieces_of_jointed_runs_make_the_run(unit):
    """Each piece bent by its own list; put end to end they are the run, with its twists within each piece."""
    jointed = 0
    for seed in range(100, 100 + few_or_many(6, 12)):
        job, folder = papers(seed, unit, "txt,cuts", jointed=True)
        text = (folder / "cuts.txt").read_text(encoding="utf-8")
        joints = joints_given(text, unit)
        pieces = {run.name: run for run in text_runs(text, unit)}
        bars = text_bars(text, unit)
        needed = {}
        for wanted in job.runs:
            if wanted.name not in joints:
                if any(name == wanted.name for one in bars for _, name in one.cuts):
                    needed[wanted.name] = wanted.piece.length
                continue
            mine = [pieces[f"{wanted.name} piece {n}"] for n in range(1, len(joints[wanted.name]) + 2)]
            made = [follow(piece.steps, piece.cut, wanted.formers) for piece in mine]
            needed |= {piece.name: one.length for piece, one in zip(mine, made, strict=True)}
            ends = [0.0]
            for one in made:
                ends.append(ends[-1] + one.length)
            assert ends[1:-1] == pytest.approx(joints[wanted.name], abs=0.8)
            assert compare(joined(made, wanted.piece), wanted.piece).within(1.6, 0.06, 0.11), seed
            jointed += 1
        assert wrong(bars, job, unit, needed) == [], seed
    assert jointed >= 2


def joined(pieces, wanted):
    """Put pieces end to end; how one stands to the next is set at the joint, so twists across joints are as wanted."""
    straights, angles, twists = [0.0], [], []
    for piece in pieces:
        straights = [*straights[:-1], straights[-1] + piece.straights[0], *piece.straights[1:]]
        first = len(angles)
        angles += piece.angles
        twists += [wanted.twists[first], *piece.twists[1:]] if piece.angles else []
    return Piece(tuple(straights), tuple(angles), tuple(twists), wanted.radii)
