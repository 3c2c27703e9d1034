"""Bases cut to the bed: joints, turns, gaps and bars by hand, outlines by shapely."""

from dataclasses import replace

import numpy as np
import pytest
from jig_bases import based
from jig_pieces import jig_of, whole
from scipy.sparse.csgraph import minimum_spanning_tree
from scipy.spatial.distance import cdist
from shapely.affinity import rotate
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from pipemodel.jigs.base import base_of
from pipemodel.jigs.plan import _cut_up
from pipemodel.jigs.plates import set_out
from pipemodel.jigs.split import (
    BarJoint,
    Cut,
    TooBigError,
    _clusters,
    _Cutter,
    best_turn,
    cut,
    key_outline,
    longest_gap,
)
from pipemodel.job.jig import Bed


def test_a_key_is_a_dovetail_that_points_on_along_the_bar_and_its_slot_is_wider_all_round():
    base = based([(10.0, 5.0), (10.0, 305.0)], [(0, 1)])
    # Bar 26 wide, northwards: neck 0.18, head 0.27, depth 0.34 of that.
    rear = 4.68 - 2.34 / 8.84
    wanted = [(10 + rear, 104.0), (10 + 7.02, 113.84), (10 - 7.02, 113.84), (10 - rear, 104.0)]
    assert key_outline(base, BarJoint(0, 100.0)) == pytest.approx(np.array(wanted))
    wide = key_outline(base, BarJoint(0, 100.0), 0.2)
    assert wide[1:3] == pytest.approx(np.array([(10 + 7.22, 114.04), (10 - 7.22, 114.04)]))
    assert Polygon(wide).exterior.distance(Polygon(wanted).exterior.intersection(box(0, 105, 99, 999))) > 0.7 * 0.2


def test_a_part_is_turned_to_where_it_fits_the_bed():
    """A strip longer than the bed's sides lies cornerwise, and no longer than the corner; sizes by shapely."""
    bed = Bed(220.0, 180.0, 200.0)
    for size, fits in (((200.0, 150.0), True), ((150.0, 200.0), True), ((240.0, 20.0), True), ((275.0, 20.0), False)):
        strip = np.array(box(0.0, 0.0, *size).exterior.coords)
        turn, found, within = best_turn(strip, bed)
        low_x, low_y, high_x, high_y = rotate(Polygon(strip), turn, origin=(0.0, 0.0)).bounds
        assert found == pytest.approx((high_x - low_x, high_y - low_y))
        assert within is fits
        assert within is (found[0] <= 214.0 and found[1] <= 174.0)
    assert best_turn(np.array(box(0.0, 0.0, 150.0, 200.0).exterior.coords), bed)[0] == 90.0
    # What fits as it lies is not turned.
    assert best_turn(np.array(box(0.0, 0.0, 200.0, 150.0).exterior.coords), bed)[0] == 0.0


def test_the_longest_gap_is_the_longest_stretch_nothing_takes():
    dice = np.random.default_rng(9)
    none = 0
    for _ in range(60):
        starts = dice.integers(-20, 110, dice.integers(0, 7))
        taken = [(float(a), float(a + dice.integers(1, 60))) for a in starts]
        free = [not any(a <= k < b for a, b in taken) for k in range(100)]
        runs = [len(r) for r in "".join("x" if f else " " for f in free).split()]
        found = longest_gap(0.0, 100.0, taken)
        none += found is None
        assert (0.0 if found is None else found[1] - found[0]) == max(runs, default=0)
        assert found is None or all(free[int(found[0]) : int(found[1])])
    assert 0 < none < 50


def cut_or_size(base, bed):
    try:
        return cut(base, bed)
    except TooBigError as error:
        return error.size


def part_shape(base, part):
    outlines = [base.pads[t].outline for t in part.towers]
    outlines += [base.bars[k].stretch(a, b) for k, a, b in part.stretches]
    return unary_union([Polygon(o) for o in outlines])


