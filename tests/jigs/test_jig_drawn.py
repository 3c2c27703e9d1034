"""A jig drawn: its plan held against its solids, its picture against the axis, and the beds of its package."""

import io
import math
import re
import zipfile
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely
import trimesh
from jig_pieces import jig_of, whole

from pipemodel.documents.jig.files import package_of
from pipemodel.documents.jig.plan_sheet import plan_sheet
from pipemodel.drawing.projection import pictorial_view
from pipemodel.drawing.sheet import Circle, Line, Role, Text
from pipemodel.job.jig import Bed
from pipemodel.lists.jig_picture import picture_sheet

BOARD = whole(base="board", gauges=False)


def shifted(sheet, jig):
    """From the jig's plan to the sheet: found by the first hole, which is a circle on it."""
    hole = next(i.centre for i in sheet.items if isinstance(i, Circle))
    return np.array(hole) - next(p.holes[0] for p in jig.plan.base.pads if len(p.holes))


def crossed(a, b):
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def slice_area(body, z):
    mesh = trimesh.Trimesh(body.vertices, body.faces)
    return mesh.section(plane_origin=[0, 0, z], plane_normal=[0, 0, 1]).to_2D()[0]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["flat set", "two planes"])
def test_the_plan_shows_base_cradles_joints_holes_numbers_and_tube_where_they_are(name):
    jig = jig_of(name)
    sheet = plan_sheet(jig)
    move = shifted(sheet, jig)
    lines = [i for i in sheet.items if isinstance(i, Line)]
    inked = np.array([p for line in lines for p in line.points])
    assert inked.min() >= 19.9
    assert sheet.width - inked[:, 0].max() >= 19.9
    assert sheet.height - inked[:, 1].max() >= 31.9
    # The tight sides: 20 mm of paper beside the base, or beside the tube.
    assert inked[:, 0].min() < 29.0
    assert inked[:, 1].min() < 29.0
    # Outlines enclose what a slice of the base does, holes filled in.
    loops = [np.array(line.points) - move for line in lines if line.role is Role.OUTLINE and line.closed]
    area = sum(0.5 * crossed(p, np.roll(p, -1, axis=0)).sum() for p in loops)
    drilled = sum(math.pi * 2.2**2 for pad in jig.plan.base.pads for _ in pad.holes)
    assert abs(area) == pytest.approx(slice_area(jig.whole, 1.0).area + drilled, rel=2e-3)
    # A line across the bar at each joint.
    cuts = [np.array(line.points) - move for line in lines if line.role is Role.OUTLINE and not line.closed]
    assert len(cuts) == len(jig.plan.cut.joints) > 0
    for (p, q), joint in zip(cuts, jig.plan.cut.joints, strict=True):
        bar = jig.plan.base.bars[joint.bar]
        assert math.dist(p, q) == pytest.approx(jig.settings.bar_mm)
        assert (p - bar.start) @ bar.along == pytest.approx(joint.at)
        assert (q - bar.start) @ bar.along == pytest.approx(joint.at)
    # Hidden: the tower's top, as a slice high up through the jig has it.
    tops = [np.array(line.points) - move for line in lines if line.role is Role.HIDDEN]
    assert len(tops) == len(jig.layout.towers)
    for corners, tower in zip(tops, jig.layout.towers, strict=True):
        block = tower.body()[:4, :2]
        assert np.ptp(corners, axis=0) == pytest.approx(np.ptp(block, axis=0))
        assert corners.mean(axis=0) == pytest.approx(block.mean(axis=0))
    # The tube: its axis from start to finish, and an edge 7.5 mm to each side of it.
    (axis,) = [np.array(line.points) - move for line in lines if line.role is Role.CENTRE]
    legs = jig.layout.axis.legs
    assert axis[0] == pytest.approx(legs[0].start[:2])
    assert axis[-1] == pytest.approx(legs[-1].at(legs[-1].length)[:2])
    edges = [np.array(line.points) - move for line in lines if line.role is Role.ROOM]
    assert len(edges) == 2
    first = legs[0].direction[:2] / np.linalg.norm(legs[0].direction[:2])
    sides = sorted(float(crossed(first, e[0] - axis[0])) for e in edges)
    assert sides == pytest.approx([-7.5, 7.5])
    for edge in edges:
        assert np.linalg.norm(edge - axis, axis=1) == pytest.approx(7.5)
    # Crosses as wide as high on the holes, the numbers beside them.
    circles = [i for i in sheet.items if isinstance(i, Circle)]
    marks = [line for line in lines if line.role is Role.MARK]
    assert len(marks) == 2 * len(circles) == 2 * sum(len(p.holes) for p in jig.plan.base.pads)
    for circle, pair in zip(circles, zip(marks[::2], marks[1::2], strict=True), strict=True):
        assert circle.radius == jig.settings.screw_mm / 2.0
        for line in pair:
            assert np.mean(line.points, axis=0) == pytest.approx(circle.centre)
            assert math.dist(*line.points) == pytest.approx(10.0)
        assert np.subtract(*pair[0].points) @ np.subtract(*pair[1].points) == 0.0
    words = [i for i in sheet.items if isinstance(i, Text)]
    numbers = words[:-1]
    assert [w.text for w in numbers] == [str(t.cradle.number) for t in jig.layout.towers]
    for w, tower in zip(numbers, jig.layout.towers, strict=True):
        local = tower.place.local(np.array([[*(np.array(w.at) + [0.0, 2.5] - move), 0.0]]))[0]
        # Beyond the left ear, clear of the cross on its screw.
        ear = tower.foot[3] + 2.0 * jig.settings.screw_mm + 3.0
        assert ear < local[1] < ear + 8.0
        assert local[0] == pytest.approx(max(tower.foot[1], sum(tower.foot[:2]) / 2.0 + 8.0) - 4.0)
    assert "drill 4 mm at the crosses; seen from above, revision A" in words[-1].text
    assert words[-1].at[1] > inked[:, 1].max()


