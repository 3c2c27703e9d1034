"""The perfect piece in its jig, by solids that know nothing of how the jig was drawn: it fits, and it lifts out."""

import numpy as np
import pytest
from jig_pieces import PIECES, block, jig_of, laid_line, mesh_of, random_piece, rod, whole
from wide import few_or_many

from pipemodel.jigs.design import design
from pipemodel.jigs.plan import plans
from pipemodel.job.jig import Tolerance

CHORD = 0.02
NAMES = few_or_many(["microbore", "return bend", "straight", "two planes"], sorted(PIECES))


def hit(mesh, origin, direction):
    """Distance from a point to the jig along a ray."""
    where, _, _ = mesh.ray.intersects_location([origin], [direction], multiple_hits=False)
    return float(np.linalg.norm(where[0] - origin)) if len(where) else np.inf


def nearest_drawn(jig):
    """The least clearance there is: below the tube, or to a stop with its half of the allowance."""
    half = jig.settings.print.allowance_mm / 2.0
    slots = [t.cradle.clearance_mm for t in jig.layout.towers]
    return min(slots + [t.cradle.stop_mm + half for t in jig.layout.towers if t.cradle.stop])


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_every_slot_gives_the_clearance_it_states(name):
    """Rays from the ideal axis: to both cheeks, and square down to the floor."""
    jig = jig_of(name)
    mesh = mesh_of(jig.whole)
    half = jig.settings.print.allowance_mm / 2.0
    for tower in jig.layout.towers:
        leg = jig.layout.axis.legs[tower.cradle.leg]
        d = leg.direction
        across = np.cross([0.0, 0.0, 1.0], d)
        across /= np.linalg.norm(across)
        up = np.cross(d, across)
        level = np.hypot(d[0], d[1])
        reach = tower.radius + tower.cradle.clearance_mm
        # A ray square to a sloping leg meets the floor ahead of or behind where it starts.
        inset = reach * abs(d[2]) / level + 0.3
        low, high = tower.cradle.low_mm / level + inset, tower.cradle.high_mm / level - inset
        for s in (low, (low + high) / 2.0, high):
            axis = leg.at(s)
            # The lines in the floor lie beside the axis, so that a ray down from it misses them.
            assert hit(mesh, axis, -up) == pytest.approx(reach, abs=2e-3)
            for side in (across, -across):
                assert hit(mesh, axis, side) == pytest.approx(reach + half, abs=2e-3)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_cheeks_end_where_the_tube_may_reach_and_step_down_to_where_it_should(name):
    jig = jig_of(name)
    mesh = mesh_of(jig.whole)
    for tower in jig.layout.towers:
        leg = jig.layout.axis.legs[tower.cradle.leg]
        d = leg.direction
        across = np.cross([0.0, 0.0, 1.0], d)
        across /= np.linalg.norm(across)
        level = np.hypot(d[0], d[1])
        a = np.linspace(tower.cradle.low_mm, tower.cradle.high_mm, 41)[1:-1] / level
        beside = np.array([leg.at(s) + across * (tower.slot_half + 0.6) + [0.0, 0.0, 100.0] for s in a])
        where, rays, _ = mesh.ray.intersects_location(
            beside, np.tile([0.0, 0.0, -1.0], (len(a), 1)), multiple_hits=False
        )
        # Height above the axis, measured square to the leg.
        tops = np.array([(p[2] - leg.at(a[i])[2]) * level for p, i in zip(where, rays, strict=True)])
        lid, ideal = tower.radius + tower.cradle.clearance_mm, tower.radius
        assert tops.max() == pytest.approx(lid, abs=2e-3)
        for wanted in (lid, ideal):
            assert np.sum(np.abs(tops - wanted) < 2e-3) >= 8


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_stops_leave_the_piece_its_tolerance(name):
    """Exact where the stop is square to the leg; where it is upright it is never nearer, and a line shows the limit."""
    jig = jig_of(name)
    mesh = mesh_of(jig.whole)
    stops = [t for t in jig.layout.towers if t.cradle.stop]
    assert len(stops) == 2
    half = jig.settings.print.allowance_mm / 2.0
    for tower in stops:
        leg = jig.layout.axis.legs[tower.cradle.leg]
        outward = leg.direction if tower.cradle.stop == "finish" else -leg.direction
        end = leg.at(leg.length if tower.cradle.stop == "finish" else 0.0)
        gap = hit(mesh, end, outward)
        level = np.hypot(outward[0], outward[1])
        # An end that looks up even a little gets an upright stop, looser by as much as it leans over the slot's depth.
        leans = max(0.0, outward[2]) / level * 2.0 * (tower.radius + tower.cradle.clearance_mm)
        assert tower.cradle.stop_mm + half - 2e-3 <= gap <= tower.cradle.stop_mm + half + leans + 2e-3
        assert tower.stop_upright == (outward[2] / level > 0.02)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_piece_touches_nothing_and_nothing_is_nearer_than_the_tightest_slot(name):
    jig = jig_of(name)
    piece = rod(laid_line(jig, jig.solved.centreline), jig.solved.tube.outside_mm, CHORD)
    jig_solid = block(jig.whole)
    tightest = nearest_drawn(jig)
    assert (piece ^ jig_solid).volume() == 0.0
    assert piece.min_gap(jig_solid, 30.0) == pytest.approx(tightest, abs=CHORD + 0.01)


