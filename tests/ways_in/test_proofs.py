"""Proofs that there is no way in: never where there is one, and where known answers say so.

Largest circles are held against linear programming (scipy) and shapely; the bound on how far a frame turns against
scipy's rotations; placements that are clear by other arithmetic (trimesh, numpy) must never be called impossible.
"""

import numpy as np
import pytest
import shapely
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes import Box, HalfSpace
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.job.model import Opening
from pipemodel.ways_in import crossing_kernel, proofs
from pipemodel.ways_in.bring import _kept_off
from pipemodel.ways_in.crossing import LOOSE, cannot_cross, things_of
from pipemodel.ways_in.judge_room import Obstacle
from pipemodel.ways_in.proofs import ball_radius, gate_of, hull_of, proof_of

FAR = 2000.0


def wall_with_hole(wide, high, thick):
    """A wall south of y = 0 with a hole about x = 0, z = 100, and the opening in its middle."""
    x, low, top = wide / 2.0, 100.0 - high / 2.0, 100.0 + high / 2.0
    blocks = [
        Box((-FAR, -thick, -FAR), (-x, 0.0, FAR)),
        Box((x, -thick, -FAR), (FAR, 0.0, FAR)),
        Box((-x, -thick, -FAR), (x, 0.0, low)),
        Box((-x, -thick, top), (x, 0.0, FAR)),
    ]
    y = -thick / 2.0
    corners = ((-x, y, low), (x, y, low), (x, y, top), (-x, y, top))
    return blocks, Opening("hatch", corners, (0.0, -1500.0, 100.0))


def test_nothing_is_proved_by_a_bent_pipe_of_the_room_whose_ends_the_proofs_take_for_round():
    box = Box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0))
    kept = _kept_off([Obstacle("waste", Tube(bent(0.0, 0.0), 50.0)), Obstacle("box", box)])
    assert [(shape.kind, shape.bounds()) for shape in kept] == [("box", box.bounds())]


def stick(size, y=200.0):
    return Centreline((Straight((-size / 2.0, y, 100.0), (1.0, 0.0, 0.0), size),))


def bent(first, last, y=200.0, radius=55.0):
    return Centreline(
        (
            Straight((-first, y, 100.0), (1.0, 0.0, 0.0), first),
            Arc((0.0, y, 100.0 + radius), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0), radius, 90.0),
            Straight((radius, y, 100.0 + radius), (0.0, 0.0, 1.0), last),
        )
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("wide", "margin", "no"), [(18.9, 2.0, True), (19.1, 2.0, False), (14.9, 0.0, True), (15.1, 0.0, False)]
)
def test_a_tube_passes_a_slot_just_wider_than_itself_and_its_margins(wide, margin, no) -> None:
    blocks, slot = wall_with_hole(wide, 600.0, 10.0)
    for line in (stick(500.0), bent(300.0, 200.0)):  # an L lies flat in a slot
        said = proof_of(line, 15.0, margin, slot, blocks)
        assert (said is not None) == no
        if no:
            assert str(said.template) == "way in.no: too small"


def test_a_tube_that_stays_outside_need_not_pass() -> None:
    blocks, slot = wall_with_hole(10.0, 10.0, 10.0)
    assert proof_of(stick(500.0, y=-200.0), 15.0, 2.0, slot, blocks) is None


