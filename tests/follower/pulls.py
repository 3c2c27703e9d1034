"""Reader of the pull drawings: the piece as drawn before and after each pull, held against the tube at the bench.

From where the drawing is seen is read off the drawing itself: the former is a circle that lies in the plane of the
bender, and the stop is square to the tube. Up is up, and lengths are seen as a parallel projection shows
them. A leg longer than three radii is drawn three radii long, a tail longer than 212 mm 170 mm long: broken, with
its own length written there. Pictures from another side, in a row below, are not read.
"""

import itertools
import re
from dataclasses import dataclass, field, replace

import numpy as np

from follower.bench import Bench
from follower.figures import length
from follower.svg import BLUE, NEW_TUBE, Circle, Line, Words, polyline_gap

TUBE = ("#f2d6bd", NEW_TUBE)


@dataclass
class Panel:
    """One of the two pictures: lengths of axis as drawn, those of the new bend among them, and what is written.

    `bends` are circled numbers, `ends` names of ends with the height beside them and the length of a broken tail,
    0 where it is whole; `legs` are the lengths of broken legs. It is drawn by a `view`.
    """

    axis: list = field(default_factory=list)
    new: list = field(default_factory=list)
    bends: dict = field(default_factory=dict)
    strong: list = field(default_factory=list)
    ends: dict = field(default_factory=dict)
    legs: list = field(default_factory=list)
    view: "View" = None
    words: list = field(default_factory=list)


@dataclass
class PullRead:
    """A pull as drawn: its title's words, the two pictures, the mark, the arrow, and from where it is seen."""

    number: int
    bend: int
    left: str
    end_for_end: bool
    roll: str
    panels: tuple
    view: "View"
    mark: np.ndarray
    arrow: np.ndarray


@dataclass(frozen=True)
class View:
    """From the bench (x right, y away, z up, mm from the former's centre) to a picture on paper."""

    flat: np.ndarray
    centre: np.ndarray

    def at(self, points):
        """Return where points (n, 3) of the bench are drawn."""
        return np.atleast_2d(points) @ self.flat.T + self.centre

    def on_bender(self, points):
        """Return where points on paper (n, 2) lie in the plane of the bender."""
        return (np.atleast_2d(points) - self.centre) @ np.linalg.inv(self.flat[:, :2]).T


def pull_of(sheet, former_of, unit="mm"):
    """Read one pull; `former_of` gives what each bend, by its number, is made round."""
    # A thin upright line parts the two pictures; over it stand the headings, below it other views.
    folds = [i.points for i in sheet.of(Line) if len(i.points) == 2 and i.width < 0.14 and not np.ptp(i.points[:, 0])]
    fold = max(folds, key=lambda points: points[:, 1].max() + np.ptp(points[:, 1]))
    middle, low, high = fold[0, 0], fold[:, 1].min() - 2.0, fold[:, 1].max()
    heads = [w.text for w in sorted(sheet.of(Words), key=lambda w: -w.at[1]) if w.at[1] > high + 2.0]
    title, roll = heads[0], " ".join(heads[1:])
    if "change the" in title or roll.startswith("former "):
        rest = re.match(r"(.*?former) (.*)", " ".join(heads))
        title, roll = rest[1], rest[2]
    head = re.fullmatch(r"Pull (\d+): bend (\d+), (start|finish) end to your left(.*)", title)
    assert sheet.title.startswith(f"Pull {head[1]}, bend {head[2]}:")
    sides = [[], []]
    for item in sheet.items:
        at = item.points.mean(axis=0) if isinstance(item, Line) else item.at if isinstance(item, Words) else item.centre
        if not low <= at[1] <= high + 2.0:
            continue
        right = int(at[0] > middle)
        shift = np.array([middle * right, 0.0])
        name = {Line: "points", Words: "at", Circle: "centre"}[type(item)]
        sides[right].append(item._replace(**{name: getattr(item, name) - shift}))
    views = [_view(side, former_of(int(head[2])).radius) for side in sides]
    assert np.allclose(views[0].flat, views[1].flat, atol=2e-3)
    marks = [item for item in sides[0] if isinstance(item, Line) and item.stroke == BLUE]
    (mark,) = [m for m in marks if len(m.points) == 2]
    (arrow,) = [m for m in marks if len(m.points) > 2]
    return PullRead(
        int(head[1]),
        int(head[2]),
        head[3],
        "turn the tube end for end" in head[4],
        roll,
        tuple(_panel(side, unit, view) for side, view in zip(sides, views, strict=True)),
        views[0],
        mark.points.mean(axis=0),
        arrow.points,
    )


