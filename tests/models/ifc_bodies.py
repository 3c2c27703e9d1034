"""Bodies for IFC models: each puts one into a model that is made, and returns what kinds of shapes it may become."""

from math import pi

L_SHAPE = [(0, 0), (900, 0), (900, 300), (250, 300), (250, 700), (0, 700)]
BLOCK = [(x, y, z) for x in (0, 400) for y in (0, 150) for z in (0, 80)]
BLOCK_FACES = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
WEDGE = [(0, 0, 0), (500, 0, 0), (500, 300, 0), (0, 300, 0), (0, 0, 200), (0, 300, 200)]
WEDGE_FACES = [(0, 3, 2, 1), (0, 1, 4), (3, 5, 2), (0, 4, 5, 3), (1, 2, 5, 4)]
TILTED = {"at": (1200, -300, 450), "z": (0.3, -0.4, 0.9), "x": (1.0, 0.2, -0.1)}


def upright_wall(m, **place):
    return m.element([m.extruded(m.rectangle(3000, 200, (1500, 0)), 2400)], "IfcWall", axes=m.axes(**place))


def a_wall(m):
    upright_wall(m)
    return {"box"}


def a_wall_at_an_angle(m):
    upright_wall(m, at=(500, 0, 0), x=(0.8, 0.6, 0.0))
    return {"extrusion"}


def a_wall_with_door_and_window(m):
    wall = upright_wall(m)
    m.opening(wall, [m.extruded(m.rectangle(900, 400, (900, 0)), 2100)])
    window = m.extruded(m.rectangle(800, 600), 300, m.axes((2200, 150, 1500), z=(0, -1, 0), x=(1, 0, 0)))
    m.opening(wall, [window])
    return {"plate"}


def a_wall_at_an_angle_with_a_window(m):
    wall = upright_wall(m, x=(0.8, 0.6, 0.0), at=(100, 200, 300))
    m.opening(wall, [m.extruded(m.rectangle(800, 200, (1500, 0)), 900, m.axes((0, 0, 800)))])
    return {"plate"}


def openings_that_overlap_and_one_beside(m):
    wall = upright_wall(m)
    for x, z in ((800, 500), (1100, 700), (1100, 2200), (9000, 0)):
        m.opening(wall, [m.extruded(m.rectangle(600, 300, (x, 0)), 400, m.axes((0, 0, z)))])
    return {"plate"}


def a_recess_is_no_hole(m):
    wall = upright_wall(m)
    m.opening(wall, [m.extruded(m.rectangle(600, 100, (1000, 60)), 400, m.axes((0, 0, 500)))])
    return {"mesh"}


def openings_two_ways(m):
    wall = upright_wall(m)
    m.opening(wall, [m.extruded(m.rectangle(600, 300, (1000, 0)), 400, m.axes((0, 0, 500)))])
    m.opening(wall, [m.extruded(m.rectangle(60, 60, (2500, 0)), 2400)])
    return {"mesh"}


def a_slab_with_round_and_square_openings(m):
    slab = m.element([m.extruded(m.outline(L_SHAPE), 120)], "IfcSlab", axes=m.axes((50, 60, 2400)))
    m.opening(slab, [m.extruded(m.circle(55, (120, 500)), 300, m.axes((0, 0, -50)))])
    m.opening(slab, [m.extruded(m.rectangle(200, 100, (600, 150), 30), 120)])
    return {"plate"}


def a_slab_carried_down_with_an_opening_carried_up(m):
    slab = m.element([m.extruded(m.outline(L_SHAPE), 120, way=(0, 0, -1))], "IfcSlab")
    m.opening(slab, [m.extruded(m.outline([(100, 100), (300, 100), (200, 250)]), 400, m.axes((0, 0, -200)))])
    return {"plate"}


def an_opening_at_the_edge_of_a_slab(m):
    slab = m.element([m.extruded(m.outline(L_SHAPE), 120)], "IfcSlab")
    m.opening(slab, [m.extruded(m.rectangle(200, 200, (900, 150)), 120)])
    return {"plate"}


