"""The base cut into parts that fit the bed: which towers share a part, and where on the bars the joints go."""

from dataclasses import dataclass, field

import numpy as np

from pipemodel.jigs.base import Base, Polygon, overlap
from pipemodel.jigs.run_in_jig import Array
from pipemodel.job.jig import Bed

MARGIN_MM = 3.0
"""Bed kept free along every edge."""
LEAST_BAR_MM = 85.0
"""A bar that is a part of its own is no shorter than this where there is room."""
LABEL_MM = 44.0
"""A part has so much plain bar for its label, where that costs nothing."""
KEY_DEPTH = 0.34
KEY_NECK = 0.18
KEY_HEAD = 0.27
"""A joint's dovetail, as shares of the bar's width: how deep, and half its width at the neck and at the head."""


@dataclass(frozen=True)
class BarJoint:
    """A cut square across bar number `bar`, `at` mm from the bar's start.

    The part on the side of the bar's start carries a key, which slides into the other part from above.
    """

    bar: int
    at: float


@dataclass(frozen=True)
class PartPlan:
    """One printed part of the base: its towers, and stretches (bar, low, high) of the bars it takes.

    `keys` are joints (indices) at which it carries the key, `slots` those at which it takes one in.
    """

    towers: tuple[int, ...]
    stretches: tuple[tuple[int, float, float], ...]
    keys: tuple[int, ...] = ()
    slots: tuple[int, ...] = ()


@dataclass(frozen=True)
class Cut:
    """A base cut up: its parts and the joints between them."""

    parts: tuple[PartPlan, ...]
    joints: tuple[BarJoint, ...]


class TooBigError(Exception):
    """Something that cannot be divided further does not fit the bed; `size` is what it needs, in plan."""

    def __init__(self, size: tuple[float, float], towers: tuple[int, ...]) -> None:
        super().__init__(f"{size[0]:.0f} x {size[1]:.0f} mm")
        self.size, self.towers = size, towers


def best_turn(points: Array, bed: Bed) -> tuple[float, tuple[float, float], bool]:
    """Return the turn (degrees) that lays points (n, 2) best on the bed, the size they then have, and if they fit."""
    room = np.array([bed.x_mm, bed.y_mm]) - 2.0 * MARGIN_MM
    degrees = np.arange(0.0, 180.0, 1.0)
    a = np.radians(degrees)
    c, s = np.cos(a), np.sin(a)
    width = np.ptp(np.outer(points[:, 0], c) - np.outer(points[:, 1], s), axis=0)
    depth = np.ptp(np.outer(points[:, 0], s) + np.outer(points[:, 1], c), axis=0)
    over = np.maximum(width / room[0], depth / room[1])
    best = int(np.argmin(np.round(np.where(over <= 1.0, width * depth / (room[0] * room[1]), 1.0 + over), 9)))
    return float(degrees[best]), (float(width[best]), float(depth[best])), bool(over[best] <= 1.0)


def key_outline(base: Base, joint: BarJoint, gap: float = 0.0) -> Polygon:
    """Return the outline of a joint's key, or with a gap that of the slot it slides into.

    The key starts a little behind the cut, so that it is of one piece with its bar.
    """
    bar = base.bars[joint.bar]
    width = 2.0 * bar.half
    e = bar.along
    n = np.array([-e[1], e[0]])
    at = bar.start + e * joint.at
    neck, head, depth = KEY_NECK * width + gap, KEY_HEAD * width + gap, KEY_DEPTH * width + gap
    back = -1.0
    # Flanks run on straight behind the cut, so that neck and flank agree at the cut itself.
    slope = (head - neck) / depth
    rear = neck + slope * back
    return np.array(
        [at + e * back - n * rear, at + e * depth - n * head, at + e * depth + n * head, at + e * back + n * rear]
    )


def least_stub(base: Base) -> float:
    """Return how much plain bar stands either side of a joint, mm."""
    width = 2.0 * base.bars[0].half if base.bars else 0.0
    return KEY_DEPTH * width + 3.0


@dataclass
class _Tree:
    """The base as clusters of towers that no joint can part, and the bars between clusters with their free stretch."""

    clusters: list[list[int]]
    cluster_of: list[int]
    free: dict[int, tuple[float, float]] = field(default_factory=dict)


def cut(base: Base, bed: Bed) -> Cut:
    """Cut a base into parts that fit the bed.

    Raises:
        TooBigError: if towers that stand too close together for a joint do not fit the bed as one part.
    """
    tree = _clusters(base)
    builder = _Cutter(base, bed, tree)
    return builder.run()


