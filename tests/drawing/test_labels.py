"""No label covers another, a tube, or another label's line, on any kind of paper: random jobs, measured with shapely
and the letters of the face itself."""

from functools import cache
from itertools import combinations, pairwise
from random import Random

import gallery
import pytest
import shapely
from PIL import ImageFont
from shapely import affinity
from wide import few_or_many

from pipemodel import story
from pipemodel.documents.picture.draw import annotate, framed
from pipemodel.drawing.fonts import font_file
from pipemodel.drawing.pull_drawing import pull_pictures
from pipemodel.drawing.sheet import Circle, Line, Role, Text
from pipemodel.drawing.tape_line import tape_line
from pipemodel.drawing.templates import angle_cards, best_template, planar_stretches
from pipemodel.drawing.wrap import wrap_strips
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.job.model import JobError
from pipemodel.pulls.cards import cards_of
from pipemodel.wording.rounding import marks_to_draw

SEEDS = range(few_or_many(3, 6))
"""Jobs of one, of two and of three runs."""
HAIR = 0.06
TUBE = {Role.RUN, Role.RUN_HIDDEN}
FILLED = {Role.TUBE, Role.TUBE_NEW, Role.FORMER}


@cache
def answered(seed):
    """A job of one to three runs that wander, with things about them; the same for the same seed."""
    rng = Random(seed)
    while True:
        runs = [gallery.run(f"run {k + 1}", _corners(rng, 260.0 * k)) for k in range(1 + seed % 3)]
        things = [
            gallery.Thing("wall", HalfSpace((0.0, 900.0, 0.0), (0.0, -1.0, 0.0))),
            *(gallery.Thing(f"box {k}", _box(rng)) for k in range(4)),
            gallery.Thing("waste pipe", Cylinder((-300.0, -400.0, 80.0), (900.0, -400.0, 80.0), 50.0)),
        ]
        try:
            return story.results(gallery.job("wandering", runs, things))
        except JobError:
            continue


def _corners(rng, aside):
    at, axis = [0.0, aside, 0.0], 0
    corners = [tuple(at)]
    for _ in range(rng.randint(2, 5)):
        leg = rng.choice([120.0, 180.0, 240.0, 330.0, 470.0, 900.0])
        if rng.random() < 0.3:  # off the axes
            other = (axis + rng.choice([1, 2])) % 3
            at[other] += rng.choice([-1, 1]) * leg * 0.5
        at[axis] += rng.choice([-1, 1]) * leg
        corners.append(tuple(at))
        axis = (axis + rng.choice([1, 2])) % 3
    return tuple(corners)


def _box(rng):
    low = [rng.uniform(-400.0, 600.0) for _ in range(3)]
    return Box(tuple(low), tuple(c + rng.uniform(30.0, 400.0) for c in low))


@cache
def face(bold):
    return ImageFont.truetype(font_file(bold), 1000)


def box_of(words):
    """The room a line of text takes: as wide as DejaVu Sans runs, whose capitals are 0.729 of its size."""
    wide = face(words.bold).getlength(words.text) / 1000.0 * words.height / 0.729
    left = {"left": 0.0, "centre": -wide / 2.0, "right": -wide}[words.align]
    box = shapely.box(left + HAIR, HAIR, left + wide - HAIR, words.height - HAIR)
    return affinity.translate(affinity.rotate(box, words.angle, origin=(0, 0)), *words.at)


def labels_of(items):
    """Each label: its box, and the line that leads to it or None. A ring and the number in it are one label."""
    out, items = [], list(items)
    for before, item in zip([None, *items], items, strict=False):
        led = before if isinstance(before, Line) and before.role is Role.PAPER and len(before.points) == 2 else None
        if isinstance(item, Circle) and item.filled and item.radius > 1.0:
            out.append((shapely.Point(item.centre).buffer(item.radius - HAIR), led))
        elif isinstance(item, Text):
            box = box_of(item)
            if not any(isinstance(i, Circle) and i.filled and shapely.Point(i.centre).buffer(i.radius).contains(box)
                       for i in items):  # fmt: skip
                out.append((box, led))
    return out