def test_cut_up_bases_are_all_there_fit_the_bed_and_touch_at_joints_only():
    """Random pads on random trees, some with bars that run over other pads."""
    parts = made = over = 0
    for seed in range(40):
        dice = np.random.default_rng(seed)
        centres = dice.uniform(0.0, 420.0, (int(dice.integers(2, 7)), 2))
        tree = np.argwhere(minimum_spanning_tree(cdist(centres, centres)).toarray())
        if seed % 2:
            # Not the shortest: in a star, bars pass over pads and each other.
            tree = np.array([(0, i) for i in range(1, len(centres))])
        base = based(centres, [tuple(int(i) for i in e) for e in tree], 9.0)
        bed = Bed(*[[200.0, 180.0, 200.0], [300.0, 200.0, 200.0]][seed % 3 > 0])
        found = cut_or_size(base, bed)
        if not isinstance(found, Cut):
            assert max(found) > min(bed.x_mm, bed.y_mm) - 6.0
            continue
        made += 1
        assert sorted(t for p in found.parts for t in p.towers) == list(range(len(centres)))
        for k, bar in enumerate(base.bars):
            pieces = sorted((a, b) for p in found.parts for i, a, b in p.stretches if i == k)
            ends = [0.0, *(b for _, b in pieces)]
            assert [a for a, _ in pieces] == pytest.approx(ends[:-1])
            assert ends[-1] == pytest.approx(bar.length)
            assert sorted(j.at for j in found.joints if j.bar == k) == pytest.approx(ends[1:-1])
            line = Polygon(bar.stretch(0.0, bar.length))
            over += any(line.intersects(Polygon(p.outline)) for p in base.pads if p.tower not in (bar.a, bar.b))
        for j in range(len(found.joints)):
            # Just one part has the key, and just one the slot.
            assert sum(j in p.keys for p in found.parts) == sum(j in p.slots for p in found.parts) == 1
        for i, part in enumerate(found.parts):
            shape = part_shape(base, part)
            assert shape.geom_type == "Polygon"
            corners = [np.array(shape.exterior.coords), *(key_outline(base, found.joints[j]) for j in part.keys)]
            assert best_turn(np.vstack(corners), bed)[2]
            for other in found.parts[i + 1 :]:
                shared = set(part.keys) & set(other.slots) | set(part.slots) & set(other.keys)
                apart = shape.distance(part_shape(base, other))
                assert (apart < 1e-6) if shared else (apart > 0.5), seed
            parts += 1
    assert made > 15
    assert parts > 2 * made
    assert over > 3


def test_parts_are_set_out_in_rows_deepest_first_and_on_the_next_bed_when_full():
    bed = Bed(220.0, 220.0, 200.0)

    def spots(*sizes):
        return [(s.bed, s.x_mm, s.y_mm) for s in set_out(sizes, bed)]

    assert spots((100.0, 50.0), (100.0, 60.0), (30.0, 20.0)) == [(0, 108.0, 3.0), (0, 3.0, 3.0), (0, 3.0, 68.0)]
    assert spots((150.0, 140.0), (100.0, 100.0)) == [(0, 3.0, 3.0), (1, 3.0, 3.0)]
    # To the very edge, 3 mm kept free.
    assert spots((104.5, 60.0), (104.5, 60.0)) == [(0, 3.0, 3.0), (0, 112.5, 3.0)]
    assert spots((104.6, 60.0), (104.6, 60.0)) == [(0, 3.0, 3.0), (0, 3.0, 68.0)]
    assert spots((200.0, 104.5), (200.0, 104.5)) == [(0, 3.0, 3.0), (0, 3.0, 112.5)]
    assert spots((200.0, 104.6), (200.0, 104.6)) == [(0, 3.0, 3.0), (1, 3.0, 3.0)]


def part_outline(base, part):
    return np.vstack([base.pads[t].outline for t in part.towers])


@pytest.mark.slow
def test_a_pad_that_fits_no_bed_says_which_bed_it_needs():
    jig = jig_of("two planes", whole(base="board", gauges=False))
    small = replace(jig.settings, bed=Bed(60.0, 60.0, 400.0))
    stuck = _cut_up(jig.solved, jig.layout, small)
    need = sorted(float(x) for x in str(stuck.reason).split("need a bed of ")[1].split(" mm")[0].split(" x "))
    pads = base_of(jig.layout, small)
    alone = cut(pads, Bed(400.0, 400.0, 400.0)).parts
    sizes = [best_turn(part_outline(pads, p), small.bed)[1] for p in alone]
    # Three millimetres of bed kept free along every edge.
    assert any(need == pytest.approx(sorted((a + 6.0, b + 6.0)), abs=0.51) for a, b in sizes)
    assert stuck.kind == "bed"
    assert "or put towers on a board (base: board)" in stuck.reason
    assert stuck.measure == pytest.approx(max(need) - 6.0, abs=0.51)


@pytest.mark.parametrize(("bed", "half"), [((220.0, 180.0), 9.0), ((150.0, 150.0), 20.0), ((300.0, 120.0), 13.0)])
def test_the_longest_bar_is_the_longest_that_lies_on_the_bed_at_any_turn(bed, half):
    """3 mm stay free all round; the strip's corners at every tenth of a degree."""
    turn = np.radians(np.arange(0.1, 89.95, 0.1))
    x, y = bed[0] - 6.0, bed[1] - 6.0
    long = np.minimum((x - 2.0 * half * np.sin(turn)) / np.cos(turn), (y - 2.0 * half * np.cos(turn)) / np.sin(turn))
    base = based([(0.0, 0.0), (100.0, 0.0)], [(0, 1)])
    cutter = _Cutter(base, Bed(*bed, 200.0), _clusters(base))
    found = cutter._longest_bar(half) + cutter.stub
    assert max(long.max(), x) - 6.0 < found < max(long.max(), x) + 1e-6
