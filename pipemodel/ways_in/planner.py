"""The search for a way: from the place outwards, for the place is the tight end, and from outside to meet it.

Trees of poses grow from the place, from outside, and from poses threaded through the opening, towards each other and by
the moves of a hand, until the place and the outside are in one tree. The random numbers come from a seed, and effort is
counted in placements judged, not in time: the same job gives the same answer everywhere.

After rapidly exploring random trees (J. Kuffner and S. LaValle, ICRA 2000), with seeds in the narrow passage.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints
from pipemodel.ways_in.gate import Gate
from pipemodel.ways_in.judge import Came, Judge
from pipemodel.ways_in.planner_forest import Forest
from pipemodel.ways_in.planner_glide import always, glide, towards
from pipemodel.ways_in.planner_moves import Moves
from pipemodel.ways_in.turning import held, random_turn, share_of

BACK_OFF = 0.95
"""Where a move was stopped, the node is set so far along what it came: with some room left round it."""
LEAST_MM = 0.5
"""A move that came no farther than this makes no node."""
FIRST_TRIES = 250
"""So many moves out of the place are tried before anything else: most pieces simply slide out."""
BETWEEN_MM = 120.0
"""Long moves get nodes along them, about so far apart."""
BRIDGES, SPAN, MOST_SOWN = 8000, 0.3, 40
"""So many poses are tried for narrow places, against others so many reaches of the piece off, and so many planted."""
MOST_WEIGHED, WEIGHINGS = 300, 6
"""And of so many, looked at so often, those in the narrowest places are planted."""
PLAIN_TURNS, GLIDES = 400, 0.7
"""After so many turns of the search such a share of what is judged feels along in tight places."""
MOST_LOOKED_AT = 800
"""The nearest node is looked for among no more than so many, picked at random."""


@dataclass
class Found:
    """What a search came to: the way from the place to the outside, or how far out it came and what stopped it."""

    way: list[Floats] | None = None
    farthest: Floats | None = None
    stopped_by: dict[str, int] = field(default_factory=dict)
    interrupted: bool = False


class Search:
    """Looks for a way out of the place.

    Args:
        judge: judges placements.
        gate: says what is outside.
        seed: what the random numbers begin with.
        effort: how many placements may be judged.
    """

    def __init__(self, judge: Judge, gate: Gate, seed: int, effort: int) -> None:
        self.judge, self.gate, self.effort = judge, gate, effort
        self.rng = np.random.default_rng(seed)
        self.forest = Forest(0.5 * judge.reach_mm)
        size = float(np.linalg.norm(gate.high - gate.low))
        self.moves = Moves(judge.line, judge.middle, size, gate.ways)
        self.found = Found()
        self.first = judge.tried
        self.glided = 0
        self.through: dict[tuple[int, int], bool] = {}

    def run(self) -> Found:
        """Search until a way is found or the effort is spent."""
        try:
            self._plant(self.judge.home)
            self._search()
        except KeyboardInterrupt:
            self.found.interrupted = self.judge.stopped = True
        forest = self.forest
        if self.found.way is None and len(forest):
            mine = forest.of_tree(0)
            self.found.farthest = forest.poses[mine[np.argmax(forest.outness[mine])]].copy()
        return self.found

    def _search(self) -> None:
        # Straight out, before anything is left to chance.
        for way in (*self.moves.ways, *-self.moves.ways, *self.moves.legs, *-self.moves.legs):
            if self._done():
                return
            self._go(0, held(self.judge.home[:3] + self.moves.size_mm * way, self.judge.home[3:]), self.judge.creep)
        for _ in range(FIRST_TRIES):
            if self._done():
                return
            self._hand_move(0)
        seeded = 0
        turns = 0
        while not self._done():
            # New seeds at first, and again each time the trees have become twice as many.
            if turns == 0 or (turns >= 1500 * 2**seeded and seeded < 6):
                seeded += turns > 0
                self._sow()
            turns += 1
            choice = self.rng.random()
            tree = 0 if self.rng.random() < 0.6 else self._other_tree()
            if turns > PLAIN_TURNS and self.glided < GLIDES * (self.judge.tried - self.first):
                self._glide(tree)
            elif choice < 0.5:
                self._hand_move(tree)
            elif choice < 0.65:
                self._towards(tree, held(self.rng.uniform(self.gate.low, self.gate.high), random_turn(self.rng)))
            elif choice < 0.85:
                self._towards(tree, self._like_others())
            else:
                self._towards_others(tree)

    def _done(self) -> bool:
        if self.found.way is not None or self.judge.tried - self.first >= self.effort:
            return True
        forest = self.forest
        mine = forest.of_tree(0)
        for node in mine[forest.outside[mine] > 0].tolist():
            way = forest.way(node)
            if any(self._passed(a, b) for a, b in pairwise(way)):
                self.found.way = [forest.poses[k].copy() for k in way]
                return True
            forest.outside[node] = 0
        return False

    def _passed(self, a: int, b: int) -> bool:
        """Tell whether the link of two nodes leads through the opening; each is looked at once."""
        if (a, b) not in self.through:
            self.through[a, b] = self.gate.passed([self.forest.poses[a], self.forest.poses[b]])
        return self.through[a, b]

    def _plant(self, pose: Floats) -> int:
        out = self.gate.outness(pose)
        return self.forest.plant(pose, out, out >= 0.0)

    def _grow(self, onto: int, pose: Floats) -> int:
        """Add a node, with others on the way to it where it is far."""
        before = self.forest.poses[onto].copy()
        far = float(self.forest.distances(np.array([onto]), pose)[0])
        parts = min(int(far / BETWEEN_MM), 6) + 1
        for k in range(1, parts + 1):
            here = pose if k == parts else share_of(before, pose, k / parts)
            out = self.gate.outness(here)
            onto = self.forest.grow(onto, here, out, out >= 0.0)
        return onto

    def _go(self, node: int, pose: Floats, by: Callable[[Floats, Floats], Came] | None = None) -> tuple[int, bool]:
        """Move from a node towards a pose; return the node that it came to, and whether it came all the way."""
        start = self.forest.poses[node].copy()
        came = (by or self.judge.advance)(start, pose)
        if came.share >= 1.0:
            return self._grow(node, pose), True
        self.found.stopped_by[came.stopped_by] = self.found.stopped_by.get(came.stopped_by, 0) + 1
        share = came.share * BACK_OFF
        far = float(self.forest.distances(np.array([node]), pose)[0])
        if share * far < LEAST_MM:
            return node, False
        return self._grow(node, share_of(start, pose, share)), False

    def _hand_move(self, tree: int) -> None:
        forest = self.forest
        nodes = forest.of_tree(tree)
        some = nodes[self.rng.integers(len(nodes), size=6)]
        # Half the time what is farthest out, else what has grown least.
        best = np.argmax(forest.outness[some]) if self.rng.random() < 0.5 else np.argmin(forest.grown[some])
        node = int(some[best])
        forest.grown[node] += 1
        for pose in self.moves.any_from(forest.poses[node].copy(), self.rng):
            node, whole = self._go(node, pose)
            if not whole:
                break
        self._join_from(node)

    def _glide(self, tree: int) -> None:
        """Feel along from a node, some way or towards a node of another tree; what is passed is kept as nodes."""
        forest, rng, before = self.forest, self.rng, self.judge.tried
        nodes = forest.of_tree(tree)
        node = int(nodes[rng.integers(len(nodes))])
        pose, reach = forest.poses[node].copy(), self.judge.reach_mm
        others = np.flatnonzero(forest.tree[: len(forest)] != tree)
        if len(others) and rng.random() < 0.5:
            way = towards(forest.poses[forest.nearest(self._some(others), pose)].copy(), reach)
        else:
            way = always(self.moves.steady(pose, reach, rng))
        for went in glide(self.judge, pose, way, rng):
            node = self._grow(node, went)
        self.glided += self.judge.tried - before
        self._join_from(node)

    def _towards(self, tree: int, target: Floats) -> None:
        nodes = self.forest.of_tree(tree)
        node, _ = self._go(self.forest.nearest(self._some(nodes), target), target)
        self._join_from(node)

    def _like_others(self) -> Floats:
        """Return a pose made of two that are there: slid along from the one, turned on from the other.

        Where there is only a little play, such as between a floor and a ceiling close above it, any other turn clashes.
        """
        rng, forest = self.rng, self.forest
        one, other = (forest.poses[int(k)] for k in rng.integers(len(forest), size=2))
        slid = self.moves.slide(one, rng)
        turned = self.moves.turn(other, rng)[-1] if rng.random() < 0.6 else other
        return held(slid[:3], turned[3:])

    def _towards_others(self, tree: int) -> None:
        """Try to link a node of a tree with the nearest of any other."""
        nodes = self.forest.of_tree(tree)
        self._join_from(int(nodes[self.rng.integers(len(nodes))]))

    def _join_from(self, node: int) -> None:
        """Move from the nearest node of another tree towards this one, and let the trees become one where that goes."""
        forest = self.forest
        own = int(forest.tree[node])
        others = np.flatnonzero(forest.tree[: len(forest)] != own)
        if not len(others):
            return
        if not self.gate.seeded and self.rng.random() < 0.5:
            # The nearest of all may stand behind a wall.
            others = forest.of_tree(self._other_tree(own))
        pose = forest.poses[node].copy()
        other = forest.nearest(self._some(others), pose)
        start = forest.poses[other].copy()
        came = self.judge.advance(start, pose)
        if came.share >= 1.0:
            forest.join(node, other)
            return
        far = float(forest.distances(np.array([other]), pose)[0])
        if came.share * BACK_OFF * far >= LEAST_MM:
            self._grow(other, share_of(start, pose, came.share * BACK_OFF))

    def _other_tree(self, but: int = -1) -> int:
        """Return any tree; where seeds lie in narrow places, small ones as often as large ones."""
        if self.gate.seeded:
            return int(self.forest.tree[self.rng.integers(len(self.forest))])
        trees = np.unique(self.forest.tree[: len(self.forest)])
        trees = trees[trees != but]
        return int(trees[self.rng.integers(len(trees))])

    def _some(self, nodes: Ints) -> Ints:
        return nodes if len(nodes) <= MOST_LOOKED_AT else nodes[self.rng.integers(len(nodes), size=MOST_LOOKED_AT)]

    def _sow_in_passages(self) -> None:
        """Plant poses that are clear between two that are not, so in narrow places; a leg lies along the room.

        After the bridge test (D. Hsu, T. Jiang, J. Reif and Z. Sun, ICRA 2003).
        """
        poses = self.moves.aligned(*self.gate.near, BRIDGES, self.rng)
        poses = poses[self.judge.clear(poses)]
        poses = poses[self._between(poses)]
        # Of some of them, those that are so whichever way one looks.
        poses = poses[self.rng.permutation(len(poses))[:MOST_WEIGHED]]
        narrow = sum((self._between(poses).astype(int) for _ in range(WEIGHINGS)), np.zeros(len(poses), dtype=int))
        for pose in poses[np.argsort(-narrow, kind="stable")[:MOST_SOWN]]:
            self._plant(pose)

    def _between(self, poses: Floats) -> Bools:
        """Tell which poses have one that is not clear to either side, in a direction at random."""
        off = np.zeros_like(poses)
        off[:, :3] = SPAN * self.judge.reach_mm * self.rng.normal(size=(len(poses), 3))
        between = ~self.judge.clear(poses + off)
        between[between] = ~self.judge.clear(poses[between] - off[between])
        return between

    def _sow(self) -> None:
        """Plant what is clear of poses outside, and of poses threaded through the opening, and link neighbours."""
        for _ in range(20):
            pose = held(self.rng.uniform(self.gate.low, self.gate.high), random_turn(self.rng))
            if self.gate.outness(pose) >= 0.0 and bool(self.judge.clear(pose[None])[0]):
                self._plant(pose)
        if not self.gate.seeded:
            self._sow_in_passages()
        for row in self.gate.seeds(self.rng):
            clear = self.judge.clear(row)
            before: int | None = None
            for pose, good in zip(row, clear.tolist(), strict=True):
                if not good:
                    before = None
                    continue
                if before is not None and self.judge.advance(self.forest.poses[before], pose).share >= 1.0:
                    before = self._grow(before, pose)
                else:
                    before = self._plant(pose)
