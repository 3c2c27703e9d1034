"""Full-size pages laid on a page worked by hand: where sheets, frames, bars and words go.

A4 with margins of 12 and a foot of 16 leaves a window of 186 by 257 at (12, 28). Pages overlap by 10, so they step by
176 and 247, and the crosses stand 5 inside the edges of the window.
"""

from dataclasses import replace
from itertools import combinations, pairwise

import gallery
import pytest
import shapely
from follower.full_size import full_size

from pipemodel import story
from pipemodel.bending.schedule import solve
from pipemodel.documents.full_size import card_and_wrap_pages, templates_of, tiled
from pipemodel.documents.pack.document import write_pack
from pipemodel.drawing.primitives import Line, Role, Text
from pipemodel.drawing.sheet import Sheet
from pipemodel.messages.units import INCHES

WINDOW = (12.0, 28.0, 186.0, 257.0)
BOX = [(0.0, 0.0), (10.0, 0.0), (10.0, 2.0), (0.0, 2.0)]


def words_on(page):
    """Each text of a page with where it stands on the paper, its height, way and boldness."""
    return [
        (item.text, (item.at[0] + placed.left, item.at[1] + placed.low), item.height, item.angle, item.align, item.bold)
        for placed in page.placed
        for item in placed.sheet.items
        if isinstance(item, Text)
    ]


def lines_on(placed):
    return [
        ([(x + placed.left, y + placed.low) for x, y in item.points], item.closed, item.filled)
        for item in placed.sheet.items
        if isinstance(item, Line)
    ]


@pytest.fixture(scope="module")
def four():
    """A sheet with a line all round, on two pages by two."""
    sheet = Sheet(300.0, 400.0, "a large sheet")
    sheet.line([(0, 0), (300, 0), (300, 400), (0, 400), (0, 0)], Role.OUTLINE)
    return list(tiled(sheet, WINDOW))


def test_each_page_of_a_sheet_shows_its_own_part_of_it(four):
    """Row 1 is the lowest, column 1 the leftmost."""
    assert [(p.placed[0].left, p.placed[0].low) for p in four] == [(12, 28), (-164, 28), (12, -219), (-164, -219)]
    for page in four:
        sheet, *others = page.placed
        assert page.window == WINDOW
        assert sheet.clipped
        assert not any(other.clipped for other in others)


def test_each_page_says_which_it_is_and_which_it_joins(four):
    names = [
        "sheet 1 of 4, row 1, column 1",
        "sheet 2 of 4, row 1, column 2",
        "sheet 3 of 4, row 2, column 1",
        "sheet 4 of 4, row 2, column 2",
    ]
    # Just outside the crosses: to the left and to the right of the middle, under it and over it.
    left, right = (12 + 5 - 1.2, 28 + 128.5), (12 + 186 - 5 + 3, 28 + 128.5)
    under, over = (12 + 93, 28 + 5 - 3), (12 + 93, 28 + 257 - 5 + 1.2)
    joins = [
        {"row 1, column 2": right, "row 2, column 1": over},
        {"row 1, column 1": left, "row 2, column 2": over},
        {"row 2, column 2": right, "row 1, column 1": under},
        {"row 2, column 1": left, "row 1, column 2": under},
    ]
    for page, name, joined in zip(four, names, joins, strict=True):
        said = words_on(page)
        assert [text for text, *_ in said if text.startswith("a large")] == [f"a large sheet: {name}"]
        found = {text.removeprefix("joins "): rest for text, *rest in said if text.startswith("joins ")}
        assert {key: at for key, (at, *_) in found.items()} == {k: pytest.approx(at) for k, at in joined.items()}
        for at, height, angle, align, _ in found.values():
            assert (height, align) == (1.8, "centre")
            assert angle == (90.0 if at[1] == pytest.approx(28 + 128.5) else 0.0)


def test_what_a_page_joins_is_written_where_the_template_leaves_room():
    sheet = Sheet(150.0, 400.0, "a tall sheet")
    sheet.line([(93, 0), (93, 400)], Role.OUTLINE)
    sheet.words("pull 3", (113, 250.5), 2.5, "centre")
    said = [{text: at for text, at, *_ in words_on(page)} for page in tiled(sheet, WINDOW)]
    # The middle is drawn over, and to its right something is written.
    assert said[0]["joins row 2, column 1"] == pytest.approx((12 + 73, 28 + 257 - 5 + 1.2))
    assert said[1]["joins row 1, column 1"] == pytest.approx((12 + 73, 28 + 5 - 3))


def test_a_long_title_is_written_smaller_and_not_cut():
    title = "15/22 mm riser to the towel rail, upstairs, bends 1 to 2, full size"
    sheet = Sheet(150.0, 400.0, title)
    sheet.line([(0, 0), (150, 400)], Role.OUTLINE)
    for page in tiled(sheet, WINDOW):
        (_, height, *_), *_ = [rest for text, *rest in words_on(page) if text.startswith(f"{title}: sheet")]
        assert 1.9 <= height < 2.5


def test_crosses_stand_where_pages_are_cut(four):
    strokes = [points for points, *_ in lines_on(four[0].placed[1])]
    wanted = []
    for x in (17.0, 193.0):
        for y in (33.0, 280.0):
            wanted += [[(x - 5, y), (x + 5, y)], [(x, y - 5), (x, y + 5)]]
    assert sorted(strokes) == [[pytest.approx(p) for p in stroke] for stroke in sorted(wanted)]