def a_slab_with_a_hole_in_its_outline(m):
    hole = [(100, 100), (300, 100), (300, 200), (100, 200)]
    round_hole = m.make("IfcCircle", m.axes2((600, 150)), 60.0)
    m.element([m.extruded(m.outline(L_SHAPE, [hole, round_hole]), 90)], "IfcSlab", axes=m.axes(**TILTED))
    return {"plate"}


def a_beam_lying_down(m):
    m.element([m.extruded(m.outline(L_SHAPE), 2500, m.axes((0, 0, 0), z=(1, 0, 0), x=(0, 1, 0)))], "IfcBeam")
    return {"plate"}


def a_beam_of_a_rectangle_at_a_slant(m):
    m.element([m.extruded(m.rectangle(75, 220), 2500)], "IfcBeam", axes=m.axes(**TILTED))
    return {"plate"}


def a_round_column(m):
    m.element([m.extruded(m.circle(150, (30, 40)), 2600)], "IfcColumn", axes=m.axes(**TILTED))
    return {"cylinder"}


def a_duct_of_sheet(m):
    hollow = m.make("IfcRectangleHollowProfileDef", "AREA", None, m.axes2(), 300.0, 200.0, 5.0)
    m.element([m.extruded(hollow, 1000, m.axes(z=(0, 1, 0), x=(1, 0, 0)))])
    return {"plate"}


def a_straight_swept_disk(m):
    line = m.polyline([(0, 0, 0), (300, 400, 1200)], closed=False)
    m.element([m.make("IfcSweptDiskSolid", line, 25.0)], axes=m.axes(**TILTED))
    return {"cylinder"}


def a_bent_tube_by_number(m):
    """Straight, a quarter turn, straight, half a turn in another plane, straight; as tubes are bent."""
    r = 60 * (1 - 0.5**0.5)
    points = [(0, 0, 0), (240, 0, 0), (300 - r, r, 0), (300, 60, 0), (300, 400, 0), (300, 450, 50), (300, 400, 100)]
    points = m.make("IfcCartesianPointList3D", [list(map(float, p)) for p in [*points, (300, 200, 100)]])
    parts = [m.make(f"Ifc{kind}Index", of) for kind, of in (("Line", (1, 2)), ("Arc", (2, 3, 4)), ("Line", (4, 5)))]
    parts += [m.make("IfcArcIndex", (5, 6, 7)), m.make("IfcLineIndex", (7, 8))]
    line = m.make("IfcIndexedPolyCurve", points, parts)
    m.element([m.make("IfcSweptDiskSolid", line, 22.0)], "IfcPipeSegment", axes=m.axes(**TILTED))
    return {"tube"}


def bow(m, axes, radius, first, last, agrees=True):
    trims = [[m.make("IfcParameterValue", float(angle))] for angle in (first, last)]
    return m.make("IfcTrimmedCurve", m.make("IfcCircle", axes, float(radius)), *trims, agrees, "PARAMETER")


def a_bent_tube_in_parts(m):
    """A line, a quarter of a circle travelled against its sense, and a line that is turned round."""
    first = m.polyline([(0, 0, 0), (200, 0, 0)], closed=False)
    quarter = bow(m, m.axes((200, 80, 0)), 80, 0, 3 * pi / 2, False)
    last = m.polyline([(280, 300, 0), (280, 80, 0)], closed=False)
    senses = ((first, True), (quarter, False), (last, False))
    parts = [m.make("IfcCompositeCurveSegment", "CONTINUOUS", sense, curve) for curve, sense in senses]
    m.element([m.make("IfcSweptDiskSolid", m.make("IfcCompositeCurve", parts, False), 30.0)], axes=m.axes(**TILTED))
    return {"tube"}


def an_elbow_turned_about_an_axis(m):
    axis = m.make("IfcAxis1Placement", m.point(150, 0, 0), m.way(0, 1, 0))
    turned = m.make("IfcRevolvedAreaSolid", m.circle(50, (0, 20)), m.axes(x=(0, 1, 0)), axis, pi / 3)
    m.element([turned], "IfcDuctFitting", axes=m.axes(**TILTED))
    return {"tube"}


