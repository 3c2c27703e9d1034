"""The room and the piece as rows of arrays, the way the compiled judge reads them."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, lengths
from pipemodel.geometry.centreline import NO_LENGTH_MM, Arc, Centreline
from pipemodel.geometry.distance.paths import paths_of
from pipemodel.geometry.distance.tree import tree_of
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.shapes.box import Box
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.geometry.shapes.cylinder import Cylinder
from pipemodel.geometry.shapes.half_space import HalfSpace
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.triangles import triangles_of
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.geometry.vectors import Vec3, dot, length, scale, sub, unit
from pipemodel.ways_in.judge_kernel import BEND, BOX, CONE, CYLINDER, FACE, MESH, WASHER

_WIDE = 16
"""How many figures a row holds."""


class Joined(NamedTuple):
    """What an end of the piece joins: there it may touch, as long as the end is near its place.

    So much of the run from that end (`cut_mm`) is not held against the thing while the end's middle lies within
    `within_mm` of its place.
    """

    cut_mm: float
    within_mm: float


NOT_JOINED = Joined(0.0, 0.0)


class Obstacle(NamedTuple):
    """What a piece must keep off: a thing's shape, or another run as its centreline and outside diameter."""

    name: str
    what: Shape | tuple[Centreline, float]
    start: Joined = NOT_JOINED
    finish: Joined = NOT_JOINED


Room: TypeAlias = tuple[Ints, Floats, Floats, Ints, Floats, Ints, Floats]
"""Kinds of rows, (m,); their figures, (m, 16); what ends may touch, (m, 4); which obstacle each is of, (m,); blocks
over triangles: middles and half sizes, (b, 6), first child, number of children and whether they are triangles, (b, 3);
and the triangles' corners and normals, (t, 12)."""
Piece: TypeAlias = tuple[Floats, Floats, Floats, Floats]
"""Rows, (n, 16), measured from the middle of the piece; the tube's radius, the run's length and how far its axis
reaches from the middle; its ends from the middle and in their place, (4, 3); and points that hold its axis between
them."""
Work: TypeAlias = tuple[Floats, Floats, Ints]


class _Rows:
    """Gathers the rows of a room."""

    def __init__(self) -> None:
        self.kinds: list[int] = []
        self.data: list[list[float]] = []
        self.cuts: list[tuple[float, ...]] = []
        self.owner: list[int] = []
        self.corners: list[Floats] = []
        self.meshes: list[int] = []

    def put(self, number: int, obstacle: Obstacle, kind: int, figures: Sequence[float]) -> None:
        self.kinds.append(kind)
        self.data.append([*figures, *([0.0] * (_WIDE - len(figures)))])
        self.cuts.append((*obstacle.start, *obstacle.finish))
        self.owner.append(number)

    def shape(self, number: int, obstacle: Obstacle, shape: Shape) -> None:
        if isinstance(shape, HalfSpace):
            self.put(number, obstacle, FACE, [*shape.normal, dot(shape.normal, shape.point)])
        elif isinstance(shape, Box):
            middle = [0.5 * (a + b) for a, b in zip(shape.low, shape.high, strict=True)]
            half = [0.5 * (b - a) for a, b in zip(shape.low, shape.high, strict=True)]
            self.put(number, obstacle, BOX, [*middle, *half])
        elif isinstance(shape, Cylinder):
            self.straight(number, obstacle, shape.start, shape.finish, shape.diameter / 2.0)
        elif isinstance(shape, Cone):
            way = sub(shape.finish, shape.start)
            radii = [d / 2.0 for d in shape.diameters]
            self.put(number, obstacle, CONE, [*shape.start, *unit(way), length(way), *radii])
        elif isinstance(shape, Tube):
            self.tube(number, obstacle, shape.line, shape.diameter)
        else:
            own = shape.corners()
            assert own is not None, "a shape that is none of the above is made of triangles"
            if len(own):
                self.meshes.append(len(self.kinds))
                self.corners.append(own)
                low, high = own.min(axis=(0, 1)), own.max(axis=(0, 1))
                self.put(number, obstacle, MESH, [*(0.5 * (low + high)).tolist(), *(0.5 * (high - low)).tolist()])
            if isinstance(shape, Plate):
                for hole, (_, reach) in zip(shape.rounds, shape.rings, strict=True):
                    ring = [*shape.place(hole.x, hole.y, 0.0), *shape.normal, shape.thickness, reach, hole.radius]
                    self.put(number, obstacle, WASHER, ring)

    def straight(self, number: int, obstacle: Obstacle, start: Vec3, finish: Vec3, radius: float) -> None:
        way = sub(finish, start)
        self.put(number, obstacle, CYLINDER, [*start, *unit(way), length(way), radius])

    def tube(self, number: int, obstacle: Obstacle, line: Centreline, outside_mm: float) -> None:
        for piece in line.pieces:
            if isinstance(piece, Arc):
                v = piece.direction_at(0.0)
                turn = np.radians(piece.angle_deg)
                figures = [*piece.centre, *piece.spoke, *v, piece.radius, turn, outside_mm / 2.0]
                self.put(number, obstacle, BEND, figures)
            elif piece.length > NO_LENGTH_MM:
                self.straight(number, obstacle, piece.start, piece.finish, outside_mm / 2.0)


