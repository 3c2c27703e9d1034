"""The judge's inner loops, compiled: how far a bent piece stands clear of everything, wherever it is held.

A tube is all the discs across its axis. Along the axis the distance to a convex thing, plus half the axis' curvature
times the square of the way, is convex: so the tangents at both ends of a stretch bound it from below, and stretches are
halved until what is left cannot matter. Near a flat end, where a ball as wide as the tube would stand out, the tube is
divided into cells instead. A hollow thing adds its own share to the curvature (a bend of another run) or is bounded by
how fast a distance can change at all (the wall of a round hole).

What is kept on disk of compiled code is thrown away when its own file changes, and only then: `crossing_kernel` and
`closed_kernel` call what stands here, and have to be saved again after a change of it.

Piece rows: origin, u, v (as in `geometry.distance.paths`), radius, length, where the piece begins along the run,
middle, and how far the axis reaches from there. `Room` and `Piece` in `judge_room` say what the arrays are.
"""

from math import atan2, cos, hypot, pi, sin, sqrt
from typing import Any

import numba
import numpy as np

FACE, BOX, CYLINDER, CONE, BEND, WASHER, MESH, TRIANGLE = range(8)
"""What a row of the room is; boxes of blocks over triangles are boxes too."""
FINE_MM = 0.02
"""A cell this small beside a flat end counts as touching when it may touch."""
ROUGH_MM = 0.15
"""The same while it is moved, or only asked about: such a place counts as nearer than it is, by no more than this."""
SHORT_MM = 1e-4
"""A stretch this short is not divided further."""
_DEEP = 96
REST = np.zeros(12)
"""How a piece moves that does not."""


def compiled(function: Any) -> Any:
    """Compile a function, and keep it on disk where there is a place to write."""
    try:
        return numba.njit(cache=True, error_model="numpy")(function)
    except RuntimeError:  # nowhere to keep it
        return numba.njit(error_model="numpy")(function)


def inner(function: Any) -> Any:
    """Compile a function that only compiled ones call."""
    return numba.njit(error_model="numpy")(function)


@inner
def field(kind, d, x, y, z):  # type: ignore[no-untyped-def]
    """Return the distance from a point to a thing's surface, below zero inside, and the direction away from it."""
    if kind == FACE:
        return d[0] * x + d[1] * y + d[2] * z - d[3], d[0], d[1], d[2]
    if kind in (BOX, MESH):
        return _to_box(d, x, y, z)
    if kind == TRIANGLE:
        return _to_triangle(d, x, y, z)
    if kind == BEND:
        return _to_bend(d, x, y, z)
    # What is turned about an axis: height and distance from the axis tell all.
    x, y, z = x - d[0], y - d[1], z - d[2]
    h = x * d[3] + y * d[4] + z * d[5]
    ox, oy, oz = x - h * d[3], y - h * d[4], z - h * d[5]
    rho = sqrt(ox * ox + oy * oy + oz * oz)
    if rho > 0.0:
        ox, oy, oz = ox / rho, oy / rho, oz / rho
    if kind == CONE:
        value, out, up = _to_trapezium(d[6], d[7], d[8], rho, h)
    else:
        inner = d[8] if kind == WASHER else -1e300
        side, over = max(rho - d[7], inner - rho), max(-h, h - d[6])
        facing, rising = (1.0 if rho - d[7] >= inner - rho else -1.0), (1.0 if h > 0.5 * d[6] else -1.0)
        if side <= 0.0 and over <= 0.0:
            value, out, up = max(side, over), (facing if side > over else 0.0), (0.0 if side > over else rising)
        else:
            side, over = max(side, 0.0), max(over, 0.0)
            value = sqrt(side * side + over * over)
            out, up = facing * side / value, rising * over / value
    return value, out * ox + up * d[3], out * oy + up * d[4], out * oz + up * d[5]


@inner
def _to_box(d, x, y, z):  # type: ignore[no-untyped-def]
    x, y, z = x - d[0], y - d[1], z - d[2]
    sx, sy, sz = (1.0 if x >= 0.0 else -1.0), (1.0 if y >= 0.0 else -1.0), (1.0 if z >= 0.0 else -1.0)
    ax, ay, az = abs(x) - d[3], abs(y) - d[4], abs(z) - d[5]
    if ax <= 0.0 and ay <= 0.0 and az <= 0.0:
        if ax >= ay and ax >= az:
            return ax, sx, 0.0, 0.0
        return (ay, 0.0, sy, 0.0) if ay >= az else (az, 0.0, 0.0, sz)
    ax, ay, az = max(ax, 0.0), max(ay, 0.0), max(az, 0.0)
    value = sqrt(ax * ax + ay * ay + az * az)
    return value, sx * ax / value, sy * ay / value, sz * az / value