def assert_clear(items, tubes, lines=()):
    """Assert that labels keep off each other, off tubes and lines, and off lines that lead to labels.

    The line of a ring alone ends under its edge.
    """
    found = labels_of(items)
    tree = shapely.STRtree([*tubes, *lines])
    for (a, _), (b, _) in combinations(found, 2):
        assert not a.intersects(b)
    led = [(i, shapely.LineString(line.points)) for i, (_, line) in enumerate(found) if line is not None]
    for i, (box, _) in enumerate(found):
        assert len(tree.query(box, "intersects")) == 0, box.centroid
        ring = len(box.exterior.coords) > 5
        assert not any(box.intersects(line) for k, line in led if not (ring and k == i))
    return len(found), len(led)


def strokes(items, roles):
    return [shapely.LineString(i.points) for i in items if isinstance(i, Line) and i.role in roles and not i.filled]


def areas(items, roles):
    out = [shapely.Polygon(i.points) for i in items if isinstance(i, Line) and i.role in roles and i.filled]
    return [shapely.make_valid(area) for area in out]


@pytest.mark.slow
def test_on_the_sheets_of_a_job_and_of_its_runs():
    labels = 0
    for seed in SEEDS:
        drawings = answered(seed).drawings
        for sheet in (drawings.of_job(), *drawings.of_runs()):
            items = list(sheet.primitives())
            labels += assert_clear(items, strokes(items, TUBE))[0]
    assert labels > 80 * len(SEEDS)


@pytest.mark.slow
def test_on_pull_drawings():
    labels = led = 0
    for seed in SEEDS:
        answer = answered(seed)
        for run, plan in zip(answer.schedule.runs, answer.plans, strict=True):
            for card in cards_of(run, plan):
                items = list(pull_pictures(run, card).sheet.primitives())
                # The dashed line down from an end that stands off the bench is a line like any other.
                lines = strokes(items, {Role.MARK, Role.ROOM_HIDDEN})
                some = assert_clear(items, areas(items, FILLED), lines)
                labels, led = labels + some[0], led + some[1]
    assert labels > 33 * len(SEEDS)
    assert led > 2


def test_on_a_pull_whose_ends_stand_high_over_the_bench():
    corners = ((0, 570, 40), (0, 570, 700), (200, 570, 700), (200, 570, 1350), (200, 100, 1350), (700, 100, 1350))
    run = gallery.run("riser", tuple(tuple(map(float, c)) for c in (*corners, (700, 100, 1000), (950, 100, 1000))))
    answer = story.results(gallery.job("cupboard", [run]))
    (solved,), (plan,) = answer.schedule.runs, answer.plans
    dashed = 0
    for card in cards_of(solved, plan):
        items = list(pull_pictures(solved, card).sheet.primitives())
        lines = strokes(items, {Role.MARK, Role.ROOM_HIDDEN})
        assert_clear(items, areas(items, FILLED), lines)
        dashed += len(strokes(items, {Role.ROOM_HIDDEN}))
    assert dashed > 3


@pytest.mark.slow
def test_on_templates():
    labels = 0
    for seed in SEEDS:
        for run in answered(seed).schedule.runs:
            for stretch in planar_stretches(run):
                items = list(best_template(run, stretch, (186.0, 257.0), 10.0).primitives())
                labels += assert_clear(items, strokes(items, {Role.OUTLINE, Role.CENTRE, Role.MARK}))[0]
    assert labels > 8 * len(SEEDS)