def room_of(obstacles: Sequence[Obstacle]) -> Room:
    """Lay out what a piece must keep off; files of meshes must have been read."""
    rows = _Rows()
    for number, obstacle in enumerate(obstacles):
        if isinstance(obstacle.what, Shape):
            rows.shape(number, obstacle, obstacle.what)
        else:
            rows.tube(number, obstacle, *obstacle.what)
    data = np.array(rows.data, dtype=np.float64).reshape(-1, _WIDE)
    block, links, triangles = np.zeros((0, 6)), np.zeros((0, 3), dtype=np.int64), np.zeros((0, 12))
    if rows.corners:
        owner = np.repeat(np.arange(len(rows.corners)), [len(own) for own in rows.corners])
        made = triangles_of(np.concatenate(rows.corners), owner)
        tree = tree_of(made)
        block = np.concatenate([0.5 * (tree.low + tree.high), 0.5 * (tree.high - tree.low)], axis=1)
        links = np.stack([tree.first, tree.count, tree.leaf.astype(np.int64)], axis=1)
        triangles = np.concatenate([made.corner.reshape(-1, 9), made.normal], axis=1)
        data[rows.meshes, 6] = tree.root
    cuts = np.array(rows.cuts, dtype=np.float64).reshape(-1, 4)
    owner = np.array(rows.owner, dtype=np.int64)
    block, triangles = np.ascontiguousarray(block), np.ascontiguousarray(triangles)
    links = np.ascontiguousarray(links)
    return np.array(rows.kinds, dtype=np.int64), data, cuts, owner, block, links, triangles


def piece_of(line: Centreline, outside_mm: float) -> tuple[Piece, Floats]:
    """Lay out a finished run; also return its middle, from which it is measured: (3,), in its place in the room."""
    paths, _ = paths_of([line], [outside_mm])
    hull = _hull(line)
    middle = 0.5 * (hull.min(axis=0) + hull.max(axis=0))
    half = 0.5 * paths.length
    rows = np.arange(len(paths))
    centres, _ = paths.at(rows, half)
    ends, _ = paths.at(rows, np.zeros(len(rows)))
    reach = lengths(ends - centres)
    figures = [paths.origin - middle, paths.u, paths.v, paths.radius[:, None], paths.length[:, None]]
    table = np.concatenate([*figures, paths.at0[:, None], centres - middle, reach[:, None]], axis=1)
    tips = np.array([line.start, line.finish])
    hull = hull - middle
    facts = np.array([outside_mm / 2.0, line.length, float(lengths(hull).max())])
    table, ends, hull = (np.ascontiguousarray(x) for x in (table, np.concatenate([tips - middle, tips]), hull))
    return (table, facts, ends, hull), middle


def work_for(piece: Piece, room: Room) -> Work:
    """Return room to work in."""
    return np.zeros((len(piece[0]), 12)), np.zeros((100, 12)), np.zeros(max(4 * len(room[4]), 64), dtype=np.int64)


def _hull(line: Centreline) -> Floats:
    """Return points between which the axis lies: ends of pieces, and where the tangents of short arcs meet."""
    points: list[Vec3] = [line.start, line.finish]
    for piece in line.pieces:
        points += [piece.start, piece.finish]
        if isinstance(piece, Arc):
            parts = max(1, int(np.ceil(piece.angle_deg / 60.0)))
            step = piece.length / parts
            longer = float(np.tan(np.radians(piece.angle_deg) / parts / 2.0)) * piece.radius
            for k in range(parts):
                at = piece.point_at(k * step)
                ahead = scale(piece.direction_at(k * step), longer)
                points.append((at[0] + ahead[0], at[1] + ahead[1], at[2] + ahead[2]))
    return np.array(points, dtype=np.float64)


def names_by_row(room: Room, obstacles: Sequence[Obstacle]) -> Mapping[int, str]:
    """Return the name of what each row of a room is of."""
    return {row: obstacles[number].name for row, number in enumerate(room[3].tolist())}
