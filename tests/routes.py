"""Runs written as moves and features, compiled, bent, and sampled without our own distances."""

import numpy as np

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.shapes import Box, Cylinder
from pipemodel.job.model import Place, Thing
from pipemodel.job.routing.compile import compile_route
from pipemodel.job.routing.faults import RouteError
from pipemodel.job.routing.forms import RouteItem
from pipemodel.trade.model import Former, Tube

TUBE = Tube(15.0, 0.7, "15 x 0.7")
FORMER = Former(55.0)


def route(*items, start=(0.0, 0.0, 0.0), heading=None, things=(), tube=TUBE, former=FORMER):
    """Compile items given as plain mappings."""
    forms = [RouteItem.model_validate(item) for item in items]
    places = [Place(i + 1, 1) for i in range(len(items))]
    return compile_route(start, heading, forms, places, tube, former, things)


def corners(*items, **where):
    """The corners of a route, shape (n, 3)."""
    return np.array(route(*items, **where).corners)


def table(*items, former=FORMER, **where):
    """The bend table of a route."""
    return bends_of(route(*items, former=former, **where), former)


def axis_points(*items, former=FORMER, step=0.02, **where):
    """Points of the axis of the tube as bent and the direction of travel at each, both (n, 3)."""
    return sampled(table(*items, former=former, **where), step)


def bends_of(made, former=FORMER):
    """The bend table of a compiled route."""
    return bend_corners(made.corners, former.radius_mm, made.joined)[0]


def sampled(bends, step):
    """Points of the axis of a bend table, so far apart, and the direction of travel at each, both (n, 3)."""
    line = centreline_of(bends)
    at = np.arange(0.0, line.length, step)
    points, ahead = np.empty((len(at), 3)), np.empty((len(at), 3))
    begins = 0.0
    for piece in line.pieces:
        on = at >= begins - 1e-9
        points[on], ahead[on] = _along(piece, at[on, None] - begins)
        begins += piece.length
    for i in (0, len(at) // 3, len(at) - 1):
        assert np.allclose(points[i], line.point_at(at[i]), atol=1e-6)
        assert np.allclose(ahead[i], line.direction_at(at[i]), atol=1e-6)
    return points, ahead


def _along(piece, s):
    """Points and directions of a piece at lengths along it, (n, 1)."""
    if isinstance(piece, Straight):
        return piece.start + s * piece.direction, np.broadcast_to(piece.direction, (len(s), 3))
    turn, spoke, swept = s / piece.radius, np.array(piece.spoke), np.cross(piece.axis, piece.spoke)
    points = piece.centre + piece.radius * (np.cos(turn) * spoke + np.sin(turn) * swept)
    return points, np.cos(turn) * swept - np.sin(turn) * spoke


def to_cylinder(points, shape):
    """Distance of points (n, 3) from the round side of a long cylinder."""
    axis = np.subtract(shape.finish, shape.start)
    axis = axis / np.linalg.norm(axis)
    return np.linalg.norm(np.cross(points - np.array(shape.start), axis), axis=1) - shape.diameter / 2


def to_box(points, shape):
    """Distance of points (n, 3) outside a box from it."""
    nearest = np.clip(points, shape.low, shape.high)
    return np.linalg.norm(points - nearest, axis=1)


def faults(*items, **where):
    """What is wrong with a route: (item, message) each."""
    try:
        route(*items, **where)
    except RouteError as error:
        return tuple((item, str(said)) for item, said in error.said)
    raise AssertionError("nothing is wrong with it")


def pipe(x, y=0.0, z=0.0, diameter=43.0, along=(0.0, 1.0, 0.0), name="waste pipe"):
    """A long pipe through a point."""
    start = tuple(c - 2000.0 * d for c, d in zip((x, y, z), along, strict=True))
    finish = tuple(c + 2000.0 * d for c, d in zip((x, y, z), along, strict=True))
    return Thing(name, Cylinder(start, finish, diameter))


def box(low, high, name="boxing"):
    """A box."""
    return Thing(name, Box(low, high))
