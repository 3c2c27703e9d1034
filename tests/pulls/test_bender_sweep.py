"""Plans in a bender against a simulation that bends the piece step by step as meshes.

The simulation shares nothing with the planner but the rule itself: a straight tube lies in the bender's frame,
frames are carried along it millimetre by millimetre, bent where bends are made and as far as the pull has gone,
a skin is put round them, and fcl looks for overlaps with the bender's parts as meshes.
"""

import functools
import itertools
import math
import random

import fcl
import numpy as np
import pytest
import trimesh
from made_runs import made_run
from pulls.plan_costs import straights
from scipy.spatial.transform import Rotation
from self_sweep import least_gap
from wide import few_or_many

from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.job.build_bender import generic_benders
from pipemodel.pulls.clear_of_bender import InBender
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import plan_pulls
from pipemodel.trade.benders import Bender, BenderPart
from pipemodel.trade.formers import generic_former
from pipemodel.trade.tubes import find_tube

SEEDS, EVERY_ORDER = range(few_or_many(26, 120)), range(few_or_many(8, 60))
"""Random runs; of those that can't be bent, every order is tried for some, at a second each."""
STEPS = 10
"""Steps of a simulated pull that has to be clear."""

BALL = trimesh.creation.icosphere(2, 1.0)


def mesh_of(shape):
    if isinstance(shape, Box):
        low, high = np.array(shape.low), np.array(shape.high)
        return trimesh.creation.box(high - low, trimesh.transformations.translation_matrix((low + high) / 2))
    if isinstance(shape, Cylinder):
        return trimesh.creation.cylinder(shape.diameter / 2, segment=[shape.start, shape.finish], sections=48)
    assert isinstance(shape, HalfSpace)
    return trimesh.creation.box(
        [8000, 8000, 500], trimesh.transformations.translation_matrix([0, 0, shape.point[2] - 250])
    )


def body_of(mesh):
    model = fcl.BVHModel()
    model.beginModel(len(mesh.vertices), len(mesh.faces))
    model.addSubModel(np.asarray(mesh.vertices).view(np.ndarray), np.asarray(mesh.faces).view(np.ndarray))
    model.endModel()
    return fcl.CollisionObject(model)