def _clusters(base: Base) -> _Tree:
    """Group towers whose pads touch, or whose bar has no room for a joint; find the free stretch of other bars."""
    n = len(base.pads)
    parent = list(range(n))

    def find(i: int) -> int:
        while parent[i] != i:
            i = parent[i]
        return i

    def join(a: int, b: int) -> None:
        a, b = find(a), find(b)
        parent[max(a, b)] = min(a, b)

    for i in range(n):
        for j in base.near(i, 1.0):
            if i < j < n and overlap(base.outlines[i], base.outlines[j], 1.0):
                join(i, j)
    free: dict[int, tuple[float, float]] = {}
    for k, bar in enumerate(base.bars):
        stretch = _free_stretch(base, k) if find(bar.a) != find(bar.b) else None
        if stretch is None or stretch[1] - stretch[0] < 2.0 * least_stub(base):
            join(bar.a, bar.b)
        else:
            free[k] = stretch
    # Bars and pads of different parts must not touch away from their joints: what does, stays together.
    again = True
    while again:
        again = False
        for k, bar in enumerate(base.bars):
            for i in base.near(n + k, 1.0):
                if (
                    i < n
                    and find(i) not in (find(bar.a), find(bar.b))
                    and overlap(base.outlines[i], base.outlines[n + k], 1.0)
                ):
                    join(i, bar.a)
                    join(i, bar.b)
                    again = True
    free = {k: v for k, v in free.items() if find(base.bars[k].a) != find(base.bars[k].b)}
    roots = sorted({find(i) for i in range(n)})
    order = {r: c for c, r in enumerate(roots)}
    cluster_of = [order[find(i)] for i in range(n)]
    return _Tree([[i for i in range(n) if cluster_of[i] == c] for c in range(len(roots))], cluster_of, free)


def _free_stretch(base: Base, k: int) -> tuple[float, float] | None:
    """Return the longest stretch of a bar that touches no pad and no other bar."""
    return longest_gap(0.0, base.bars[k].length, base.taken_along(k, 0.5))


def longest_gap(low: float, high: float, taken: list[tuple[float, float]]) -> tuple[float, float] | None:
    """Return the longest stretch between `low` and `high` that none of the intervals takes."""
    best: tuple[float, float] | None = None
    at = low
    for a, b in [*sorted(taken), (high, high)]:
        if a > at and (best is None or min(a, high) - at > best[1] - best[0]):
            best = (at, min(a, high))
        at = max(at, b)
        if at >= high:
            break
    return best