@inner
def _to_trapezium(tall, first, last, rho, h):  # type: ignore[no-untyped-def]
    """Return the distance to a cone in the half plane through its axis, and the direction away, out and up."""
    if rho <= first and h < 0.0:
        return -h, 0.0, -1.0
    if rho <= last and h > tall:
        return h - tall, 0.0, 1.0
    size = hypot(tall, last - first)
    off = ((rho - first) * tall - h * (last - first)) / size
    share = ((rho - first) * (last - first) + h * tall) / (size * size)
    if off <= 0.0 and 0.0 <= h <= tall:
        if off >= -h and off >= h - tall:
            return off, tall / size, (first - last) / size
        return (-h, 0.0, -1.0) if -h >= h - tall else (h - tall, 0.0, 1.0)
    if 0.0 < share < 1.0:
        return off, tall / size, (first - last) / size
    out, up = (rho - first, h) if share <= 0.0 else (rho - last, h - tall)
    value = hypot(out, up)
    return (value, out / value, up / value) if value > 0.0 else (0.0, 1.0, 0.0)


@inner
def _to_triangle(d, x, y, z):  # type: ignore[no-untyped-def]
    """Return the distance to a triangle, a sheet: corners in d[0:9], unit normal in d[9:12]."""
    height = (x - d[0]) * d[9] + (y - d[1]) * d[10] + (z - d[2]) * d[11]
    best, over = 1e300, True
    bx = by = bz = 0.0
    for k in range(3):
        i, j = 3 * k, 3 * ((k + 1) % 3)
        ex, ey, ez = d[j] - d[i], d[j + 1] - d[i + 1], d[j + 2] - d[i + 2]
        px, py, pz = x - d[i], y - d[i + 1], z - d[i + 2]
        left = (ey * pz - ez * py) * d[9] + (ez * px - ex * pz) * d[10] + (ex * py - ey * px) * d[11]
        over = over and left > 0.0
        size = ex * ex + ey * ey + ez * ez
        share = min(max((px * ex + py * ey + pz * ez) / size, 0.0), 1.0) if size > 0.0 else 0.0
        px, py, pz = px - share * ex, py - share * ey, pz - share * ez
        square = px * px + py * py + pz * pz
        if square < best:
            best, bx, by, bz = square, px, py, pz
    side = 1.0 if height >= 0.0 else -1.0
    if over:
        return abs(height), side * d[9], side * d[10], side * d[11]
    value = sqrt(best)
    if value > 0.0:
        return value, bx / value, by / value, bz / value
    return 0.0, side * d[9], side * d[10], side * d[11]


@inner
def _to_bend(d, x, y, z):  # type: ignore[no-untyped-def]
    """Return the distance to a bend: centre, u, v, the radius of its axis, the angle it sweeps, the tube's radius."""
    x, y, z = x - d[0], y - d[1], z - d[2]
    wx, wy, wz = d[4] * d[8] - d[5] * d[7], d[5] * d[6] - d[3] * d[8], d[3] * d[7] - d[4] * d[6]
    a, b, h = x * d[3] + y * d[4] + z * d[5], x * d[6] + y * d[7] + z * d[8], x * wx + y * wy + z * wz
    turn = atan2(b, a)
    turn = turn if turn >= 0.0 else turn + 2.0 * pi
    if turn <= d[10]:
        rho = hypot(a, b)
        far = hypot(rho - d[9], h)
        k = (rho - d[9]) / (far * rho) if far > 0.0 and rho > 0.0 else 0.0
        value, la, lb, lh = far - d[11], a * k, b * k, (h / far if far > 0.0 else 1.0)
    else:
        value, la, lb, lh = 1e300, 0.0, 0.0, 0.0
        for end in range(2):
            c, s = (1.0, 0.0) if end == 0 else (cos(d[10]), sin(d[10]))
            height, reach = b * c - a * s, a * c + b * s - d[9]
            rr = hypot(reach, h)
            over = max(rr - d[11], 0.0)
            one = hypot(over, height)
            if one < value and one > 0.0:
                k = over / rr if rr > 0.0 else 0.0
                value = one
                la, lb, lh = (k * reach * c - height * s) / one, (k * reach * s + height * c) / one, k * h / one
    return value, la * d[3] + lb * d[6] + lh * wx, la * d[4] + lb * d[7] + lh * wy, la * d[5] + lb * d[8] + lh * wz


@inner
def _place(w, rows, e, s):  # type: ignore[no-untyped-def]
    """Return the axis point s mm along a piece and the direction of travel there."""
    radius = rows[e, 9]
    if radius == 0.0:
        return w[e, 0] + s * w[e, 3], w[e, 1] + s * w[e, 4], w[e, 2] + s * w[e, 5], w[e, 3], w[e, 4], w[e, 5]
    c, n = cos(s / radius), sin(s / radius)
    rc, rn = radius * c, radius * n
    return (
        w[e, 0] + rc * w[e, 3] + rn * w[e, 6],
        w[e, 1] + rc * w[e, 4] + rn * w[e, 7],
        w[e, 2] + rc * w[e, 5] + rn * w[e, 8],
        c * w[e, 6] - n * w[e, 3],
        c * w[e, 7] - n * w[e, 4],
        c * w[e, 8] - n * w[e, 5],
    )


