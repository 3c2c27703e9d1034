"""A sprung end against beams that are worked out otherwise: numeric integration, a cantilever, a thin ring."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.trade.materials import find_proof_stress
from pipemodel.trade.tubes import find_tube
from pipemodel.ways_in.springs import Lever, pushed, sprung_line
from pipemodel.ways_in.values import SprungEnd

LEVERS = [(500.0, 55.0, 90.0), (200.0, 55.0, 45.0), (300.0, 77.0, 135.0), (150.0, 40.0, 180.0), (0.0, 55.0, 90.0)]


def flexed(leg, radius, angle, moment_at):
    """Where the end comes to from a clamp at the far side of the bend: curvature and moment integrated twice."""
    arc = radius * np.radians(angle)

    def slope(s, state):
        bend = 1.0 / radius if s < arc else 0.0
        return [bend + moment_at(s), np.cos(state[0]), np.sin(state[0])]

    out = [0.0, 0.0, 0.0]
    for low, high in ((0.0, arc), (arc, arc + leg)):
        if high > low:
            out = solve_ivp(slope, (low, high), out, rtol=1e-9, atol=1e-9).y[:, -1]
    return out


def arms(leg, radius, angle):
    """The arm of a push square to the leg at its end, from the place of the tube that it is taken about."""
    arc, a = radius * np.radians(angle), np.radians(angle)
    return lambda s: leg + radius * np.sin(a - s / radius) if s < arc else leg - (s - arc)


@pytest.mark.parametrize(("leg", "radius", "angle"), LEVERS)
def test_the_end_goes_as_far_as_integration_says_and_strains_as_much(leg, radius, angle) -> None:
    lever, arm = Lever(leg, radius, angle, 15.0), arms(leg, radius, angle)
    push = 1e-8
    still = flexed(leg, radius, angle, lambda s: 0.0)
    moved = flexed(leg, radius, angle, lambda s: push * arm(s))
    square = np.array([-np.sin(still[0]), np.cos(still[0])])
    gone = float((np.array(moved[1:]) - still[1:]) @ square)
    assert lever.give * push == pytest.approx(gone, rel=2e-3)
    arc = radius * np.radians(angle)
    # A fibre 7.5 nearer to the middle of the bend is (R - 7.5) / R as long, and stretched by 7.5 times the change.
    worst = max(push * arm(s) * 7.5 * radius / (radius - 7.5) for s in np.linspace(0.0, arc, 2001))
    assert lever.strain_of(gone) == pytest.approx(worst, rel=3e-3)


def test_with_next_to_no_bend_it_is_the_cantilever_with_an_end_load() -> None:
    """The handbook's deflection P L^3 / 3 E I with a strain P L c / E I at the root: e L^2 / 3 c."""
    lever = Lever(600.0, 1e6, 1e-5, 15.0)
    assert lever.reach_mm(0.0005) == pytest.approx(0.0005 * 600.0**2 / (3.0 * 7.5), rel=1e-2)


def test_the_push_on_a_leg_with_next_to_no_bend_is_that_on_a_cantilever() -> None:
    """The handbook's P = 3 E I f / L^3, I of a ring; E by the handbook's table of expansion loops, 15.6e6 psi."""
    line, tube = ell(600.0, 1e6, 1e-5), find_tube("15")
    ring = np.pi / 64.0 * (15.0**4 - (15.0 - 2.0 * 0.7) ** 4)
    push = pushed(SprungEnd("finish", -10.0, 1), line, tube).push_n
    assert push == pytest.approx(3.0 * 15.6e6 * 0.00689476 * ring * 10.0 / 600.0**3, rel=1e-2)


def test_a_quarter_ring_goes_as_the_handbook_says() -> None:
    """A quarter of a thin ring clamped at one end, loaded at the other along its radius there: pi P R^3 / 4 E I."""
    assert Lever(0.0, 300.0, 90.0, 1.0).give == pytest.approx(np.pi / 4.0 * 300.0**3, rel=1e-12)
    moments = quad(lambda t: np.sin(t) ** 2, 0.0, np.pi / 2.0)[0]
    assert moments == pytest.approx(np.pi / 4.0)


def ell(leg, radius, angle):
    start = Straight((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 200.0)
    arc = Arc((200.0, 0.0, radius), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0), radius, angle)
    return Centreline((start, arc, Straight(arc.finish, arc.finish_direction, leg)))


@pytest.mark.parametrize("by", [9.0, -9.0])
@pytest.mark.parametrize(("leg", "radius", "angle"), LEVERS[:4])
def test_the_sprung_axis_lies_where_integration_has_it(leg, radius, angle, by) -> None:
    line, arm = ell(leg, radius, angle), arms(leg, radius, angle)
    sprung = sprung_line(line, "finish", by)
    assert sprung.length == pytest.approx(line.length)
    assert sprung.point_at(150.0) == line.point_at(150.0)
    push = -by / Lever(leg, radius, angle, 15.0).give
    for share in (0.35, 0.7, 1.0):
        arc = radius * np.radians(angle)
        s = share * (arc + leg)
        bend = min(s, arc)
        x, z = flexed(s - bend, radius, np.degrees(bend / radius), lambda at: push * arm(at))[1:]
        # All but exact: arcs of even curvature in place of one that lessens evenly.
        assert sprung.point_at(200.0 + s) == pytest.approx((200.0 + x, 0.0, z), abs=0.01 * abs(by))
    off = np.array(sprung.finish) - line.finish
    # Open is away from the other leg.
    towards = np.cross(line.arcs[0].axis, line.straights[-1].direction)
    assert off @ towards == pytest.approx(-by, rel=0.06)


def test_the_start_is_sprung_as_the_finish_is() -> None:
    line = ell(300.0, 55.0, 90.0)
    back = Centreline(
        (
            Straight(line.finish, (0.0, 0.0, -1.0), 300.0),
            Arc((200.0, 0.0, 55.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0), 55.0, 90.0),
            Straight((200.0, 0.0, 0.0), (-1.0, 0.0, 0.0), 200.0),
        )
    )
    forth, other = sprung_line(line, "finish", 7.0), sprung_line(back, "start", 7.0)
    for s in np.linspace(0.0, line.length, 23):
        assert forth.point_at(line.length - s) == pytest.approx(other.point_at(s), abs=1e-6)


@pytest.mark.parametrize(("tube", "strain"), [("15", 0.5 * 150 / 130_000), ("15 R220", 0.5 * 33 / 130_000)])
def test_soft_tube_springs_little(tube, strain) -> None:
    proof = find_proof_stress(find_tube(tube))
    assert proof.spring_strain == pytest.approx(strain)
