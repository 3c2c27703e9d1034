"""A second view where the piece knots in the first, and the view of a bender used upright.

From where a picture is seen is worked out here with numpy, and whether the drawn tube crosses itself with shapely.
"""

from math import cos, radians, sin

import numpy as np
import pytest
import shapely
from made_runs import SPRINGY, made_run, random_run, standing
from scipy.spatial.transform import Rotation
from wide import few_or_many

from pipemodel.drawing.primitives import Line, Role, Text
from pipemodel.drawing.pull_drawing import pull_pictures
from pipemodel.drawing.pull_view import OTHERS, eye, first_eye
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.plan import plan_pulls

TUBE = (Role.TUBE, Role.TUBE_NEW)


def axes_of(drawing, after, again=False):
    """The lengths of axis drawn in a picture, in the order they lie on one another, and how wide the tube is."""
    (window,) = [p.window for p in drawing.pictures if (p.after, p.again) == (after, again)]
    lengths = [
        np.array(i.points) for i in drawing.sheet.items
        if isinstance(i, Line) and i.filled and i.role in TUBE and len(i.points) in (4, 6, 10)
        and window.holds(tuple(np.mean(i.points, axis=0)))
    ]  # fmt: skip
    axes = [(p[: len(p) // 2] + p[len(p) // 2 :][::-1]) / 2.0 for p in lengths]
    wide = max(np.hypot(*(p[0] - p[-1])) for p in lengths)
    return axes, wide


def crosses(drawing, after, again=False):
    """Whether two lengths of tube cross that do not follow one another."""
    axes, _ = axes_of(drawing, after, again)
    lines = [shapely.LineString(axis) for axis in axes]
    for i, one in enumerate(lines):
        for other in lines[:i]:
            if one.crosses(other):
                ends = [
                    one.boundary.distance(other.boundary),
                    one.distance(other.boundary),
                    other.distance(one.boundary),
                ]
                # Neighbours reach a little under one another.
                if min(ends) > 0.12:
                    return True
    return False


def pictures(seeds, stands="flat"):
    for seed in seeds:
        run = standing(random_run(seed, 5, hold_mm=20.0, guide_mm=10.0, springback=SPRINGY), stands)
        for card in cards_of(run, plan_pulls(run)):
            yield pull_pictures(run, card)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("stands", "seeds"),
    # By day some pieces of which some are known to cross themselves.
    [("flat", few_or_many(range(5), range(36))), ("upright", few_or_many((0, 1, 13, 17), range(36)))],
    ids=["flat", "upright"],
)
def test_where_the_piece_crosses_itself_there_is_a_second_view_in_which_it_mostly_does_not(stands, seeds):
    crossed = cleared = 0
    for drawing in pictures(seeds, stands):
        seconds = {p.after for p in drawing.pictures if p.again}
        for after in (False, True):
            if crosses(drawing, after):
                assert after in seconds
                crossed, cleared = crossed + 1, cleared + (not crosses(drawing, after, again=True))
    assert crossed >= 3
    assert cleared >= 0.6 * crossed


@pytest.mark.slow
@pytest.mark.parametrize("stands", ["flat", "upright"])
@pytest.mark.parametrize(("legs", "angles", "turns"), [
    ([300, 300], [90], []),
    ([200, 200, 200], [90, 90], [0]),
    ([300, 80, 300], [30, 30], [180]),
])  # fmt: skip
def test_a_plain_piece_has_one_view_of_each_moment(stands, legs, angles, turns):
    run = standing(made_run(legs, angles, turns), stands)
    for card in cards_of(run, plan_pulls(run)):
        drawing = pull_pictures(run, card)
        assert [(p.after, p.again) for p in drawing.pictures] == [(False, False), (True, False)]


@pytest.mark.slow
def test_a_second_view_says_of_which_moment_it_is_and_from_where():
    short = 0
    for drawing in pictures(range(few_or_many(5, 12))):
        seconds = {p.after for p in drawing.pictures if p.again}
        for picture in drawing.pictures:
            if picture.again:
                texts = [i.text for i in drawing.sheet.items if isinstance(i, Text)]
                moment = "after" if picture.after else "before"
                assert any(t.startswith(f"{moment}, seen from ") for t in texts)
                short += 1
        assert len(drawing.pictures) == 2 + len(seconds)
    assert short >= 2


@pytest.mark.parametrize("stands", ["flat", "upright"])
def test_from_where_it_is_seen(stands):
    """As a person sees it: so far to the right of straight ahead, so far down; upright, the plane of the pull stands.

    The bender's frame is turned by a quarter about x, so that its y (from centre to tube) points up.
    """
    aside, above = {"flat": (18.0, 40.0), "upright": (30.0, 16.0)}[stands]
    views = {"": (first_eye(stands), (aside, above))}
    views |= {name: (eye(stands, *from_, name), from_) for name, from_ in OTHERS[stands].items()}
    for view, (right, down) in views.values():
        a, e = radians(right), radians(down)
        toward = np.array([sin(a) * cos(e), -cos(a) * cos(e), sin(e)])
        stood = Rotation.from_rotvec([np.pi / 2 if stands == "upright" else 0.0, 0.0, 0.0])
        for point in np.eye(3):
            seen = stood.apply(point)
            x = seen @ np.array([cos(a), sin(a), 0.0])
            y = seen @ np.cross(toward, np.array([cos(a), sin(a), 0.0]))
            assert view.flat(tuple(point)) == pytest.approx((x, y), abs=1e-12)


def test_upright_the_pull_goes_down_and_no_one_stands_at_its_foot():
    run = standing(made_run([150, 150], [90]), "upright")
    (card,) = cards_of(run, plan_pulls(run))
    drawing = pull_pictures(run, card)
    words = [i.text for i in drawing.sheet.items if isinstance(i, Text)]
    assert words.count("seen from the front, where you stand") == 2
    assert "you" not in words
    arrow = next(i for i in drawing.sheet.items if isinstance(i, Line) and i.role is Role.MARK and len(i.points) == 13)
    # Nearly straight down, not towards the foot of the sheet at a slant.
    (x0, y0), (x1, y1) = arrow.points[0], arrow.points[-1]
    assert y0 - y1 > abs(x1 - x0)
    before, after = (i.at for i in drawing.sheet.items if isinstance(i, Text) and i.text == "finish")
    assert after[1] < before[1]


def test_upright_what_comes_out_of_the_plane_is_in_front_or_behind():
    for turn, way in ((90, "in front"), (-90, "behind")):
        run = standing(made_run([345, 140, 345], [90, 90], [turn]), "upright")
        card = cards_of(run, plan_pulls(run))[1]
        texts = [i.text for i in pull_pictures(run, card).sheet.items if isinstance(i, Text)]
        assert f"start, 400 {way}" in texts
        assert str(card.level.stands) == (
            "lies level, pointing towards you" if way == "in front" else "lies level, pointing away from you"
        )