@inner
def _put(rows, row, values):  # type: ignore[no-untyped-def]
    """Put values into a row; what a slice is given costs seconds of compiling, for the texts of its errors."""
    for k in range(len(values)):
        rows[row, k] = values[k]


@inner
def _axis_heights(d, x, y, z):  # type: ignore[no-untyped-def]
    x, y, z = x - d[0], y - d[1], z - d[2]
    h = x * d[3] + y * d[4] + z * d[5]
    return h, sqrt(max(x * x + y * y + z * z - h * h, 0.0))


@inner
def _washer_floor(d, w, rows, e, a, b):  # type: ignore[no-untyped-def]
    """Return a bound from below on the distance from a straight stretch to the wall of a round hole."""
    px, py, pz, _, _, _ = _place(w, rows, e, a)
    qx, qy, qz, _, _, _ = _place(w, rows, e, b)
    h0, r0 = _axis_heights(d, px, py, pz)
    h1, r1 = _axis_heights(d, qx, qy, qz)
    side = max(d[8] - max(r0, r1), 0.5 * (r0 + r1 - (b - a)) - d[7], 0.0)
    return hypot(side, max(-max(h0, h1), min(h0, h1) - d[6], 0.0))


@inner
def _ahead(move, low, gx, gy, gz, ax, ay, az, bx, by, bz, bulge):  # type: ignore[no-untyped-def]
    """Return what a stretch is clear of something by, as a way at the piece's greatest speed before the two can touch.

    The thing lies behind a plane square to g, `low` behind the stretch from a to b: only what goes that way matters.
    `move` holds the speed of the centre, the turn, the greatest speed of any point, half of how fast speeds may change,
    the centre, and how far the centre's speed may be off.
    """
    rate, turning = 0.0, sqrt(move[3] ** 2 + move[4] ** 2 + move[5] ** 2)
    for end in range(2):
        x, y, z = (ax, ay, az) if end == 0 else (bx, by, bz)
        x, y, z = x - move[8], y - move[9], z - move[10]
        vx = move[0] + move[4] * z - move[5] * y
        vy = move[1] + move[5] * x - move[3] * z
        vz = move[2] + move[3] * y - move[4] * x
        rate = max(rate, -(gx * vx + gy * vy + gz * vz))
    rate += turning * bulge + move[11]
    down = rate + sqrt(rate * rate + 4.0 * move[7] * low)
    return 2.0 * low / down * move[6] if down * 1e12 > low * move[6] else 1e12


@inner
def _hole_ahead(d, w, rows, e, a, b, tube, margin, move):  # type: ignore[no-untyped-def]
    """Do the same for a straight stretch within a round hole: only what goes away from the hole's axis matters."""
    px, py, pz, _, _, _ = _place(w, rows, e, a)
    qx, qy, qz, _, _, _ = _place(w, rows, e, b)
    low = d[8] - max(_axis_heights(d, px, py, pz)[1], _axis_heights(d, qx, qy, qz)[1]) - tube - margin
    if low <= 0.0:
        return 0.0
    rate, turning = 0.0, sqrt(move[3] ** 2 + move[4] ** 2 + move[5] ** 2)
    for end in range(2):
        x, y, z = (px, py, pz) if end == 0 else (qx, qy, qz)
        x, y, z = x - move[8], y - move[9], z - move[10]
        vx = move[0] + move[4] * z - move[5] * y
        vy = move[1] + move[5] * x - move[3] * z
        vz = move[2] + move[3] * y - move[4] * x
        on = vx * d[3] + vy * d[4] + vz * d[5]
        rate = max(rate, sqrt(max(vx * vx + vy * vy + vz * vz - on * on, 0.0)))
    rate += turning * tube + move[11]
    down = rate + sqrt(rate * rate + 4.0 * move[7] * low)
    return 2.0 * low / down * move[6] if down * 1e12 > low * move[6] else 1e12


@inner
def _floor(fa, fb, da, db, width, k):  # type: ignore[no-untyped-def]
    """Return the bound from below that the tangents at both ends give; see `geometry.distance.closing`."""
    slope = db + k * width
    turn = slope - da
    meet = 0.0
    if turn > 1e-12:
        meet = min(max((fa - fb + (slope - 0.5 * k * width) * width) / turn, 0.0), width)
    return min(fa, fb, fa + da * meet - 0.5 * k * meet * meet)