def test_the_foot_has_two_bars_of_100_mm_and_says_what_the_page_is(four):
    *_, foot, side = four[0].placed
    lying = [(points, filled) for points, closed, filled in lines_on(foot) if closed]
    standing = [(points, filled) for points, closed, filled in lines_on(side) if closed]
    squares = [points for points, _ in lying]  # each drawn once
    assert squares == [[pytest.approx((12 + 10 * k + x, 12 + 5.5 + y)) for x, y in BOX] for k in range(10)]
    squares = [points for points, _ in standing]
    assert squares == [[pytest.approx((7 + y, 28 + 10 * k + x)) for x, y in BOX] for k in range(10)]
    for bar in (lying, standing):
        assert [filled for _, filled in bar] == [False, True] * 5  # every second centimetre is black
    said = {text: rest for text, *rest in words_on(four[0])}
    assert said["both bars must be 100 mm long, or print again at 100 %"][:2] == [pytest.approx((116.0, 17.4)), 2.2]
    at, height, angle, align, bold = said["a large sheet: sheet 1 of 4, row 1, column 1"]
    assert (at, height, angle, align, bold) == (pytest.approx((12.0, 22.0)), 2.5, 0.0, "left", True)


def test_a_sheet_of_one_page_joins_none():
    (page,) = tiled(Sheet(100.0, 100.0, "small"), WINDOW)
    assert [text for text, *_ in words_on(page)] == [
        "both bars must be 100 mm long, or print again at 100 %",
        "small: one sheet",
    ]


def small_sheets(named, paper, units=None):
    """The pages of angle cards and wraps of a gallery's first run: for each, its cards and strips as placed."""
    schedule = solve(getattr(gallery, named)())
    runs = [(schedule.runs[0], story.plans(schedule)[0])]
    return list(card_and_wrap_pages(runs, paper, *([units] if units else [])))


@pytest.mark.parametrize("height", [297.0, 180.0])
def test_cards_and_wraps_lie_side_by_side_and_row_under_row(height):
    """Read as rectangles: none over another or off the window, and 3 between neighbours."""
    pages = small_sheets("airing_cupboard", (210.0, height))
    rows = 0
    for page in pages:
        *sheets, foot, side = page.placed
        assert (foot.left, foot.low, side.left, side.low) == (12.0, 12.0, 7.0, 28.0)
        assert not any(placed.clipped for placed in page.placed)
        assert page.window == (12.0, 28.0, 186.0, height - 40.0)
        boxes = [shapely.box(s.left, s.low, s.left + s.sheet.width, s.low + s.sheet.height) for s in sheets]
        window = shapely.box(12.0, 28.0, 198.0, height - 12.0).buffer(1e-6, join_style="mitre")
        assert all(window.contains(box) for box in boxes)
        for one, two in combinations(boxes, 2):
            assert one.distance(two) > 3.0 - 1e-6
        assert max(s.low + s.sheet.height for s in sheets) == pytest.approx(height - 12.0)
        rows += len({round(s.low + s.sheet.height, 6) for s in sheets})
    assert rows >= 3


def test_a_page_is_begun_only_where_no_page_before_has_room():
    few, many = (small_sheets("airing_cupboard", (210.0, height)) for height in (297.0, 165.0))
    assert len(few) < len(many)
    flat = [sorted(placed.sheet.title for page in pages for placed in page.placed[:-2]) for pages in (few, many)]
    assert flat[0] == flat[1]
    for pages in (few, many):
        for one, two in pairwise(pages):
            lowest = min(placed.low for placed in one.placed[:-2])
            # The rows of a later page are lower than what is left under those of an earlier one only if they go there.
            assert all(lowest - 3.0 - placed.sheet.height < 28.0 for placed in two.placed[:1])


def test_a_job_has_each_angle_card_once_and_a_wrap_of_every_run():
    """Six runs bent alike have the cards of one."""
    schedule = solve(gallery.airing_cupboard())
    run, plan = schedule.runs[0], story.plans(schedule)[0]
    alike = [replace(run, run=replace(run.run, name=f"flow {n}")) for n in range(6)]
    titles = [
        [placed.sheet.title for page in card_and_wrap_pages(runs, (210.0, 297.0)) for placed in page.placed[:-2]]
        for runs in ([(run, plan)], [(one, plan) for one in alike])
    ]
    cards = [[t for t in found if not t.startswith("Wrap of")] for found in titles]
    assert sorted(cards[0]) == sorted(cards[1])
    assert cards[0]
    assert len(titles[1]) - len(cards[1]) == 6 * (len(titles[0]) - len(cards[0])) > 0


def test_wraps_are_measured_in_the_units_asked_for():
    mm, inches = (small_sheets("airing_cupboard", (210.0, 297.0), units) for units in (None, INCHES))
    texts = [" ".join(t for page in pages for t, *_ in words_on(page)) for pages in (mm, inches)]
    assert texts[0] != texts[1]


def test_a_straight_run_has_none():
    schedule = solve(gallery.straight())
    run, plan = schedule.runs[0], story.plans(schedule)[0]
    assert list(templates_of(run, plan, (210.0, 297.0))) == []
    assert list(card_and_wrap_pages([(run, plan)], (210.0, 297.0))) == []


@pytest.mark.slow
def test_in_the_pack_a_template_is_cut_at_the_window_and_nothing_else_is(tmp_path):
    """Read in the file: the window is clipped to, and the words at the foot, which lie outside it, are there."""
    path = tmp_path / "job.pdf"
    write_pack(story.results(gallery.airing_cupboard()), path)
    pages = full_size(path)
    assert len(pages) >= 4
    for page in pages[:2]:
        assert page.window == pytest.approx((12.0, 28.0, 198.0, 285.0), abs=0.01)
    assert pages[-1].window is None
