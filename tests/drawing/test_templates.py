"""Full-size templates, measured in the file as printed, and the wrap against a tube bent by other means."""

from fractions import Fraction
from math import cos, hypot, pi, radians, sin, tan

import gallery
import numpy as np
import pytest
from made_runs import made_run
from pdf_lines import pages_of
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation
from wide import few_or_many

from pipemodel import story
from pipemodel.bending.part_bent import part_bent
from pipemodel.bending.schedule import solve
from pipemodel.documents.full_size import OVERLAP, templates_of
from pipemodel.documents.pack.document import pack_pdf
from pipemodel.drawing.primitives import Role
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.templates import (
    angle_card,
    angle_cards,
    best_template,
    planar_stretches,
    template,
)
from pipemodel.drawing.tiles import tiles
from pipemodel.drawing.wrap import wrap_marks, wrap_strips
from pipemodel.messages.units import INCHES
from pipemodel.pulls.measures import MeasureKind, with_tape_and_card
from pipemodel.results.paper_options import PAPERS, PaperOptions
from pipemodel.wording.rounding import marks_to_draw

EXACT_MM = 0.01
"""A PDF of ours says places to a thousandth of a point or so."""
JOBS = ("airing_cupboard", "return_run", "two_runs", "unbendable_order")


def solved_and_plan(named):
    schedule = solve(getattr(gallery, named)())
    return schedule.runs[0], story.plans(schedule)[0]


def full_size_of(answer):
    return [page for page in pages_of(pack_pdf(answer)) if "must be 100 mm long" in page.text]


def bars(page):
    """The length of each bar of ten squares of 10 by 2 mm on a page, each drawn once."""
    squares = [p.points for p in page.paths if p.closed and len(p.points) == 4]
    boxes = [(s.min(axis=0), s.max(axis=0)) for s in squares]
    out = []
    for axis in (0, 1):
        mine = [b for b in boxes if np.allclose(np.sort(b[1] - b[0]), (2.0, 10.0), atol=EXACT_MM)]
        mine = [b for b in mine if (b[1] - b[0])[axis] > 5.0]
        assert len(mine) == 10
        out.append(max(b[1][axis] for b in mine) - min(b[0][axis] for b in mine))
    return out


@pytest.mark.slow
@pytest.mark.parametrize(
    ("paper", "template_paper"),
    few_or_many([("Letter", None), ("A4", "A3")], [("A4", None), ("Letter", None), ("A4", "A3")]),
)
def test_100_mm_are_100_mm_both_ways_on_every_page(paper, template_paper):
    answer = story.results(
        gallery.airing_cupboard(), paper_options=PaperOptions(paper=paper, template_paper=template_paper)
    )
    pages = full_size_of(answer)
    assert len(pages) >= 2
    for page in pages:
        assert (page.width, page.height) == pytest.approx(PAPERS[template_paper or paper], abs=0.01)
        assert bars(page) == [pytest.approx(100.0, abs=EXACT_MM)] * 2


def circle_through(points):
    """Fit a circle to points; return its centre and radius, and how far the worst point lies off it."""
    start = np.array([*points.mean(axis=0), 50.0])
    fit = least_squares(lambda c: np.hypot(points[:, 0] - c[0], points[:, 1] - c[1]) - c[2], start, xtol=1e-15)
    return fit.x, float(np.abs(fit.fun).max())


@pytest.mark.slow
def test_walls_and_centreline_as_printed_have_the_tubes_measures():
    # Bend 2 of the flow, the first on paper: 45 degrees to a radius of 55, tube of 15: walls at 47.5 and 62.5.
    answer = story.results(gallery.airing_cupboard())
    page = full_size_of(answer)[0]
    arcs = [p.points for p in page.paths if len(p.points) > 20 and not p.closed][:3]
    fits = [circle_through(points) for points in arcs]
    assert sorted(fit[0][2] for fit in fits) == [pytest.approx(r, abs=EXACT_MM) for r in (47.5, 55.0, 62.5)]
    assert max(off for _, off in fits) < EXACT_MM
    centres = np.array([fit[0][:2] for fit in fits])
    assert np.ptp(centres, axis=0).max() < EXACT_MM
    # The legs are tangent to the arcs and stand at the bend's angle to each other.
    ends = [points[[0, -1]] for points in arcs]
    spokes = [(a - centres[0], b - centres[0]) for a, b in ends]
    for a, b in spokes:
        angle = np.degrees(np.arccos(np.dot(a, b) / np.linalg.norm(a) / np.linalg.norm(b)))
        assert angle == pytest.approx(45.0, abs=0.02)