@inner
def _stretch(kind, d, w, rows, e, lo, hi, tube, total, margin, best, share, slack, stack, move):  # type: ignore[no-untyped-def]
    """Return the least of `best` and what a stretch of the tube is clear of a thing by, beyond the margin.

    It is a bound from below, at least `share` of the true value or within `slack` of it; zero or less when the tube is
    nearer than the margin. While the piece moves (`move`) what stays clear for longer counts for more: see `_ahead`.
    """
    curved = 0.0 if rows[e, 9] == 0.0 else 1.0 / rows[e, 9]
    k = curved + (2.0 / d[9] if kind == BEND else 0.0)
    zone, begin = 1.25 * tube, rows[e, 11]
    x, y, z, hx, hy, hz = _place(w, rows, e, lo)
    fa, ga, gb, gc = field(kind, d, x, y, z)
    da = ga * hx + gb * hy + gc * hz
    x, y, z, hx, hy, hz = _place(w, rows, e, hi)
    fb, gx, gy, gz = field(kind, d, x, y, z)
    _put(stack, 0, (lo, hi, fa, fb, da, gx * hx + gy * hy + gz * hz, ga, gb, gc, gx, gy, gz))
    moving = move[6] > 0.0
    top = 1
    while top > 0:
        top -= 1
        a, b, fa, fb, da, db, ga, gb, gc, gd, ge, gf = stack[top]
        width = b - a
        if kind == WASHER:
            low = 0.5 * (fa + fb - width)
            if curved == 0.0:
                low = max(low, _washer_floor(d, w, rows, e, a, b))
        else:
            low = _floor(fa, fb, da, db, width, k)
        low -= tube + margin
        if low >= best:
            continue
        ea, eb = min(begin + a, total - begin - a), min(begin + b, total - begin - b)
        up = min(fa - min(tube, 0.8 * ea), fb - min(tube, 0.8 * eb)) - margin
        if up <= 0.0:
            return -1.0
        if low > 0.0:
            clear = low
            if moving and kind == WASHER and curved == 0.0:
                clear = max(low, _hole_ahead(d, w, rows, e, a, b, tube, margin, move))
            elif moving and kind != WASHER and kind != BEND:
                px, py, pz, _, _, _ = _place(w, rows, e, a)
                qx, qy, qz, _, _, _ = _place(w, rows, e, b)
                bow = 0.5 * k * width * width
                one = fa + min(da * width, 0.0) - bow - tube - margin
                other = fb - max(db * width, 0.0) - bow - tube - margin
                if one > 0.0:
                    clear = max(clear, _ahead(move, one, ga, gb, gc, px, py, pz, qx, qy, qz, tube + bow))
                if other > 0.0:
                    clear = max(clear, _ahead(move, other, gd, ge, gf, px, py, pz, qx, qy, qz, tube + bow))
            if clear >= best:
                continue
            if low >= share * up or low >= up - slack:
                best = clear
                continue
        if max(ea, eb) <= zone + 1e-9 and width <= 2.0 * zone:
            found = -2.0
            if curved == 0.0 and kind != BEND and kind != WASHER:
                found = _end_solid(kind, d, w, rows, e, a, b, tube, margin, best, share, slack, move)
            if found == -2.0:
                found = _end_cells(kind, d, w, rows, e, a, b, tube, margin, best, share, slack)
            if found <= 0.0:
                return -1.0
            best = found
            continue
        if width <= SHORT_MM or top + 2 >= _DEEP:
            if low <= 0.0:
                return -1.0
            best = low
            continue
        middle = 0.5 * (a + b)
        for cut in (zone - begin, total - zone - begin):
            if a + SHORT_MM < cut < b - SHORT_MM:
                middle = cut
        x, y, z, hx, hy, hz = _place(w, rows, e, middle)
        fm, gx, gy, gz = field(kind, d, x, y, z)
        dm = gx * hx + gy * hy + gz * hz
        _put(stack, top, (a, middle, fa, fm, da, dm, ga, gb, gc, gx, gy, gz))
        _put(stack, top + 1, (middle, b, fm, fb, dm, db, gx, gy, gz, gd, ge, gf))
        top += 2
    return best


