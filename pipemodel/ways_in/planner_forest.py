"""Poses that a piece was found clear in, and the moves between them: trees that grow together."""

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints


class Forest:
    """Nodes with their poses, the tree that each belongs to, and what they are linked to.

    Args:
        turn_mm: how far apart a turn by one radian counts as, mm.
    """

    def __init__(self, turn_mm: float) -> None:
        self.turn_mm = turn_mm
        self.poses: Floats = np.zeros((1024, 7))
        self.tree: Ints = np.zeros(1024, dtype=np.int64)
        self.grown: Ints = np.zeros(1024, dtype=np.int64)
        self.outness: Floats = np.zeros(1024)
        self.outside: Ints = np.zeros(1024, dtype=np.int64)
        self.links: list[list[int]] = []
        self.trees = 0

    def __len__(self) -> int:
        return len(self.links)

    def plant(self, pose: Floats, outness: float, outside: bool) -> int:
        """Begin a tree with a node, and return the node's number."""
        node = self._put(pose, outness, outside, self.trees)
        self.trees += 1
        return node

    def grow(self, onto: int, pose: Floats, outness: float, outside: bool) -> int:
        """Add a node that is linked to another one, and return its number."""
        node = self._put(pose, outness, outside, int(self.tree[onto]))
        self.links[node].append(onto)
        self.links[onto].append(node)
        return node

    def join(self, a: int, b: int) -> None:
        """Link two nodes; their trees become one, that of the lower number."""
        self.links[a].append(b)
        self.links[b].append(a)
        low, high = sorted((int(self.tree[a]), int(self.tree[b])))
        tree = self.tree[: len(self)]
        tree[tree == high] = low

    def of_tree(self, tree: int) -> Ints:
        """Return the numbers of a tree's nodes."""
        return np.flatnonzero(self.tree[: len(self)] == tree)

    def distances(self, nodes: Ints, pose: Floats) -> Floats:
        """Return how far nodes are from a pose: mm, a turn counted in."""
        poses = self.poses[nodes]
        shift = poses[:, :3] - pose[:3]
        same = poses[:, 3:] @ pose[3:]
        square = np.einsum("ij,ij->i", shift, shift)
        out: Floats = np.sqrt(square + 4.0 * self.turn_mm**2 * np.maximum(1.0 - same * same, 0.0))
        return out

    def nearest(self, nodes: Ints, pose: Floats) -> int:
        """Return the node of some that is nearest to a pose."""
        return int(nodes[np.argmin(self.distances(nodes, pose))])

    def way(self, finish: int) -> list[int]:
        """Return the nodes from the first to another of its tree."""
        before, waiting = {0: 0}, [0]
        for node in waiting:
            if node == finish:
                break
            for other in self.links[node]:
                if other not in before:
                    before[other] = node
                    waiting.append(other)
        out = [finish]
        while out[-1]:
            out.append(before[out[-1]])
        return out[::-1]

    def _put(self, pose: Floats, outness: float, outside: bool, tree: int) -> int:
        node = len(self.links)
        if node == len(self.poses):
            self.poses = np.concatenate([self.poses, np.zeros_like(self.poses)])
            self.tree, self.grown, self.outside = (
                np.concatenate([x, np.zeros_like(x)]) for x in (self.tree, self.grown, self.outside)
            )
            self.outness = np.concatenate([self.outness, np.zeros_like(self.outness)])
        self.poses[node], self.tree[node], self.outness[node], self.outside[node] = pose, tree, outness, outside
        self.links.append([])
        return node