class Simulation:
    """One run in one bender; `fat` is added to the tube's radius, `plugged` rounds its ends."""

    def __init__(self, run, bender, fat=0.0, plugged=False):
        self.run, self.fat, self.plugged = run, fat, plugged
        self.parts = {
            group: [body_of(mesh_of(p.shape)) for p in getattr(bender, group)]
            for group in ("body", "lever", "guide", "room")
        }

    def frames(self, bend, held, made, side, share):
        """Points and directions along one side from the pull outwards, with the place of each on the flat tube."""
        bends = self.run.table.bends
        pulled = bends[bend - 1]
        free = side == "free"
        begins = pulled.start_mm if held == "start" else pulled.finish_mm
        roll = np.cumsum([b.turn_deg for b in bends])
        onward = 1 if free == (held == "start") else -1
        ahead = np.array([1.0 if free else -1.0, 0.0, 0.0])
        axis0 = np.array([0.0, 0.0, -1.0 if free else 1.0])
        end = self.run.table.length_mm if onward > 0 else 0.0
        reach = begins + pulled.arc_mm * share * onward
        curved_at = {(b.start_mm, b.finish_mm): b for b in bends if b.number in made}
        if free:
            curved_at[min(begins, reach), max(begins, reach)] = pulled
        cuts = {begins, end, *(edge for stretch in curved_at for edge in stretch)}
        cuts = sorted((c for c in cuts if (c - begins) * onward >= -1e-9), reverse=onward < 0)
        here, frame = np.array([0.0, pulled.radius_mm, 0.0]), np.eye(3)
        points, aheads, at = [here], [ahead], [begins]
        for a, b in itertools.pairwise(cuts):
            curved = next((c for (lo, hi), c in curved_at.items() if lo < (a + b) / 2 < hi), None)
            steps = max(1, math.ceil(abs(b - a) / 8.0)) if curved else 1
            ds = abs(b - a) / steps
            half, chord = np.eye(3), ds
            if curved:
                # The bend's own axis, turned about the tube from the pulled bend's.
                turned = math.radians(roll[curved.number - 1] - roll[bend - 1]) * onward
                axis = Rotation.from_rotvec(turned * ahead).apply(axis0)
                half = Rotation.from_rotvec(axis * ds / curved.radius_mm / 2).as_matrix()
                chord = 2 * curved.radius_mm * math.sin(ds / curved.radius_mm / 2)
            for _ in range(steps):
                here = here + frame @ half @ ahead * chord
                frame = frame @ half @ half
                points.append(here)
                aheads.append(frame @ ahead)
                at.append(at[-1] + onward * ds)
        return np.array(points), np.array(aheads), np.array(at)

    def skin(self, points, aheads):
        ring, r = 10, self.run.tube.outside_mm / 2 + self.fat
        side = np.cross(aheads, [0.3, 0.2, 0.93])
        side /= np.linalg.norm(side, axis=1)[:, None]
        up = np.cross(aheads, side)
        angle = np.arange(ring) * 2 * np.pi / ring
        vertices = (
            points[:, None, :]
            + r * (np.cos(angle)[:, None] * side[:, None, :] + np.sin(angle)[:, None] * up[:, None, :])
        ).reshape(-1, 3)
        i, j = np.meshgrid(np.arange(len(points) - 1), np.arange(ring), indexing="ij")
        a, b = (i * ring + j).ravel(), (i * ring + (j + 1) % ring).ravel()
        faces = np.concatenate([np.stack([a, b, a + ring], 1), np.stack([b, b + ring, a + ring], 1)])
        caps = [(base, base + k, base + k + 1) for base in (0, len(vertices) - ring) for k in range(1, ring - 1)]
        mesh = trimesh.Trimesh(vertices, np.concatenate([faces, caps]), process=False)
        if self.plugged:
            balls = [trimesh.Trimesh(BALL.vertices * r + p, BALL.faces, process=False) for p in (points[0], points[-1])]
            mesh = trimesh.util.concatenate([mesh, *balls])
        return mesh

    @functools.cache  # noqa: B019
    def overlaps(self, bend, held, made, said=None):
        """Whether anything already bent meets the bender, or any of the tube the room, during the pull.

        Where an overlap is said to be, at a share of the pull, only that step and the two ends are looked at.
        """
        pull = math.radians(self.run.pull_deg(self.run.table.bends[bend - 1]))
        straight, bent = self.bodies(bend, held, made, "held", 0.0)
        if any(self.meets(part, "room") for part in (straight, bent)) or self.meets(bent, "body"):
            return True
        for share in np.linspace(0, 1, STEPS) if said is None else (0.0, said, 1.0):
            if self.meets(bent, "lever", pull * share):
                return True
            loose, swung = self.bodies(bend, held, made, "free", share)
            if any(self.meets(part, "room") for part in (loose, swung)) or self.meets(swung, "body"):
                return True
            if self.meets(swung, "lever", pull * share):
                return True
            # The guide lies on the free tube as it was when the pull began.
            if share == 0.0 and self.meets(swung, "guide"):
                return True
        return False

    def bodies(self, bend, held, made, side, share):
        """One side as bodies to collide: what lies straight, and what is bent already; None without a bend there."""
        points, aheads, at = self.frames(bend, held, made, side, share)
        there = [b for b in self.run.table.bends if b.number in made]
        edges = [e for b in there if (b.start_mm - at[0]) * (at[-1] - at[0]) > 0 for e in (b.start_mm, b.finish_mm)]
        if not edges:
            return body_of(self.skin(points, aheads)), None
        # Half a diameter into a bend the tube still lies nearly as it does in the stop and the guide.
        first = min(abs(e - at[0]) for e in edges) + self.run.tube.outside_mm / 2
        k = int(np.argmax(np.abs(at - at[0]) >= first - 1e-6))
        return body_of(self.skin(points[: k + 1], aheads[: k + 1])), body_of(self.skin(points[k:], aheads[k:]))

    def meets(self, tube, group, theta=0.0):
        if tube is None:
            return False
        turned = fcl.Transform(Rotation.from_euler("z", -theta).as_matrix(), np.zeros(3))
        for part in self.parts[group]:
            part.setTransform(turned)
            if fcl.collide(tube, part, fcl.CollisionRequest(), fcl.CollisionResult()):
                return True
        return False

    def some_order(self):
        """Whether any order at all has straights enough and no overlap, pull after pull."""
        n, former = len(self.run.table.bends), self.run.former
        teller = InBender(PieceToBend.of(self.run), self.run.run.bender)

        def on(made):
            if len(made) == n:
                return True
            for bend in set(range(1, n + 1)) - made:
                for held in ("start", "finish"):
                    hold, guide = straights(self.run, bend, held, made)
                    if hold < former.hold_mm - 1e-6 or guide < former.guide_mm - 1e-6:
                        continue
                    touch = teller.touch(bend - 1, ["start", "finish"].index(held), sum(1 << m - 1 for m in made))
                    said = touch and touch.at_pull_deg / self.run.pull_deg(self.run.table.bends[bend - 1])
                    if self.overlaps(bend, held, made, said):
                        continue
                    clear = self.run.tube.outside_mm + 1.0
                    if least_gap(self.run, made, bend, held, 3.0, clear) >= clear and on(made | {bend}):
                        return True
            return False

        return on(frozenset())


