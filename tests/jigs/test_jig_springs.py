"""What weight makes of a piece in its jig: the tool's shapes and limits against a frame of finite elements made here.

Elements of two nodes and twelve freedoms, their stiffness as every textbook of matrix structural analysis has it
(Przemieniecki, Theory of Matrix Structural Analysis, 1968, section 5.6, from memory). Shares no code with the tool.
"""

import math

import numpy as np
import pytest
from gallery import run
from scipy.optimize import nnls

from pipemodel.bending.bends import centreline_of
from pipemodel.bending.schedule import solve_run
from pipemodel.jigs.design import design
from pipemodel.jigs.springy import springs_of
from pipemodel.jigs.verdict import with_fault
from pipemodel.job.jig import JigSettings
from pipemodel.trade.model import Former, Tube

TUBE = Tube(22.0, 0.9, "22 x 0.9")
NU, MODULUS = 0.34, 115_000.0
AREA = math.pi / 4.0 * (22.0**2 - 20.2**2)
INERTIA = math.pi / 64.0 * (22.0**4 - 20.2**4)
HEAVY = 8940e-9 * AREA * 9.81
"""N/mm, with the density that the tool says it has from memory."""
LEVEL = [(0, 0, 0), (900, 0, 0), (900, 600, 0), (1800, 600, 0)]
ROOM = [(0, 0, 0), (700, 0, 0), (700, 500, 0), (700, 500, 400), (1200, 500, 400)]


def stiffness(p, q):
    """Of a straight element from p to q, in the axes of the room, (12, 12)."""
    long = np.linalg.norm(q - p)
    k = np.zeros((12, 12))
    ei = MODULUS * INERTIA
    for i, rate in ((0, MODULUS * AREA), (3, ei / (1.0 + NU))):
        k[np.ix_([i, i + 6], [i, i + 6])] += rate / long * np.array([[1, -1], [-1, 1]])
    for sway, turn, sign in ((1, 5, 1.0), (2, 4, -1.0)):
        s = sign * long
        block = np.array([[12, 6 * s, -12, 6 * s], [6 * s, 4 * s * s, -6 * s, 2 * s * s],
                          [-12, -6 * s, 12, -6 * s], [6 * s, 2 * s * s, -6 * s, 4 * s * s]])  # fmt: skip
        at = [sway, turn, sway + 6, turn + 6]
        k[np.ix_(at, at)] += ei / long**3 * block
    x = (q - p) / long
    y = np.cross([0.0, 0.0, 1.0] if abs(x[2]) < 0.9 else [1.0, 0.0, 0.0], x)
    y /= np.linalg.norm(y)
    turn = np.kron(np.eye(4), np.array([x, y, np.cross(x, y)]))
    return turn.T @ k @ turn


def frame(points):
    """The stiffness of a chain of elements, and its weight as forces on the nodes."""
    n = len(points)
    k, f = np.zeros((6 * n, 6 * n)), np.zeros(6 * n)
    for i in range(n - 1):
        k[6 * i : 6 * i + 12, 6 * i : 6 * i + 12] += stiffness(points[i], points[i + 1])
        half = HEAVY * np.linalg.norm(points[i + 1] - points[i]) / 2.0
        f[[6 * i + 2, 6 * i + 8]] -= half
    return k, f


def laid(jig, line, at):
    places = np.array([line.point_at(float(s)) for s in at])
    return places @ jig.layout.rotation.T + jig.layout.offset


def jig_of(corners):
    piece = solve_run(run("long", corners, TUBE, Former(77.0)))
    return design(piece, JigSettings(gauges=False, cradles="fewest"))


@pytest.fixture(scope="module")
def room():
    return jig_of(ROOM)


@pytest.fixture(scope="module")
def level():
    return jig_of(LEVEL)


def resting(jig):
    """Where along the tube both ends of every cradle are."""
    offsets = jig.solved.centreline.offsets
    return sorted(
        offsets[2 * t.cradle.leg] + a * t.place.stretch
        for t in jig.layout.towers
        for a in (t.cradle.low_mm, t.cradle.high_mm)
    )


@pytest.mark.slow
def test_a_piece_gives_as_a_frame_does(room):
    line, total = room.solved.centreline, room.solved.centreline.length
    rests = resting(room)
    at = np.unique(np.round([*np.arange(0.0, total, 15.0), *rests, total], 6))
    points = laid(room, line, at)
    k, f = frame(points)
    free = slice(6, None)
    spots = np.array([total / 3.0, total / 2.0, total])
    springs = springs_of(room.layout, TUBE, [], spots)
    hanging = np.zeros(6 * len(at))
    hanging[free] = np.linalg.solve(k[free, free], f[free])
    for axis in range(3):
        moves = np.interp(spots, at, hanging[axis::6])
        assert springs.hanging[:, axis] == pytest.approx(moves, rel=0.01, abs=0.02 * abs(springs.hanging).max())
    for number, rest in enumerate(rests):
        push = np.zeros(6 * len(at))
        push[6 * int(np.argmin(abs(at - rest))) + 2] = 1.0
        lifted = np.zeros(6 * len(at))
        lifted[free] = np.linalg.solve(k[free, free], push[free])
        for axis in range(3):
            moves = np.interp(spots, at, lifted[axis::6])
            near = 0.01 * abs(lifted[0::6]).max() + 1e-3
            assert springs.lifted[:, axis, number] == pytest.approx(moves, rel=0.01, abs=near)
    assert springs.weight[0] == pytest.approx(HEAVY * total, rel=1e-3)
    assert springs.balance[0] == pytest.approx(1.0)


