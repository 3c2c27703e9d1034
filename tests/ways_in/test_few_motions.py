"""A way in is as few motions as the hands need: rooms for which that is plain, and a long detour."""

from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
from rooms_with_openings import cupboard

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes import Box
from pipemodel.job.model import BringIn, Opening
from pipemodel.ways_in.bring import bring
from pipemodel.ways_in.gate import Through
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_room import Obstacle
from pipemodel.ways_in.motions import HeldPiece, hand_motions
from pipemodel.ways_in.moves_in_words import in_words
from pipemodel.ways_in.plainer import Plainer
from pipemodel.ways_in.planner_moves import Moves
from pipemodel.ways_in.refit import Refit, RefitStep

BOXES, (CORNERS, OUT) = cupboard(500.0, 500.0, 600.0, (130.0, 120.0, 240.0, 260.0))
HATCH = Opening("hatch", tuple(CORNERS), tuple(OUT))
WALLS = [Obstacle(str(i), Box(*box)) for i, box in enumerate(BOXES)]
BLOCK = (np.array(BOXES).min(axis=(0, 1)), np.array(BOXES).max(axis=(0, 1)))


def stick(start, way, size):
    return Centreline((Straight(start, way, size),))


ELL = Centreline(
    (
        Straight((200.0, 480.0, 300.0), (0.0, -1.0, 0.0), 200.0),
        Arc((255.0, 280.0, 300.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0), 55.0, 90.0),
        Straight((255.0, 225.0, 300.0), (1.0, 0.0, 0.0), 90.0),
    )
)
KNOWN = {
    "straight in": (stick((250.0, 100.0, 250.0), (0.0, 1.0, 0.0), 300.0), 1),
    # In along itself, then turned about its end.
    "across": (stick((100.0, 250.0, 250.0), (1.0, 0.0, 0.0), 300.0), 2),
    "an L through a hatch it fits flat": (ELL, 1),
    # In, turned upright, into the corner.
    "upright in a corner": (stick((20.0, 480.0, 40.0), (0.0, 0.0, 1.0), 500.0), 3),
}


@pytest.mark.parametrize("name", list(KNOWN))
@pytest.mark.slow
def test_no_more_motions_than_the_room_asks_for(name) -> None:
    line, most = KNOWN[name]
    piece = SimpleNamespace(name="r", centreline=line, tube=SimpleNamespace(outside_mm=15.0))
    way = bring(piece, BringIn("hatch", 2.0, 100_000, 1), HATCH, WALLS, BLOCK).way
    assert way.found
    assert len(hand_motions(HeldPiece(line), way)) <= most
    said = [str(step.said) for step in in_words(line, way, HATCH).steps]
    assert not [words for words in said if "a little" in words]
    # What goes straight in goes along one axis.
    assert most > 1 or not [words for words in said if "in one straight line" in words]
    # The narrowest place is named with what is there.
    assert any("stays free at the narrowest, from" in words for words in said) == (way.least_mm < 30.0)


@pytest.mark.slow
def test_slides_go_along_one_axis_where_there_is_room_for_that() -> None:
    """Slanting to and fro and out, in a room where straight out does, and aside where the hatch is beside it."""
    for aside, axes in ((0.0, [1]), (100.0, [0, 1])):
        hatch = Opening("hatch", tuple((x + aside, y, z) for x, y, z in CORNERS), tuple(OUT))
        walls = [Obstacle(w.name, Box(*((x + aside, y, z) for x, y, z in (w.what.low, w.what.high)))) for w in WALLS]
        judge = Judge(ELL, 15.0, walls, 2.0)
        gate, home = Through(judge, hatch), judge.home
        refit = Refit(judge, gate, Moves(ELL, judge.middle, 3000.0, gate.ways), np.random.default_rng(3))
        poses = [
            (home[:3] + by) for by in ((20.0, -20.0, 10.0), (aside - 10.0, -90.0, 5.0), (aside + 20.0, -900.0, -25.0))
        ]
        steps = tuple(RefitStep(3.5, np.array([*pose, 1.0, 0.0, 0.0, 0.0])) for pose in poses)
        assert all(judge.goes(a, b) for a, b in pairwise([home, *(step.pose for step in steps)]))
        plain = refit.states(home, Plainer(refit, home).of(steps))
        gone = np.abs(np.diff([pose[:3] for pose in plain], axis=0)) > 1e-6
        assert sorted(set(np.argmax(gone, axis=1).tolist())) == axes
        assert (gone.sum(axis=1) == 1).all()
        assert gate.outness(plain[-1]) >= 0.0


@pytest.mark.slow
def test_a_detour_is_refitted_and_still_ends_outside() -> None:
    line, _ = KNOWN["across"]
    judge = Judge(line, 15.0, WALLS, 2.0)
    gate = Through(judge, HATCH)
    rng = np.random.default_rng(2)
    way = [judge.home]
    # To and fro, then the way that goes: a quarter turn about the middle and straight out.
    for _ in range(12):
        way.append(np.array([*(judge.home[:3] + rng.uniform(-40, 40, 3)), 1.0, 0.0, 0.0, 0.0]))
    half = np.sqrt(0.5)
    for deep in (250.0, -400.0):
        way.append(np.array([250.0, deep, 250.0, half, 0.0, 0.0, half]))
    assert all(judge.goes(a, b, centred=True) for a, b in zip(way, way[1:], strict=False))
    moves = Moves(line, judge.middle, 3000.0, gate.ways)
    refit = Refit(judge, gate, moves, np.random.default_rng(1))
    few = refit.states(way[0], Plainer(refit, way[0]).of(refit.few(way)))
    assert np.allclose(few[0], judge.home)
    assert gate.outness(few[-1]) >= 0.0
    assert all(judge.goes(a, b, centred=True) for a, b in zip(few, few[1:], strict=False))
    # A slide moves the middle straight without a turn: count the changes of kind.
    turns = [abs(a[3:] @ b[3:]) < 1.0 - 1e-9 for a, b in zip(few, few[1:], strict=False)]
    assert sum(a != b for a, b in zip(turns, turns[1:], strict=False)) <= 2
