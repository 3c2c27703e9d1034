"""Everything printed is one body of a size to handle, judged by libraries that took no part in drawing it.

Three judges: trimesh counts connected pieces of the skin; manifold3d takes the solid apart; shapely takes a rim off
the lowest slice, whereupon what hangs together by a neck falls apart and, put on instead, closes every slit.
"""

import random

import numpy as np
import pytest
import trimesh
from jig_pieces import block, whole
from made_runs import made_run
from shapely.geometry import MultiPolygon, Polygon
from wide import WIDE, few_or_many

from pipemodel.geometry.shapes import Mesh
from pipemodel.jigs.base import Base, BaseBar, Pad
from pipemodel.jigs.build import body_of, part_base
from pipemodel.jigs.design import design
from pipemodel.jigs.gauges import angle_gauge, spacer, turn_gauge
from pipemodel.jigs.plan import JigRefusedError, plans
from pipemodel.jigs.printing import check_part
from pipemodel.jigs.split import TooBigError, cut
from pipemodel.job.jig import Bed, Print
from pipemodel.trade.model import Tube

SIZES = (6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 22.0, 28.0, 35.0, 42.0, 54.0)
DICE = random.Random(20)
SCALE = few_or_many(2, 30)
"""How many random jigs are made whole; twice as many are planned."""


def tube_of(outside):
    return Tube(outside, 1.0, f"{outside:g} x 1")


def section(mesh, z):
    """A slice as a shape of shapely."""
    shape = Polygon()
    rings = [np.asarray(r)[:, :2] for r in mesh.section(plane_origin=[0, 0, z], plane_normal=[0, 0, 1]).discrete]
    for ring in sorted((Polygon(r).buffer(0) for r in rings if len(r) > 3), key=lambda p: -p.area):
        shape = shape.symmetric_difference(ring)
    return shape


def judged(body, neck, least_cm3=0.5):
    """What is wrong with a thing to print, by the three judges."""
    wrong = []
    mesh = trimesh.Trimesh(body.vertices, body.faces, process=False)
    if not mesh.is_watertight:
        wrong.append("not watertight")
    pieces = len(mesh.split(only_watertight=False))
    if pieces != 1:
        wrong.append(f"{pieces} pieces of skin")
    parts = block(body).decompose()
    if len(parts) != 1:
        wrong.append(f"{len(parts)} bodies")
    foot = section(mesh, 0.15)
    left = foot.buffer(-neck / 2.0)  # Round: what a disc as wide as the neck reaches, acute corners and all.
    cores = [p for p in (left.geoms if isinstance(left, MultiPolygon) else [left]) if p.area > neck * neck]
    if len(cores) > 1:
        wrong.append(f"a neck: {len(cores)} cores")
    closed = foot.buffer(0.08, join_style="mitre").buffer(-0.08, join_style="mitre").difference(foot)
    slit = max((p.area for p in getattr(closed, "geoms", [closed])), default=0.0)
    if slit > 0.25:
        wrong.append(f"a slit of {slit:.1f} mm2")
    if mesh.volume < least_cm3 * 1000.0:
        wrong.append(f"a crumb of {mesh.volume / 1000.0:.2f} cm3")
    return wrong


@pytest.mark.slow
@pytest.mark.parametrize("outside", SIZES)
def test_gauges_of_every_size_and_angle_are_one_body(outside):
    """Three angles and turns of each size; in the wide run every fifth degree."""
    every = range(5, 181, 5)
    angles = every if WIDE else DICE.sample(every, 3)
    seen = 0
    for angle in angles:
        bent = made_run([100.0, 100.0], [float(angle)], tube=tube_of(outside), radius_mm=3.0 * outside)
        arm = DICE.choice([15.0, 48.4, 50.0])
        body = body_of(angle_gauge(bent, float(angle), arm, whole()).solid)
        assert judged(body, 10.0) == [], f"{outside:g} mm, {angle} degrees, arm {arm:g}"
        seen += 1
    for turn in DICE.sample(range(-179, 181), 6 if WIDE else 2):
        bent = made_run([100.0] * 3, [90.0, 90.0], [float(turn)], tube=tube_of(outside), radius_mm=3.0 * outside)
        assert judged(body_of(turn_gauge(bent, float(turn), whole()).solid), 2.0) == [], f"turn of {turn}"
        seen += 1
    assert judged(body_of(spacer(bent, outside, whole()).solid), 2.0) == []
    assert seen >= 5


