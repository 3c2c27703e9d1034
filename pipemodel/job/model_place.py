"""Where a job stands in the building model that its room was made of, so that what goes back to it lands right."""

from dataclasses import dataclass, replace
from math import cos, radians, sin
from typing import NamedTuple

from pipemodel.geometry.placing import Placing
from pipemodel.geometry.vectors import ORIGIN, Vec3, add

FARTHEST_ON_MAP = 1e11
"""How far out a map goes, either way."""
MOST_SCALE = 1e6
"""How far a map may stretch a model."""


class OnMap(NamedTuple):
    """Where a model's zero stands on a map, metres, as an IfcMapConversion says it (ISO 16739-1).

    `x_axis` is the model's x on the map, east and north; `scale` how many metres of the map one metre of the model is.
    """

    eastings_m: float
    northings_m: float
    height_m: float
    x_axis: tuple[float, float] = (1.0, 0.0)
    scale: float = 1.0
    crs: str = ""


@dataclass(frozen=True)
class ModelPlace:
    """A model, what was taken off its places, and how the room file made of it was placed, the innermost first.

    `true_north_deg` lies clockwise of the model's y.
    """

    file: str = ""
    moved_mm: Vec3 = ORIGIN
    true_north_deg: float = 0.0
    on_map: OnMap | None = None
    placings: tuple[Placing, ...] = ()

    def then(self, placing: Placing) -> "ModelPlace":
        """Return it within what is placed once more."""
        return replace(self, placings=(*self.placings, placing))

    def point(self, p: Vec3) -> Vec3:
        """Return where a point of the job stands in the model, mm."""
        for placing in reversed(self.placings):
            p = placing.before(p)
        return add(p, self.moved_mm)

    def direction(self, d: Vec3) -> Vec3:
        """Return which way a direction of the job points in the model."""
        for placing in reversed(self.placings):
            d = Placing(ORIGIN, -placing.turned_deg).direction(d)
        return d

    @property
    def true_north(self) -> tuple[float, float] | None:
        """True north in the model's plan, None where it is its y or not said."""
        if not self.true_north_deg:
            return None
        return sin(radians(self.true_north_deg)), cos(radians(self.true_north_deg))
