"""What a miss tells: how far the piece strays at every cradle when one bend is a degree out."""

from dataclasses import dataclass, replace

import numpy as np

from pipemodel.bending.bends import Bend, BendTable, centreline_of
from pipemodel.jigs.layout import JigLayout
from pipemodel.jigs.run_in_jig import Array


@dataclass(frozen=True)
class Stray:
    """How far the tube lies beside its place in a cradle, per degree that one bend is out; mm.

    With the legs before the bend lying right: `across` is to the left of travel, `up` square to the leg upwards.
    """

    cradle: int
    across_mm: float
    up_mm: float

    @property
    def size_mm(self) -> float:
        """How far in all."""
        return float(np.hypot(self.across_mm, self.up_mm))


@dataclass(frozen=True)
class BendReading:
    """One bend: what a degree too much of angle, or of turn, shows at the cradles after it."""

    bend: int
    angle: tuple[Stray, ...]
    turn: tuple[Stray, ...]


def readings(table: BendTable, layout: JigLayout) -> tuple[BendReading, ...]:
    """Return, for every bend of a run laid in its jig, what a degree too much shows at the cradles after it."""
    return tuple(
        BendReading(
            bend.number,
            _strays(table, layout, bend, bend._replace(angle_deg=bend.angle_deg + 1.0)),
            _strays(table, layout, bend, bend._replace(turn_deg=bend.turn_deg + 1.0)) if bend.number > 1 else (),
        )
        for bend in table.bends
    )


def _strays(table: BendTable, layout: JigLayout, bend: Bend, wrong: Bend) -> tuple[Stray, ...]:
    made = replace(table, bends=tuple(wrong if b.number == bend.number else b for b in table.bends))
    legs = centreline_of(made).straights
    out: list[Stray] = []
    for tower in layout.towers:
        cradle = tower.cradle
        if cradle.leg < bend.number:
            continue
        start = layout.rotation @ np.array(legs[cradle.leg].start) + layout.offset
        ahead = layout.rotation @ np.array(legs[cradle.leg].direction)
        leg = layout.axis.legs[cradle.leg]
        middle = leg.at((cradle.low_mm + cradle.high_mm) / 2.0 * tower.place.stretch)
        # Where the tube as made passes through the cradle's own cross-section.
        passes: Array = start + ahead * (((middle - start) @ leg.direction) / (ahead @ leg.direction))
        across = np.array([*tower.place.across, 0.0])
        off = passes - middle
        out.append(Stray(cradle.number, float(off @ across), float(off @ np.cross(leg.direction, across))))
    return tuple(out)