@pytest.mark.slow
def test_random_jigs_have_no_part_that_is_a_crumb_or_falls_apart():
    """Bases as they are cut up, on beds of all sizes; the towers only add to them."""
    parts = jigs = 0
    for seed in range(2 * SCALE):
        dice = random.Random(seed)
        bends = dice.choice([1, 1, 1, 2, 3])
        legs = [dice.uniform(60.0, 400.0) for _ in range(bends + 1)]
        angles = [dice.choice([15.0, 45.0, 90.0, 120.0, dice.uniform(5.0, 180.0)]) for _ in range(bends)]
        turns = [dice.uniform(-180.0, 180.0) for _ in range(bends - 1)]
        outside = dice.choice(SIZES)
        piece = made_run(legs, angles, turns, tube=tube_of(outside), radius_mm=3.0 * outside + 10.0)
        bed = dice.choice([Bed(), Bed(180.0, 180.0, 180.0), Bed(120.0, 120.0, 120.0), Bed(300.0, 300.0, 300.0)])
        try:
            plan = next(plans(piece, whole(bed=bed, gauges=False)))
        except JigRefusedError:
            continue
        jigs += 1
        for part in plan.cut.parts:
            body = body_of(part_base(plan.base, plan.cut, part, 0.15))
            assert judged(body, 2.4, 2.0) == [], f"seed {seed}: {part}"
            parts += 1
    assert jigs > SCALE
    assert parts > 1.5 * jigs


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(max(1, SCALE // 3)))
def test_random_jigs_are_one_body_a_part_with_towers_gauges_and_liners(seed):
    dice = random.Random(f"whole {seed}")
    outside = dice.choice(SIZES)
    legs = [dice.uniform(5.0, 8.0) * outside + 40.0 for _ in range(3)]
    angles = [dice.choice([15.0, 30.0, 45.0, 90.0]) for _ in range(2)]
    turns = [dice.uniform(-180.0, 180.0)]
    piece = made_run(legs, angles, turns, tube=tube_of(outside), radius_mm=3.0 * outside)
    settings = whole(bed=Bed(400.0, 400.0, 450.0), inserts=True, standoff_mm=outside + 10.0)
    jig = design(piece, settings)
    for part in jig.parts:
        assert judged(part.body, 2.4, 2.0) == [], part.name
    for gauge in jig.gauges:
        assert judged(gauge.body, 0.6) == [], gauge.name
    assert len(jig.gauges) >= 3


def straight_base(length, pads=2):
    """Pads in a row, 40 by 40, tied by bars of the usual width."""
    half = 20.0
    square = np.array([(-half, -half), (half, -half), (half, half), (-half, half)])
    centres = [np.array([i * length, 0.0]) for i in range(pads)]
    none = np.zeros((0, 2))
    return Base(
        tuple(Pad(i, square + c, none, c, np.array([1.0, 0.0])) for i, c in enumerate(centres)),
        tuple(BaseBar(i, i + 1, centres[i], centres[i + 1], 13.0) for i in range(pads - 1)),
        5.0,
    )


@pytest.mark.slow
def test_joints_stand_far_enough_apart_to_key():
    """Two pads at every distance a bed could ask for: what lies between two joints carries a key and its slot."""
    bars = refused = 0
    for length in np.arange(62.0, 400.0, 11.0 if WIDE else 37.0):
        for side in (80.0, 90.0, 120.0):
            base = straight_base(float(length))
            try:
                found = cut(base, Bed(side, side, 100.0))
            except TooBigError:
                refused += 1
                continue
            ats = sorted(j.at for j in found.joints)
            assert all(b - a >= 23.0 for a, b in zip(ats, ats[1:], strict=False)), f"{length}, {side}: {ats}"
            for part in found.parts:
                assert judged(body_of(part_base(base, found, part, 0.15)), 2.4, 2.0) == [], f"{length}, {side}"
                bars += not part.towers
    assert bars > 8
    assert refused < 4


def two_boxes(gap, bridge=0.0):
    """Two blocks side by side, with a gap between and perhaps a bridge across it."""
    low = trimesh.creation.box((20, 20, 6), trimesh.transformations.translation_matrix((10, 10, 3)))
    high = trimesh.creation.box((20, 20, 6), trimesh.transformations.translation_matrix((30 + gap, 10, 3)))
    solids = [low, high]
    if bridge:
        move = trimesh.transformations.translation_matrix((20 + gap / 2, 10, 3))
        solids.append(trimesh.creation.box((gap + 2, bridge, 6), move))
    shape = trimesh.boolean.union(solids, engine="manifold")
    return Mesh(np.asarray(shape.vertices), shape.faces.astype(np.int64))


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (two_boxes(0.06), "2 bodies"),
        (two_boxes(4.0), "2 bodies"),
        (two_boxes(4.0, 1.5), "held together"),
        (two_boxes(0.06, 4.0), "slit"),
    ],
)
def test_the_program_finds_what_falls_apart_itself(body, words):
    """And so do the judges: a slit, a gap, a neck, a slit that is bridged."""
    faults = check_part(body, Bed(), Print()).faults
    assert any(words in fault for fault in faults), faults
    assert judged(body, 2.4)


def test_the_program_finds_crumbs_and_passes_what_holds_together():
    assert check_part(two_boxes(4.0, 12.0), Bed(), Print()).faults == ()
    box = trimesh.creation.box((7, 7, 9), trimesh.transformations.translation_matrix((4, 4, 4.5)))
    crumb = Mesh(np.asarray(box.vertices), box.faces.astype(np.int64))
    assert any("too small" in fault for fault in check_part(crumb, Bed(), Print()).faults)
