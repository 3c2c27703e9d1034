"""A bent bar held at both ends that grows: how far it moves aside, and the moments in it.

Small displacements, straight elements in a chain, each with the stiffness of a round bar in tension, bending and twist
(Euler and Bernoulli). The chain gives a block tridiagonal system, which is solved from one end to the other.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.geometry.arrays import Floats, normals_to, np

HELD = 1e11
"""How stiff a clip is across the tube, N/mm: far more than any tube."""


@dataclass(frozen=True)
class BeamSection:
    """What a round bar resists with: N for tension, N mm2 for bending and for twist."""

    tension_n: float
    bending_n_mm2: float
    twist_n_mm2: float


@dataclass(frozen=True)
class BeamAnswer:
    """Of a bar that grew: how far each node moved, (n, 3) mm; of each element the moments at its ends and the force."""

    moved: Floats
    bending_n_mm: Floats
    tension_n: Floats


def grown(nodes: Floats, section: BeamSection, strain: float, sliding: Sequence[int]) -> BeamAnswer:
    """Let a bar grow that is held fast at both ends.

    Args:
        nodes: points along its axis, (n, 3) mm, n at least 2, no two neighbours the same.
        section: what its cross-section resists with.
        strain: by how much each length of it would grow if it were free.
        sliding: nodes at which it is held aside but slides along itself and turns.
    """
    n = len(nodes)
    ways = np.diff(nodes, axis=0)
    size = np.linalg.norm(ways, axis=1)
    frames = _frames(ways / size[:, None])
    stiff = _stiffness(size, section)
    turned = np.zeros((n - 1, 12, 12))
    for k in range(4):
        turned[:, 3 * k : 3 * k + 3, 3 * k : 3 * k + 3] = frames
    in_room = np.einsum("eji,ejk,ekl->eil", turned, stiff, turned)
    push = np.zeros((n - 1, 12))
    push[:, 0], push[:, 6] = -section.tension_n * strain, section.tension_n * strain
    load_of = np.einsum("eji,ej->ei", turned, push)
    own, load = np.zeros((n, 6, 6)), np.zeros((n, 6))
    own[:-1] += in_room[:, :6, :6]
    own[1:] += in_room[:, 6:, 6:]
    load[:-1] += load_of[:, :6]
    load[1:] += load_of[:, 6:]
    for node in sliding:
        way = frames[min(node, n - 2), 0]
        own[node, :3, :3] += HELD * (np.eye(3) - np.outer(way, way))
    moved = _chain(own[1:-1], in_room[1:-1, :6, 6:], load[1:-1])
    full = np.concatenate([np.zeros((1, 6)), moved, np.zeros((1, 6))])
    ends = np.einsum("eij,ej->ei", turned, np.concatenate([full[:-1], full[1:]], axis=1))
    force = np.einsum("eij,ej->ei", stiff, ends) - push
    bending = np.stack([np.hypot(force[:, 4], force[:, 5]), np.hypot(force[:, 10], force[:, 11])], axis=1)
    return BeamAnswer(full[:, :3], bending, np.abs(force[:, 6]))


def _frames(ways: Floats) -> Floats:
    """Return a frame along each unit direction, (n, 3, 3): its rows are the directions x, y, z of the element."""
    y = normals_to(ways)
    return np.stack([ways, y, np.cross(ways, y)], axis=1)


def _stiffness(size: Floats, section: BeamSection) -> Floats:
    """Return each element's stiffness in its own frame, (n, 12, 12): x, y, z and turns at one end, then the other."""
    out = np.zeros((len(size), 12, 12))
    tension, twist = section.tension_n / size, section.twist_n_mm2 / size
    for value, k in ((tension, 0), (twist, 3)):
        out[:, k, k] = out[:, k + 6, k + 6] = value
        out[:, k, k + 6] = out[:, k + 6, k] = -value
    ei = section.bending_n_mm2
    # Sideways y goes with turns about z, and z with turns about y the other way round.
    for side, turn, sign in ((1, 5, 1.0), (2, 4, -1.0)):
        a, b, c = 12.0 * ei / size**3, sign * 6.0 * ei / size**2, 2.0 * ei / size
        rows = (side, turn, side + 6, turn + 6)
        block = ((a, b, -a, b), (b, 2.0 * c, -b, c), (-a, -b, a, -b), (b, c, -b, 2.0 * c))
        for i, row in zip(rows, block, strict=True):
            for j, value in zip(rows, row, strict=True):
                out[:, i, j] = value
    return out


def _chain(own: Floats, beside: Floats, load: Floats) -> Floats:
    """Solve a symmetric block tridiagonal system: blocks (n, 6, 6) on the diagonal, (n-1, 6, 6) right of it."""
    n = len(own)
    if n == 0:
        return np.zeros((0, 6))
    own, load = own.copy(), load.copy()
    for k in range(1, n):
        share = np.linalg.solve(own[k - 1], beside[k - 1]).T
        own[k] -= share @ beside[k - 1]
        load[k] -= share @ load[k - 1]
    out = np.zeros((n, 6))
    out[-1] = np.linalg.solve(own[-1], load[-1])
    for k in range(n - 2, -1, -1):
        out[k] = np.linalg.solve(own[k], load[k] - beside[k] @ out[k + 1])
    return out
