"""Corners that make no bend, and corners that cannot be bent: what is said of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

from pipemodel.geometry.straighten import LEAST_BEND_DEG, STRAIGHTEN_MM, IdlePoint, TooSlight
from pipemodel.geometry.vectors import Vec3, cross, dot
from pipemodel.messages.values import Angle, Count, Length, Message, Number, message

TOUCH_MM = 1e-7
"""Bends that lack less straight than this between them are taken to touch."""


@dataclass(frozen=True)
class CornerFault:
    """Why corners cannot be bent: at which corner (index into what was given)."""

    corner: int
    said: Message


class UnbendableError(ValueError):
    """Corners that no bend of this radius can join; carries every fault found."""

    def __init__(self, faults: Sequence[CornerFault]) -> None:
        super().__init__("; ".join(str(f.said) for f in faults))
        self.faults = tuple(faults)


class Idle(NamedTuple):
    """A point that makes no bend: which (index into what was given), why, and how far off the tube it lies.

    `slight` says that it would have made a bend too small to be pulled, and is straightened; that is a warning.
    """

    corner: int
    said: Message
    aside_mm: float = 0.0
    slight: bool = False


def idle(out: IdlePoint) -> Idle:
    """Return why a point makes no bend."""
    point, (one, other) = Count(out.point + 1), (Count(i + 1) for i in out.beside)
    if out.reason == "repeated":
        if out.aside_mm <= TOUCH_MM:
            return Idle(out.point, message("corner.repeated", point=point, one=one), out.aside_mm)
        off = Length(out.aside_mm, ".2g")
        return Idle(out.point, message("corner.merged", point=point, off=off, one=one), out.aside_mm)
    if out.reason == "in line":
        return Idle(out.point, message("corner.in line", point=point, one=one, other=other), out.aside_mm)
    return Idle(
        out.point,
        message(
            "corner.straightened",
            point=point,
            angle=Angle(out.angle_deg, beside=LEAST_BEND_DEG),
            least=Angle(LEAST_BEND_DEG),
            one=one,
            other=other,
            aside=Length(out.aside_mm, ".3g"),
        ),
        out.aside_mm,
        slight=True,
    )


def too_slight(slight: TooSlight) -> CornerFault:
    """Return the fault of a corner too slight to be pulled and too far from the straight to be left out."""
    why = message("corner.slight beside return")
    if slight.aside_mm > STRAIGHTEN_MM:
        why = message("corner.slight aside", aside=Number(slight.aside_mm, ".3g"), most=Number(STRAIGHTEN_MM))
    angle, least = Number(slight.angle_deg, ".4g"), Number(LEAST_BEND_DEG)
    said = message("corner.too slight", point=Count(slight.point + 1), angle=angle, least=least, why=why)
    return CornerFault(slight.point, said)


def no_return(corner: int, legs: Sequence[Vec3], radius: float, slack: float) -> CornerFault | None:
    """Return what keeps two joined corners from being one bend of 180 degrees, or None.

    Args:
        corner: the first of the two, as an index into what was given.
        legs: the leg before, the one between and the one after, as vectors.
        radius: finished centreline radius, mm.
        slack: how far off rounding may bring it, mm.
    """
    before, across, after = legs
    width, sizes = hypot(*across), (hypot(*before), hypot(*after))
    if not all((width, *sizes)):
        return None
    off = max(
        abs(width - 2.0 * radius),
        abs(dot(before, across)) / width,
        abs(dot(after, across)) / width,
        hypot(*cross(before, after)) / min(sizes),
    )
    if off <= slack and dot(before, after) < 0.0:
        return None
    return CornerFault(
        corner,
        message(
            "corner.no return",
            one=Count(corner + 1),
            other=Count(corner + 2),
            apart=Number(2.0 * radius),
            off=Number(off, ".2g"),
        ),
    )


def too_near(a: int, b: int, has: float, needs: float, missing: float) -> CornerFault:
    """Return the fault of two points whose leg is shorter than its bends need."""
    said = message(
        "corner.too near",
        one=Count(a + 1),
        other=Count(b + 1),
        has=Number(has, ".4f"),
        needs=Number(needs, ".4f"),
        missing=Number(missing, ".4f"),
    )
    return CornerFault(b, said)