@pytest.mark.slow
@pytest.mark.parametrize("name", ["two planes", "four bends"])
def test_the_picture_points_each_number_at_its_cradle_and_keeps_it_off_the_tube(name):
    """The camera is worked out here: right is level and square to the look, up is square to both."""
    jig = jig_of(name)
    sheet = picture_sheet(jig)
    words = [i for i in sheet.items if isinstance(i, Text)]
    assert [w.text for w in words[:-1]] == [str(t.cradle.number) for t in jig.layout.towers]
    assert words[-1].text == f"{name}: the piece in its jig; lower it straight down"
    assert words[-1].at == pytest.approx((5.0, sheet.height - 7.0))
    tops, cheeks = [], []
    for t in jig.layout.towers:
        leg = jig.layout.axis.legs[t.cradle.leg]
        level = math.hypot(*leg.direction[:2])
        across = np.cross([0.0, 0.0, 1.0], leg.direction) / level
        lid = np.cross(leg.direction, across) * (7.5 + t.cradle.clearance_mm)
        middle = (t.top[0] + t.top[1]) / 2.0 / level
        # Straight up from the axis to the lid, and from there to either cheek.
        tops.append(leg.at(middle) + [0.0, 0.0, np.linalg.norm(lid) / level])
        cheeks.append([tops[-1] + side * t.half * across for side in (1.0, -1.0)])
    eye = np.array(pictorial_view([tuple(p) for p in tops], (175.0, 120.0)).toward_eye)
    assert eye[2] > 0.3, "from above"
    right = np.array([-eye[1], eye[0], 0.0])
    right /= np.linalg.norm(right)
    camera = np.column_stack([right, np.cross(eye, right) / np.linalg.norm(eye)])
    lines = [i for i in sheet.items if isinstance(i, Line)]
    drawn = np.array([p for line in lines if line.role in (Role.ROOM, Role.RUN) for p in line.points])
    assert drawn[:, 0].min() >= 5.0 - 1e-6
    assert drawn[:, 0].max() <= 170.0 + 1e-6
    # The drawing fills the room it has one way or the other.
    size = np.ptp(drawn, axis=0)
    assert max(size[0] / 165.0, size[1] / 120.0) == pytest.approx(1.0)
    assert (sheet.width, sheet.height) == pytest.approx((175.0, size[1] + 22.0))
    axis = jig.layout.axis.points @ camera
    # Each line to a number ends in a dot on the nearer or the farther cheek of its cradle, all in one projection.
    dots = [np.array(i.centre) for i in sheet.items if isinstance(i, Circle) and i.filled]
    assert len(dots) == len(tops)
    found = None
    for first in cheeks[0]:
        for last in cheeks[-1]:
            p, q = first @ camera, last @ camera
            k = np.linalg.norm(dots[-1] - dots[0]) / np.linalg.norm(q - p)
            move = dots[0] - k * p
            off = [min(np.linalg.norm(dot - move - k * (c @ camera)) for c in both)
                   for dot, both in zip(dots, cheeks, strict=True)]  # fmt: skip
            if max(off) < 1e-6:
                found = (k, move)
    assert found is not None
    k, move = found
    tube = shapely.LineString(axis * k + move).buffer(7.5 * k - 0.1)
    inked = np.array([p for line in lines if line.role in (Role.RUN, Role.RUN_HIDDEN) for p in line.points])
    reach = np.linalg.norm(inked[:, None] - (axis * k + move)[None], axis=2).min(axis=1)
    assert reach.max() < 7.5 * k + 2.1 * k
    assert len(inked) > 20
    # Words lie on no tube, and on no other words; a figure is 0.75 of its height wide, and a little more.
    boxes = [shapely.box(w.at[0] - wide * 3.5 * back, w.at[1], w.at[0] + wide * 3.5 * (1.0 - back), w.at[1] + 3.5)
             for w in words[:-1]
             for wide, back in [(0.9 * len(w.text), {"left": 0.0, "centre": 0.5, "right": 1.0}[w.align])]]  # fmt: skip
    assert not any(box.intersects(tube) for box in boxes)
    assert not any(a.intersects(b) for a, b in combinations(boxes, 2))
    # Near enough to be taken for its own cradle's.
    assert all(box.distance(shapely.Point(dot)) < 12.0 for box, dot in zip(boxes, dots, strict=True))


@pytest.mark.slow
def test_every_bed_of_the_package_stands_beyond_the_one_before():
    """Five towers on a bed that takes few: each further bed is a bed's width and 30 mm on."""
    jig = jig_of("two planes", replace(BOARD, bed=Bed(130.0, 130.0, 300.0)))
    with zipfile.ZipFile(io.BytesIO(package_of(jig))) as package:
        model = package.read("3D/3dmodel.model").decode()
    moves = [[float(v) for v in m.split()] for m in re.findall(r'transform="([^"]*)"', model)]
    assert len(moves) == len(jig.parts)
    beds = set()
    for m, part in zip(moves, jig.parts, strict=True):
        assert m[:9] == [1, 0, 0, 0, 1, 0, 0, 0, 1]
        bed, x = divmod(m[9], 160.0)
        assert 3.0 <= x <= 127.0 - part.body.size[0] + 1e-3
        assert 3.0 <= m[10] <= 127.0 - part.body.size[1] + 1e-3
        assert m[11] == 0.0
        beds.add(bed)
    assert beds == set(range(len(beds)))
    assert len(beds) > 1
    assert "Checking jig, two planes, revision A" in model
