"""The pull drawings read back: the tube as drawn lies at the bench as the pulls of the list make it lie."""

import numpy as np
import pytest
from follower.bench import Bench
from follower.pulls import likeness, pull_of
from follower.sheets import text_runs
from follower.svg import Words, sheets
from papers import flat_papers, mixed_papers, papers
from wide import few_or_many

SEEDS, RETURNS, JOINTED = range(few_or_many(5, 16)), range(few_or_many(1, 4)), range(100, 100 + few_or_many(1, 4))
MADE = [(papers, n) for n in SEEDS] + [(flat_papers, n) for n in RETURNS] + [(mixed_papers, n) for n in RETURNS]


def drawings():
    """Each run's pulls as listed, and as drawn."""
    for make, seed in MADE:
        unit = ("mm", "in")[seed % 2]
        job, folder = make(seed, unit)
        listed = text_runs((folder / "schedule.txt").read_text(encoding="utf-8"), unit)
        _, folder = make(seed, unit, only="pulls")
        for read, wanted in zip(listed, job.runs, strict=True):
            if read.steps:
                yield read, wanted, drawn(folder / f"{wanted.name}-pulls.svg", wanted, unit), unit
    for seed in JOINTED:
        job, folder = papers(seed, "mm", "txt,cuts", jointed=True)
        pieces = text_runs((folder / "cuts.txt").read_text(encoding="utf-8"), "mm")
        _, folder = papers(seed, "mm", "pulls", jointed=True)
        for wanted in job.runs:
            mine = [read for read in pieces if read.name.startswith(f"{wanted.name} piece ")]
            for number, read in enumerate(mine, 1):
                assert read.name.endswith(f" {number}")
                if read.steps:
                    yield read, wanted, drawn(folder / f"{wanted.name}-pulls-{number}.svg", wanted, "mm"), "mm"


def drawn(path, wanted, unit):
    """Read the drawings of a file; its foot says what lengths are in."""
    *pulls, foot = sheets(path.read_bytes())
    said = " ".join(words.text for words in foot.of(Words))
    assert f": lengths in {'inches' if unit == 'in' else 'mm'}. Try a bend on an offcut" in said
    return [pull_of(sheet, wanted.former_of, unit) for sheet in pulls]


@pytest.mark.slow
def test_before_and_after_each_pull_the_tube_is_drawn_as_it_lies_at_the_bench():
    pulls = finish = over = offset = standing = returns = pieces = 0
    for read, wanted, seen, unit in drawings():
        bench = Bench(read.cut, None)
        give = 0.12 if unit == "mm" else 0.5
        assert len(seen) == len(read.steps)
        for step, pull in zip(read.steps, seen, strict=True):
            assert (pull.number, pull.bend, pull.left) == (step.number, step.bend, step.held)
            assert pull.end_for_end == step.turned.end_for_end
            if step.turned.first:
                bench.lay_in(step.held)
            if step.turned.end_for_end:
                bench.end_for_end()
            bench.roll(step.turned.clockwise)
            bench.former = former = wanted.former_of(step.bend)
            radius = former.radius
            before = Bench(bench.length, bench.former)
            before.stands, before.held, before.made = bench.stands, bench.held, list(bench.made)
            bent = bench.pull(step.mark, step.pull, step.held)
            numbers = {round(b.start, 3): n for b, n in zip(bench.made, (s.bend for s in read.steps), strict=False)}
            for panel, at_bench in zip(pull.panels, (before, bench), strict=True):
                off, middles, ends, heights = likeness(panel, at_bench, (bent.start, bent.finish))
                assert off < give, (read.name, step, off)
                there = [numbers[round(b.start, 3)] for b in sorted(at_bench.made, key=lambda b: b.start)]
                assert sorted(panel.bends) == sorted(there)
                for number, middle in zip(there, middles, strict=True):
                    far = np.hypot(*(panel.bends[number] - middle))
                    assert 2.0 < far < 20.0
                for (name, place), high in zip(ends.items(), heights, strict=True):
                    at, stated, _ = panel.ends[name]
                    assert abs(stated - high) < 1.1 + (0.0 if unit == "mm" else 1.0), (name, stated, high)
                    other = ends["finish" if name == "start" else "start"]
                    if np.hypot(*(place - other)) > 30.0:
                        assert np.hypot(*(at - place)) < np.hypot(*(at - other))
                    standing += abs(stated) > 20
            assert pull.panels[1].strong == [step.bend]
            assert not pull.panels[0].strong
            assert not pull.panels[0].new
            assert f"after: {bent.angle:.1f}".removesuffix(".0") in [w.removesuffix("°") for w in pull.panels[1].words]
            new = np.concatenate(pull.panels[1].new)
            swing = pull.panels[1].view.on_bender(new)
            angle = (np.degrees(np.arctan2(swing[:, 0], swing[:, 1])) + 90.0) % 360.0 - 90.0
            assert abs(np.hypot(*swing.T) - radius).max() < 1.0
            assert angle.min() > -1.0
            assert abs(angle.max() - bent.angle) < 1.0
            # The mark stands as far from where the bend begins as the former's does, on the side of the free end.
            (x, y), m = pull.view.on_bender(pull.mark)[0], former.mark
            assert abs(x - m) < 1.0, (step, x, m)
            assert abs(y - radius) < 0.5
            offset += m != 0.0 and step.held == "finish"
            arrow = pull.view.on_bender(pull.arrow)
            round_ = np.unwrap(np.arctan2(arrow[:, 0], arrow[:, 1]))
            assert (np.diff(round_) > 0).all(), "clockwise, seen from above"
            assert np.degrees(round_[-1] - round_[0]) > min(bent.angle, 75.0) - 1.0
            assert np.hypot(*arrow.T).min() > radius
            returns += bent.angle > 179.0
            pieces += " piece " in read.name
            pulls, finish, over = pulls + 1, finish + (step.held == "finish"), over + step.turned.end_for_end
    assert pulls >= 20
    assert finish >= 4
    assert over >= 2
    assert offset >= 2
    assert standing >= 7
    assert returns == len(RETURNS)
    assert pieces >= 2
