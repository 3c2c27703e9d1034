"""Bodies cut off by planes: walls under a roof, members cut to length."""

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.messages.values import message
from pipemodel.models.ifc.frames import TOUCH, Outlined, closed_outline
from pipemodel.models.ifc.placing import SQUARE, HardError, OddError
from pipemodel.models.ifc.planes import Plane


def clipped(body: Outlined, planes: tuple[Plane, ...]) -> Outlined:
    """Return what planes leave of a body, in mm.

    Raises:
        HardError: if that is no prism.
        OddError: if they leave nothing.
    """
    if not planes:
        return body
    reason = HardError("cut off at a slant")
    for side in body.sides:
        try:
            for plane in planes:
                side = _cut_off(side, plane)
            return side
        except HardError as error:
            reason = error
    raise reason


def _cut_off(body: Outlined, plane: Plane) -> Outlined:
    kept = body.axes @ plane.kept
    level = float((plane.point - body.origin) @ plane.kept)
    if np.hypot(kept[0], kept[1]) < SQUARE:
        # Square to the way it is carried: it gets shorter.
        at = level * float(np.sign(kept[2]))
        low, high = (max(at, 0.0), body.depth) if kept[2] > 0.0 else (0.0, min(at, body.depth))
        if high - low < TOUCH:
            raise OddError(message("odd.cut off"))
        origin = body.origin + low * body.axes[2]
        return Outlined(origin, body.axes, body.outer, body.inner, high - low, body.block)
    if isinstance(body.outer, Round) or abs(kept[2]) > SQUARE:
        raise HardError("cut off at a slant")
    off = body.outer @ kept[:2] - level
    if np.all(off >= -TOUCH):
        return body
    if np.all(off <= TOUCH):
        raise OddError(message("odd.cut off"))
    if body.inner:
        raise HardError("cut off across openings")
    outer = closed_outline(_one_side(body.outer, off))
    return Outlined(body.origin, body.axes, outer, (), body.depth)


def _one_side(outline: Floats, off: Floats) -> Floats:
    """Return what a line leaves of an outline: where `off`, the distance of its corners from the line, is above 0."""
    found = []
    for a, b, p, q in zip(outline, np.roll(outline, -1, axis=0), off, np.roll(off, -1), strict=True):
        if p >= 0.0:
            found.append(a)
        if (p < 0.0) != (q < 0.0):
            found.append(a + (b - a) * (p / (p - q)))
    return np.array(found)
