"""Single bends of 45 degrees beside one of 90, against an exhaustive search of a grid of its own.

The search knows nothing of pipemodel: nodes 50 mm apart, legs along the axes, and between any two of them one at 45
degrees to both; every leg and arc is sampled against boxes that lie off the grid. Radius 30, hold and guide 20, so that
whatever is possible on it must not have fewer bends than what is found.
"""

import itertools
from pathlib import Path

import numpy as np
import pytest
from finding.rooms import job_of
from finding.tube_of_balls import nearest_to_boxes
from wide import few_or_many

from pipemodel import story
from pipemodel.job.model import JobError

SIDE = (11, 8, 6)
STEP, RADIUS, HOLD, NEED = 50.0, 30.0, 20.0, 17.5
FORMER = {
    "radius": RADIUS,
    "springback": {"per_degree": 0.0, "fixed": 1.0},
    "hold": HOLD,
    "guide": HOLD,
    "allow_tight": True,
}
WAYS = [np.array(w) for w in itertools.product((-1, 0, 1), repeat=3) if 0 < sum(map(abs, w)) <= 2]
UNIT = [w / np.linalg.norm(w) for w in WAYS]
AXES = [i for i, w in enumerate(WAYS) if abs(w).sum() == 1]
NAMES = {(1, 0, 0): "east", (-1, 0, 0): "west", (0, 1, 0): "north"}
NAMES |= {(0, -1, 0): "south", (0, 0, 1): "up", (0, 0, -1): "down"}
EAST = next(i for i in AXES if tuple(WAYS[i]) == (1, 0, 0))
ANGLE = np.rint(np.degrees(np.arccos(np.clip(np.array(UNIT) @ np.array(UNIT).T, -1.0, 1.0))))
BACK = {45: RADIUS * np.tan(np.pi / 8), 90: RADIUS}
TOP = (np.array(SIDE) - 1) * STEP


def nearest(points, boxes):
    low, high = np.array(boxes).transpose(1, 0, 2)
    off = np.maximum(np.maximum(low - points[:, None], points[:, None] - high), 0.0)
    return np.linalg.norm(off, axis=2).min()


class Grid:
    """Which edges and arcs are clear."""

    def __init__(self, boxes):
        self.boxes, self.edges, self.arcs = boxes, {}, {}

    def on(self, node, way):
        """The next node, None where there is none or the edge is not clear."""
        if (node, way) not in self.edges:
            to = tuple(int(c) for c in np.array(node) + WAYS[way])
            part = np.linspace(0.0, 1.0, 30)[:, None] * WAYS[way] * STEP
            inside = all(0 <= c < n for c, n in zip(to, SIDE, strict=True))
            clear = inside and nearest(np.array(node) * STEP + part, self.boxes) >= NEED + 0.05
            self.edges[node, way] = to if clear else None
        return self.edges[node, way]

    def bends(self, node, way, turn):
        if (node, way, turn) not in self.arcs:
            u, v = UNIT[way], UNIT[turn]
            out = (v - (v @ u) * u) / np.linalg.norm(v - (v @ u) * u)
            t = np.radians(np.linspace(0.0, ANGLE[way, turn], 25))[:, None]
            arc = np.array(node) * STEP - BACK[ANGLE[way, turn]] * u
            arc = arc + RADIUS * (out * (1.0 - np.cos(t)) + u * np.sin(t))
            self.arcs[node, way, turn] = nearest(arc, self.boxes) >= NEED + 0.05
        return self.arcs[node, way, turn]


