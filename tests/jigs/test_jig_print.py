"""Jigs as they are printed: sliced by a library of its own, put together again, and made for random runs."""

import numpy as np
import pytest
import trimesh
from jig_pieces import PIECES, block, crossing, in_place, jig_of, mesh_of, random_piece, whole
from shapely.geometry import Polygon
from shapely.ops import unary_union
from wide import few_or_many

from pipemodel.geometry.shapes import Mesh
from pipemodel.jigs.design import design
from pipemodel.jigs.plan import JigRefusedError, plans
from pipemodel.jigs.printing import check_part
from pipemodel.jigs.split import MARGIN_MM
from pipemodel.job.jig import Bed, Print

LAYER = 0.2
FULL = few_or_many((1,), range(200))
"""Which random jigs are made; docs/jig.md says what came of the many."""
NAMES = few_or_many(["microbore", "return bend", "straight", "two planes"], sorted(PIECES))
EVERYTHING = whole(inserts=True, standoff_mm=25.0)


def layers(mesh, heights):
    """Each slice as a shape of shapely; every loop of it must close."""
    out = []
    for z in heights:
        section = mesh.section(plane_origin=[0.0, 0.0, z], plane_normal=[0.0, 0.0, 1.0])
        if section is None:
            out.append(Polygon())
            continue
        rings = [np.asarray(r)[:, :2] for r in section.discrete]
        assert all(np.allclose(r[0], r[-1], atol=1e-6) for r in rings), f"a slice at {z:.2f} is open"
        shape = Polygon()
        for ring in sorted((Polygon(r).buffer(0) for r in rings if len(r) > 3), key=lambda p: -p.area):
            shape = shape.symmetric_difference(ring)
        out.append(shape)
    return out


def hanging(mesh, stride):
    """The largest area of any layer that the layer under it, grown by 45 degrees, does not carry."""
    top = mesh.bounds[1][2]
    worst = 0.0
    for z in np.arange(1.5 * LAYER, top - LAYER, stride * LAYER):
        lower, upper = layers(mesh, [z - LAYER, z])
        loose = upper.difference(lower.buffer(LAYER * np.tan(np.radians(45.0)), join_style="mitre"))
        worst = max(worst, loose.area)
    return worst


@pytest.mark.slow
@pytest.mark.parametrize("name", ["flat set", "two planes", "microbore"])
def test_every_layer_lies_on_the_one_below(name):
    jig = jig_of(name)
    for part in jig.parts:
        mesh = mesh_of(part.body)
        assert mesh.is_watertight
        assert mesh.is_winding_consistent
        tall = part.body.size[2] / LAYER
        assert hanging(mesh, max(1.0, round(tall / 12.0))) < 0.05


@pytest.mark.slow
def test_gauges_and_liners_print_too():
    jig = design(PIECES["four bends"], EVERYTHING)
    stems = [g.stem for g in jig.gauges]
    assert "angle-90" in stems
    assert "turn-180-clockwise" in stems
    assert "standoff-25" in stems
    assert any(s.startswith("liner-") for s in stems)
    for gauge in jig.gauges:
        mesh = mesh_of(gauge.body)
        assert mesh.is_watertight
        assert hanging(mesh, 7.0) < 0.05


def test_slicing_finds_what_hangs():
    """The measure can fail: a mushroom does."""
    stem = trimesh.creation.box((4, 4, 10), trimesh.transformations.translation_matrix((0, 0, 5)))
    cap = trimesh.creation.box((20, 20, 3), trimesh.transformations.translation_matrix((0, 0, 11.5)))
    assert hanging(trimesh.boolean.union([stem, cap], engine="manifold"), 1.0) > 300.0


