"""Small gauges printed beside the jig: one for each angle, one for each turn, and a spacer for clips.

All are flat outlines carried straight up, so that they print as they stand.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import asin, ceil, degrees, pi, radians, tan

import numpy as np

from pipemodel.bending.angle_words import way_round
from pipemodel.bending.schedule import SolvedRun
from pipemodel.jigs.base import Polygon
from pipemodel.jigs.bench_rests import CAP_DEEP_MM, CAP_FLOOR_MM
from pipemodel.jigs.build import ManifoldSolid, plate
from pipemodel.jigs.carve import lettering
from pipemodel.jigs.glyphs import printable, width_of
from pipemodel.job.jig import JigSettings
from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.values import Angle, Length, Message, Number, counts, message

ARM_MM, LEAST_ARM_MM = 50.0, 15.0
"""How much of each leg an angle gauge touches, where there is so much; with less than the least it says nothing."""
RELIEF_MM = 1.5
"""What an angle gauge stays clear of the bend itself, which is never quite round."""
BAND_MM, THICK_MM = 11.0, 5.0
"""Width and thickness of an angle gauge."""
SNAP_STRAIN = 0.01
"""Strain a printed ring is given when it is pushed over the tube; brittle plastics break at two to three times that."""


@dataclass(frozen=True)
class Gauge:
    """A gauge: how its file name ends, what it is, its solid with its flat face on z = 0, and how to use it."""

    stem: str
    name: Message
    solid: ManifoldSolid
    use: Message
    fits: tuple[float, ...] = ()
    """What makes it serve another run as well: with the same stem and these figures it does; empty where none does."""


def gauges_of(solved: SolvedRun, settings: JigSettings) -> tuple[tuple[Gauge, ...], tuple[Message, ...]]:
    """Return the gauges of a run, and why any were left out."""
    made: list[Gauge] = []
    left_out: list[Message] = []
    for angle, arm in _angles(solved):
        if arm < LEAST_ARM_MM:
            left_out.append(message("gauge.no angle", angle=Angle(angle, "g"), straight=Length(arm, ".0f")))
        else:
            made.append(angle_gauge(solved, angle, arm, settings))
    made += [turn_gauge(solved, turn, settings) for turn in _turns(solved)]
    clips = solved.run.clips
    standoff = settings.standoff_mm or (clips.standoff_mm if clips else None)
    if standoff is not None:
        least = solved.tube.outside_mm / 2.0 + 2.0
        if standoff < least:
            left_out.append(message("gauge.no spacer", standoff=Number(standoff), least=Number(least)))
        else:
            made.append(spacer(solved, standoff, settings))
    if settings.bench_mm is not None:
        made.append(cap_for_rests(solved, settings))
    return tuple(made), tuple(left_out)


def cap_for_rests(solved: SolvedRun, settings: JigSettings) -> Gauge:
    """Return the cap of a rest for the bench: a groove that stands on a post, so high that the tube's axis is known."""
    outside = solved.tube.outside_mm
    return Gauge(
        "rest",
        message("gauge.rest"),
        grooved_block(outside, CAP_FLOOR_MM + outside / 2.0, CAP_DEEP_MM, settings),
        message("gauge.rest use"),
        (outside,),
    )


def _angles(solved: SolvedRun) -> Iterator[tuple[float, float]]:
    """Yield each angle of the run, to a tenth of a degree, with the arm there is straight tube for."""
    bends = solved.table.bends
    straights = [*(b.straight_before_mm for b in bends), solved.table.straight_after_mm]
    arms: dict[float, float] = {}
    for bend, straight in zip(bends, straights[1:], strict=True):
        angle = rounded_deg(bend.angle_deg)
        # The gauge of an angle is made for its bend of the largest radius; a tighter one leaves more leg beside it.
        beside = (solved.largest_radius_mm(angle) - bend.radius_mm) * tan(radians(min(angle, 179.0)) / 2.0)
        arm = min(ARM_MM, *(leg - RELIEF_MM - beside for leg in (bend.straight_before_mm, straight)))
        # One bend with room to hold the gauge against is enough; the others of that angle have to make do.
        arms[angle] = max(arms.get(angle, 0.0), arm)
    yield from sorted(arms.items())


def _turns(solved: SolvedRun) -> list[float]:
    """Return each turn of the run that a gauge is of use for, to a tenth of a degree."""
    return sorted({rounded_deg(b.turn_deg) for b in solved.table.bends[1:]} - {0.0})