def _view(items, radius):
    """Find from where the former is seen."""
    rims = [i.points for i in items if isinstance(i, Line) and i.closed and not i.area and len(i.points) == 48]
    stops = [i.points for i in items if isinstance(i, Line) and i.closed and not i.area and len(i.points) == 4]
    (rim,), (stop,) = rims, stops
    centre = rim.mean(axis=0)
    spread = 2 * np.cov((rim - centre).T, bias=True)
    assert abs(spread[0, 1]) < 1e-3 * spread[0, 0], "seen from straight above or a side, up is up"
    k, steep = spread[0, 0] ** 0.5 / radius, (spread[1, 1] / spread[0, 0]) ** 0.5
    sides = np.diff([*stop, stop[0]], axis=0)
    # One side of the stop lies along the tube, the other across: it is seen from the front, a little from one side.
    along = max(sides, key=lambda s: abs(s[0]) / np.hypot(s[0], s[1] / steep))
    along = along if along[0] > 0 else -along
    aside = np.arctan2(-along[1] / steep, along[0])
    c, s = np.cos(aside), np.sin(aside)
    flat = k * np.array([[c, s, 0], [-s * steep, c * steep, (1 - steep**2) ** 0.5]])
    view = View(flat, centre)
    # The stop stands to the left, where the tube is.
    x, y = view.on_bender(stop.mean(axis=0))[0]
    assert x < 0 < y
    return view


def _panel(items, unit, view):
    panel = Panel(words=[w.text for w in items if isinstance(w, Words)], view=view)
    for item in items:
        if isinstance(item, Line) and item.area in TUBE and len(item.points) in (4, 6, 10):
            n = len(item.points) // 2
            axis = (item.points[:n] + item.points[n:][::-1]) / 2
            panel.axis.append(axis)
            if item.area == NEW_TUBE:
                panel.new.append(axis)
    words = [w for w in items if isinstance(w, Words)]
    for circle in (i for i in items if isinstance(i, Circle) and i.area):
        inside = [w for w in words if w.text.isdigit() and np.hypot(*(w.at - circle.centre)) < 2.0]
        number = min(inside, key=lambda w: abs(w.at[0] - circle.centre[0]))
        panel.bends[int(number.text)] = circle.centre
        if circle.area == NEW_TUBE:
            panel.strong.append(int(number.text))
    for word in words:
        name = re.fullmatch(r"(start|finish)(?:, (.+) (up|down))?", word.text)
        if name:
            high = length(name[2], unit).mm * (1 if name[3] == "up" else -1) if name[2] else 0.0
            under = [
                w for w in words
                if (w.text.startswith("tail ") or w.text.endswith(" to the end,"))
                and abs(w.at[0] - word.at[0]) < 0.01 and 0 < word.at[1] - w.at[1] < 4
            ]  # fmt: skip
            panel.ends[name[1]] = (word.at, high, _long(under[0].text, unit) if under else 0.0)
    panel.legs = [_long(w.text, unit) for w in words if w.text.startswith("leg ")]
    shorter = sum(w.text == "drawn shorter" for w in words)
    assert shorter == len(panel.legs) + sum(long > 0 for _, _, long in panel.ends.values())
    return panel