@pytest.mark.parametrize("named", JOBS)
def test_a_template_lies_on_the_true_centreline(named):
    solved, _ = solved_and_plan(named)
    for stretch in planar_stretches(solved):
        sheet = template(solved, stretch, 150.0, 0.0)
        marks = [item.points for item in sheet.items if getattr(item, "role", None) and item.role.value == "mark"]
        # Two strokes across the tube for each bend; their middles are as far apart as the bend's ends are.
        middles = [np.mean(points, axis=0) for points in marks]
        bends = solved.table.bends[stretch.first - 1 : stretch.last]
        assert len(middles) == 2 * len(bends)
        for bend, a, b in zip(bends, middles[::2], middles[1::2], strict=True):
            chord = 2.0 * bend.radius_mm * sin(radians(bend.angle_deg) / 2.0)
            assert hypot(*(a - b)) == pytest.approx(chord, abs=1e-6)
        for before, after, bend in zip(middles[1::2], middles[2::2], bends[1:], strict=False):
            assert hypot(*(after - before)) == pytest.approx(bend.straight_before_mm, abs=1e-6)


def test_tiles_cover_all_that_is_drawn_and_overlap():
    solved, _ = solved_and_plan("two_runs")
    for stretch in planar_stretches(solved):
        sheet = template(solved, stretch)
        width, height = 100.0, 80.0
        pages = tiles(sheet, width, height, OVERLAP)
        assert len(pages) > 1
        for item in sheet.primitives():
            for x, y in getattr(item, "points", ()):
                assert any(t.left <= x <= t.left + width and t.low <= y <= t.low + height for t in pages)
        for a in pages:
            assert a.left == pytest.approx((a.column - 1) * (width - OVERLAP))
            assert a.low == pytest.approx((a.row - 1) * (height - OVERLAP))


def test_neighbouring_pages_meet_at_their_crosses():
    # Of the flow, bends 2 and 3 lie in one plane; on A4 they take two sheets, one above the other.
    solved, plan = solved_and_plan("airing_cupboard")
    (pages,) = [one.pages for one in templates_of(solved, plan, PAPERS["A4"]) if len(one.pages) > 1]
    assert len(pages) == 2
    one, two = (page.placed[0] for page in pages)
    height = pages[0].window[3]
    assert one.sheet is two.sheet
    assert (one.left - two.left, one.low - two.low) == (0.0, pytest.approx(height - OVERLAP))


@pytest.mark.slow
def test_the_fewest_sheets_are_used():
    solved, _ = solved_and_plan("airing_cupboard")
    for name, size in PAPERS.items():
        page = (size[0] - 24.0, size[1] - 40.0)
        counts = [len(tiles(best_template(solved, s, page, OVERLAP), *page, OVERLAP)) for s in planar_stretches(solved)]
        assert counts == ([1, 1, 1] if name == "A3" else [1, 2, 1])


@pytest.mark.parametrize("angle", [15.0, 30.0, 45.0, 90.0, 135.0])
def test_an_angle_card_holds_its_angle_and_clears_the_bend(angle):
    solved, _ = solved_and_plan("airing_cupboard")
    card = angle_card(solved, angle)
    a, b, c, d = (np.array(p) for p in card.items[0].points)
    one, two = b - a, c - d
    between = np.degrees(np.arccos(one @ two / np.linalg.norm(one) / np.linalg.norm(two)))
    assert between == pytest.approx(180.0 - angle, abs=1e-9)  # a bend of 30 leaves 150 between its legs
    # Laid with its long edges along the inside of the legs, it must not touch the inside of the bend, radius 47.5.
    np.array([0.0, 0.0])
    setback = np.linalg.norm(a - corner_of(a, b, d, c))
    assert setback >= 47.5 * tan(radians(angle) / 2.0)


def corner_of(a, b, d, c):
    """Where the lines a b and d c meet."""
    u, v, w = b - a, c - d, d - a
    t = (w[0] * v[1] - w[1] * v[0]) / (u[0] * v[1] - u[1] * v[0])
    return a + t * u


def test_cards_too_large_for_the_paper_are_left_out():
    job = gallery.two_runs()
    solved = solve(job).runs[1]  # one bend of 180, which no card can lie in
    assert list(angle_cards([solved])) == []


