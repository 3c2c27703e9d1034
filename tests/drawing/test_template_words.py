"""Start, finish and marks on templates: where they stand, worked by hand, and no words cut by the edge of a page."""

import re
from math import hypot

import pytest
from made_runs import made_run, random_run
from wide import few_or_many

from pipemodel.drawing.primitives import Line, Role, Text
from pipemodel.drawing.templates import best_template, planar_stretches, template
from pipemodel.drawing.tiles import tiles
from pipemodel.messages.units import units_for
from pipemodel.pulls.plan import plan_pulls

PAGE, OVERLAP = (186.0, 257.0), 10.0


def texts(sheet):
    return {item.text: item.at for item in sheet.items if isinstance(item, Text)}


def strokes(sheet, role):
    return [item.points for item in sheet.items if isinstance(item, Line) and item.role is role]


def test_ends_that_are_drawn_are_named_and_others_are_pointed_to():
    """Legs of 100 are drawn whole and of 400 are cut short; bend 3 leaves the plane of the others."""
    run = made_run([100, 200, 200, 400], [90, 90, 90], [180, 90], hold_mm=30.0, guide_mm=20.0)
    first, second = planar_stretches(run)
    one, two = (texts(template(run, stretch)) for stretch in (first, second))
    assert {t for t in one if "start" in t or "finish" in t} == {"start", "towards the finish"}
    assert {t for t in two if "start" in t or "finish" in t} == {"towards the start", "towards the finish"}
    # The start end: 100 before the bend, on the axis.
    axis = strokes(template(run, first), Role.CENTRE)[0]
    assert hypot(axis[0][0] - one["start"][0], axis[0][1] - one["start"][1]) < 25.0
    german = texts(template(run, second, units=units_for("mm", "de")))
    assert {"zum Anfang", "zum Ende"} <= set(german)


def test_marks_stand_at_their_place_in_the_order_of_pulls():
    """Former's mark 20 before the bend, held by the start: bend 1 begins at 300, bend 2 at 300 + 86.4 + 200."""
    run = made_run([300, 200, 300], [90, 90], [180], mark_mm=-20.0, hold_mm=60.0, guide_mm=20.0)
    plan = plan_pulls(run)
    assert [(pull.bend, pull.held) for pull in plan.pulls] == [(1, "start"), (2, "start")]
    (stretch,) = planar_stretches(run)
    sheet = template(run, stretch, plan=plan)
    marks = [t for t in texts(sheet) if t.startswith("pull ")]
    assert marks == ["pull 1: mark 280", "pull 2: mark 566.5"]
    # A stroke across the axis 20 before each bend: laid level, to the left of the bend's own stroke.
    across = [p for p in strokes(sheet, Role.DIMENSION) if hypot(p[1][0] - p[0][0], p[1][1] - p[0][1]) > 24.0]
    begin = strokes(sheet, Role.MARK)[0]
    (mine,) = [p for p in across if p[0][0] == pytest.approx(begin[0][0] - 20.0)]
    assert mine[0][1] == pytest.approx(begin[0][1])
    assert "mark" not in " ".join(texts(template(run, stretch)))


@pytest.mark.slow
def test_no_words_are_cut_by_the_edge_of_a_page():
    """Every line of words lies whole on some page of the template: a letter is about 0.6 of its height wide."""
    seen = 0
    for seed in range(few_or_many(12, 120)):
        run = random_run(seed, hold_mm=10.0, guide_mm=5.0)
        plan = plan_pulls(run)
        for stretch in planar_stretches(run):
            sheet = best_template(run, stretch, PAGE, OVERLAP, plan=plan)
            pages = tiles(sheet, *PAGE, OVERLAP)
            for item in sheet.items:
                if not isinstance(item, Text):
                    continue
                wide = 0.6 * item.height * len(item.text)
                left = item.at[0] - {"left": 0.0, "centre": wide / 2.0, "right": wide}[item.align]
                assert any(
                    page.left <= left
                    and left + wide <= page.left + PAGE[0]
                    and page.low <= item.at[1]
                    and item.at[1] + item.height <= page.low + PAGE[1]
                    for page in pages
                ), (seed, item.text)
                seen += len(pages) > 1 and re.match(r"bend|pull", item.text) is not None
    assert seen > 10
