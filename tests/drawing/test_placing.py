"""Which of some places words get: the one that costs least, whichever way it is looked for."""

import random

import pytest

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.panel import Panel, draw_cut
from pipemodel.drawing.placing import Placer
from pipemodel.drawing.primitives import Line, Role, Text
from pipemodel.drawing.projection import PLAN
from pipemodel.drawing.sheet import Sheet

WINDOW = ClipWindow(0.0, 0.0, 100.0, 100.0)
MIDDLE = ((20.0, 50.0), (80.0, 50.0))


def crowded(draw):
    """A placer with words and strokes all over."""
    placer = Placer(WINDOW)
    for _ in range(12):
        a, b = ((draw.uniform(0, 100), draw.uniform(0, 100)) for _ in range(2))
        placer.add_stroke((a, b), faint=draw.random() < 0.7)
    placer.add([Text("there", (draw.uniform(5, 80), draw.uniform(5, 80))) for _ in range(4)])
    return placer


def choices(draw):
    """Places for words, the best by themselves first, each with a leader to the same point."""
    found = []
    for by_itself in sorted(draw.choice((0.0, 1.0, 2.5, draw.uniform(0, 9))) for _ in range(10)):
        at = (draw.uniform(-5, 95), draw.uniform(0, 95))
        found.append((by_itself, (Text("new", at),), (Line((at, (50.0, 50.0)), Role.DIMENSION),)))
    return found


def test_the_place_that_costs_least_is_taken_with_its_leader():
    """Against every choice on its own; of equal ones the first. What is taken stands in the way of the next."""
    taken = nothing = with_cost = 0
    for seed in range(60):
        draw = random.Random(seed)
        placer, offered = crowded(draw), choices(draw)
        costs = [(placer.cost(text), placer.cost(line)) for _, text, line in offered]
        sums = [
            (by + a + b, k)
            for k, ((by, *_), (a, b)) in enumerate(zip(offered, costs, strict=True))
            if None not in (a, b)
        ]
        laid = placer.place_with_leader((by, text, lambda line=line: line) for by, text, line in offered)
        if not sums:
            assert laid is None
            nothing += 1
            continue
        total, k = min(sums)
        _, text, line = offered[k]
        assert laid == (*text, *line)
        assert placer.cost(text) is None
        taken += 1
        with_cost += total > offered[k][0]
    assert min(taken, nothing + 1, with_cost) > 0
    assert taken >= 30


def test_a_leader_is_not_laid_out_where_its_words_find_no_room():
    placer, asked = Placer(WINDOW), []
    there = Text("there", (50.0, 50.0))
    placer.add([there])

    def leader(name):
        asked.append(name)
        return ()

    free = (Text("free", (5.0, 5.0)),)
    placed = placer.place_with_leader(
        [
            (0.0, (there,), lambda: leader("taken")),
            (1.0, free, lambda: leader("free")),
            (3.0, free, lambda: leader("late")),
        ]
    )
    assert placed == free
    assert asked == ["free"]


def test_words_may_cross_where_a_thing_is_cut_if_need_be_but_no_wall_of_a_tube():
    """6 for each stroke of the room that they cross, as said in `Placer.cost`."""
    panel = Panel(Sheet(100.0, 100.0), PLAN, WINDOW, WINDOW, 1.0)
    draw_cut(panel, [MIDDLE])
    across, clear = (Text("word", (50.0, 49.0)),), (Text("word", (50.0, 60.0)),)
    assert panel.placer.cost(across) == pytest.approx(6.0)
    assert panel.placer.cost(clear) == 0.0
    assert [i.points for i in panel.sheet.items if i.role is Role.CUT] == [MIDDLE]
    panel.placer.add_stroke(MIDDLE)
    assert panel.placer.cost(across) is None