@inner
def _end_solid(kind, d, w, rows, e, lo, hi, tube, margin, best, share, slack, move):  # type: ignore[no-untyped-def]
    """Do the same for a straight stretch beside a flat end and a convex thing; -2 where it cannot be closed in on.

    The stretch is convex too. From a point in it one goes towards the point that lies lowest on the plane that touches
    the distance there; how much lower that is bounds the distance from below (M. Frank and P. Wolfe, Naval Research
    Logistics Quarterly 3, 1956).
    """
    tx, ty, tz = w[e, 3], w[e, 4], w[e, 5]
    mx, my, mz = w[e, 0] + lo * tx, w[e, 1] + lo * ty, w[e, 2] + lo * tz
    long = hi - lo
    s, ox, oy, oz = 0.5 * long, 0.0, 0.0, 0.0
    f, gx, gy, gz = field(kind, d, mx + s * tx, my + s * ty, mz + s * tz)
    low = -1e300
    for _ in range(60):
        along = gx * tx + gy * ty + gz * tz
        px, py, pz = gx - along * tx, gy - along * ty, gz - along * tz
        size = sqrt(px * px + py * py + pz * pz)
        target = 0.0 if along > 0.0 else long
        k = -tube / size if size > 1e-12 else 0.0
        ds, dx, dy, dz = target - s, k * px - ox, k * py - oy, k * pz - oz
        gap = -(along * ds + px * dx + py * dy + pz * dz)
        low, up = max(low, f - gap - margin), f - margin
        if low >= best:
            return best
        if up <= 0.0:
            return -1.0
        clear, here = low, f - gap - margin
        if move[6] > 0.0 and here > 0.0:
            px, py, pz, qx, qy, qz = mx, my, mz, mx + long * tx, my + long * ty, mz + long * tz
            clear = max(clear, _ahead(move, here, gx, gy, gz, px, py, pz, qx, qy, qz, tube))
        if clear >= best:
            return best
        if low > 0.0 and (low >= share * up or low >= up - slack):
            return clear
        # The lowest place on the way there: where the slope changes its sign.
        a, b = 0.0, 1.0
        for _ in range(12):
            h = 0.5 * (a + b)
            qs, qx, qy, qz = s + h * ds, ox + h * dx, oy + h * dy, oz + h * dz
            f, gx, gy, gz = field(kind, d, mx + qs * tx + qx, my + qs * ty + qy, mz + qs * tz + qz)
            if f <= margin:
                return -1.0
            if gx * (ds * tx + dx) + gy * (ds * ty + dy) + gz * (ds * tz + dz) > 0.0:
                b = h
            else:
                a = h
        # At a kink of the distance, such as an edge, either side of it may show the way.
        h = a if a > 0.0 else b
        s, ox, oy, oz = s + h * ds, ox + h * dx, oy + h * dy, oz + h * dz
        f, gx, gy, gz = field(kind, d, mx + s * tx + ox, my + s * ty + oy, mz + s * tz + oz)
    return -2.0


@inner
def _end_cells(kind, d, w, rows, e, lo, hi, tube, margin, best, share, slack):  # type: ignore[no-untyped-def]
    """Do the same for a stretch beside a flat end, by cells: a part of the stretch, and a square of the disc across."""
    curved = 0.0 if rows[e, 9] == 0.0 else 1.0 / rows[e, 9]
    swing = 1.0 + tube * curved
    cells = np.empty((256, 5))
    # Where only a yes or no is asked for, what is so near is called touching sooner.
    fine, looks = (FINE_MM, 400_000) if share >= 1.0 else (ROUGH_MM, 2_000)
    _put(cells, 0, (0.5 * (lo + hi), 0.5 * (hi - lo), 0.0, 0.0, tube))
    top = 1
    while top > 0:
        top -= 1
        looks -= 1
        s, long, cx, cy, half = cells[top]
        away = hypot(max(abs(cx) - half, 0.0), max(abs(cy) - half, 0.0))
        if away >= tube:
            continue
        x, y, z, tx, ty, tz = _place(w, rows, e, s)
        # Two directions across: of a bend its own plane's, so that they turn with it.
        if curved > 0.0:
            ax, ay, az = w[e, 4] * w[e, 8] - w[e, 5] * w[e, 7], w[e, 5] * w[e, 6] - w[e, 3] * w[e, 8], 0.0
            az = w[e, 3] * w[e, 7] - w[e, 4] * w[e, 6]
        elif abs(tx) < 0.6:
            ax, ay, az = 0.0, tz, -ty
        else:
            ax, ay, az = -tz, 0.0, tx
        size = sqrt(ax * ax + ay * ay + az * az)
        ax, ay, az = ax / size, ay / size, az / size
        bx, by, bz = ty * az - tz * ay, tz * ax - tx * az, tx * ay - ty * ax
        f, gx, gy, gz = field(kind, d, x + cx * ax + cy * bx, y + cx * ay + cy * by, z + cx * az + cy * bz)
        whole = sqrt(2.0 * half * half + (swing * long) ** 2)
        if kind in (BEND, WASHER):
            low = f - whole
        else:
            along, one, other = gx * tx + gy * ty + gz * tz, gx * ax + gy * ay + gz * az, gx * bx + gy * by + gz * bz
            low = f - (abs(one) + abs(other)) * half - abs(along) * swing * long
            low = max(low - curved * long * (half + swing * long), f - whole)
        low -= margin
        if low >= best:
            continue
        up = f - margin if hypot(cx, cy) <= tube else 1e300
        if up <= 0.0:
            return -1.0
        if low > 0.0 and (low >= share * up or low >= up - slack):
            best = low
            continue
        if max(half, long) <= fine or top + 4 >= 256 or looks < 0:
            if low <= 0.0:
                return -1.0
            best = low
            continue
        if long > half:
            for sign in (-1.0, 1.0):
                _put(cells, top, (s + sign * 0.5 * long, 0.5 * long, cx, cy, half))
                top += 1
        else:
            for one in (-0.5, 0.5):
                for other in (-0.5, 0.5):
                    _put(cells, top, (s, long, cx + one * half, cy + other * half, 0.5 * half))
                    top += 1
    return best


