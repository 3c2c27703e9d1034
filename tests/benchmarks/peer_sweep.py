"""The peer: how a competent engineer makes the same tube with a general CAD library, as a plain script.

A wire of lines and arcs, a ring swept along it, and the library's own exporters. Run by itself it makes the STEP
and STL of a run with as many bends as its second argument says: `peer_sweep.py FOLDER 10`.
"""

import math
import sys

import cadquery as cq
from runs import OUTSIDE, RADIUS, WALL, staircase


def wire(corners, radius):
    """Lines and arcs through some corners."""
    points = [cq.Vector(*corner) for corner in corners]
    edges, here = [], points[0]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        u, v = (corner - before).normalized(), (after - corner).normalized()
        angle = u.getAngle(v)
        setback = radius * math.tan(angle / 2.0)
        start, finish = corner - u * setback, corner + v * setback
        middle = corner + (v - u).normalized() * (radius / math.cos(angle / 2.0) - radius)
        edges.append(cq.Edge.makeLine(here, start))
        edges.append(cq.Edge.makeThreePointArc(start, middle, finish))
        here = finish
    edges.append(cq.Edge.makeLine(here, points[-1]))
    return cq.Wire.assembleEdges(edges)


def tube(corners):
    """The hollow tube, swept."""
    path = wire(corners, RADIUS)
    ahead = cq.Vector(*corners[1]) - cq.Vector(*corners[0])
    section = cq.Workplane(cq.Plane(origin=corners[0], normal=ahead.toTuple()))
    return section.circle(OUTSIDE / 2.0).circle(OUTSIDE / 2.0 - WALL).sweep(cq.Workplane(obj=path))


if __name__ == "__main__":
    folder, bends = sys.argv[1], int(sys.argv[2])
    solid = tube(staircase(bends))
    cq.exporters.export(solid, f"{folder}/peer.step")
    cq.exporters.export(solid, f"{folder}/peer.stl", tolerance=0.05)