def _long(text, unit):
    return length(re.fullmatch(r"(?:leg |tail )?(.+?)(?: long,| to the end,)", text)[1], unit).mm


def likeness(panel, bench, pulled):
    """Lay the tube at the bench over a picture.

    Args:
        panel: one of a pull's pictures.
        bench: the tube as it then lies there.
        pulled: where the pull begins and ends on the flat tube, whether it is bent yet or not.

    Returns:
        How far the worst place of the drawn axis, and of the bends as they are, is from the other, mm on paper; where
        the middle of each bend is drawn, and where start and finish are; and how high those are over the bender.
    """
    begins, _ = pulled if bench.held == "start" else pulled[::-1]
    others = [(b.start, b.finish, b.radius) for b in bench.made if abs(b.start - pulled[0]) > 1.0]
    fixed = sorted([*others, (*pulled, bench.former.radius)])
    gaps = [(leg, b[0] - a[1], 3.0 * b[2]) for leg, (a, b) in enumerate(itertools.pairwise(fixed))]
    missing = {leg: long - most for leg, long, most in gaps if long - most >= 1.0}
    # As long as they are, to what may be written of them.
    for stated, long in zip(sorted(panel.legs), sorted(long for leg, long, _ in gaps if leg in missing), strict=True):
        assert abs(stated - long) < 1.6, (stated, long)
    bent = len(bench.made) > len(others)
    edges = {"start": fixed[0][0], "finish": bench.length - fixed[-1][1]}
    if not bent:
        # Free tube goes on straight from where the pull begins.
        free = "finish" if bench.held == "start" else "start"
        nearest = fixed[-1] if free == "finish" else fixed[0]
        if abs(nearest[0] - pulled[0]) < 1.0:
            edges[free] = bench.length - begins if free == "finish" else begins
    for end, long in edges.items():
        stated = panel.ends[end][2]
        assert (stated > 0.0) == (long > 170.0 * 1.25) or abs(long - 212.5) < 1.6, (end, stated, long)
        assert not stated or abs(stated - long) < 1.6, (end, stated, long)
    cut = {end: long - 170.0 if panel.ends[end][2] else 0.0 for end, long in edges.items()}
    return _laid(panel, bench, begins, fixed, missing, cut)


def _laid(panel, bench, begins, fixed, missing, cut):
    def moved(s):
        return s - sum(mm for leg, mm in missing.items() if s >= fixed[leg + 1][0] - 1e-9)

    short = Bench(bench.length - sum(missing.values()), bench.former)
    short.stands, short.held = bench.stands, bench.held
    short.made = [replace(b, start=moved(b.start), finish=moved(b.finish)) for b in bench.made]
    points, along = short.points_at_bench(moved(begins), fine=24)
    on_paper = panel.view.at(points + [0.0, bench.former.radius, 0.0])
    low, high = cut["start"], short.length - cut["finish"]
    shown = (along >= low) & (along <= high)
    ends = {"start": low, "finish": high}
    places = {end: np.array([np.interp(s, along, on_paper[:, i]) for i in (0, 1)]) for end, s in ends.items()}
    line = np.array([places["start"], *on_paper[shown], places["finish"]])
    drawn = np.concatenate(panel.axis)
    off = polyline_gap(drawn, line).max()
    middles = {}
    for b in short.made:
        mine = on_paper[(along >= b.start - 1e-6) & (along <= b.finish + 1e-6)]
        off = max(off, min(np.hypot(*(drawn - p).T).min() for p in mine) if len(mine) else 0.0)
        # All along the bend tube is drawn.
        off = max(off, 0.0 if np.hypot(*(drawn[:, None] - mine).T).min(axis=1).max() < 9.0 else 9.0)
        middles[round(b.start, 6)] = mine[len(mine) // 2]
    off = max(off, *(np.hypot(*(drawn - p).T).min() for p in places.values()))
    order = [middles[key] for key in sorted(middles)]
    return off, order, places, bench.points_at_bench(begins)[0][[0, -1], 2]