@pytest.mark.parametrize("radius", [30.0, 55.0, 114.0, 300.0])
@pytest.mark.parametrize("angle", [0.5, 15.0, 90.0, 120.0, 140.0, 149.9, 150.0, 150.1, 160.0, 180.0])
def test_a_check_asks_for_an_angle_card_where_the_pack_has_one_and_only_there(radius, angle):
    """The pack's pages of both papers hold what `angle_cards` draws, whole; a check by card is offered for the rest."""
    run = made_run([300, 300], [angle], radius_mm=radius)
    drawn = list(angle_cards([run]))
    offered = [one.measure.kind for one in with_tape_and_card(part_bent(run, {1}), 0)]
    assert (MeasureKind.ANGLE in offered) == (len(drawn) == 1)
    for page in PAPERS.values():
        for sheet in drawn:
            assert sheet.width <= page[0] - 24.0
            assert sheet.height <= page[1] - 40.0


class BentTube:
    """A straight tube bent step by step with a general library's rotations: where a point of its skin ends up."""

    STEP_MM = 0.05

    def __init__(self, solved):
        self.radius = solved.tube.outside_mm / 2.0
        table = solved.table
        start = Rotation.align_vectors([table.direction, table.normal], [(1, 0, 0), (0, 0, 1)])[0]
        # In the tube's own frame x runs along it, and its first bend bends about z: so towards y.
        self.at, self.frames, self.places = [0.0], [start], [np.array(table.start)]
        turned = 0.0
        s = 0.0
        for bend in table.bends:
            self._go(bend.start_mm - s, None)
            turned += bend.turn_deg
            axis = Rotation.from_rotvec([radians(turned), 0, 0]).apply([0, 0, 1])
            self._go(bend.arc_mm, axis / bend.radius_mm)
            s = bend.start_mm + bend.arc_mm
        self._go(table.straight_after_mm, None)

    def _go(self, length, curvature):
        steps = 1 if curvature is None else int(length / self.STEP_MM) + 1
        ds = length / steps
        for _ in range(steps):
            frame = self.frames[-1]
            half = frame if curvature is None else frame * Rotation.from_rotvec(np.array(curvature) * ds / 2.0)
            self.places.append(self.places[-1] + half.apply([ds, 0, 0]))
            self.frames.append(frame if curvature is None else frame * Rotation.from_rotvec(np.array(curvature) * ds))
            self.at.append(self.at[-1] + ds)

    def skin(self, s, round_rad):
        """Where the skin s mm along and `round_rad` round (right-handed about the tube, from its +y) ends up."""
        i = int(np.searchsorted(self.at, s, side="right")) - 1
        place = self.places[i] + self.frames[i].apply([s - self.at[i], 0, 0])
        return place + self.frames[i].apply([0, self.radius * cos(round_rad), self.radius * sin(round_rad)])


@pytest.mark.slow
@pytest.mark.parametrize("named", ["airing_cupboard", "return_run", "two_runs"])
def test_paper_wrapped_round_the_tube_puts_each_line_on_the_inside_of_its_bend(named):
    """Wrap the paper numerically and bend the tube: every side line must come to lie on the inside of its bend.

    The paper lies printed side out, x along the tube from start to finish. Its normal points outwards, so with
    x along the tube its y runs round the tube by normal x along: against the right hand about the direction of
    travel.
    """
    solved, plan = solved_and_plan(named)
    tube = BentTube(solved)
    assert np.allclose(tube.places[-1], solved.centreline.finish, atol=1e-3)
    lines = wrap_marks(solved, marks_to_draw(solved, plan))
    arcs = dict(enumerate(solved.centreline.arcs, 1))
    # Where on the tube the paper's edge lies does not matter; take it so that the first line falls where it should.
    first = next(line for line in lines if line.bend == 1)
    edge = 2.0 * pi * first.around
    for line in lines:
        bend = solved.table.bends[line.bend - 1]
        middle = bend.start_mm + bend.arc_mm / 2.0
        place = tube.skin(middle, edge - 2.0 * pi * line.around)
        arc = arcs[line.bend]
        away = np.linalg.norm(place - np.array(arc.centre))
        assert away == pytest.approx(bend.radius_mm - tube.radius, abs=0.01)