def settled(jig, table):
    """Lay a piece of `table` on the floors of its level jig; return how far it lies above its place at each cradle.

    Floors push up and do not pull. Next to nothing keeps the piece from sliding, and from falling where nothing holds.
    """
    line = centreline_of(table)
    rests = resting(jig)
    at = np.unique(np.round([*np.arange(0.0, line.length, 25.0), *(min(s, line.length) for s in rests)], 6))
    points = laid(jig, line, at)
    k, f = frame(points)
    k[np.arange(0, len(f), 6), np.arange(0, len(f), 6)] += 1e-4
    k[np.arange(1, len(f), 6), np.arange(1, len(f), 6)] += 1e-4
    k[np.arange(2, len(f), 6), np.arange(2, len(f), 6)] += 1e-4
    nodes = [int(np.argmin(abs(at - s))) for s in rests]
    clearance = jig.layout.towers[0].cradle.clearance_mm
    heights = laid(jig, jig.solved.centreline, rests)[:, 2]
    floors = heights - min(t.cradle.clearance_mm for t in jig.layout.towers) - points[nodes, 2]
    assert all(t.cradle.clearance_mm == clearance for t in jig.layout.towers)
    # Least energy with no floor passed through, by the forces of the floors, which push or are none.
    ups = 6 * np.array(nodes) + 2
    pushes = np.zeros((len(f), len(nodes)))
    pushes[ups, np.arange(len(nodes))] = 1.0
    hanging, lifted = np.split(np.linalg.solve(k, np.column_stack([f, pushes])), [1], axis=1)
    gives = (lifted[ups] + lifted[ups].T) / 2.0
    lower = np.linalg.cholesky(gives + 1e-4 * np.eye(len(nodes)))
    forces, _ = nnls(lower.T, np.linalg.solve(lower, floors - hanging[ups, 0]), maxiter=1000)
    assert forces.sum() == pytest.approx(HEAVY * line.length, rel=0.01)
    moved = hanging[ups, 0] + lifted[ups] @ forces
    return points[nodes, 2] + moved - heights, clearance


@pytest.mark.slow
def test_a_piece_that_bends_under_its_weight_is_judged_as_the_sheet_says(level):
    """A turn out lifts one long leg off its level jig. Right pieces seat; one beyond what is refused never does."""
    (turn,) = [limit for limit in level.limits if limit.fault.kind == "turn"]
    lies, clearance = settled(level, level.solved.table)
    assert np.all(lies <= clearance + 1e-3)
    for sign in (-1.0, 1.0):
        passes, _ = settled(level, with_fault(level.solved.table, turn.fault, sign * turn.passes_to))
        assert np.all(passes <= clearance + 1e-3)
        refused, _ = settled(level, with_fault(level.solved.table, turn.fault, sign * turn.refused_from))
        assert np.any(refused > clearance)


STAIR = [(0, 0, 0), (650, 0, 0), (650, 0, -650), (1020, 0, -650), (1020, 0, -1290), (1020, 380, -1290)]
HOOK = [(0, 0, 0), (0, 0, -450), (310, 0, -450), (310, 0, 450), (310, -260, 450), (310, -260, 80)]


@pytest.mark.slow
@pytest.mark.parametrize("corners", [STAIR, HOOK])
def test_no_place_of_a_piece_on_its_props_goes_down_or_up_by_more_than_a_quarter_of_a_slot(corners):
    """The whole frame on floors and props that push up and do not pull; bends twist and tip it too."""
    jig = jig_of(corners)
    line = jig.solved.centreline
    rests = [*resting(jig), *(p.at_mm for p in jig.plan.timber.props)]
    at = np.unique(np.round([*np.arange(0.0, line.length, 20.0), *rests, line.length], 6))
    k, f = frame(laid(jig, line, at))
    for node in (0, len(at) // 2, len(at) - 1):
        k[[6 * node, 6 * node + 1], [6 * node, 6 * node + 1]] += 1e-3
    bears = {6 * int(np.argmin(abs(at - s))) + 2 for s in rests}
    while True:
        held = k.copy()
        for i in bears:
            held[i, i] += 1e6
        moves = np.linalg.solve(held, f)
        worst = max(bears, key=lambda i: moves[i])
        if moves[worst] <= 0.0:
            break
        bears.remove(worst)
    assert abs(moves[2::6]).max() <= 0.26 * min(t.clearance for t in jig.layout.towers)