def fewest(boxes, start, finish, arriving):
    """Fewest bends, by trying everything: all legs with so many bends, then all with one more."""
    grid = Grid(boxes)
    layer, seen = {(start, EAST, 0.0)}, set()
    for bends in range(7):
        seen |= layer
        after = set()
        for node, way, back in layer:
            slant, here, long = way not in AXES, node, 0.0
            while (here := grid.on(here, way)) is not None:
                long += STEP * float(np.linalg.norm(WAYS[way]))
                if here == finish and way == arriving and long >= back + HOLD:
                    return bends
                for turn in range(len(WAYS)):
                    angle = ANGLE[way, turn]
                    to_slant = turn not in AXES
                    if angle not in BACK or not (angle == 90 or slant or to_slant) or (to_slant and slant):
                        continue
                    # One of the bends beside a slant is of 45 degrees, the other of 90.
                    if slant and back == BACK[angle]:
                        continue
                    state = (here, turn, BACK[angle])
                    if state in seen or long < back + BACK[angle] + HOLD - 1e-9:
                        continue
                    if grid.bends(here, way, turn):
                        after.add(state)
        layer = after
    return None


def world(seed):
    """Boxes off the grid, the start, the finish and the way of arriving."""
    dice = np.random.default_rng(seed)
    start = (0, int(dice.integers(0, SIDE[1])), int(dice.integers(0, SIDE[2])))
    finish = tuple(int(dice.integers(0, n)) for n in SIDE)
    arriving = AXES[int(dice.integers(0, 6))]
    first = np.array(start) * STEP + np.linspace(0, 60, 30)[:, None] * UNIT[EAST]
    final = np.array(finish) * STEP - np.linspace(0, 60, 30)[:, None] * UNIT[arriving]
    boxes = []
    for _ in range(int(dice.integers(4, 25))):
        size = dice.uniform(20, [150, 150, 120])
        low = dice.uniform(-40, TOP + 40 - size).round(1)
        box = (tuple(low.tolist()), tuple((low + size).round(1).tolist()))
        if nearest(np.concatenate([first, final]), [box]) > NEED + 0.5:
            boxes.append(box)
    return boxes, start, finish, arriving


def found(folder, boxes, start, finish, arriving):
    find = {
        "from": [STEP * c for c in start],
        "heading": "east",
        "to": [STEP * c for c in finish],
        "arriving": NAMES[tuple(WAYS[arriving].tolist())],
        "within": {"from": [-60.0] * 3, "to": (TOP + 60.0).tolist()},
    }
    [run] = story.schedule(story.read(job_of(folder, boxes, find, FORMER))).runs
    return run


@pytest.mark.parametrize(("start", "finish", "arriving", "angles"), [
    ((0, 2, 1), (6, 3, 5), (0, 0, 1), [45, 90]),
    ((0, 2, 1), (6, 3, 5), (0, 1, 0), [90, 90]),
])  # fmt: skip
def test_aside_by_less_than_two_bends_of_90_need(start, finish, arriving, angles, tmp_path: Path):
    """Aside by 50 mm, two bends of 90 degrees do not fit: a slant of 50 times the root of two does."""
    way = next(i for i in AXES if tuple(WAYS[i]) == arriving)
    run = found(tmp_path, [((0.0, 0.0, 240.0), (10.0, 10.0, 250.0))], start, finish, way)
    assert [round(bend.angle_deg, 9) for bend in run.bends] == angles
    if 45 in angles:
        # Legs of 250, 50 roots of two and 200, less what an arc of each angle saves.
        turns = np.radians([45.0, 90.0])
        saved = RADIUS * (2.0 * np.tan(turns / 2.0) - turns).sum()
        assert run.centreline.length == pytest.approx(450.0 + 50.0 * np.sqrt(2.0) - saved)


@pytest.mark.slow
@pytest.mark.parametrize("seed", few_or_many((11, 220), (*range(10, 60), 220)))
def test_no_way_on_the_grid_has_fewer_bends(seed, tmp_path: Path):
    boxes, start, finish, arriving = world(seed)
    if start == finish or not boxes:
        return
    least = fewest(boxes, start, finish, arriving)
    try:
        run = found(tmp_path, boxes, start, finish, arriving)
    except JobError:
        assert least is None
        return
    assert nearest_to_boxes(np.array(run.run.route.corners), RADIUS, boxes) >= NEED - 0.01
    assert least is None or len(run.bends) <= least
