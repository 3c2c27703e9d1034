"""Fine inserts: liners that make a slot as tight as it must be for nothing outside tolerance to pass.

The slots then refuse only pieces that are out; with the liners in, only pieces that are right lie down. Between
the two a piece is doubtful, and wants measuring.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipemodel.jigs.build import ManifoldSolid, prism, union
from pipemodel.jigs.carve import lettering
from pipemodel.jigs.cradles import clearance_for
from pipemodel.jigs.gauges import Gauge
from pipemodel.jigs.glyphs import printable
from pipemodel.jigs.towers import Tower
from pipemodel.job.jig import JigSettings
from pipemodel.messages.values import Count, Length, Message, Number, message

PLAY_MM = 0.15
"""What a liner has to each side of its slot."""
LIP_MM, LIP_OUT_MM = 3.0, 6.0
"""A lip at one end, this thick and wide, bears against the cheeks."""


@dataclass(frozen=True)
class Liner:
    """The liner of one cradle: how thick, and how long in its slot; None where the slot is fine enough already."""

    cradle: int
    thick_mm: float
    long_mm: float


def liners_for(towers: Sequence[Tower], settings: JigSettings) -> tuple[tuple[Liner, ...], tuple[Message, ...]]:
    """Return the liners of a jig, and why some cradles that could do with one have none."""
    fine = replace(settings, inserts=False, decision="fine")
    least = 2.0 * settings.print.nozzle_mm
    liners: list[Liner] = []
    left_out: list[Message] = []
    for tower in towers:
        thick = tower.clearance - clearance_for(tower.cradle.span_mm, tower.cradle.beyond_mm, fine)
        if thick < 1e-6:
            continue
        if thick < least:
            cradle = Count(tower.cradle.number)
            left_out.append(message("liner.none", cradle=cradle, thick=Length(thick, ".2f"), least=Number(least)))
            continue
        long = (tower.cradle.high_mm - tower.cradle.low_mm) * tower.place.stretch
        liners.append(Liner(tower.cradle.number, thick, long))
    return tuple(liners), tuple(left_out)


def inserts_of(towers: Sequence[Tower], settings: JigSettings) -> tuple[tuple[Gauge, ...], tuple[Message, ...]]:
    """Return the liners as things to print, and why any were left out."""
    liners, left_out = liners_for(towers, settings)
    by_number = {t.cradle.number: t for t in towers}
    return tuple(_printed(liner, by_number[liner.cradle], settings) for liner in liners), left_out


def _printed(liner: Liner, tower: Tower, settings: JigSettings) -> Gauge:
    """Return a liner standing on its lip: a U as high as its cheeks, carried up along the slot."""
    inner = tower.radius + tower.clearance - liner.thick_mm
    half = tower.slot_half - PLAY_MM
    gap = inner + settings.print.allowance_mm / 2.0
    low = -(tower.radius + tower.clearance)
    solid = union(
        [_u(half, gap, low, inner, liner.thick_mm, liner.long_mm), _lip(half, gap, low, inner, liner.thick_mm)]
    )
    text = printable(str(liner.cradle))
    return Gauge(
        f"liner-{liner.cradle}",
        message("liner", cradle=Count(liner.cradle)),
        solid - lettering(text, 4.0, np.array([half + LIP_OUT_MM / 2.0, 0.0]), np.array([0.0, 1.0]), LIP_MM),
        message("liner.use", cradle=Count(liner.cradle)),
    )


def _u(half: float, gap: float, low: float, high: float, floor: float, long: float) -> ManifoldSolid:
    walls = [(-half, -gap, low, high), (gap, half, low, high), (-half, half, low, low + floor)]
    return union([_box(*w, long) for w in walls])


def _lip(half: float, gap: float, low: float, high: float, floor: float) -> ManifoldSolid:
    out = half + LIP_OUT_MM
    walls = [(-out, -gap, low, high), (gap, out, low, high), (-half, half, low, low + floor)]
    return union([_box(*w, LIP_MM) for w in walls])


def _box(left: float, right: float, low: float, high: float, long: float) -> ManifoldSolid:
    return prism(np.array([(left, low), (right, low), (right, high), (left, high)]), 0.0, long)