@pytest.mark.parametrize("seed", range(60))
def test_the_largest_circle_in_an_outline(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = rng.normal(size=(int(rng.integers(3, 9)), 2)) * (100.0, 30.0 if seed % 2 else 100.0)
    hull = hull_of(points)
    edges = np.roll(hull, -1, axis=0) - hull
    out = np.stack([edges[:, 1], -edges[:, 0]], axis=1) / np.linalg.norm(edges, axis=1)[:, None]
    found = linprog(
        [0, 0, -1],
        np.column_stack([out, np.ones(len(out))]),
        np.einsum("ij,ij->i", out, hull),
        bounds=[(None, None)] * 3,
    )
    assert np.isclose(ball_radius(points), found.x[2], rtol=1e-7)
    # In an outline that is hollow no circle is larger than in its hull.
    turns = np.argsort(np.arctan2(*(points - points.mean(axis=0)).T))
    star = shapely.Polygon(points[turns])
    if star.is_valid:
        assert shapely.maximum_inscribed_circle(star, 1e-3).length <= ball_radius(points) + 1e-6


def test_the_frame_turns_no_more_than_the_direction_but_for_the_bound() -> None:
    rng = np.random.default_rng(5)
    n = 4000
    ab = rng.uniform(-1, 1, size=(2, n, 2))
    # Pairs near and far, and along the rims of the faces.
    ab[1, : n // 2] = np.clip(ab[0, : n // 2] + rng.normal(size=(n // 2, 2)) * 1e-3, -1, 1)
    ab[0, : n // 8] = np.sign(ab[0, : n // 8])
    face = rng.integers(6, size=n)
    both = []
    for one in ab:
        turns = np.empty((n, 3, 3))
        for turn, side, (a, b) in zip(turns, face.tolist(), one.tolist(), strict=True):
            crossing_kernel._turn(side, a, b, 0.3, turn)
        both.append(turns)
    assert np.allclose(np.linalg.det(both[0]), 1.0)
    turned = Rotation.from_matrix(both[0]) * Rotation.from_matrix(both[1]).inv()
    flat = np.linalg.norm(ab[1] - ab[0], axis=1)
    assert (turned.magnitude() <= LOOSE * flat + 1e-9).all()
    looks = both[0][:, :, 0]
    assert (np.sign(np.take_along_axis(looks, (face // 2)[:, None], 1)[:, 0]) == np.where(face % 2, -1, 1)).all()


@pytest.mark.parametrize("seed", range(30))
def test_what_stands_clear_somewhere_is_never_called_stuck(seed: int) -> None:
    """A placement is made first, then things round it that keep off: the proof must not say that there is none."""
    rng = np.random.default_rng(seed)
    line = bent(float(rng.uniform(50, 300)), float(rng.uniform(50, 300)), radius=float(rng.uniform(30, 80)))
    at = line.offsets[1] + line.pieces[1].length / 2.0
    ahead = np.array(line.direction_at(at))
    frame = np.array([ahead, np.cross(line.pieces[1].axis, ahead), line.pieces[1].axis])
    places = [at, *np.linspace(8.0, line.length - 8.0, 25)]
    points = (np.array([line.point_at(s) for s in places]) - line.point_at(at)) @ frame.T
    size = float(rng.uniform(25, 80))
    blocks, opening = wall_with_hole(size, size, 4.0)
    gate, keep = gate_of(opening), 9.5
    for turn in Rotation.random(400, random_state=seed):
        spot = np.array([rng.uniform(-1, 1) * (size / 2 - 10), -2.0, 100 + rng.uniform(-1, 1) * (size / 2 - 10)])
        stands = turn.apply(points) + spot
        # Where it goes through the wall it must go through the hole.
        near = np.abs(stands[:, 1] + 2.0) < 2.0 + keep
        if (np.abs(stands[near][:, [0, 2]] - (0, 100)).max(axis=1) < size / 2 - keep).all():
            break
    else:
        pytest.skip("no placement in this hole")
    things = []
    for _ in range(200):
        low = rng.uniform(-400, 400, size=3)
        high = low + rng.uniform(20, 200, size=3)
        off = np.linalg.norm(np.maximum(np.maximum(low - stands, stands - high), 0.0), axis=1).min()
        if off > keep + 1e-6:
            things.append(Box(tuple(low.tolist()), tuple(high.tolist())))
        if len(things) == 12:
            break
    assert not cannot_cross(points, gate, things_of([*blocks, *things]), keep, most=8_000_000)


def test_a_bend_does_not_pass_a_deep_narrow_hole() -> None:
    # Worked by hand: a bend of 90 degrees on 55 mm with long legs, square to the hole at its middle, stands aside by
    # 50 - 55 (sqrt 2 - 1) = 27 mm where it leaves a wall of 100 mm on either side: more than a hole of 20 leaves.
    for thick, no in ((100.0, True), (6.0, False)):
        blocks, hole = wall_with_hole(20.0, 20.0, thick)
        said = proof_of(bent(300.0, 300.0), 15.0, 2.0, hole, blocks)
        assert (said is not None) == no
        if no:
            assert "bend 1" in str(said)


def test_a_leg_longer_than_any_straight_way_behind_the_hole() -> None:
    # A pocket 300 deep behind a hole in a thick wall, as wide as the hole: what lies along its back cannot have come in
    # but along the diagonal of pocket and wall.
    blocks, hole = wall_with_hole(120.0, 120.0, 60.0)
    pocket = [
        HalfSpace((0.0, 120.0, 0.0), (0.0, -1.0, 0.0)),
        *(HalfSpace((side * 250.0, 0.0, 100.0), (-side, 0.0, 0.0)) for side in (1.0, -1.0)),
        HalfSpace((0.0, 0.0, 40.0), (0.0, 0.0, 1.0)),
        HalfSpace((0.0, 0.0, 160.0), (0.0, 0.0, -1.0)),
    ]
    # Half spaces would close the outside too: the proof from inside alone is asked.
    gate = gate_of(hole)
    things = things_of([*blocks, *pocket])
    assert proofs._stick_stuck(455.0, 0.0, gate, things, 9.5)
    assert not proofs._stick_stuck(105.0, 0.0, gate, things, 9.5)


def random_run(rng):
    """A run whose bends turn it by less than 80 degrees in all: drawn through a hole, it comes back to no plane."""
    pieces, at, ahead, left = [], np.array([0.0, 0.0, 0.0]), np.array([1.0, 0.0, 0.0]), 78.0
    for _ in range(int(rng.integers(1, 4))):
        size = float(rng.uniform(30.0, 300.0))
        pieces.append(Straight(tuple(at.tolist()), tuple(ahead.tolist()), size))
        at = at + size * ahead
        side = np.cross(ahead, rng.normal(size=3))
        side /= np.linalg.norm(side)
        angle = float(rng.uniform(5.0, left / 2.0))
        left -= angle
        arc = Arc(
            tuple((at + 55.0 * side).tolist()),
            tuple(np.cross(ahead, side).tolist()),
            tuple((-side).tolist()),
            55.0,
            angle,
        )
        pieces.append(arc)
        at, ahead = np.array(arc.finish), np.array(arc.finish_direction)
    return Centreline((*pieces, Straight(tuple(at.tolist()), tuple(ahead.tolist()), float(rng.uniform(30.0, 300.0)))))


@pytest.mark.parametrize("seed", range(25))
def test_what_can_be_drawn_through_a_hole_in_a_thin_wall_is_never_called_impossible(seed: int) -> None:
    """Any run goes through along itself, its axis square to the wall where it is in the hole, if that is wider."""
    rng = np.random.default_rng(seed)
    line = random_run(rng)
    # In half the thickness of the wall the axis strays by less than 0.01 mm from the straight, and leans by less.
    turn = Rotation.random(random_state=seed)
    points = turn.apply([piece.start for piece in line.pieces] + [line.finish])
    up = 60.0 - points[:, 1].min()

    def placed(piece):
        if isinstance(piece, Straight):
            start = turn.apply(piece.start) + (0.0, up, 0.0)
            return Straight(tuple(start.tolist()), tuple(turn.apply(piece.direction).tolist()), piece.length)
        centre = turn.apply(piece.centre) + (0.0, up, 0.0)
        axis, spoke = turn.apply(piece.axis), turn.apply(piece.spoke)
        return Arc(tuple(centre.tolist()), tuple(axis.tolist()), tuple(spoke.tolist()), piece.radius, piece.angle_deg)

    there = Centreline(tuple(placed(piece) for piece in line.pieces))
    blocks, hole = wall_with_hole(19.2, 19.2, 0.5)
    assert proof_of(there, 15.0, 2.0, hole, blocks) is None
    blocks, small = wall_with_hole(18.9, 40.0, 0.5)
    assert proof_of(there, 15.0, 2.0, small, blocks) is not None


def skew(first, middle, last):
    """A piece in two planes: east, up, then north, bends on 55 mm."""
    up = (first + 55.0, 300.0, 100.0 + 55.0)
    arc = Arc((up[0], 300.0 + 55.0, up[2] + middle), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), 55.0, 90.0)
    return Centreline(
        (
            Straight((0.0, 300.0, 100.0), (1.0, 0.0, 0.0), first),
            Arc((first, 300.0, 155.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0), 55.0, 90.0),
            Straight(up, (0.0, 0.0, 1.0), middle),
            arc,
            Straight(arc.finish, arc.finish_direction, last),
        )
    )


@pytest.mark.parametrize(("wide", "thick", "no"), [(60.0, 700.0, True), (60.0, 100.0, False), (400.0, 700.0, False)])
def test_a_piece_in_two_planes_is_too_wide_for_a_deep_narrow_slot(wide, thick, no) -> None:
    blocks, slot = wall_with_hole(wide, 2000.0, thick)
    said = proof_of(skew(150.0, 100.0, 150.0), 15.0, 2.0, slot, blocks)
    assert (said is not None and said.template == "way in.no: too wide") == no


def test_a_piece_whose_place_is_in_the_mouth_of_a_passage_need_not_be_in_it_whole() -> None:
    blocks, slot = wall_with_hole(60.0, 2000.0, 1000.0)
    inside = skew(150.0, 100.0, 150.0)
    # Its foremost point stands 40 in, from the opening in the middle of the wall.
    lowest = max(inside.point_at(s)[1] for s in np.linspace(0.0, inside.length, 200))
    moved = Centreline(
        tuple(
            p._replace(start=(p.start[0], p.start[1] - lowest - 460.0, p.start[2]))
            if isinstance(p, Straight)
            else p._replace(centre=(p.centre[0], p.centre[1] - lowest - 460.0, p.centre[2]))
            for p in inside.pieces
        )
    )
    thin = slot.__class__("mouth", tuple((x, -500.0, z) for x, _, z in slot.corners), (0.0, -2500.0, 100.0))
    said = proof_of(moved, 15.0, 2.0, thin, blocks)
    assert said is not None
    assert said.template == "way in.no: too wide"
    # In front of a wall that begins at the opening there is no passage outside: all of it may still be out there.
    front = [Box((b.low[0], -500.0, b.low[2]), b.high) for b in blocks]
    said = proof_of(moved, 15.0, 2.0, thin, front)
    assert said is None or said.template != "way in.no: too wide"


def test_a_flat_piece_goes_through_a_deep_slot_little_wider_than_its_tube() -> None:
    blocks, slot = wall_with_hole(19.2, 2000.0, 700.0)
    assert proof_of(bent(200.0, 200.0), 15.0, 2.0, slot, blocks) is None