@inner
def _against(kind, d, room, w, rows, lo, hi, facts, margin, best, share, slack, stack, nodes, move):  # type: ignore[no-untyped-def]
    """Return the least of `best` and what the tube from `lo` to `hi` along the run is clear of one thing by."""
    tube, total = facts[0], facts[1]
    for e in range(len(rows)):
        a, b = max(lo - rows[e, 11], 0.0), min(hi - rows[e, 11], rows[e, 10])
        if b <= a:
            continue
        f, _, _, _ = field(kind, d, w[e, 9], w[e, 10], w[e, 11])
        if f - rows[e, 15] - tube - margin >= best:
            continue
        if kind != MESH:
            best = _stretch(kind, d, w, rows, e, a, b, tube, total, margin, best, share, slack, stack, move)
        else:
            bulk = (room, int(d[6]), stack, nodes)
            best = _blocks(bulk, w, rows, e, a, b, tube, total, margin, best, share, slack, move)
        if best <= 0.0:
            return best
    return best


@inner
def _blocks(bulk, w, rows, e, a, b, tube, total, margin, best, share, slack, move):  # type: ignore[no-untyped-def]
    """Go down the blocks over triangles, and measure the stretch against those in blocks it comes near."""
    room, root, stack, nodes = bulk
    block, links, triangles = room[4], room[5], room[6]
    k = 0.0 if rows[e, 9] == 0.0 else 1.0 / rows[e, 9]
    px, py, pz, ux, uy, uz = _place(w, rows, e, a)
    qx, qy, qz, vx, vy, vz = _place(w, rows, e, b)
    nodes[0], top = root, 1
    while top > 0:
        top -= 1
        node = nodes[top]
        d = block[node]
        fa, gx, gy, gz = _to_box(d, px, py, pz)
        fb, hx, hy, hz = _to_box(d, qx, qy, qz)
        low = _floor(fa, fb, gx * ux + gy * uy + gz * uz, hx * vx + hy * vy + hz * vz, b - a, k)
        if low - tube - margin >= best:
            continue
        first, count = links[node, 0], links[node, 1]
        if links[node, 2] == 0:
            for i in range(count):
                nodes[top + i] = first + i
            top += count
            continue
        # A plain number: for a constant of its own all that it is handed to would be compiled once more.
        kind = TRIANGLE * links[node, 2]
        for i in range(first, first + count):
            one = triangles[i]
            best = _stretch(kind, one, w, rows, e, a, b, tube, total, margin, best, share, slack, stack, move)
            if best <= 0.0:
                return best
    return best


@compiled
def clear_by(room, piece, work, pose, margin, most, share, slack, move):  # type: ignore[no-untyped-def]
    """Return by how much more than the margin a piece stands clear, and the row of the thing that is nearest.

    A bound from below, at least `share` of the true value or within `slack` of it, no more than `most`; zero or less
    when something is nearer than the margin. `pose` holds the centre and the quaternion. Where it moves, `move` says
    how, and what counts is how far it may go: see `_ahead`; of a piece at rest it is zero.
    """
    kinds, data, cuts = room[0], room[1], room[2]
    rows, facts, tips = piece[0], piece[1], piece[2]
    w, stack, nodes = work
    tube, total, reach = facts[0], facts[1], facts[2]
    m = turn_of(pose)
    for e in range(len(rows)):
        for k in range(4):
            i, j = (3 * k, 3 * k) if k < 3 else (9, 12)
            shift = 1.0 if k == 3 or (k == 0) else 0.0
            x, y, z = rows[e, j], rows[e, j + 1], rows[e, j + 2]
            w[e, i] = m[0] * x + m[1] * y + m[2] * z + shift * pose[0]
            w[e, i + 1] = m[3] * x + m[4] * y + m[5] * z + shift * pose[1]
            w[e, i + 2] = m[6] * x + m[7] * y + m[8] * z + shift * pose[2]
    best, who = most, -1
    for k in range(len(kinds)):
        kind, d = kinds[k], data[k]
        f, _, _, _ = field(kind, d, pose[0], pose[1], pose[2])
        if f - reach - tube - margin >= best:
            continue
        lo, hi, leave = 0.0, total, 1e300
        for end in range(2):
            if cuts[k, 2 * end] > 0.0:
                t, h = tips[end], tips[2 + end]
                x = m[0] * t[0] + m[1] * t[1] + m[2] * t[2] + pose[0] - h[0]
                y = m[3] * t[0] + m[4] * t[1] + m[5] * t[2] + pose[1] - h[1]
                z = m[6] * t[0] + m[7] * t[1] + m[8] * t[2] + pose[2] - h[2]
                left = cuts[k, 2 * end + 1] - sqrt(x * x + y * y + z * z)
                if left > 0.0:
                    leave = min(leave, left)
                    if end == 0:
                        lo = cuts[k, 0]
                    else:
                        hi = total - cuts[k, 2]
        if leave == 1e300:
            found = _against(kind, d, room, w, rows, lo, hi, facts, margin, best, share, slack, stack, nodes, move)
        else:
            # Beside what it joins an end may touch; so far off as it has come out it must be clear, or still near.
            rest = min(best, leave)
            rest = _against(kind, d, room, w, rows, lo, hi, facts, margin, rest, share, slack, stack, nodes, move)
            found, lo, hi = rest, 0.0, total
            if 0.0 < rest < best:
                found = _against(kind, d, room, w, rows, lo, hi, facts, margin, best, share, slack, stack, nodes, move)
                found = max(found, rest)
        if found < best:
            best, who = found, k
            if best <= 0.0:
                return best, who
    return best, who