def test_own_check_finds_what_does_not_print():
    stem = trimesh.creation.box((40, 40, 10), trimesh.transformations.translation_matrix((0, 0, 5)))
    cap = trimesh.creation.box((60, 60, 3), trimesh.transformations.translation_matrix((0, 0, 11.5)))
    sail = trimesh.creation.box((30, 0.5, 20), trimesh.transformations.translation_matrix((0, 0, 20)))
    for more, word in ((cap, "overhang"), (sail, "thinner")):
        shape = trimesh.boolean.union([stem, more], engine="manifold")
        found = check_part(Mesh(shape.vertices, shape.faces.astype(np.int64)), Bed(), Print())
        assert any(word in fault for fault in found.faults)
    assert check_part(Mesh(stem.vertices, stem.faces.astype(np.int64)), Bed(), Print()).faults == ()
    assert "reaches" in check_part(Mesh(stem.vertices, stem.faces), Bed(30, 30, 30), Print()).faults[0]
    open_box = Mesh(stem.vertices, stem.faces[:-1])
    assert not open_box.closes


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_parts_put_together_are_the_whole_jig_but_for_the_gaps_at_joints(name):
    jig = jig_of(name)
    whole = block(jig.whole)
    solids = [block(in_place(p)) for p in jig.parts]
    for i, solid in enumerate(solids):
        assert (solid - whole).volume() < 1.0
        for other in solids[i + 1 :]:
            assert (solid ^ other).volume() < 1e-3
    joints = len(jig.plan.cut.joints)
    bar, gap, thick = jig.settings.bar_mm, jig.settings.joint_gap_mm, jig.settings.base_mm
    missing = jig.whole.volume - sum(p.body.volume for p in jig.parts)
    # A gap runs once across the bar and round the key, whose outline beyond the cut is about 1.2 times the bar.
    assert missing == pytest.approx(joints * gap * thick * bar * 1.9, rel=0.25, abs=2.0)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_parts_lie_flat_within_the_bed(name):
    jig = jig_of(name)
    bed = jig.settings.bed
    for part in jig.parts:
        low, high = part.body.vertices.min(axis=0), part.body.vertices.max(axis=0)
        assert np.allclose(low, 0.0, atol=1e-4)
        assert high[0] <= bed.x_mm - 2 * MARGIN_MM
        assert high[1] <= bed.y_mm - 2 * MARGIN_MM
        assert high[2] <= bed.z_mm
        assert layers(mesh_of(part.body), [0.1])[0].area == pytest.approx(part.printability.flat_mm2, rel=1e-3)


@pytest.mark.slow
def test_a_small_bed_gives_more_parts_and_each_fits():
    few = next(plans(PIECES["flat set"], whole(bed=Bed(350, 350, 350), gauges=False)))
    many = design(PIECES["flat set"], whole(bed=Bed(170, 170, 200), gauges=False))
    assert len(many.parts) > len(few.cut.parts)
    assert all(max(p.body.size[:2]) <= 164.0 for p in many.parts)


@pytest.mark.slow
def test_towers_for_a_board_are_parts_of_their_own():
    jig = design(PIECES["two planes"], whole(base="board", gauges=False))
    assert not jig.plan.base.bars
    assert sorted(t for part in jig.plan.cut.parts for t in part.towers) == list(range(6))
    assert all(label is not None for label in jig.labels)
    assert all(len(pad.holes) == 2 for pad in jig.plan.base.pads)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_every_part_says_which_it_is(name):
    jig = jig_of(name)
    for number, label in enumerate(jig.labels, 1):
        assert label is not None
        assert label.lines[1] == f"{number}/{len(jig.parts)} A UP"


def tried(piece):
    try:
        return design(piece, whole(gauges=False)), ()
    except JigRefusedError as refusal:
        return None, refusal.reasons


@pytest.mark.slow
@pytest.mark.parametrize("seed", FULL)
def test_random_runs_get_a_jig_that_prints_or_a_reason(seed):
    piece = random_piece(1000 + seed)
    if crossing(piece, 2.0):
        pytest.skip("the run hits itself")
    jig, reasons = tried(piece)
    assert jig or reasons
    assert all(len(str(reason)) > 40 for reason in reasons)
    for part in jig.parts if jig else ():
        assert not part.printability.faults
        mesh = mesh_of(part.body)
        assert mesh.is_watertight
        tall = part.body.size[2] / LAYER
        assert hanging(mesh, max(1.0, tall / 4.0)) < 0.05
        below = mesh.vertices[mesh.faces[(mesh.face_normals[:, 2] < -0.66) & (mesh.area_faces > 0.01)]]
        assert np.abs(below[:, :, 2]).max() < 1e-3


def test_areas_of_slices_add_up_to_the_volume():
    """The slices are the part: their areas, summed over fine layers, give its volume."""
    part = jig_of("flat set").parts[0]
    step = 0.25
    heights = np.arange(step / 2.0, part.body.size[2], step)
    total = sum(unary_union(s).area for s in layers(mesh_of(part.body), heights)) * step
    assert total == pytest.approx(part.body.volume, rel=0.01)
