"""Blocks along the axes that hold a shape: the cheap first look before any exact distance."""

from typing import NamedTuple

from pipemodel.geometry.arrays import Bools, Floats, Ints, lengths, np


class Blocks(NamedTuple):
    """Rows sorted by owner, owner by owner: where each one's begin and how many, and the blocks that hold them."""

    first: Ints
    size: Ints
    low: Floats
    high: Floats


def blocks_of(owner: Ints, low: Floats, high: Floats) -> Blocks:
    """Return where the rows of each owner lie, and the blocks that hold them."""
    first = np.searchsorted(owner, np.arange(int(owner[-1]) + 2 if len(owner) else 1))
    count = np.diff(first)
    whole = np.full((2, len(count), 3), np.inf)
    some = np.flatnonzero(count)
    if len(some):
        whole[0, some] = np.minimum.reduceat(low, first[some], axis=0)
        whole[1, some] = np.maximum.reduceat(high, first[some], axis=0)
    return Blocks(first[:-1], count, whole[0], whole[1])


def straight_bounds(start: Floats, direction: Floats, length: Floats) -> tuple[Floats, Floats]:
    """Return the low and high corners of the blocks that hold straights; rows as in `Straight`."""
    finish = start + direction * length[:, None]
    return np.minimum(start, finish), np.maximum(start, finish)


def arc_bounds(centre: Floats, u: Floats, v: Floats, radius: Floats, angle: Floats) -> tuple[Floats, Floats]:
    """Return the low and high corners of the blocks that hold arcs centre + radius (cos a u + sin a v).

    Args:
        centre: (n, 3).
        u: unit direction from the centre to the arc's start, (n, 3).
        v: unit direction of travel at the start, (n, 3).
        radius: (n,), mm.
        angle: how far each sweeps, (n,), radians, up to a full circle.
    """
    # Along each axis the arc reaches furthest where cos a u + sin a v does: at a = atan2(v, u) and opposite.
    reach = np.hypot(u, v)
    top = np.mod(np.arctan2(v, u), 2.0 * np.pi)
    bottom = np.mod(top + np.pi, 2.0 * np.pi)
    c, s = np.cos(angle)[:, None], np.sin(angle)[:, None]
    ends = u, c * u + s * v
    high = np.where(top <= angle[:, None], reach, np.maximum(*ends))
    low = np.where(bottom <= angle[:, None], -reach, np.minimum(*ends))
    r = radius[:, None]
    return centre + r * low, centre + r * high


def gaps(low_a: Floats, high_a: Floats, low_b: Floats, high_b: Floats) -> Floats:
    """Return the least distances between blocks, shape as the arguments broadcast (the last axis is x, y, z)."""
    total: Floats | None = None
    for axis in range(3):
        gap = np.maximum(low_b[..., axis] - high_a[..., axis], low_a[..., axis] - high_b[..., axis])
        np.maximum(gap, 0.0, out=gap)
        gap *= gap
        total = gap if total is None else total + gap
    assert total is not None
    out: Floats = np.sqrt(total)
    return out


def point_gaps(points: Floats, low: Floats, high: Floats) -> Floats:
    """Return the least distances from points to blocks, row by row."""
    gap = np.maximum(low - points, points - high)
    return lengths(np.maximum(gap, 0.0, out=gap))


def inside(points: Floats, low: Floats, high: Floats) -> Bools:
    """Return which points lie in a block; the last axis is x, y, z."""
    out: Bools = np.all((points >= low) & (points <= high), axis=-1)
    return out