def an_elbow_too_tight_is_no_tube(m):
    axis = m.make("IfcAxis1Placement", m.point(50, 0, 0), m.way(0, 1, 0))
    m.element([m.make("IfcRevolvedAreaSolid", m.circle(50), m.axes(), axis, pi / 2)], "IfcDuctFitting")
    return {"mesh"}


def a_block_of_faces(m):
    m.element([m.brep(BLOCK, BLOCK_FACES)], axes=m.axes((5, 6, 7), x=(0, 1, 0)))
    return {"box"}


def a_wedge_of_faces(m):
    m.element([m.brep(WEDGE, WEDGE_FACES)], axes=m.axes(**TILTED))
    return {"mesh"}


def a_frame_of_faces_with_holes(m):
    outer = [(x, y, z) for z in (0, 60) for x, y in ((0, 0), (400, 0), (400, 300), (0, 300))]
    inner = [(x, y, z) for z in (0, 60) for x, y in ((100, 100), (300, 100), (300, 200), (100, 200))]
    sides = [(a, (a + 1) % 4, 4 + (a + 1) % 4, 4 + a) for a in range(4)]
    faces = [[(3, 2, 1, 0), (8, 9, 10, 11)], [(4, 5, 6, 7), (15, 14, 13, 12)], *sides]
    faces += [tuple(8 + i for i in reversed(side)) for side in sides]
    m.element([m.brep(outer + inner, faces)])
    return {"mesh"}


def a_face_with_a_corner_along_its_side(m):
    points = [*BLOCK, (200, 0, 0)]
    faces = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 8, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4, 8), (1, 5, 7, 3)]
    m.element([m.brep(points, faces)])
    return {"mesh"}


def triangles_by_number(m):
    coordinates = m.make("IfcCartesianPointList3D", [tuple(map(float, p)) for p in WEDGE])
    faces = [t for f in WEDGE_FACES for t in ([f] if len(f) == 3 else [(f[0], f[1], f[2]), (f[0], f[2], f[3])])]
    index = [tuple(i + 1 for i in face) for face in faces]
    m.element([m.make("IfcTriangulatedFaceSet", Coordinates=coordinates, Closed=True, CoordIndex=index)])
    return {"mesh"}


def polygons_by_number(m):
    coordinates = m.make("IfcCartesianPointList3D", [tuple(map(float, p)) for p in WEDGE])
    faces = [m.make("IfcIndexedPolygonalFace", tuple(i + 1 for i in face)) for face in WEDGE_FACES]
    m.element([m.make("IfcPolygonalFaceSet", coordinates, True, faces)], axes=m.axes(**TILTED))
    return {"mesh"}


def mapped_and_turned(m):
    item = m.mapped([m.extruded(m.outline(L_SHAPE), 400)], at=(10, 20, 30), axes=((0, 1, 0), (-1, 0, 0), (0, 0, 1)))
    m.element([item], axes=m.axes((100, 0, 0), x=(0.6, 0.8, 0)))
    return {"extrusion"}


def mapped_from_an_origin_of_its_own(m):
    origin = m.axes((70, 80, 90), z=(0, 0, 1), x=(0, 1, 0))
    m.element([m.mapped([m.extruded(m.outline(L_SHAPE), 400)], origin, at=(10, 20, 30))])
    return {"extrusion"}


def mapped_mirrored_and_stretched(m):
    axes = ((1, 0, 0), (0, -1, 0), (0, 0, 1))
    item = m.mapped([m.extruded(m.outline(L_SHAPE), 400)], at=(10, 20, 30), axes=axes, scales=(1.0, 0.5, 2.0))
    m.element([item])
    return {"extrusion"}


def mapped_larger(m):
    m.element([m.mapped([m.extruded(m.circle(30), 400)], scales=2.5)], axes=m.axes(**TILTED))
    return {"cylinder"}


