"""The cells of `closed_in`, gone through by compiled code: blocks of them, parted only where something is."""

import numpy as np

from pipemodel.ways_in.crossing_kernel import _screen
from pipemodel.ways_in.judge_kernel import MESH, TRIANGLE, compiled, field, inner

_BITS = 3
SIDE = 1 << _BITS
"""Cells along the side of a block; sides are powers of two, for divisions would take most of the time."""
_MOST_BLOCKS, _MOST_NEAR = 60_000, 256
_MOST_WAITING, _MOST_LOOKED = 1 << 22, 80_000_000
"""So many cells may wait, and so many distances be measured: about a second, for nobody can stop it meanwhile."""
_FREE, _UNSEEN = -2, -1
_SHUT, _BEFORE = 1, 2
"""Of a cell: that it is shut or has been reached; and that it lies before the opening."""


@inner
def _local(axes, origin, spot, out):  # type: ignore[no-untyped-def]
    """Put into `out` where a point of the room stands in the opening's frame."""
    for k in range(3):
        out[k] = 0.0
        for m in range(3):
            out[k] += axes[k, m] * (spot[m] - origin[m])


@inner
def _near(kinds, data, some, count, spot, reach, rows):  # type: ignore[no-untyped-def]
    """Put into `rows` which of the first of some things are nearer to a point than so much.

    Returns:
        How many those are, and how near the nearest is; 1e300 for none.
    """
    found, least = 0, 1e300
    for i in range(count):
        row = some[i]
        value = field(kinds[row], data[row], spot[0], spot[1], spot[2])[0]
        if value < reach and found < len(rows):
            rows[found] = row
            found += 1
            least = min(least, value)
    return found, least


@inner
def _any_nearer(kinds, data, rows, count, spot, reach):  # type: ignore[no-untyped-def]
    """Tell whether one of the things in the first rows is nearer to a point than so much."""
    for i in range(count):
        row = rows[i]
        if field(kinds[row], data[row], spot[0], spot[1], spot[2])[0] < reach:
            return True
    return False


@inner
def _by_gate(gate, spot, around, local):  # type: ignore[no-untyped-def]
    """Tell whether a point is no farther than so much from an opening; `local` becomes where it stands in its frame."""
    origin, axes, outline = gate
    _local(axes, origin, spot, local)
    if abs(local[2]) > around:
        return False
    for k in range(2):
        if local[k] < outline[:, k].min() - around or local[k] > outline[:, k].max() + around:
            return False
    return True


