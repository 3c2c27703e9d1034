"""The cells of `crossing`, halved and judged by compiled code, from the one judged last on.

Rows of things are those of `judge_room`; of things made of triangles none are asked, which proves less, but nothing
false.
"""

from math import cos, hypot, sin, sqrt

import numpy as np

from pipemodel.ways_in.judge_kernel import MESH, TRIANGLE, compiled, field

_MOST_OPEN = 100_000
"""Cells that may wait to be looked at."""


@compiled
def _screen(outline, x, y, z):  # type: ignore[no-untyped-def]
    """Return how far a point of the opening's frame is from its plane where that is closed."""
    inside, least, n = False, 1e300, len(outline)
    for i in range(n):
        px, py = outline[i, 0], outline[i, 1]
        qx, qy = outline[(i + 1) % n, 0], outline[(i + 1) % n, 1]
        ex, ey = qx - px, qy - py
        size = ex * ex + ey * ey
        share = min(max(((x - px) * ex + (y - py) * ey) / size, 0.0), 1.0) if size > 0.0 else 0.0
        least = min(least, hypot(x - px - share * ex, y - py - share * ey))
        if (py > y) != (qy > y) and x < px + (y - py) / ey * ex:
            inside = not inside
    return hypot(z, least) if inside else abs(z)


@compiled
def _turn(face, a, b, roll, out):  # type: ignore[no-untyped-def]
    """Put into `out` the turn of a cell's middle, (3, 3): the least from the face's middle, after the roll."""
    axis, sign = face // 2, 1.0 if face % 2 == 0 else -1.0
    i, j, k = axis, (axis + 1) % 3, (axis + 2) % 3
    front, second, third = np.zeros(3), np.zeros(3), np.zeros(3)
    front[i], second[j] = sign, 1.0
    third[k] = sign
    looks = np.zeros(3)
    size = sqrt(1.0 + a * a + b * b)
    looks[i], looks[j], looks[k] = sign / size, a / size, b / size
    cx = front[1] * looks[2] - front[2] * looks[1]
    cy = front[2] * looks[0] - front[0] * looks[2]
    cz = front[0] * looks[1] - front[1] * looks[0]
    share = 1.0 / (1.0 + front[0] * looks[0] + front[1] * looks[1] + front[2] * looks[2])
    c, s = cos(roll), sin(roll)
    for column in range(3):
        if column == 0:
            vx, vy, vz = front[0], front[1], front[2]
        elif column == 1:
            vx, vy, vz = c * second[0] + s * third[0], c * second[1] + s * third[1], c * second[2] + s * third[2]
        else:
            vx, vy, vz = c * third[0] - s * second[0], c * third[1] - s * second[1], c * third[2] - s * second[2]
        along = (cx * vx + cy * vy + cz * vz) * share
        wx, wy, wz = cy * vz - cz * vy, cz * vx - cx * vz, cx * vy - cy * vx
        # v + w x v + w (w . v) / (1 + cos) - what w x (w x v) / (1 + cos) takes: written out.
        square = (cx * cx + cy * cy + cz * cz) * share
        out[0, column] = vx + wx + cx * along - square * vx
        out[1, column] = vy + wy + cy * along - square * vy
        out[2, column] = vz + wz + cz * along - square * vz


@compiled
def stuck(kinds, data, points, origin, axes, outline, solid, keep, looks_in, rolls, loose, weights, most):  # type: ignore[no-untyped-def]
    """Tell whether it is proved that balls cannot stand with the first of them in an opening; see `crossing`."""
    k = len(points)
    low, high = np.empty(2), np.empty(2)
    edge = keep if solid else 0.0
    for i in range(2):
        low[i], high[i] = outline[:, i].min() + edge - 1e-6, outline[:, i].max() - edge + 1e-6
        if low[i] > high[i]:
            return True
    far, off = np.empty(k), np.empty(k)
    for i in range(k):
        far[i] = sqrt(points[i, 0] ** 2 + points[i, 1] ** 2 + points[i, 2] ** 2)
        off[i] = hypot(points[i, 1], points[i, 2])
    queue = np.empty((_MOST_OPEN, 11))
    for face in range(6):
        queue[face, 0], queue[face, 1] = 0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])
        queue[face, 2], queue[face, 3], queue[face, 4] = 0.0, 0.0, 0.0
        queue[face, 5], queue[face, 6] = 0.5 * (high[0] - low[0]), 0.5 * (high[1] - low[1])
        queue[face, 7], queue[face, 8], queue[face, 9] = 1.0, 1.0, rolls
        queue[face, 10] = face
    first, waiting, looked = 0, 6, 0
    turn, cell = np.empty((3, 3)), np.empty(11)
    # The largest first: what is clear shows soonest there.
    while waiting > 0:
        for i in range(11):
            cell[i] = queue[first, i]
        first, waiting = (first + 1) % _MOST_OPEN, waiting - 1
        face = int(cell[10])
        _turn(face, cell[2], cell[3], cell[4], turn)
        turns = loose * hypot(cell[7], cell[8])
        empty, clear = False, True
        if looks_in:
            empty = turn[2, 0] + turns < 0.0
            clear = turn[2, 0] >= 0.0
        spread = hypot(cell[5], cell[6])
        for i in range(k):
            if empty:
                break
            stray = spread + far[i] * turns + off[i] * cell[9]
            p, q, r = points[i, 0], points[i, 1], points[i, 2]
            x = turn[0, 0] * p + turn[0, 1] * q + turn[0, 2] * r + cell[0]
            y = turn[1, 0] * p + turn[1, 1] * q + turn[1, 2] * r + cell[1]
            z = turn[2, 0] * p + turn[2, 1] * q + turn[2, 2] * r
            if solid:
                value = _screen(outline, x, y, z)
                empty = empty or value + stray < keep - 1e-6
                clear = clear and value >= keep
            wx = origin[0] + axes[0, 0] * x + axes[1, 0] * y + axes[2, 0] * z
            wy = origin[1] + axes[0, 1] * x + axes[1, 1] * y + axes[2, 1] * z
            wz = origin[2] + axes[0, 2] * x + axes[1, 2] * y + axes[2, 2] * z
            for row in range(len(kinds)):
                if empty:
                    break
                if kinds[row] == MESH or kinds[row] == TRIANGLE:
                    continue
                looked += 1
                value, _, _, _ = field(kinds[row], data[row], wx, wy, wz)
                empty = value + stray < keep - 1e-6
                clear = clear and value >= keep
        if empty:
            continue
        if clear or looked > most or waiting + 2 > _MOST_OPEN:
            return False
        widest, best = 0, -1.0
        for i in range(5):
            if cell[5 + i] * weights[i] > best:
                widest, best = i, cell[5 + i] * weights[i]
        half = 0.5 * cell[5 + widest]
        for sign in (-1.0, 1.0):
            last = (first + waiting) % _MOST_OPEN
            for i in range(11):
                queue[last, i] = cell[i]
            queue[last, widest] = cell[widest] + sign * half
            queue[last, 5 + widest] = half
            waiting += 1
    return True