def lifted(piece, jig_solid, height):
    """Lift a piece straight up through a jig and return the nearest it came.

    Each step is as long as the gap before it, less a hair: distance changes no faster than the piece moves, so
    nothing is touched between two steps either. That is the whole sweep, not samples of it.
    """
    at, nearest = 0.0, np.inf
    # The piece starts above the base and only rises; what is engraved in the base costs time and nothing else.
    jig_solid = jig_solid.trim_by_plane((0.0, 0.0, 1.0), 5.0)
    while at < height:
        gap = piece.translate((0.0, 0.0, at)).min_gap(jig_solid, 12.0)
        nearest = min(nearest, gap)
        assert gap > 0.05, f"touches {at:.1f} mm up"
        at += 0.95 * gap
    return nearest


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_piece_lifts_straight_out(name):
    jig = jig_of(name)
    piece = rod(laid_line(jig, jig.solved.centreline), jig.solved.tube.outside_mm, 0.2)
    tightest = nearest_drawn(jig)
    assert lifted(piece, block(jig.whole), jig.layout.height) > 0.9 * tightest


@pytest.mark.slow
@pytest.mark.parametrize("seed", few_or_many([0], range(3)))
def test_random_pieces_lift_straight_out(seed):
    jig = design(random_piece(100 + seed, bends=2 + seed), whole(gauges=False))
    piece = rod(laid_line(jig, jig.solved.centreline), 15.0, 0.2)
    tightest = nearest_drawn(jig)
    assert lifted(piece, block(jig.whole), jig.layout.height) > 0.9 * tightest


def test_a_slot_that_hooks_over_the_piece_would_be_found():
    """The sweep can fail: a lintel across one slot stops the piece."""
    jig = jig_of("flat set")
    piece = rod(laid_line(jig, jig.solved.centreline), 15.0, 0.1)
    tower = jig.layout.towers[2]
    x, y, _ = tower.place.point((tower.cradle.low_mm + tower.cradle.high_mm) / 2.0, 0.0, 0.0)
    from manifold3d import Manifold

    lintel = Manifold.cube((40.0, 4.0, 4.0), True).translate((x, y, tower.height + 4.0))
    with pytest.raises(AssertionError, match="touches"):
        lifted(piece, block(jig.whole) + lintel, jig.layout.height + 10.0)


@pytest.mark.slow
def test_slots_follow_the_stated_tolerance():
    """Wide slots where legs are long: the position tolerance itself, whatever it is."""
    for position in few_or_many((1.0, 4.0), (1.0, 2.0, 4.0)):
        layout = next(plans(PIECES["long set"], whole(decision="go", tolerance=Tolerance(position, 5.0)))).layout
        assert {t.cradle.clearance_mm for t in layout.towers} == {position}
