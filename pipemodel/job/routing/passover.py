"""Passovers: three or four bends that lift the tube over a thing and bring it back into line.

The gap is kept between the outside of the tube and the thing, everywhere, arcs included: the top bend rounds its
corner off, so the crown lies R (sec a - 1) below it (a being half the top bend's angle), and the legs beside it may
be what comes nearest. The height is therefore sought, not read from a table: it is the least at which the tube as
bent keeps the gap. Geometry from first principles.
"""

from dataclasses import dataclass
from math import radians, tan
from typing import Protocol, TypeAlias

from pipemodel.geometry.vectors import Vec3, sin_deg
from pipemodel.job.model import Thing
from pipemodel.job.routing.clearing import FARTHEST_MM, LegLine, Passing
from pipemodel.job.routing.faults import PlaceError
from pipemodel.job.routing.legs import setback
from pipemodel.messages.values import Length, Message, Name, Number, listed, message
from pipemodel.trade.model import Former, Tube

Profile: TypeAlias = list[tuple[float, float]]
"""The corners of a passover as (mm along the leg, mm to the side)."""
Noted: TypeAlias = tuple[Profile, Message | None]
"""Such corners, and what there is to note of them."""


class Spare(Protocol):
    """Says by how much a passover stays farther off than it must, with one of its legs left out or none."""

    def __call__(self, profile: Profile, without: int | None = None) -> float: ...  # noqa: D102


@dataclass(frozen=True)
class Passover:
    """What is asked: `angle_deg` is the top bend's with three bends, each bend's with four; lengths in mm.

    All its bends are made round one former: its finished radius counts, and with four bends the flat leaves it the
    straight it holds and guides.
    """

    thing: Thing
    gap: float
    bends: int
    angle_deg: float
    side: Vec3
    former: Former
    flat: float | None = None
    offset: float = 0.0
    """From axis to axis at least."""


@dataclass(frozen=True)
class Excursion:
    """The corners of a passover on a leg, and the stretch of the leg (mm from its start) that its bends take up."""

    corners: tuple[Vec3, ...]
    begins: float
    ends: float
    note: Message | None = None


def pass_over(ask: Passover, origin: Vec3, ahead: Vec3, tube: Tube) -> Excursion:
    """Return where the corners of a passover lie.

    Args:
        ask: what is asked.
        origin: the corner or start that the leg comes from.
        ahead: the heading of the leg, a unit vector.
        tube: the tube; its outside counts.

    Raises:
        ItemError: if the thing is not on the way, or cannot be cleared to that side.
    """
    radius = ask.former.radius_mm
    passing = Passing(LegLine(origin, ahead, ask.side), ask.thing, ask.gap, tube.outside_mm, radius)
    in_the_way = passing.in_the_way()
    first = setback(radius, ask.angle_deg / 2.0 if ask.bends == 3 else ask.angle_deg)

    def spare(profile: Profile, without: int | None = None) -> float:
        begins = min(profile[0][0] - first, in_the_way[0]) - 1.0
        ends = max(profile[-1][0] + first, in_the_way[1]) + 1.0
        return passing.spare([(begins, 0.0), *profile, (ends, 0.0)], without)

    middle = sum(in_the_way) / 2.0
    make = _three if ask.bends == 3 else _four
    profile, note = make(ask, middle, passing, spare)
    corners = tuple(passing.line.at(*corner) for corner in profile)
    return Excursion(corners, profile[0][0] - first, profile[-1][0] + first, note)


def _three(ask: Passover, middle: float, passing: Passing, spare: Spare) -> Noted:
    half = ask.angle_deg / 2.0
    slope = tan(radians(half))

    def profile(height: float) -> Profile:
        return [(middle - height / slope, 0.0), (middle, height), (middle + height / slope, 0.0)]

    # Lower than this the bends would run into each other.
    radius = ask.former.radius_mm
    lowest = (setback(radius, half) + setback(radius, ask.angle_deg)) * sin_deg(half)
    height = passing.least(lambda h: spare(profile(h)), max(lowest, ask.offset))
    return profile(height), _too_high(ask, spare(profile(height))) if height == lowest > ask.offset else None


def _four(ask: Passover, middle: float, passing: Passing, spare: Spare) -> Noted:
    back = setback(ask.former.radius_mm, ask.angle_deg)
    lowest = 2.0 * back * sin_deg(ask.angle_deg)
    height = max(passing.clear_offset(), lowest, ask.offset)
    run = height / tan(radians(ask.angle_deg)) if ask.angle_deg < 90.0 else 0.0

    def profile(flat: float) -> Profile:
        a, b = middle - flat / 2.0, middle + flat / 2.0
        return [(a - run, 0.0), (a, height), (b, height), (b + run, 0.0)]

    # A flat is as long as what it goes over is wide; only how far aside it lies has a limit of its own.
    wide = passing.reach[1] - passing.reach[0]
    needed = passing.least(lambda flat: spare(profile(flat), without=2), 2.0 * back, FARTHEST_MM + wide)
    notes = []
    if height == lowest > ask.offset:
        notes.append(_too_high(ask, spare(profile(needed))))
    straight = max(ask.former.hold_mm, ask.former.guide_needed_mm(ask.angle_deg))
    flat = max(needed, 2.0 * back + straight) if ask.flat is None else ask.flat
    if flat < needed - 1e-6:
        raise PlaceError(
            message(
                "fault.flat short",
                flat=Number(flat),
                gap=Number(ask.gap),
                name=Name(ask.thing.name),
                needed=Number(needed, ".1f"),
            )
        )
    if ask.flat is None and flat > needed + 1e-6:
        has, needs = Length(flat, ".1f", beside=needed), Length(needed, ".1f", beside=flat)
        notes.append(message("passover.flat", thing=Name(ask.thing.name), flat=has, needed=needs))
    return profile(flat), message("several", said=listed(notes, ";")) if notes else None


def _too_high(ask: Passover, spare: float) -> Message:
    has = ask.gap + spare
    return message(
        "passover.too high",
        thing=Name(ask.thing.name),
        has=Length(has, ".1f", beside=ask.gap),
        gap=Length(ask.gap, beside=has),
    )