@pytest.mark.parametrize("units", [None, INCHES])
@pytest.mark.parametrize("named", ["airing_cupboard", "return_run", "two_runs"])
def test_strips_carry_the_plans_marks_where_their_rulers_say(named, units):
    solved, plan = solved_and_plan(named)
    marks = marks_to_draw(solved, plan)
    assert {p.bend: p.mark_mm for p in plan.pulls} == marks
    strips = list(wrap_strips(solved, marks, 178.0, *([units] if units else [])))
    round_mm = pi * solved.tube.outside_mm
    found = {}
    for sheet in strips:
        outline = np.array(next(item.points for item in sheet.items if item.role.value == "outline"))
        (left, low), (right, top) = outline.min(axis=0), outline.max(axis=0)
        assert top - low == pytest.approx(round_mm)
        assert right - left <= 178.0 + 1e-9
        ticks = [i.points for i in sheet.items if i.role.value == "paper" and len(getattr(i, "points", ())) == 2]
        pitch = 10.0 if units is None else 12.7
        # The ruler says how far along the left edge is: its ticks stand at whole pitches.
        begin = -min((x - left) % pitch for (x, _), _ in ticks)
        across = [i.points for i in sheet.items if i.role.value == "mark" and hasattr(i, "points")]
        names = [i.text for i in sheet.items if i.role.value == "mark" and hasattr(i, "text")]
        for k, name in enumerate(names):
            (x, y0), (_, y1) = across[2 * k]
            (a, y), (b, _) = across[2 * k + 1]
            assert (y0, y1) == (pytest.approx(low), pytest.approx(top))
            number = int(name.split(":")[0])
            assert (marks[number] - begin - (x - left)) % pitch == pytest.approx(0.0, abs=1e-6) or (
                marks[number] - begin - (x - left)
            ) % pitch == pytest.approx(pitch, abs=1e-6)
            assert a <= x <= b
            found[number] = (y - low) / round_mm
    assert found == {line.bend: pytest.approx(line.around) for line in wrap_marks(solved, marks)}
    # No line runs along the paper's edge, where it could not be drawn.
    assert all(0.05 < around < 0.95 for around in found.values())


@pytest.mark.parametrize(("units", "pitch", "figures"), [(None, 10.0, 5), (INCHES, 12.7, 2)], ids=["mm", "in"])
def test_the_ruler_of_a_wrap_has_its_ticks_on_the_strip_and_its_figures_beside_them(units, pitch, figures):
    """Ticks at whole pitches from the left edge to the right, every fifth (in inches every second) long and figured."""
    counted = 0
    for named in ("airing_cupboard", "two_runs"):
        solved, plan = solved_and_plan(named)
        for sheet in wrap_strips(solved, marks_to_draw(solved, plan), 178.0, *([units] if units else [])):
            outline = np.array(next(item.points for item in sheet.items if item.role.value == "outline"))
            (left, low), (right, _) = outline.min(axis=0), outline.max(axis=0)
            said = [i for i in sheet.items if hasattr(i, "text")]
            head = next(i.text for i in said if "left edge" in i.text)
            begin = {None: lambda words: float(words.split(" mm")[0]), INCHES: inches_of}[units](
                head.split("left edge ")[1].split(" from")[0]
            )
            ticks = [i.points for i in sheet.items if i.role.value == "paper" and len(getattr(i, "points", ())) == 2]
            ticks = [(a, b) for a, b in ticks if a[0] == b[0] and a[1] == pytest.approx(low)]
            count = int((right - left) / pitch + 1e-6) + 1
            assert [a[0] for a, _ in ticks] == pytest.approx([left + k * pitch for k in range(count)])
            long = [a[0] for a, b in ticks if b[1] - a[1] == pytest.approx(3.5)]
            first = round(begin / pitch)
            assert long == pytest.approx([left + k * pitch for k in range(count) if (first + k) % figures == 0])
            assert {round(b[1] - a[1], 6) for a, b in ticks} <= {2.0, 3.5}
            small = [i for i in said if i.height == 1.8 and i.text[0].isdigit()]
            assert small
            for word in small:
                tick = max(x for x in long if x <= word.at[0])
                assert word.at == (pytest.approx(tick + 0.6), pytest.approx(low + 1.8))
                value = float(word.text) if units is None else inches_of(word.text)
                assert value == pytest.approx(begin + tick - left, abs=1e-6)
                counted += 1
    assert counted >= 8


def inches_of(words):
    """Inches, as they stand on the ruler and at the left edge ("17 1/2 (17.50) in"), in mm."""
    figures = words.split("(")[0].split()
    return 25.4 * float(sum(Fraction(figure) for figure in figures if figure[0].isdigit()))


def test_a_page_with_nothing_but_what_its_neighbour_shows_is_left_out():
    """Pages of 100 overlap by 10. Words up to 98 are whole on the first, and so is a line to 95; one to 105 is not."""

    def sheet(end):
        made = Sheet(150.0, 50.0)
        made.line([(10.0, 20.0), (end, 20.0)], Role.OUTLINE)
        made.words("finish", (98.0, 30.0), 2.0, "right")
        return made

    assert [(page.row, page.column) for page in tiles(sheet(95.0), 100.0, 80.0, 10.0)] == [(1, 1)]
    assert [(page.row, page.column) for page in tiles(sheet(105.0), 100.0, 80.0, 10.0)] == [(1, 1), (1, 2)]