@inner
def _looked_at(solids, sheets, gate, corner, size, keep, cells, rows):  # type: ignore[no-untyped-def]
    """Part a block into cells and mark in `cells` which of them are shut; `corner` is its low one.

    A cell is shut where all of it is too near to something, or in the opening. Beside the opening and beside triangles,
    which are sheets, cells are as small as can be; else as the thing needs it that needs the smallest. Eighths of the
    block are gone through first: most hold nothing, or are shut.

    Returns:
        Into how many cells a side is parted, 1 for a block that is free; and how many distances were measured.
    """
    kinds, data, every, fine = solids
    sheet_kinds, triangles, every_sheet = sheets
    whole = SIDE * size
    spot, local, begin = corner + 0.5 * whole, np.empty(3), np.empty(3)
    around = 0.5 * np.sqrt(3.0) * whole
    near, _ = _near(kinds, data, every, len(every), spot, keep + around, rows[0])
    near_sheets, _ = _near(sheet_kinds, triangles, every_sheet, len(every_sheet), spot, keep + around, rows[1])
    looked = len(every) + len(every_sheet)
    in_gate = _by_gate(gate, spot, around + 4.0 * size, local)
    if near == 0 and near_sheets == 0 and not in_gate:
        return 1, looked
    parts = SIDE if in_gate or near_sheets > 0 else 2
    for i in range(near):
        parts = max(parts, fine[rows[0][i]])
    side = whole / parts
    half, cells[:] = 0.5 * np.sqrt(3.0) * side, 0
    for eighth in range(8):
        p, q, r = (eighth & 1) * parts // 2, (eighth >> 1 & 1) * parts // 2, (eighth >> 2) * parts // 2
        begin[0], begin[1], begin[2] = corner[0] + p * side, corner[1] + q * side, corner[2] + r * side
        spot[:] = begin + 0.25 * whole
        few, least = _near(kinds, data, rows[0], near, spot, keep + 0.5 * around, rows[2])
        few_sheets, least_sheet = _near(
            sheet_kinds, triangles, rows[1], near_sheets, spot, keep + 0.5 * around, rows[3]
        )
        looked += near + near_sheets
        by_gate = in_gate and _by_gate(gate, spot, 0.5 * around + 4.0 * size, local)
        if min(least, least_sheet) < keep - 0.5 * around:
            cells[p : p + parts // 2, q : q + parts // 2, r : r + parts // 2] = _SHUT
            continue
        if parts == 2 or (few == 0 and few_sheets == 0 and not by_gate):
            continue
        looked += (parts // 2) ** 3 * (few + few_sheets)
        for i in range(parts // 2):
            for j in range(parts // 2):
                for k in range(parts // 2):
                    spot[0], spot[1], spot[2] = (i + 0.5) * side, (j + 0.5) * side, (k + 0.5) * side
                    spot += begin
                    if _any_nearer(kinds, data, rows[2], few, spot, keep - half) or _any_nearer(
                        sheet_kinds, triangles, rows[3], few_sheets, spot, keep - half
                    ):
                        cells[p + i, q + j, r + k] = _SHUT
                    elif by_gate:
                        _local(gate[1], gate[0], spot, local)
                        if _screen(gate[2], local[0], local[1], 0.0) >= half:
                            if abs(local[2]) <= half:
                                cells[p + i, q + j, r + k] = _SHUT
                            elif -4.0 * size < local[2] < 0.0:
                                cells[p + i, q + j, r + k] = _BEFORE
    return parts, looked


@compiled
def stays_in(kinds, data, triangles, low, count, size, seeds, origin, axes, outline, keep, fine):  # type: ignore[no-untyped-def]
    """Tell whether the middle of a ball cannot get out of some blocks, nor before an opening, but through it.

    Args:
        kinds: of what stands there, as rows.
        data: the rows' figures.
        triangles: rows of those.
        low: the low corner of all blocks.
        count: how many blocks there are along each axis, (3,).
        size: the side of the smallest cell.
        seeds: where the ball may be to begin with, (n, 3).
        origin: a point in the opening's plane.
        axes: across, up and inwards.
        outline: of the opening, in that frame.
        keep: nearer than this to anything its middle cannot be.
        fine: of each row, into how many cells the side of a block is parted beside that: 2, 4 or `SIDE`.
    """
    solids = (kinds, data, np.flatnonzero(kinds != MESH), fine)
    sheets = (np.full(len(triangles), TRIANGLE), triangles, np.arange(len(triangles)))
    gate = (origin, axes, outline)
    slot = np.full((count[0], count[1], count[2]), _UNSEEN, dtype=np.int32)
    cells = np.empty((_MOST_BLOCKS, SIDE, SIDE, SIDE), dtype=np.uint8)
    parted = np.empty(_MOST_BLOCKS, dtype=np.int32)
    rows = np.empty((4, _MOST_NEAR), dtype=np.int64)
    # A row of the stack is the low corner of a cell that was reached, in smallest cells, and its side.
    stack = np.empty((_MOST_WAITING, 4), dtype=np.int32)
    at, block, there = np.empty(3, dtype=np.int64), np.empty(3, dtype=np.int64), np.empty(3, dtype=np.int64)
    top = looked = used = seeded = 0
    axis, sign, wide, one, other = 0, 0, 1, 0, 0
    while True:
        if seeded < len(seeds):
            # A seed is reached as if from beside it.
            for k in range(3):
                there[k] = int((seeds[seeded, k] - low[k]) // size)
            seeded += 1
            faces, wide = 1, 1
        elif top > 0:
            top -= 1
            for k in range(3):
                at[k] = stack[top, k]
            faces, wide = 6, stack[top, 3]
        else:
            return True
        for face in range(faces):
            axis, sign = face // 2, face % 2
            one, other = (axis + 1) % 3, (axis + 2) % 3
            if faces == 6:
                there[axis] = at[axis] + (wide if sign else -1)
                there[one], there[other] = at[one], at[other]
            for k in range(3):
                block[k] = there[k] >> _BITS
                if block[k] < 0 or block[k] >= count[k]:
                    return False
            here = slot[block[0], block[1], block[2]]
            if here == _UNSEEN:
                if used == _MOST_BLOCKS:
                    return False
                made, looks = _looked_at(solids, sheets, gate, low + block * SIDE * size, size, keep, cells[used], rows)
                looked += looks
                if looked > _MOST_LOOKED or top + 1 + SIDE * SIDE > len(stack):
                    return False
                if made == 1:
                    slot[block[0], block[1], block[2]] = _FREE
                    for k in range(3):
                        stack[top, k] = block[k] << _BITS
                    stack[top, 3] = SIDE
                    top += 1
                    continue
                here, parted[used] = used, 0
                while made << parted[used] < SIDE:
                    parted[used] += 1
                slot[block[0], block[1], block[2]] = used
                used += 1
            if here == _FREE:
                continue
            # Of the block beyond, all cells that this face touches.
            bits = parted[here]
            side, first, last = 1 << bits, there[one], there[other]
            for p in range(0, wide, side):
                for q in range(0, wide, side):
                    there[one], there[other] = first + p, last + q
                    i, j, k = there[0] >> bits, there[1] >> bits, there[2] >> bits
                    mask = (SIDE >> bits) - 1
                    mark = cells[here, i & mask, j & mask, k & mask]
                    if mark == _BEFORE:
                        return False
                    if mark == _SHUT:
                        continue
                    cells[here, i & mask, j & mask, k & mask] = _SHUT
                    if top + 1 > len(stack):
                        return False
                    stack[top, 0], stack[top, 1], stack[top, 2] = i << bits, j << bits, k << bits
                    stack[top, 3] = side
                    top += 1
