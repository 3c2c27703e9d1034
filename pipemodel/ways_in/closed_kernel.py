"""The cells of `closed_in`, gone through by compiled code: blocks of them, parted only where something is."""

import numpy as np

from pipemodel.ways_in.crossing_kernel import _screen
from pipemodel.ways_in.judge_kernel import MESH, TRIANGLE, compiled, field, inner

SIDE = 8
"""Cells along the side of a block."""
_MOST_BLOCKS, _MOST_NEAR = 60_000, 256
_MOST_WAITING, _MOST_LOOKED = 1 << 22, 80_000_000
"""So many cells may wait, and so many distances be measured: about a second, for nobody can stop it meanwhile."""
_FREE = -2
_SHUT, _BEFORE = 1, 2
"""Of a cell: that it is shut or has been looked at; and that it lies before the opening."""


@inner
def _known(at, slot, cells, count):  # type: ignore[no-untyped-def]
    """Tell whether a cell is shut, or has been looked at."""
    i, j, k = at[0] // SIDE, at[1] // SIDE, at[2] // SIDE
    if i < 0 or j < 0 or k < 0 or i >= count[0] or j >= count[1] or k >= count[2]:
        return False
    here = slot[i, j, k]
    return here == _FREE or (here >= 0 and cells[here, at[0] % SIDE, at[1] % SIDE, at[2] % SIDE] == _SHUT)


@inner
def _local(axes, origin, spot, out):  # type: ignore[no-untyped-def]
    """Put into `out` where a point of the room stands in the opening's frame."""
    for k in range(3):
        out[k] = 0.0
        for m in range(3):
            out[k] += axes[k, m] * (spot[m] - origin[m])


@compiled
def stays_in(kinds, data, triangles, low, count, size, seeds, origin, axes, outline, keep):  # type: ignore[no-untyped-def]
    """Tell whether the middle of a ball cannot get out of some blocks, nor before an opening, but through it.

    Args:
        kinds: of what stands there, as rows.
        data: the rows' figures.
        triangles: rows of those.
        low: the low corner of all blocks.
        count: how many blocks there are along each axis, (3,).
        size: the side of a cell.
        seeds: where the ball may be to begin with, (n, 3).
        origin: a point in the opening's plane.
        axes: across, up and inwards.
        outline: of the opening, in that frame.
        keep: nearer than this to anything its middle cannot be.
    """
    whole = SIDE * size
    half, corner = 0.5 * np.sqrt(3.0) * size, 0.5 * np.sqrt(3.0) * whole
    slot = np.full((count[0], count[1], count[2]), -1, dtype=np.int32)
    cells = np.zeros((_MOST_BLOCKS, SIDE, SIDE, SIDE), dtype=np.uint8)
    rows, sheets = np.empty(_MOST_NEAR, dtype=np.int64), np.empty(_MOST_NEAR, dtype=np.int64)
    sheet = TRIANGLE + 0 * len(kinds)  # a plain number, so that no second `field` is compiled for a constant
    used, at, spot, local = 0, np.empty(3, dtype=np.int64), np.empty(3), np.empty(3)
    block, place = np.empty(3, dtype=np.int64), np.empty(3, dtype=np.int64)
    stack = np.empty((_MOST_WAITING, 3), dtype=np.int32)
    top = looked = 0
    for i in range(len(seeds)):
        for k in range(3):
            stack[top, k] = int((seeds[i, k] - low[k]) // size)
        top += 1
    while top > 0:
        top -= 1
        for k in range(3):
            at[k] = stack[top, k]
            block[k], place[k] = at[k] // SIDE, at[k] % SIDE
            if block[k] < 0 or block[k] >= count[k]:
                return False
        here = slot[block[0], block[1], block[2]]
        if here == _FREE:
            continue
        if here == -1:
            for k in range(3):
                spot[k] = low[k] + (block[k] + 0.5) * whole
            near = near_sheets = 0
            for row in range(len(kinds)):
                if kinds[row] == MESH:
                    continue
                if field(kinds[row], data[row], spot[0], spot[1], spot[2])[0] < keep + corner and near < _MOST_NEAR:
                    rows[near] = row
                    near += 1
            for row in range(len(triangles)):
                value = field(sheet, triangles[row], spot[0], spot[1], spot[2])[0]
                if value < keep + corner and near_sheets < _MOST_NEAR:
                    sheets[near_sheets] = row
                    near_sheets += 1
            looked += len(kinds) + len(triangles) + SIDE**3 * (near + near_sheets)
            if looked > _MOST_LOOKED:
                return False
            _local(axes, origin, spot, local)
            by_gate = abs(local[2]) < corner + 4.0 * size
            if near == 0 and near_sheets == 0 and not by_gate:
                slot[block[0], block[1], block[2]] = _FREE
                if top + 6 * SIDE * SIDE > len(stack):
                    return False
                for axis in range(3):
                    for side in (-1, SIDE):
                        one, other = (axis + 1) % 3, (axis + 2) % 3
                        for p in range(SIDE):
                            for q in range(SIDE):
                                stack[top, axis] = block[axis] * SIDE + side
                                stack[top, one] = block[one] * SIDE + p
                                stack[top, other] = block[other] * SIDE + q
                                if not _known(stack[top], slot, cells, count):
                                    top += 1
                continue
            if used == _MOST_BLOCKS:
                return False
            here = used
            slot[block[0], block[1], block[2]] = used
            used += 1
            # What is shut: all of it too near to something, or in the opening.
            for p in range(SIDE):
                for q in range(SIDE):
                    for r in range(SIDE):
                        for k in range(3):
                            spot[k] = low[k] + (block[k] * SIDE + (p, q, r)[k] + 0.5) * size
                        shut = False
                        for row in range(near):
                            shut = shut or (
                                field(kinds[rows[row]], data[rows[row]], spot[0], spot[1], spot[2])[0] + half < keep
                            )
                        for row in range(near_sheets):
                            shut = shut or (
                                field(sheet, triangles[sheets[row]], spot[0], spot[1], spot[2])[0] + half < keep
                            )
                        if not shut and by_gate:
                            _local(axes, origin, spot, local)
                            if _screen(outline, local[0], local[1], 0.0) >= half:
                                if abs(local[2]) <= half:
                                    shut = True
                                elif -4.0 * size < local[2] < 0.0:
                                    cells[here, p, q, r] = _BEFORE
                        if shut:
                            cells[here, p, q, r] = _SHUT
        mark = cells[here, place[0], place[1], place[2]]
        if mark == _BEFORE:
            return False
        if mark == _SHUT:
            continue
        cells[here, place[0], place[1], place[2]] = _SHUT
        if top + 6 > len(stack):
            return False
        for axis in range(3):
            for side in (-1, 1):
                for k in range(3):
                    stack[top, k] = at[k]
                stack[top, axis] += side
                if not _known(stack[top], slot, cells, count):
                    top += 1
    return True