@compiled
def turn_of(pose):  # type: ignore[no-untyped-def]
    """Return the nine entries of the rotation matrix of a pose's quaternion, row by row."""
    w, x, y, z = pose[3], pose[4], pose[5], pose[6]
    return (
        1.0 - 2.0 * (y * y + z * z),
        2.0 * (x * y - w * z),
        2.0 * (x * z + w * y),
        2.0 * (x * y + w * z),
        1.0 - 2.0 * (x * x + z * z),
        2.0 * (y * z - w * x),
        2.0 * (x * z - w * y),
        2.0 * (y * z + w * x),
        1.0 - 2.0 * (x * x + y * y),
    )


@compiled
def clear_many(room, piece, work, poses, margin, rest):  # type: ignore[no-untyped-def]
    """Tell of each pose whether the piece is clear by the margin."""
    out = np.empty(len(poses), dtype=np.bool_)
    for i in range(len(poses)):
        out[i] = clear_by(room, piece, work, poses[i], margin, 1e-3, 0.0, 0.0, rest)[0] > 0.0
    return out


@compiled
def between(a, b):  # type: ignore[no-untyped-def]
    """Return the axis and the angle, 0 to pi radians, of the shorter turn from one pose to another."""
    w = b[3] * a[3] + b[4] * a[4] + b[5] * a[5] + b[6] * a[6]
    x = -b[3] * a[4] + b[4] * a[3] - b[5] * a[6] + b[6] * a[5]
    y = -b[3] * a[5] + b[4] * a[6] + b[5] * a[3] - b[6] * a[4]
    z = -b[3] * a[6] - b[4] * a[5] + b[5] * a[4] + b[6] * a[3]
    size = sqrt(x * x + y * y + z * z)
    if size < 1e-14:
        return 1.0, 0.0, 0.0, 0.0
    sign = 1.0 if w >= 0.0 else -1.0
    return sign * x / size, sign * y / size, sign * z / size, 2.0 * atan2(size, abs(w))


@compiled
def put_between(a, b, axis, t, origin, centred, out):  # type: ignore[no-untyped-def]
    """Put into `out` the pose a share t of the way on: the turn even about one axis, and a point going straight.

    That point is the piece's centre (`centred`), or what stood at the room's origin when the piece was in its place,
    as the way is handed on; `origin` is the centre of the piece in its place.
    """
    half = 0.5 * t * axis[3]
    s, c = sin(half), cos(half)
    w, x, y, z = c, s * axis[0], s * axis[1], s * axis[2]
    out[3] = w * a[3] - x * a[4] - y * a[5] - z * a[6]
    out[4] = w * a[4] + x * a[3] + y * a[6] - z * a[5]
    out[5] = w * a[5] - x * a[6] + y * a[3] + z * a[4]
    out[6] = w * a[6] + x * a[5] - y * a[4] + z * a[3]
    if centred:
        for i in range(3):
            out[i] = a[i] + t * (b[i] - a[i])
        return
    p, q, m = turn_of(a), turn_of(b), turn_of(out)
    for i in range(3):
        j = 3 * i
        there = p[j] * origin[0] + p[j + 1] * origin[1] + p[j + 2] * origin[2]
        here = q[j] * origin[0] + q[j + 1] * origin[1] + q[j + 2] * origin[2]
        now = m[j] * origin[0] + m[j + 1] * origin[1] + m[j + 2] * origin[2]
        out[i] = (1.0 - t) * (a[i] - there) + t * (b[i] - here) + now


