"""What the tube's own weight hides: how far a leg sags, and how far it presses itself down into its slots.

Beam formulas (Roark's Formulas for Stress and Strain, table of beams under uniform load: cantilever w L^4 / (8 E I),
simply supported span 5 w L^4 / (384 E I)); I = pi (D^4 - d^4) / 64. Moduli and densities from memory of the usual
handbooks, good to a few hundredths.
"""

from dataclasses import dataclass
from math import atan, cos, degrees, pi

import numpy as np

from pipemodel.jigs.layout import JigLayout
from pipemodel.trade.model import Tube

GRAVITY = 9.81
"""m/s2."""
MODULUS_MPA = {"copper": 115_000.0, "stainless": 195_000.0}
DENSITY_KG_M3 = {"copper": 8940.0, "stainless": 7900.0}
"""By material; tube of no named material counts as copper."""


@dataclass(frozen=True)
class Sag:
    """What weight does to one leg of a piece in its jig.

    `free_mm` is the leg's longest stretch between two supports and `sags_mm` what it sags there. `hides_mm` is how far
    the leg's far cradle pulls the leg down, or lets it hang, when only its near end is held: a leg that is out upwards
    or downwards by less than that may seat all the same; as a lean of the whole leg it is `hides_deg`. `slot_mm` is
    the clearance there.
    """

    leg: int
    free_mm: float
    sags_mm: float
    hides_mm: float
    hides_deg: float
    slot_mm: float

    @property
    def matters(self) -> bool:
        """Whether weight takes up more than a quarter of the clearance."""
        return max(self.hides_mm, self.sags_mm) > 0.25 * self.slot_mm


def stiffness_of(tube: Tube) -> tuple[float, float]:
    """Return the weight of a tube, N/mm, and its stiffness E I, N mm2."""
    material = tube.material if tube.material in MODULUS_MPA else "copper"
    metal = pi / 4.0 * (tube.outside_mm**2 - tube.bore_mm**2)
    kg_per_m = tube.mass_kg_per_m or metal * 1e-6 * DENSITY_KG_M3[material]
    inertia = pi / 64.0 * (tube.outside_mm**4 - tube.bore_mm**4)
    return kg_per_m * GRAVITY / 1000.0, MODULUS_MPA[material] * inertia


def longest_true(tube: Tube, clearance: float) -> float:
    """Return the length of level leg, mm, whose own weight hides a quarter of a clearance."""
    weight, stiffness = stiffness_of(tube)
    return float((0.25 * clearance * 8.0 * stiffness / weight) ** 0.25)


def sags_of(layout: JigLayout, tube: Tube) -> tuple[Sag, ...]:
    """Return what weight does to every leg that has a cradle."""
    weight, stiffness = stiffness_of(tube)
    out: list[Sag] = []
    for leg in layout.axis.legs:
        mine = [t for t in layout.towers if t.cradle.leg == leg.index]
        if not mine:
            continue
        ends = [t.ends_mm for t in mine]
        gaps = [b[0] - a[1] for a, b in zip(ends, ends[1:], strict=False)]
        free = max([0.0, *gaps])
        level = cos(float(np.arcsin(min(1.0, abs(leg.direction[2])))))
        # Held at one end only, the whole leg up to its farther cradle bends under the weight across it.
        reach = max(ends[-1][1], leg.length - ends[0][0])
        hides = weight * level * reach**4 / (8.0 * stiffness)
        sags = 5.0 * weight * level * free**4 / (384.0 * stiffness)
        slot = min(t.cradle.clearance_mm for t in mine)
        out.append(Sag(leg.index + 1, free, sags, hides, degrees(atan(hides / reach)), slot))
    return tuple(out)
