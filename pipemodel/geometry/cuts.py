"""Where edges and circles cross the plane of a flat tube end; NaN where they do not."""

from pipemodel.geometry.arrays import Floats, dots, lengths, normals_to, np


def edge_crossings(a: Floats, b: Floats, centre: Floats, normal: Floats) -> Floats:
    """Return where edges from a to b, (n, k, 3), cross planes, a plane through `centre` for each row."""
    ha = dots(a - centre[:, None], normal[:, None])
    hb = dots(b - centre[:, None], normal[:, None])
    crosses = (ha <= 0.0) != (hb <= 0.0)
    share = np.divide(ha, ha - hb, out=np.full_like(ha, np.nan), where=crosses)
    out: Floats = a + share[..., None] * (b - a)
    return out


def circle_crossings(middle: Floats, axis: Floats, radius: Floats, centre: Floats, normal: Floats) -> Floats:
    """Return the two points where circles about `middle` cross planes through `centre`, (n, 2, 3)."""
    lean = normal - dots(normal, axis)[:, None] * axis
    slope = lengths(lean)
    tilted = slope > 1e-12
    lean = np.divide(lean, slope[:, None], out=np.full_like(lean, np.nan), where=tilted[:, None])
    x = np.divide(dots(centre - middle, normal), slope, out=np.full_like(slope, np.nan), where=tilted)
    rest = radius * radius - x * x
    y = np.sqrt(rest, out=np.full_like(rest, np.nan), where=rest >= 0.0)
    foot = middle + x[:, None] * lean
    side = y[:, None] * np.cross(axis, lean)
    return np.stack([foot + side, foot - side], axis=1)


def rim_extreme(middle: Floats, axis: Floats, radius: Floats, direction: Floats) -> Floats:
    """Return the point of a disc's rim that reaches furthest in a direction; any one when all reach alike."""
    lean = direction - dots(direction, axis)[:, None] * axis
    slope = lengths(lean)
    flat = slope <= 1e-12
    slope[flat] = 1.0
    if flat.any():
        lean[flat] = normals_to(axis[flat])
    out: Floats = middle + (radius / slope)[:, None] * lean
    return out
