"""What is drawn at full size, cut out, laid together and laid on the piece that the corners mean."""

from dataclasses import replace
from math import radians, tan

import numpy as np
import pytest
from follower.full_size import bars, full_size, templates
from follower.shape import Piece, compare, half_turn
from follower.sheets import text_runs
from follower.templates import angle_cards, lay, wraps
from made_once import kept
from papers import flat_papers, mixed_papers, papers
from wide import few_or_many

MADE = [(papers, seed) for seed in range(few_or_many(4, 5))] + [
    (flat_papers, seed) for seed in range(few_or_many(1, 4))
]
MADE += [(mixed_papers, seed) for seed in range(few_or_many(1, 3))]
"""The first of them are read back as text too."""


@kept
def packs():
    found = []
    for make, seed in MADE:
        unit = ("mm", "in")[seed % 2]
        job, folder = make(seed, unit, only="pdf")
        found.append((make, seed, unit, job, full_size(folder / "job.pdf")))
    return found


def planar(twist):
    return min(abs(half_turn(twist)), 180.0 - abs(half_turn(twist))) < 0.1


@pytest.mark.slow
def test_each_template_lies_on_its_stretch_of_the_piece():
    bends = sheets = cut = together = alone = 0
    for _, _, unit, job, pages in packs():
        for page in pages:
            assert np.allclose(bars(page), 100.0, atol=0.01)
        laid_out = templates(pages)
        for run in job.runs:
            piece, out = run.piece, run.outside
            mine = [t for t in laid_out if t.run == run.name]
            drawn = [n for t in mine for n in range(t.first, t.last + 1)]
            assert drawn == sorted(set(drawn))
            # What lies in a plane with the bend before or after is drawn, unless a long leg parts them.
            for n in range(2, len(piece.angles) + 1):
                near = planar(piece.twists[n - 1]) and piece.straights[n - 1] <= 300.0
                assert not near or {n - 1, n} <= set(drawn)
            alone += len(piece.angles) - len(drawn)
            for t in mine:
                assert t.first == 1 or not planar(piece.twists[t.first - 1]) or piece.straights[t.first - 1] > 300.0
                between = piece.straights[t.first : t.last]
                assert max(between, default=0.0) <= 300.0
                laid = lay(t, out, unit)
                assert laid.bends == list(range(t.first, t.last + 1))
                numbers = range(t.first - 1, t.last)
                # A single bend may be laid in from either side.
                if len(laid.bends) == 1 and _ends_off(laid, piece, t) > _ends_off(_turned(laid), piece, t):
                    laid = _turned(laid)
                give = 0.02
                assert np.allclose(np.abs(laid.angles), [piece.angles[i] for i in numbers], atol=0.05)
                for i, radii in zip(numbers, laid.radii, strict=True):
                    own = run.piece.radii[i]
                    assert np.allclose(radii, [own + side * out / 2 for side in (-1, 0, 1)], atol=give)
                    said = laid.said[i + 1]
                    assert abs(said[0] - piece.angles[i]) < 0.051
                    assert abs(said[1] - own) < 0.2
                assert np.allclose(laid.straights[1:-1], [piece.straights[i] for i in numbers][1:], atol=give)
                for i, a, b in zip(numbers[1:], laid.angles, laid.angles[1:], strict=False):
                    assert planar(piece.twists[i])
                    assert (a * b < 0) == (abs(half_turn(piece.twists[i])) > 90.0)
                    together += 1
                ends = piece.straights[t.first - 1], piece.straights[t.last]
                for drawn, whole, true in zip((laid.straights[0], laid.straights[-1]), laid.whole, ends, strict=True):
                    if whole is None:
                        assert abs(drawn - true) < give
                    else:
                        assert drawn < true - 0.1
                        assert abs(whole - true) <= (0.26 if unit == "mm" else 0.8)
                        cut += 1
                bends, sheets = bends + len(laid.bends), sheets + len(t.pages) - 1
    assert bends >= 8
    assert alone >= 5
    assert sheets >= 2
    assert cut >= 6
    assert together >= 3


def _turned(laid):
    return replace(laid, straights=laid.straights[::-1], whole=laid.whole[::-1])


def _ends_off(laid, piece, t):
    ends = piece.straights[t.first - 1], piece.straights[t.last]
    said = [whole or drawn for whole, drawn in zip(laid.whole, (laid.straights[0], laid.straights[-1]), strict=True)]
    return sum(abs(a - b) for a, b in zip(said, ends, strict=True))


@pytest.mark.slow
def test_an_angle_card_has_the_angle_it_names_and_clears_the_inside():
    cards = shared = 0
    for _, _, _, job, pages in packs():
        found = [card for page in pages for card in angle_cards(page)]
        used = set()
        for run in job.runs:
            for angle in sorted({round(a, 1) for a in run.piece.angles}):
                bends = zip(run.piece.radii, run.piece.angles, strict=True)
                largest = max(radius for radius, bent in bends if abs(bent - angle) < 0.06)
                inside = (largest - run.outside / 2) * tan(radians(angle) / 2)
                mine = [
                    k
                    for k, (named, _, cut) in enumerate(found)
                    if abs(named - angle) < 0.051 and inside < cut < inside + 10.0
                ]
                # Round a wide former a card may be wider than the paper.
                assert mine or run.own or angle > 90
                shared += bool(used & set(mine[:1]))
                used |= set(mine)
        for named, between, _ in found:
            assert abs(between - (180.0 - named)) < 0.02
            cards += 1
        assert used == set(range(len(found)))
        assert len({(named, round(cut, 2)) for named, _, cut in found}) == len(found), "each card once"
    assert cards >= 12
    assert shared >= 1


@pytest.mark.slow
def test_a_wrap_laid_round_the_tube_puts_marks_and_insides_where_they_belong():
    bends = turned = rulers = 0
    for make, seed, unit, job, pages in packs():
        _, folder = make(seed, unit)
        listed = text_runs((folder / "schedule.txt").read_text(encoding="utf-8"), unit)
        for run, read in zip(job.runs, listed, strict=True):
            strips = [
                wraps(p, run.name, run.outside, unit) for p in pages if p.title.startswith("angle cards and wraps")
            ]
            figures, found = sum(n for _, n in strips), {}
            for bend, written, along, round_ in (m for marks, _ in strips for m in marks):
                assert abs(written - along) < (0.3 if unit == "mm" else 0.85)
                found.setdefault(bend, (along, round_))
                assert np.allclose(found[bend], (along, round_), atol=0.15)
            assert sorted(found) == list(range(1, len(run.piece.angles) + 1))
            rulers += figures
            if not read.steps:
                continue
            held = {step.bend: step.held for step in read.steps}
            arcs = [r * radians(a) for r, a in zip(run.piece.radii, run.piece.angles, strict=True)]
            at = [0.0]
            for n, arc in enumerate(arcs, 1):
                mark, m = found[n][0], run.former_of(n).mark
                start = mark - m if held[n] == "start" else mark + m - arc
                at += [start, start + arc]
            straights = np.diff([*at, run.piece.length])[::2]
            round_ = [found[n][1] for n in sorted(found)]
            twists = [0.0, *(half_turn(b - a) for a, b in zip(round_, round_[1:], strict=False))]
            made = Piece(tuple(straights), run.piece.angles, tuple(twists), run.piece.radii)
            off = compare(made, run.piece)
            assert not off.mirrored
            assert off.within(0.3, 0.01, 0.2), off
            bends += len(arcs)
            turned += sum(abs(t) % 180 > 1 for t in run.piece.twists)
    assert bends >= 12
    assert turned >= 3
    assert rulers >= 30