@functools.cache
def random_case(seed):
    """A run of two or three bends and its plan, in a bender of common practice or among blocks thrown about."""
    dice = random.Random(seed)
    n = dice.choice([2, 3, 3, 3])
    legs = [dice.choice([32, 45, 60, 120, 420]) + dice.random() for _ in range(n + 1)]
    angles = [dice.choice([45, 90, 90, 135]) for _ in range(n)]
    turns = [dice.choice([0, 90, 180, -90, 45]) for _ in range(n - 1)]
    name = dice.choice(["15 mm hand bender in a vice", "thrown", "thrown"])
    bender = thrown(dice) if name == "thrown" else generic_benders()[name]
    run = made_run(legs, angles, turns, hold_mm=30.0, guide_mm=10.0, bender=bender)
    return run, plan_pulls(run)


def thrown(dice):
    def block(name):
        while True:
            middle = np.array([dice.uniform(-280, 280), dice.uniform(-280, 280), dice.uniform(-120, 120)])
            half = np.array([dice.uniform(20, 70) for _ in range(3)])
            # Off the straight tube, which every bender has to leave free.
            if (np.abs(middle - [middle[0], 55, 0]) > half + 12).any():
                return BenderPart(name, Box(tuple(middle - half), tuple(middle + half)))

    rod = Cylinder((dice.uniform(20, 80), 120.0, 0.0), (dice.uniform(50, 250), 420.0, dice.uniform(-90, 90)), 24.0)
    floor = BenderPart("floor", HalfSpace((0.0, 0.0, dice.uniform(-300, -60)), (0.0, 0.0, 1.0)))
    blocks = tuple(block(f"block {i}") for i in range(16))
    return Bender("thrown", 55.0, blocks, (BenderPart("rod", rod),), (), (floor,))


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_possible_means_no_overlap_and_impossible_means_one_in_every_order(seed):
    run, plan = random_case(seed)
    if plan.possible:
        thin = Simulation(run, run.run.bender)
        made = frozenset()
        for pull in plan.pulls:
            hold, guide = straights(run, pull.bend, pull.held, made)
            assert hold >= run.former.hold_mm - 1e-6
            assert guide >= run.former.guide_mm - 1e-6
            assert not thin.overlaps(pull.bend, pull.held, made), pull
            made |= {pull.bend}
    elif seed in EVERY_ORDER:
        fat = Simulation(run, run.run.bender, fat=0.7, plugged=True)
        assert not fat.some_order(), plan.why_not


@pytest.mark.parametrize(
    ("x", "y", "clear"), [(40, 80, True), (55, 75, True), (60, 70, True), (62, 66, False), (70, 60, False)]
)
def test_tube_in_the_groove_is_not_swung_on_as_straight(x, y, clear):
    """A post 10 across beside the former, where the swung tube's line goes on backwards and the tube does not.

    The tube lies on a circle of radius 55 about the former, 7.5 to either side, and before that along y = 55: a post
    is clear of both when it stands more than 12.5 from its axis. (62, 66) is 11 from the straight tube.
    """
    away = min(math.hypot(x, y) - 55.0, y - 55.0)
    assert (away > 12.5) == clear
    post = Bender("post", 55.0, room=(BenderPart("post", Cylinder((x, y, -100.0), (x, y, 100.0), 10.0)),))
    run = made_run([300, 300], [90], hold_mm=30.0, bender=post)
    assert InBender(PieceToBend.of(run), post).clear(0, 0, 0) == clear
    assert Simulation(run, post).overlaps(1, "start", frozenset()) != clear


@pytest.mark.slow
@pytest.mark.parametrize("size", ["15", "22", "28"])
def test_what_the_limits_allow_never_lies_in_the_guide_of_a_bender_of_that_size(size):
    """And what has two diameters less does: the limit is what the bender's own block needs."""
    former = generic_former(find_tube(size))
    tube, name = find_tube(size), former.name
    bender = generic_benders()[name]
    only_guide = Bender("guide", bender.radius_mm, guide=bender.guide)
    for angle in (15, 30, 45, 60):
        for second in (30, 90):
            needs = former.guide_needed_mm(angle)
            legs = {"radius_mm": former.radius_mm, "hold_mm": 0.0, "guide_mm": 0.0, "bender": only_guide}
            run = made_run([300, needs, 300], [angle, second], [180], tube=tube, **legs)
            assert not Simulation(run, only_guide).overlaps(1, "start", frozenset({2}))
            less = made_run([300, needs - 2 * tube.outside_mm, 300], [angle, second], [180], tube=tube, **legs)
            assert Simulation(less, only_guide).overlaps(1, "start", frozenset({2}))


@pytest.mark.slow
def test_the_cases_hold_both_kinds_in_good_number():
    kinds = [random_case(seed)[1] for seed in SEEDS]
    in_the_way = [any(h.kind == "bender" for h in p.hindrances[:1]) for p in kinds]
    assert sum(p.possible for p in kinds) > len(kinds) / 2
    assert sum(in_the_way) > len(kinds) / 6
    assert sum(in_the_way[: len(EVERY_ORDER)]) > len(EVERY_ORDER) / 6
    assert sum(p.possible and not p.in_number_order for p in kinds) > len(kinds) / 6
