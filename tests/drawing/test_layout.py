"""How views share a sheet, over random views: apart, within the sheet, in line, at the largest scale that goes."""

import random

import pytest
import shapely

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.layout import (
    A3,
    A4,
    A4_UPRIGHT,
    SCALES,
    Block,
    InLine,
    fitted,
    shared,
    stand_in_line,
    trees,
    widened,
)
from pipemodel.drawing.projection import PLAN
from pipemodel.drawing.title_block import drawing_area

TABLE = Block((0.0, 0.0), (90.0, 40.0))


def test_every_way_to_part_a_sheet_is_tried_once():
    """As many as there are series-parallel networks of labelled edges: 1, 2, 8, 52, 472 (from memory)."""
    for n, ways in enumerate((1, 2, 8, 52, 472), 1):
        found = trees(tuple(range(n)))
        assert len(found) == len(set(found)) == ways


def test_scales_are_those_of_the_standard():
    """ISO 5455, from memory: 1, 2, 5 and their tenfolds; of intermediate ones, which it allows, 1:25."""
    assert set(SCALES) == {m * 10**k for m in (1, 2, 5) for k in range(5) if m * 10**k <= 10000} | {25}
    assert list(SCALES) == sorted(SCALES)


@pytest.mark.parametrize("seed", range(3))
def test_cells_lie_apart_on_the_sheet_and_hold_their_views(seed):
    dice = random.Random(seed)
    for _ in range(12):
        size = dice.choice((A4, A4_UPRIGHT))
        x, y, z = (10 ** dice.uniform(1.5, 4.0) for _ in range(3))
        shown = {0: (x, z), 1: (y, z), 2: (x, y), 3: (0.71 * (x + y), 0.41 * (x + y) + 0.8 * z)}
        blocks = {k: Block(at, (18.0, 26.0), own_scale=k == 3) for k, at in shown.items()} | {4: TABLE}
        fit = fitted(blocks, size, [InLine(0, 2, "column")])
        area = shapely.box(*drawing_area(size)).buffer(1e-6)
        cells = {k: shapely.box(*cell) for k, cell in fit.cells.items()}
        assert set(cells) == set(blocks)
        for k, cell in cells.items():
            assert area.contains(cell)
            assert all(cell.intersection(cells[other]).area < 1e-6 for other in range(k))
            n = fit.own_scale if k == 3 else fit.scale
            wide, high = (90.0, 40.0) if k == 4 else (shown[k][0] / n + 18.0, shown[k][1] / n + 26.0)
            low_x, low_y, high_x, high_y = cell.bounds
            assert high_x - low_x >= wide - 1e-6
            assert high_y - low_y >= high - 1e-6
        drawn = sum(w * h / (fit.own_scale if k == 3 else fit.scale) ** 2 for k, (w, h) in shown.items())
        free = drawing_area(size)
        assert fit.filled == pytest.approx((drawn + 90.0 * 40.0) / (free.width * free.height))


@pytest.mark.parametrize("seed", range(20))
def test_two_views_are_as_large_as_they_go_beside_or_under_each_other(seed):
    dice = random.Random(seed)
    sizes = [(dice.uniform(20, 4000), dice.uniform(20, 4000)) for _ in range(2)]
    free = drawing_area(A4)

    def goes(n):
        (a, b), (c, d) = ((w / n + 10.0, h / n + 10.0) for w, h in sizes)
        beside = a + c <= free.width and max(b, d) <= free.height
        return beside or (max(a, c) <= free.width and b + d <= free.height)

    fit = fitted({k: Block(size, (10.0, 10.0)) for k, size in enumerate(sizes)}, A4)
    assert fit.scale == next(n for n in SCALES if goes(n))
    one, other = fit.cells[0], fit.cells[1]
    assert stand_in_line(fit.cells, InLine(0, 1, "row")) == (one.low + one.high == other.low + other.high)


def test_what_is_too_large_for_any_scale_is_drawn_at_the_smallest():
    fit = fitted({0: Block((1e9, 1e9), (0.0, 0.0)), 1: TABLE}, A4)
    assert (fit.scale, fit.filled) == (10000, 0.0)
    assert set(fit.cells.values()) == {drawing_area(A4)}


def test_a_second_sheet_is_taken_where_it_has_a_larger_scale_and_both_are_filled_more():
    """An A4 sheet that lies has 261 by 163 free. At 1:5 a view of 1300 by 700 takes 260 by 140, and all of a sheet; two
    of 1000 by 1600 stand beside each other at 1:10, and neither goes on one at 1:5.
    """
    splits = [((0, 1),), ((0,), (1,))]
    for size, scales in (((1300.0, 700.0), [5, 5]), ((1000.0, 1600.0), [10])):
        view = Block(size, (0.0, 0.0))
        assert [fit.scale for fit in shared([{0: view, 1: view}], splits, (A4,))] == scales


def test_more_of_the_room_is_shown_where_there_is_some_and_the_sheet_has_space():
    shown, room = ClipWindow(0.0, 0.0, 100.0, 50.0), [(-10.0, -500.0, 7.0), (900.0, 40.0, 3.0)]
    assert widened(shown, PLAN, room, (300.0, 80.0)) == ClipWindow(-10.0, -15.0, 200.0, 50.0)
    assert widened(shown, PLAN, room, (90.0, 40.0)) == shown
    assert widened(shown, PLAN, [], (300.0, 80.0)) == shown


def test_a_larger_sheet_is_taken_where_tubes_would_be_mere_lines():
    """An A4 sheet that lies has 261 by 163 free, an A3 one 384 by 250. Beside a table of 130 by 100, 5000 by 2500 goes
    on them at 1:50 and at 1:20: 42 % of one are filled, 46 % of the other. A fifth of it goes on A4 at 1:10, and stays.
    """
    table = Block((0.0, 0.0), (130.0, 100.0))
    for room, size, scale in (((5000.0, 2500.0), A3, 20), ((1000.0, 500.0), A4, 10)):
        (fit,) = shared([{0: Block(room, (20.0, 20.0)), 1: table}], [((0, 1),)], (A4, A3))
        assert (fit.size, fit.scale) == (size, scale), room


def test_a_long_table_leaves_no_view_too_small_to_read():
    """A table of 250 by 130 fills A4, where 2.6 m go at 1:200; A3 has room for them at 1:20 and is filled less."""
    blocks = {0: Block((1200.0, 2600.0), (20.0, 20.0)), 1: Block((0.0, 0.0), (250.0, 130.0))}
    (fit,) = shared([blocks], [[[0, 1]]], [(297.0, 210.0), (420.0, 297.0)])
    small = fitted(blocks, (297.0, 210.0))
    assert small.scale >= 100
    assert small.filled > fit.filled
    assert fit.size == (420.0, 297.0)
    assert fit.scale == 20
