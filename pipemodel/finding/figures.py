"""What the tube and its former ask of a way: how far from things its axis stays, and how long its legs must be."""

from dataclasses import dataclass
from math import radians, tan

from pipemodel.job.model import Run

FIRST_ANGLES = (45.0, 30.0)
"""Of the two bends of a set, tried first; a turn from one direction to another is of 90 degrees."""
OTHER_ANGLES = (60.0, 22.5, 15.0, 10.0, 7.5)
"""Tried where those lead nowhere."""
SQUARE_DEG = 90.0


@dataclass(frozen=True)
class Figures:
    """What counts for the legs of a run, mm and degrees."""

    radius: float
    hold: float
    guide: dict[float, float]
    """The straight needed after a bend, by its angle."""
    greatest_deg: float
    """The greatest bend that its former can be pulled to."""
    least_straight: bool = True
    """Whether a leg need only be long enough for one of hold and guide; else for both."""

    @classmethod
    def of(cls, run: Run, least_straight: bool = True) -> "Figures":
        """Return the figures of a run."""
        former = run.former
        angles = (SQUARE_DEG, *FIRST_ANGLES, *OTHER_ANGLES)
        greatest = max((a for a in range(5, 181) if former.springback.pull_deg(a) <= former.max_angle_deg), default=0)
        return cls(
            former.radius_mm,
            former.hold_mm,
            {angle: former.guide_needed_mm(angle) for angle in angles},
            float(greatest),
            least_straight,
        )

    def setback(self, angle_deg: float) -> float:
        """Return how far before its corner a bend begins."""
        return self.radius * tan(radians(angle_deg) / 2.0)

    def straight(self, angle_deg: float) -> float:
        """Return the straight that a leg beside a bend must have at the least.

        Of two neighbouring bends the one pulled last has the other beside it, and holds or guides on what is between;
        so with less than the lesser of the two there is no order of pulls, and with the greater there is always one.
        """
        guide = self.guide.get(angle_deg, max(self.guide.values()))
        return min(self.hold, guide) if self.least_straight else max(self.hold, guide)

    def can_bend(self, angle_deg: float) -> bool:
        """Return whether the former can be pulled so far."""
        return angle_deg <= self.greatest_deg
