"""Among hundreds of things the judge says what it says when it looks at all of them."""

import numpy as np
import pytest

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes.box import Box
from pipemodel.geometry.shapes.half_space import HalfSpace
from pipemodel.ways_in import near_rows
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_room import Obstacle

pytestmark = pytest.mark.slow

LINE = Centreline(
    (
        Straight((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 200.0),
        Arc((200.0, 40.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), 40.0, 90.0),
        Straight((240.0, 40.0, 0.0), (0.0, 1.0, 0.0), 150.0),
    )
)


def asked(things, seed):
    """Answers of a judge to poses and moves at random, and how many placements it tried."""
    rng = np.random.default_rng(seed)
    judge = Judge(LINE, 15.0, things, 2.0)
    poses = np.concatenate([rng.uniform(-1500.0, 1500.0, (300, 3)), rng.normal(size=(300, 4))], axis=1)
    poses[:, 3:] /= np.linalg.norm(poses[:, 3:], axis=1)[:, None]
    clear = judge.clear(poses)
    moves, beside = [], []
    for a in poses[clear][:20]:
        b = a + np.append(rng.uniform(-400.0, 400.0, 3), rng.normal(size=4) * 0.3)
        b[3:] /= np.linalg.norm(b[3:])
        moves += [judge.advance(a, b), judge.creep(a, b)]
    for a, b in zip(poses[clear][:6], poses[clear][1:7], strict=True):
        b = np.append(a[:3] + 0.1 * (b[:3] - a[:3]), a[3:])
        beside += [judge.least_along([a, b]), judge.least_along([a, b], 5.0)]
    return clear.tolist(), moves, beside, judge.tried


@pytest.mark.parametrize("seed", range(3))
def test_things_far_off_change_no_answer(seed, monkeypatch):
    rng = np.random.default_rng(100 + seed)
    lows = rng.uniform(-1700.0, 1700.0, (600, 3))
    things = [Obstacle("floor", HalfSpace((0.0, 0.0, -1600.0), (0.0, 0.0, 1.0)))]
    things += [
        Obstacle(f"box {i}", Box(tuple(low), tuple(low + rng.uniform(10.0, 150.0, 3))))
        for i, low in enumerate(lows.tolist())
    ]
    near = asked(things, seed)
    monkeypatch.setattr(near_rows, "FEW", len(things) + 1)
    assert near == asked(things, seed)
    clear, moves, beside, _ = near
    assert 0 < sum(clear) < len(clear)
    assert any(came.stopped_by for came in moves)
    assert any(name and least > 2.0 for least, name in beside)