class _Cutter:
    """Walks the tree of clusters from its leaves, joining each to its parent's part as long as the bed has room."""

    def __init__(self, base: Base, bed: Bed, tree: _Tree) -> None:
        self.base, self.bed, self.tree = base, bed, tree
        self.stub = least_stub(base)
        self.key = KEY_DEPTH * 2.0 * base.bars[0].half if base.bars else 0.0
        self.parts: list[PartPlan] = []
        self.joints: list[BarJoint] = []
        self.links: dict[int, list[tuple[int, int]]] = {c: [] for c in range(len(tree.clusters))}
        for k in sorted(tree.free):
            a, b = tree.cluster_of[base.bars[k].a], tree.cluster_of[base.bars[k].b]
            self.links[a].append((k, b))
            self.links[b].append((k, a))

    def run(self) -> Cut:
        """Cut everything; parts come out in the order of their first tower."""
        done: set[int] = set()
        for root in range(len(self.tree.clusters)):
            if root not in done:
                self._finish(self._grow(root, None, done))
        order = sorted(
            range(len(self.parts)), key=lambda i: (self.parts[i].towers or (10**6,), self.parts[i].stretches)
        )
        return Cut(tuple(self.parts[i] for i in order), tuple(self.joints))

    def _start(self, cluster: int) -> "_Growing":
        inner = [
            (k, 0.0, bar.length)
            for k, bar in enumerate(self.base.bars)
            if k not in self.tree.free and self.tree.cluster_of[bar.a] == cluster
        ]
        part = _Growing(list(self.tree.clusters[cluster]), inner)
        for k, _ in self.links[cluster]:
            part.pending[k] = self._stub_of(k, cluster)
        if not self._fits(part):
            raise TooBigError(self._size(part), tuple(part.towers))
        return part

    def _stub_of(self, k: int, cluster: int) -> tuple[float, float]:
        low, high = self.tree.free[k]
        if self.tree.cluster_of[self.base.bars[k].a] == cluster:
            return (0.0, low + self.stub + self.key)
        return (high - self.stub - self.key, self.base.bars[k].length)

    def _grow(self, cluster: int, via: int | None, done: set[int]) -> "_Growing":
        done.add(cluster)
        part = self._start(cluster)
        for k, child in self.links[cluster]:
            if k == via:
                continue
            branch = self._grow(child, k, done)
            whole = part.with_branch(branch, k, self.base.bars[k].length)
            if self._fits(whole):
                part = whole
            else:
                self._part(part, branch, k, cluster)
        return part

    def _part(self, part: "_Growing", branch: "_Growing", k: int, cluster: int) -> None:
        """Cut bar k between a part and its branch, with bars of their own between where the bed asks for it."""
        bar, (low, high) = self.base.bars[k], self.tree.free[k]
        forward = self.tree.cluster_of[bar.a] == cluster
        # Distances from the part's side: the part keeps its least stub, the branch reaches back as far as fits.
        near, far = (low, high) if forward else (bar.length - high, bar.length - low)
        first = near + self.stub

        def span(a: float, b: float) -> tuple[int, float, float]:
            return (k, a, b) if forward else (k, bar.length - b, bar.length - a)

        del part.pending[k], branch.pending[k]
        roomy = first + LABEL_MM
        if not part.stretches and roomy + self.stub <= far and self._fits(part, span(0.0, roomy + self.stub)):
            first = roomy
        reach = far - self.stub
        lowest = first
        while reach - lowest > 1.0:
            middle = (lowest + reach) / 2.0
            if self._fits(branch, span(middle - self.stub, bar.length)):
                reach = middle
            else:
                lowest = middle
        if self._fits(branch, span(first - self.stub, bar.length)):
            reach = first
        longest = self._longest_bar(bar.half)
        pieces = 0 if reach <= first + 1e-9 else max(1, int(np.ceil((reach - first) / longest)))
        if pieces and self._fits(part, span(0.0, reach + self.stub)):
            # One joint and no bar by itself, where the part can reach out to it.
            first, pieces = reach, 0
        elif pieces and (far - self.stub - first) / pieces < 2.0 * self.stub:
            # Two joints leave a slot, a key's root, and no solid bar between.
            raise TooBigError(self._size(part, span(0.0, reach + self.stub)), tuple(part.towers))
        if pieces:
            # No bar too short to handle or to carry its label: the branch gives way instead.
            reach = min(far - self.stub, max(reach, first + pieces * min(LEAST_BAR_MM, longest)))
        marks = [float(m) for m in np.linspace(first, reach, pieces + 1)]
        numbers: list[int] = []
        for m in marks:
            numbers.append(len(self.joints))
            self.joints.append(BarJoint(k, m if forward else bar.length - m))
        # Keys point along the bar, from its start to its finish.
        ends = (part.slots, branch.keys) if not forward else (part.keys, branch.slots)
        part.stretches.append(span(0.0, marks[0]))
        branch.stretches.append(span(marks[-1], bar.length))
        ends[0].append(numbers[0])
        ends[1].append(numbers[-1])
        for i in range(pieces):
            keys, slots = (numbers[i + 1], numbers[i]) if forward else (numbers[i], numbers[i + 1])
            self.parts.append(PartPlan((), (span(marks[i], marks[i + 1]),), (keys,), (slots,)))
        self._finish(branch)

    def _longest_bar(self, half: float) -> float:
        """Return the longest plain bar, key and all, that the bed takes, cornerwise if need be."""
        low, high = 0.0, float(np.hypot(self.bed.x_mm, self.bed.y_mm))
        while high - low > 1.0:
            middle = (low + high) / 2.0
            box = np.array([(0.0, -half), (middle, -half), (middle, half), (0.0, half)])
            low, high = (middle, high) if best_turn(box, self.bed)[2] else (low, middle)
        return max(low - self.stub, 1.0)

    def _points(self, part: "_Growing", extra: tuple[int, float, float] | None = None) -> Array:
        outlines = [self.base.pads[t].outline for t in part.towers]
        spans = [*part.stretches, *((k, *s) for k, s in part.pending.items()), *([extra] if extra else [])]
        outlines += [self.base.bars[k].stretch(a, b) for k, a, b in spans]
        outlines += [key_outline(self.base, self.joints[j]) for j in part.keys]
        return np.vstack(outlines)

    def _fits(self, part: "_Growing", extra: tuple[int, float, float] | None = None) -> bool:
        return best_turn(self._points(part, extra), self.bed)[2]

    def _size(self, part: "_Growing", extra: tuple[int, float, float] | None = None) -> tuple[float, float]:
        return best_turn(self._points(part, extra), self.bed)[1]

    def _finish(self, part: "_Growing") -> None:
        self.parts.append(
            PartPlan(tuple(sorted(part.towers)), tuple(sorted(part.stretches)), tuple(part.keys), tuple(part.slots))
        )


@dataclass
class _Growing:
    """A part while it is being put together; `pending` holds the stub kept in hand for each bar not settled yet."""

    towers: list[int]
    stretches: list[tuple[int, float, float]]
    pending: dict[int, tuple[float, float]] = field(default_factory=dict)
    keys: list[int] = field(default_factory=list)
    slots: list[int] = field(default_factory=list)

    def with_branch(self, branch: "_Growing", k: int, length: float) -> "_Growing":
        """Return this part and a branch as one, with the whole bar between them."""
        pending = {i: s for i, s in {**self.pending, **branch.pending}.items() if i != k}
        return _Growing(
            self.towers + branch.towers,
            [*self.stretches, *branch.stretches, (k, 0.0, length)],
            pending,
            self.keys + branch.keys,
            self.slots + branch.slots,
        )