@inner
def _swept(piece, a, axis, origin, centred):  # type: ignore[no-untyped-def]
    """Return how far any point may go round the centre in a whole move, and how fast the centre's speed may change."""
    facts, hull = piece[1], piece[3]
    m, across = turn_of(a), 0.0
    for i in range(len(hull)):
        x, y, z = hull[i]
        x, y, z = (
            m[0] * x + m[1] * y + m[2] * z,
            m[3] * x + m[4] * y + m[5] * z,
            m[6] * x + m[7] * y + m[8] * z,
        )
        u, v, r = axis[1] * z - axis[2] * y, axis[2] * x - axis[0] * z, axis[0] * y - axis[1] * x
        across = max(across, u * u + v * v + r * r)
    bend = 0.0
    if not centred:
        bend = axis[3] * axis[3] * sqrt(origin[0] ** 2 + origin[1] ** 2 + origin[2] ** 2)
    return axis[3] * (sqrt(across) + facts[0]), bend


@inner
def _set_off(piece, a, b, axis, t, origin, centred, bend, turning, pose, ahead, move):  # type: ignore[no-untyped-def]
    """Put into `pose` where a move is at t and into `move` how it goes on; both for the whole move as one unit of time.

    The greatest speed of any point is that of the centre and, round it, the turn times how far the piece reaches from
    the axis through its centre.
    """
    put_between(a, b, axis, t, origin, centred, pose)
    move[11] = 0.0
    if centred:
        for i in range(3):
            move[i] = b[i] - a[i]
    else:
        # From two poses close by, and what it may have changed between them.
        step = 1e-4
        put_between(a, b, axis, t + step, origin, centred, ahead)
        for i in range(3):
            move[i] = (ahead[i] - pose[i]) / step
        move[11] = bend * step
    for i in range(3):
        move[3 + i] = axis[i] * axis[3]
        move[8 + i] = pose[i]
    move[6] = sqrt(move[0] ** 2 + move[1] ** 2 + move[2] ** 2) + move[11] + turning
    move[7] = 0.5 * (bend + axis[3] * axis[3] * (piece[1][2] + piece[1][0]))


@compiled
def advance(room, piece, work, a, b, origin, centred, margin, shortest, steps):  # type: ignore[no-untyped-def]
    """Go from one pose towards another as far as the piece stays clear, in steps no longer than it surely may.

    What it is clear by says how far it may go without being looked at. Clear by less than `shortest`, or looked at
    `steps` times, it stops.

    Returns:
        How far it came, 0 to 1; how many poses were judged; and the row of the thing in the way, -1 for none.
    """
    axis = between(a, b)
    turning, bend = _swept(piece, a, axis, origin, centred)
    pose, ahead, move = np.empty(7), np.empty(7), np.zeros(12)
    t, count = 0.0, 0
    while True:
        _set_off(piece, a, b, axis, t, origin, centred, bend, turning, pose, ahead, move)
        speed = move[6]
        most = (speed + bend) * (1.0 - t) + 2.0 * shortest + 1e-6
        free, who = clear_by(room, piece, work, pose, margin, most, 0.5, 0.0, move)
        count += 1
        if free <= 0.0 or (t < 1.0 and (free < shortest or count > steps)):
            return t, count, who
        if t >= 1.0:
            return 1.0, count, -1
        t = min(t + _time(free, speed, bend), 1.0)


@inner
def _time(free, speed, bend):  # type: ignore[no-untyped-def]
    """Return how long the fastest point takes for a way: free = speed t + bend t t / 2."""
    down = speed + sqrt(speed * speed + 2.0 * bend * free)
    return 2.0 * free / down if down > 0.0 else 1.0


@compiled
def least_along(room, piece, work, a, b, origin, centred, margin, least, close, rest):  # type: ignore[no-untyped-def]
    """Return the least of `least` and what the piece is clear by beyond the margin on a move, to within `close` mm.

    Also the row of the thing nearest there, -1 where it is no less than `least`, and how many poses were judged.
    """
    axis = between(a, b)
    turning, bend = _swept(piece, a, axis, origin, centred)
    pose, ahead, move = np.empty(7), np.empty(7), np.zeros(12)
    t, count, nearest = 0.0, 0, -1
    while True:
        _set_off(piece, a, b, axis, t, origin, centred, bend, turning, pose, ahead, move)
        free, who = clear_by(room, piece, work, pose, margin, least, 1.0, 0.2 * close, rest)
        count += 2
        if free <= 0.0:
            return free, who, count
        if free < least:
            least, nearest = free, who
        if t >= 1.0:
            return least, nearest, count
        # How far it may go before it comes nearer than that, by more than does not matter.
        speed = move[6]
        most = (speed + bend) * (1.0 - t) + close
        free, _ = clear_by(room, piece, work, pose, margin + least - 0.8 * close, most, 0.5, 0.0, move)
        if free <= 0.0:  # a rough answer, beside a flat end
            free, _ = clear_by(room, piece, work, pose, margin + least - 0.8 * close, most, 1.0, 0.2 * close, move)
        # It is clear by `least` here, but for rounding: so far it may go at any rate.
        t = min(t + _time(max(free, 0.5 * close), speed, bend), 1.0)
