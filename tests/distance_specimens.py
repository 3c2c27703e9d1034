"""Tubes and things in awkward places to each other, and the kernel's own distance between them."""

import math
import random

from wide import few_or_many

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes import Box, Cylinder
from pipemodel.geometry.vectors import add, any_normal, rotate, scale, sub, unit

TIMES = few_or_many(1, 20)
"""How many times as many random cases as in a quick run."""
KERNEL_MM = 1e-6
"""Agreement asked for with the kernel; 0.01 mm is what the program promises."""


def seeds(count):
    return range(count * TIMES)


def direction(dice):
    return unit(tuple(dice.gauss(0.0, 1.0) for _ in range(3)))


def moved(line, axis=(0.0, 0.0, 1.0), angle=0.0, offset=(0.0, 0.0, 0.0)):
    """A centreline turned about the origin, then moved."""
    pieces = []
    for p in line.pieces:
        if isinstance(p, Arc):
            centre, along, spoke = (rotate(v, axis, angle) for v in (p.centre, p.axis, p.spoke))
            pieces.append(Arc(add(centre, offset), along, spoke, p.radius, p.angle_deg))
        else:
            start = add(rotate(p.start, axis, angle), offset)
            pieces.append(Straight(start, rotate(p.direction, axis, angle), p.length))
    return Centreline(tuple(pieces))


def straight_line(start, finish):
    way = sub(finish, start)
    return Centreline((Straight(tuple(map(float, start)), unit(way), math.hypot(*way)),))


def wandering(dice, bends, radius=55.0):
    """A run of some bends whichever way."""
    while True:
        corners = [(0.0, 0.0, 0.0)]
        for _ in range(bends + 1):
            corners.append(add(corners[-1], scale(direction(dice), dice.uniform(150.0, 500.0))))
        try:
            return centreline_of(bend_corners(corners, radius)[0])
        except UnbendableError:
            continue


def stub(dice):
    """A short piece with at most one bend, often a tight one, tails as short as nothing; and its diameter."""
    outside, tail = dice.choice([10.0, 15.0, 28.0]), dice.choice([0.0, 1.0, 5.0, 20.0, 60.0])
    if dice.random() < 0.4:
        pieces = (Straight((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), tail + 2.0),)
    else:
        radius = outside / 2.0 * dice.choice([1.1, 1.5, 4.0])
        angle = dice.choice([10.0, 45.0, 90.0, 137.0, 180.0])
        arc = Arc((tail, radius, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), radius, angle)
        last = Straight(arc.finish, arc.finish_direction, dice.choice([0.0, 3.0, 40.0]))
        pieces = (Straight((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), tail), arc, last)
    line = Centreline(pieces)
    return (moved(line, direction(dice), dice.uniform(0.0, 360.0)) if dice.random() < 0.7 else line), outside


def box_near(dice, line):
    """A box somewhere beside a run, or beyond one of its ends."""
    at, away = _beside(dice, line)
    size = [dice.uniform(1.0, 40.0) for _ in range(3)]
    low = tuple(p - (s if d < 0.0 else 0.0) for p, s, d in zip(at, size, away, strict=True))
    return Box(low, tuple(p + s for p, s in zip(low, size, strict=True)))


def cylinder_near(dice, line):
    at, _ = _beside(dice, line)
    return Cylinder(at, add(at, scale(direction(dice), dice.uniform(5.0, 150.0))), dice.uniform(2.0, 30.0))


def _beside(dice, line):
    place = dice.choice([0.0, line.length, dice.uniform(0.0, line.length)])
    away = direction(dice)
    return add(line.point_at(place), scale(away, dice.uniform(10.0, 80.0))), away


def tip_near_end(dice, line, outside):
    """A box or a cylinder with a corner, a rim or its middle just off (or in) a flat end: ahead, beside, flush."""
    if dice.random() < 0.5:
        end, facing = line.start, scale(line.direction_at(0.0), -1.0)
    else:
        end, facing = line.finish, line.pieces[-1].direction_at(line.pieces[-1].length)
    across = rotate(any_normal(facing), facing, dice.uniform(0.0, 360.0))
    ahead = dice.choice([-3.0, -0.5, 0.2, 1.0, 5.0, 15.0]) * dice.random()
    aside = outside / 2.0 * dice.choice([0.0, 0.5, 0.9, 1.0, 1.1, 2.0, 2.0 * dice.random()])
    tip = add(end, add(scale(facing, ahead), scale(across, aside)))
    if dice.random() < 0.4:
        size = [dice.choice([1.0, 8.0, 60.0]) * dice.uniform(0.3, 1.0) for _ in range(3)]
        low = tuple(p + dice.choice([0.0, -1.0, -0.5]) * s for p, s in zip(tip, size, strict=True))
        return Box(low, tuple(p + s for p, s in zip(low, size, strict=True)))
    way = dice.choice([facing, across, direction(dice), direction(dice)])
    length, diameter = dice.choice([2.0, 30.0, 200.0]), dice.choice([2.0, 8.0, 40.0])
    start = dice.choice([tip, add(tip, scale(way, -length * dice.random()))])
    if dice.random() < 0.5:
        start = add(start, scale(any_normal(way), diameter / 2.0))
    return Cylinder(start, add(start, scale(way, length)), diameter)


def kernel_tube(line, outside):
    """The tube as the kernel's solids, a cylinder or a part of a torus for each piece."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakeTorus

    solids = []
    for p in line.pieces:
        if p.length <= 1e-9:
            continue
        if isinstance(p, Arc):
            axes = _axes(p.centre, p.axis, p.spoke)
            solids.append(BRepPrimAPI_MakeTorus(axes, p.radius, outside / 2.0, math.radians(p.angle_deg)).Shape())
        else:
            solids.append(BRepPrimAPI_MakeCylinder(_axes(p.start, p.direction), outside / 2.0, p.length).Shape())
    return solids


def kernel_thing(shape):
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Pnt

    if isinstance(shape, Box):
        return [BRepPrimAPI_MakeBox(gp_Pnt(*shape.low), gp_Pnt(*shape.high)).Shape()]
    way = sub(shape.finish, shape.start)
    return [BRepPrimAPI_MakeCylinder(_axes(shape.start, unit(way)), shape.diameter / 2.0, math.hypot(*way)).Shape()]


def kernel_point(point):
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
    from OCP.gp import gp_Pnt

    return BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Shape()


def kernel_distance(some, others):
    """The least distance by BRepExtrema_DistShapeShape; 0 where solids overlap."""
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape

    best = math.inf
    for a in some:
        for b in others:
            found = BRepExtrema_DistShapeShape(a, b)
            best = min(best, 0.0 if found.InnerSolution() else found.Value())
    return best


def _axes(origin, z, x=None):
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    return gp_Ax2(gp_Pnt(*origin), gp_Dir(*z), gp_Dir(*x)) if x else gp_Ax2(gp_Pnt(*origin), gp_Dir(*z))


def rng(seed):
    return random.Random(seed)