def angle_gauge(solved: SolvedRun, angle: float, arm: float, settings: JigSettings) -> Gauge:
    """Return an open wedge that fits the back of a bend: two arms touch the legs, the bend between stays free."""
    back = solved.largest_radius_mm(angle) + solved.tube.outside_mm / 2.0
    half = radians(angle) / 2.0
    steps = max(2, ceil(angle / 5.0))
    turns = np.linspace(-half, half, steps + 1)
    rays = np.column_stack([np.sin(turns), np.cos(turns)])
    # Round outside of the bend, drawn clear of the arc by as much as the chords cut in, and the relief.
    inner = (back + RELIEF_MM) / np.cos(half / steps) * rays
    outer = (back + BAND_MM) * rays
    arms: list[Polygon] = []
    ends: list[tuple[Polygon, Polygon]] = []
    for sign, ray in ((-1.0, rays[0]), (1.0, rays[-1])):
        along = sign * np.array([ray[1], -ray[0]])
        face, far = ray * back, along * (RELIEF_MM + arm)
        # The tip, the face that touches the leg, and the step to the part that stays clear.
        arms.append(
            np.array(
                [face + ray * BAND_MM + far, face + far, face + along * RELIEF_MM, face + (along + ray) * RELIEF_MM]
            )
        )
        ends.append((face + ray * BAND_MM / 2.0 + along * (RELIEF_MM + arm / 2.0), along))
    # One outline all round: pieces that only share an edge may come out with a slit between them.
    solid = plate([np.vstack([arms[0], inner, arms[1][::-1], outer[::-1]])], THICK_MM)
    text = printable(f"{angle:g}°")
    where, along = ends[1]
    if width_of(text, 5.0) + 2.0 < arm:
        solid = solid - lettering(text, 5.0, where, along, THICK_MM)
    other, along = ends[0]
    mark = printable(f"D{solved.tube.outside_mm:g}")
    if width_of(mark, 5.0) + 2.0 < arm:
        solid = solid - lettering(mark, 5.0, other, -along, THICK_MM)
    gap = arm * tan(radians(settings.tolerance.angle_deg))
    return Gauge(
        f"angle-{angle:g}",
        message("gauge.angle", angle=Angle(angle, "g")),
        solid,
        message(
            "gauge.angle use",
            angle=Angle(angle, "g"),
            gap=Length(gap, ".1f"),
            off=Angle(settings.tolerance.angle_deg, "g"),
        ),
        (solved.tube.outside_mm, round(back, 6), settings.tolerance.angle_deg),
    )


def turn_gauge(solved: SolvedRun, turn: float, settings: JigSettings) -> Gauge:
    """Return a collar that clips on the tube, with one arm for the bend made and one for the bend to come."""
    wall, thick, reach = 3.0, 10.0, 35.0
    bore = solved.tube.outside_mm / 2.0 + settings.print.allowance_mm / 2.0
    # No wider than lets the arms' corners lie inside the ring, where two that touch do no harm.
    wide = min(9.0, 1.25 * (bore + wall))
    mouth = _mouth_half_deg(solved.tube.outside_mm, wall)
    # Seen from above, as printed, is seen from the start; clockwise from there is against the sheet's angles.
    arms = (90.0, 90.0 - turn)
    gap = (360.0 - abs(turn)) % 360.0
    bisector = 90.0 - turn / 2.0 + 180.0 if gap >= 180.0 else 90.0 - turn / 2.0
    steps = 48
    free = np.radians(np.linspace(bisector + mouth, bisector + 360.0 - mouth, steps + 1))
    # Flats drawn round the tube on the inside, so that the bore is nowhere less than it should be.
    stretch = 1.0 / np.cos((free[1] - free[0]) / 2.0)
    rays = np.column_stack([np.cos(free), np.sin(free)]) * stretch
    pieces = [np.vstack([bore * rays, (bore + wall) * rays[::-1]])]
    begin = bore + wall / 2.0
    for arm in arms:
        e = np.array([np.cos(radians(arm)), np.sin(radians(arm))])
        n = np.array([-e[1], e[0]]) * wide / 2.0
        tip = bore + wall + reach
        pieces.append(
            np.array([e * begin - n, e * (tip - wide / 2.0) - n, e * tip, e * (tip - wide / 2.0) + n, e * begin + n])
        )
    solid = plate(pieces, thick)
    for arm, text in zip(arms, ("A", f"{abs(turn):g}°"), strict=True):
        e = np.array([np.cos(radians(arm)), np.sin(radians(arm))])
        middle = e * (bore + wall + reach / 2.0 - 2.0)
        solid = solid - lettering(printable(text), 5.0, middle, e, thick)
    way = way_round(turn)
    numbers = [b.number for b in solved.table.bends[1:] if round(b.turn_deg, 1) == turn]
    return Gauge(
        f"turn-{abs(turn):g}-{way.key}",
        message("gauge.turn", turn=Angle(turn, "g")),
        solid,
        message("gauge.turn use", bends=counts(numbers, ","), turn=Angle(abs(turn), "g"), way=way),
        (solved.tube.outside_mm,),
    )


def _mouth_half_deg(outside: float, wall: float) -> float:
    """Return half the angle of the opening of a ring that snaps on with `SNAP_STRAIN` in it.

    A thin split ring of mean radius r and wall t, pulled open by d at its ends, has the strain d t / (3 pi r^2) at the
    back (curved-beam bending: opening 3 pi P r^3 / (E I), greatest moment 2 P r).
    """
    mean = outside / 2.0 + wall / 2.0
    opens = min(SNAP_STRAIN * 3.0 * pi * mean**2 / wall, 0.12 * outside)
    return degrees(asin((outside - opens) / outside))


def spacer(solved: SolvedRun, standoff: float, settings: JigSettings) -> Gauge:
    """Return a block that holds the tube's axis at its standoff from a face while clips are fixed."""
    return Gauge(
        f"standoff-{standoff:g}",
        message("gauge.spacer", standoff=Length(standoff)),
        grooved_block(solved.tube.outside_mm, standoff, 20.0, settings),
        message("gauge.spacer use", standoff=Length(standoff)),
        (solved.tube.outside_mm,),
    )


def grooved_block(outside: float, axis_mm: float, deep: float, settings: JigSettings) -> ManifoldSolid:
    """Return a block with a groove that holds the axis of tube `axis_mm` over the face it stands on."""
    r = outside / 2.0 + settings.print.allowance_mm / 2.0
    half = r + 3.0
    angles = np.radians(np.linspace(180.0, 360.0, 25))
    stretch = 1.0 / np.cos((angles[1] - angles[0]) / 2.0)
    arc = np.column_stack([r * stretch * np.cos(angles), axis_mm + r * np.sin(angles)])
    feet = np.array([(half, axis_mm), (half, 0.0), (-half, 0.0), (-half, axis_mm)])
    return plate([np.vstack([arc, feet])], deep)