def a_circle_stretched(m):
    m.element([m.mapped([m.extruded(m.circle(100), 400)], scales=(1.0, 0.5, 1.0))])
    return {"mesh"}


def an_extrusion_that_leans(m):
    m.element([m.extruded(m.rectangle(300, 200), 500, way=(0.3, 0.1, 1.0))])
    return {"mesh"}


def an_outline_with_bows(m):
    points = m.make("IfcCartesianPointList2D", [(0.0, 0.0), (500.0, 0.0), (600.0, 150.0), (500.0, 300.0), (0.0, 300.0)])
    line, arc = m.make("IfcLineIndex", (1, 2)), m.make("IfcArcIndex", (2, 3, 4))
    rest = m.make("IfcLineIndex", (4, 5, 1))
    curve = m.make("IfcIndexedPolyCurve", points, [line, arc, rest])
    m.element([m.extruded(m.make("IfcArbitraryClosedProfileDef", "AREA", None, curve), 100)])
    return {"mesh"}


def lines_by_number(m):
    points = m.make("IfcCartesianPointList2D", [tuple(map(float, p)) for p in L_SHAPE])
    segments = [m.make("IfcLineIndex", (1, 2, 3)), m.make("IfcLineIndex", (3, 4, 5, 6, 1))]
    curve = m.make("IfcIndexedPolyCurve", points, segments)
    m.element([m.extruded(m.make("IfcArbitraryClosedProfileDef", "AREA", None, curve), 100)])
    return {"extrusion"}


def several_blocks(m):
    m.element([m.extruded(m.rectangle(40, 40, (x, y)), 700) for x in (0, 900) for y in (0, 500)])
    return {"box"}


def a_block_and_a_wedge(m):
    m.element([m.extruded(m.rectangle(100, 100, (-300, -300)), 200), m.brep(WEDGE, WEDGE_FACES)])
    return {"mesh"}


def half_space(m, at, z, agree=False):
    return m.make("IfcHalfSpaceSolid", m.make("IfcPlane", m.axes(at, z=z, x=(0, 1, 0))), agree)


def less(m, body, half, kind="IfcBooleanClippingResult"):
    return m.make(kind, "DIFFERENCE", body, half)


def a_wall_under_a_roof(m):
    body = m.extruded(m.rectangle(3000, 200, (1500, 0)), 2400)
    m.element(
        [less(m, body, half_space(m, (0, 0, 1500), (-0.2, 0, 1)))], "IfcWall", axes=m.axes((7, 8, 9), x=(3, 4, 0))
    )
    return {"plate"}


def a_gable_with_a_door_at_its_foot_and_a_window(m):
    body = m.extruded(m.rectangle(3000, 200, (1500, 0)), 2400)
    body = less(m, body, half_space(m, (0, 0, 1500), (-0.5, 0, 1)))
    body = less(m, body, half_space(m, (3000, 0, 1500), (-0.5, 0, -1), True), "IfcBooleanResult")
    wall = m.element([body], "IfcWall")
    m.opening(wall, [m.extruded(m.rectangle(900, 400, (900, 0)), 2000)])
    m.opening(wall, [m.extruded(m.rectangle(400, 400, (2300, 0)), 500, m.axes((0, 0, 800)))])
    return {"plate"}


def a_beam_cut_to_length(m):
    body = m.extruded(m.outline(L_SHAPE), 2500)
    body = less(m, body, half_space(m, (0, 0, 2000), (0, 0, 1)))
    m.element([less(m, body, half_space(m, (0, 0, 300), (0, 0, 1), True))], "IfcBeam", axes=m.axes(**TILTED))
    return {"plate"}


def a_beam_cut_at_a_slant_both_ways(m):
    body = m.extruded(m.rectangle(100, 200), 2500)
    body = less(m, body, half_space(m, (0, 0, 2000), (0.5, 0, 1)))
    m.element([less(m, body, half_space(m, (0, 0, 300), (0, 0.4, 1), True))], "IfcBeam")
    return {"mesh"}


