"""Fewest bends and shortest tube, against an exhaustive search and networkx on a grid; neither knows pipemodel.

The room is a grid of nodes 100 mm apart, some of them taken by a block of 60 mm. On it every turn of 90 degrees fits
(radius 30, hold and guide 20), so whatever is possible on it must not be beaten by it in what is found.
"""

import itertools
from collections import deque
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from finding.rooms import job_of
from finding.tube_of_balls import axis_points, nearest_to_boxes
from wide import few_or_many

from pipemodel import story
from pipemodel.job.model import JobError

SIDE = (7, 6, 4)
STEP = 100.0
WAYS = [np.array(w) for w in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1))]
NAMES = ("east", "west", "north", "south", "up", "down")
FORMER = {"radius": 30, "springback": {"per_degree": 0.0, "fixed": 1.0}, "hold": 20, "guide": 20, "allow_tight": True}
START, HEADING = (0, 2, 1), 0
VOID = {"from": [-60, -60, -60], "to": [660, 560, 360]}


def world(seed):
    """Blocked nodes, the finish and the way of arriving."""
    rng = np.random.default_rng(seed)
    nodes = list(itertools.product(*map(range, SIDE)))
    finish = tuple(int(rng.integers(0, n)) for n in SIDE)
    arriving = int(rng.integers(0, 6))
    blocked = {nodes[i] for i in rng.choice(len(nodes), int(rng.integers(20, 75)), replace=False)}
    blocked -= {START, finish}
    return blocked, finish, arriving


def inside(node):
    return all(0 <= c < n for c, n in zip(node, SIDE, strict=True))


def fewest_on_grid(blocked, finish, arriving):
    """Fewest bends of 90 degrees, by trying everything: corner after corner, so many bends at a time."""
    first = (START, HEADING)
    bends, queue = {first: 0}, deque([first])
    while queue:
        node, way = queue.popleft()
        here = np.array(node)
        for n in itertools.count(1):
            on = tuple(int(c) for c in here + n * WAYS[way])
            if not inside(on) or on in blocked:
                break
            if on == finish and way == arriving:
                return bends[node, way]
            for turn in range(6):
                if turn // 2 != way // 2 and (on, turn) not in bends:
                    bends[on, turn] = bends[node, way] + 1
                    queue.append((on, turn))
    return None


def shortest_on_grid(blocked, finish, arriving):
    """Bends and length of the shortest of the ways with fewest bends, by networkx."""
    graph = nx.DiGraph()
    for node in itertools.product(*map(range, SIDE)):
        if node in blocked:
            continue
        for way in range(6):
            # A bend ends a leg, and a leg is at least one step long: so after a turn one goes on a step.
            for turn in range(6):
                on = tuple(int(c) for c in np.array(node) + WAYS[turn])
                if inside(on) and on not in blocked and (turn == way or turn // 2 != way // 2):
                    graph.add_edge((node, way), (on, turn), weight=STEP + (1e6 if turn != way else 0.0))
    # The tube sets out along its heading: there is no turn at the start itself.
    on = tuple(int(c) for c in np.array(START) + WAYS[HEADING])
    graph.add_edge("start", (on, HEADING), weight=STEP)
    weight = nx.dijkstra_path_length(graph, "start", (finish, arriving))
    return round(weight // 1e6), weight % 1e6


def around(blocked):
    return [(tuple(100.0 * c - 30 for c in node), tuple(100.0 * c + 30 for c in node)) for node in sorted(blocked)]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(few_or_many(10, 150)))
def test_no_way_on_the_grid_is_better(seed, tmp_path: Path):
    blocked, finish, arriving = world(seed)
    least = fewest_on_grid(blocked, finish, arriving)
    find = {
        "from": [100 * c for c in START],
        "heading": NAMES[HEADING],
        "to": [100 * c for c in finish],
        "arriving": NAMES[arriving],
        "within": VOID,
    }
    job = story.read(job_of(tmp_path, around(blocked), find, FORMER))
    try:
        [run] = story.schedule(job).runs
    except JobError:
        # The first step from the start may not be a turn; else what the grid has must be found.
        assert least is None
        return
    corners = np.array(run.run.route.corners)
    assert nearest_to_boxes(corners, 30.0, around(blocked)) >= 17.5 - 0.01
    points = axis_points(corners, 30.0)
    assert (points >= np.array(VOID["from"]) + 7.5 - 1e-6).all()
    assert (points <= np.array(VOID["to"]) - 7.5 + 1e-6).all()
    if least is None or least > 8:
        return
    assert len(run.bends) <= least
    bends, length = shortest_on_grid(blocked, finish, arriving)
    assert bends == least
    if len(run.bends) == least:
        legs = np.linalg.norm(np.diff(corners, axis=0), axis=1).sum()
        # Lengths within 10 mm of each other count as equal.
        assert legs <= length + 10.0