def test_on_wraps_and_angle_cards():
    """On a wrap a figure may stand over the ticks it is for, but over no mark, no name and no edge."""
    labels = named = 0
    for seed in SEEDS:
        answer = answered(seed)
        for run, plan in zip(answer.schedule.runs, answer.plans, strict=True):
            marks = marks_to_draw(run, plan)
            for sheet in wrap_strips(run, marks):
                items = list(sheet.primitives())
                labels += assert_clear(items, strokes(items, {Role.MARK, Role.OUTLINE, Role.PAPER}))[0]
                named += sum(i.role is Role.MARK for i in items if isinstance(i, Text))
            for card in angle_cards([run]):
                items = list(card.primitives())
                labels += assert_clear(items, strokes(items, {Role.OUTLINE}))[0]
        named -= sum(len(run.table.bends) for run in answer.schedule.runs)
    assert named == 0
    assert labels > 25 * len(SEEDS)


def test_names_on_a_wrap_keep_off_each_other_where_marks_are_close():
    run = max((run for seed in SEEDS for run in answered(seed).schedule.runs), key=lambda run: len(run.table.bends))
    names = 0
    for apart in (0.0, 2.0, 6.0, 11.0, 17.0):
        marks = {bend.number: 300.0 + apart * k for k, bend in enumerate(run.table.bends)}
        for sheet in wrap_strips(run, marks):
            items = list(sheet.primitives())
            assert_clear(items, strokes(items, {Role.MARK, Role.OUTLINE, Role.PAPER}))
            names += sum(i.role is Role.MARK for i in items if isinstance(i, Text))
    assert names == 5 * len(run.table.bends) > 10


def test_on_tape_lines():
    labels = 0
    for seed in SEEDS:
        answer = answered(seed)
        for run, plan in zip(answer.schedule.runs, answer.plans, strict=True):
            items = list(tape_line(run, plan).primitives())
            texts = [i.text for i in items if isinstance(i, Text)]
            bends = [str(bend.number) for bend in run.table.bends]
            assert set(bends) <= set(texts)
            assert sum(t.startswith("pull ") for t in texts) == len(plan.pulls)
            assert "start" in texts
            labels += assert_clear(items, strokes(items, {Role.MARK, Role.OUTLINE, Role.CENTRE}))[0]
    assert labels > 10 * len(SEEDS)


def test_where_a_run_is_drawn_in_its_place():
    labels = led = 0
    for seed in SEEDS:
        answer = answered(seed)
        for number, run in enumerate(answer.schedule.runs):
            wrong = [f for f in answer.report.findings if f.run == run.name and f.severity == "error" and f.point]
            sheet = answer.drawings.of_run_in_place(number, [(f.against or f.check, f.point) for f in wrong])
            items = list(sheet.primitives())
            some = assert_clear(items, areas(items, {Role.TUBE_NEW}), strokes(items, {*TUBE, Role.CLASH}))
            labels, led = labels + some[0], led + some[1]
    assert labels > 10 * len(SEEDS)
    assert led > 2


@pytest.mark.slow
@pytest.mark.parametrize("many", [1, 8], ids=["few", "crowded"])
def test_on_the_picture(many):
    """The tubes are rendered, so they are laid under the sheet here: as thick as they are, where the panel has them."""
    labels = 0
    for seed in SEEDS:
        answer = answered(seed)
        wrong = [f for f in answer.report.findings if f.point is not None and f.severity == "error"][:many]
        panel, _ = framed(answer.schedule, [f.point for f in wrong])
        near = {t.name: [panel.at(c) for c in (t.shape.low, t.shape.high)] for t in answer.schedule.job.things[1:5]}
        area = panel.placer.window
        near = {name: [p for p in there if area.holds(p)] for name, there in near.items()}
        annotate(panel, answer, wrong, {name: there for name, there in near.items() if there})
        tubes = []
        for run in answer.schedule.runs:
            line = run.centreline
            points = [panel.at(line.point_at(line.length * k / 400.0)) for k in range(401)]
            tubes += [shapely.LineString(pair).buffer(run.tube.outside_mm / 2.0 * panel.k) for pair in pairwise(points)]
        labels += assert_clear(panel.sheet.primitives(), tubes)[0]
    assert labels > 10 * len(SEEDS)