def bounded(m, polygon, at, z):
    plane = m.make("IfcPlane", m.axes(at, z=z, x=(0, 1, 0)))
    return m.make("IfcPolygonalBoundedHalfSpace", plane, False, m.axes(), m.polyline(polygon))


def a_wall_cut_off_within_a_bound_that_holds_it(m):
    body = m.extruded(m.rectangle(3000, 200, (1500, 0)), 2400)
    bound = [(-500, -500), (3500, -500), (3500, 500), (-500, 500)]
    m.element([less(m, body, bounded(m, bound, (0, 0, 1500), (-0.2, 0, 1)))], "IfcWall")
    return {"plate"}


def a_wall_beside_what_bounds_the_cut(m):
    body = m.extruded(m.rectangle(3000, 200, (1500, 0)), 2400)
    bound = [(-500, 500), (3500, 500), (3500, 900), (-500, 900)]
    m.element([less(m, body, bounded(m, bound, (0, 0, 1500), (-0.2, 0, 1)))], "IfcWall")
    return {"box"}


def a_wall_cut_off_in_part(m):
    body = m.extruded(m.rectangle(3000, 200, (1500, 0)), 2400)
    bound = [(1500, -500), (3500, -500), (3500, 500), (1500, 500)]
    m.element([less(m, body, bounded(m, bound, (0, 0, 1500), (0, 0, 1)))], "IfcWall")
    return {"mesh"}


def mapped_mirrored_and_cut_off(m):
    body = less(m, m.extruded(m.outline(L_SHAPE), 400), half_space(m, (500, 0, 0), (1, 0.5, 0)))
    m.element([m.mapped([body], at=(10, 20, 30), axes=((1, 0, 0), (0, -1, 0), (0, 0, 1)), scales=(1.0, 0.5, 2.0))])
    return {"extrusion"}


def a_slab_that_openings_leave_in_pieces(m):
    slab = m.element([m.extruded(m.outline(L_SHAPE), 120)], "IfcSlab")
    m.opening(slab, [m.extruded(m.rectangle(900, 60, (450, 400)), 120)])
    m.opening(slab, [m.extruded(m.rectangle(60, 400, (600, 150)), 120)])
    return {"plate", "extrusion"}


CASES = [
    a_wall,
    a_wall_at_an_angle,
    a_wall_with_door_and_window,
    a_wall_at_an_angle_with_a_window,
    openings_that_overlap_and_one_beside,
    a_recess_is_no_hole,
    openings_two_ways,
    a_slab_with_round_and_square_openings,
    a_slab_carried_down_with_an_opening_carried_up,
    an_opening_at_the_edge_of_a_slab,
    a_slab_with_a_hole_in_its_outline,
    a_beam_lying_down,
    a_beam_of_a_rectangle_at_a_slant,
    a_round_column,
    a_duct_of_sheet,
    a_straight_swept_disk,
    a_bent_tube_by_number,
    a_bent_tube_in_parts,
    an_elbow_turned_about_an_axis,
    an_elbow_too_tight_is_no_tube,
    a_block_of_faces,
    a_wedge_of_faces,
    a_frame_of_faces_with_holes,
    a_face_with_a_corner_along_its_side,
    triangles_by_number,
    polygons_by_number,
    mapped_and_turned,
    mapped_from_an_origin_of_its_own,
    mapped_mirrored_and_stretched,
    mapped_larger,
    a_circle_stretched,
    an_extrusion_that_leans,
    an_outline_with_bows,
    lines_by_number,
    several_blocks,
    a_block_and_a_wedge,
    a_wall_under_a_roof,
    a_gable_with_a_door_at_its_foot_and_a_window,
    a_beam_cut_to_length,
    a_beam_cut_at_a_slant_both_ways,
    a_wall_cut_off_within_a_bound_that_holds_it,
    a_wall_beside_what_bounds_the_cut,
    a_wall_cut_off_in_part,
    mapped_mirrored_and_cut_off,
    a_slab_that_openings_leave_in_pieces,
]
