"""A size of tube and a former, as every other part of the program sees them; mm and degrees."""

from dataclasses import dataclass, field
from math import radians
from typing import Literal, TypeAlias

from pipemodel.messages.values import Message, Name, Number, Word, message


@dataclass(frozen=True)
class Tube:
    """A size of tube. Sizes in mm; `name` as the trade says it ("15 x 0.7 copper").

    `min_radius_mm` is the smallest finished centreline radius published for it, None where nobody prints one.
    `outside_limits_mm` are the least and the greatest mean outside diameter; None where the table gives none.
    """

    outside_mm: float
    wall_mm: float
    name: str
    material: str = ""
    temper: str = ""
    standard: str = ""
    mass_kg_per_m: float | None = None
    min_radius_mm: float | None = None
    source: str = ""
    radius_source: str = ""
    outside_limits_mm: tuple[float, float] | None = None
    wall_tolerance_percent: float | None = None

    @property
    def bore_mm(self) -> float:
        """Inside diameter."""
        return self.outside_mm - 2.0 * self.wall_mm

    @property
    def called(self) -> Message:
        """Its name, with the material as a word of its own; its measures where it has no name."""
        if not self.name:
            outside, wall = Number(round(self.outside_mm, 2)), Number(round(self.wall_mm, 2))
            return message("tube.measures", outside=outside, wall=wall)
        size = self.name.removesuffix(f" {self.material}")
        if not self.material or size == self.name:
            return message("tube.name", name=Name(self.name, quoted=False))
        if size == f"{self.outside_mm:g} x {self.wall_mm:g}":
            outside, wall = Number(self.outside_mm), Number(self.wall_mm)
            return message("tube.measures, named", outside=outside, wall=wall, material=Word(self.material))
        return message("tube.named", size=Name(size, quoted=False), material=Word(self.material))


@dataclass(frozen=True)
class Springback:
    """What the tube opens by when let go: pull angle = angle + fixed + per_degree * angle.

    Each `..._within` is the half width of a measured figure's 95 % interval, `correlation` that of the two figures; 0
    where nobody measured them.
    """

    per_degree: float = 0.0
    fixed_deg: float = 0.0
    fixed_within_deg: float = 0.0
    per_degree_within: float = 0.0
    correlation: float = 0.0

    def pull_deg(self, angle_deg: float) -> float:
        """Return how far to pull for a finished angle.

        >>> Springback(per_degree=0.05, fixed_deg=1.5).pull_deg(90)
        96.0
        """
        return angle_deg + self.fixed_deg + self.per_degree * angle_deg


MarkAt: TypeAlias = Literal["beginning", "square", "offset"]
"""Where a former's mark is set: at the beginning of the bend, where a square laid against its rim meets the tube
(the rim's distance from the former's axis further on), or at an offset of its own."""


FormerFigure: TypeAlias = Literal["springback", "hold", "guide"]
"""Figures of a former that serve from the generic one where they are not given."""

GREATEST_PULL_DEG = 200.0
"""Where a former's greatest angle is not said: a return bend and what it springs back. Common practice, no source."""


@dataclass(frozen=True)
class Former:
    """The grooved wheel and what it asks for; mm and degrees.

    `mark_mm`: the mark stands that much further from the start than the beginning of the bend.
    `hold_mm`: straight needed before a bend when it is pulled; `guide_mm`: straight needed after it, whatever its
    angle; with a `guide_block_mm` that is the least, see `guide_needed_mm`.
    `generic` is true for a figure of common practice that the user has not measured.
    `outside_mm` is the tube its groove fits, None where it is not said; `kind` is "hand bender", "spring", ...
    """

    radius_mm: float
    name: str = "former of the job"
    springback: Springback = Springback()
    mark_mm: float = 0.0
    hold_mm: float = 0.0
    guide_mm: float = 0.0
    max_angle_deg: float = GREATEST_PULL_DEG
    generic: bool = False
    source: str = ""
    outside_mm: float | None = None
    kind: str = ""
    mark_at: MarkAt = "offset"
    """How the former's mark is found: `mark_mm` says where that is in every case."""
    rim_mm: float | None = None
    """From the former's axis to its rim, None where it is not said."""
    guide_travel_mm: float = 0.0
    """How much further ahead the guide slides in a pull of 90 degrees, and in proportion."""
    not_given: tuple[FormerFigure, ...] = ()
    """Figures that its owner has not given; see `trade.formers.completed`."""
    completed_from: str = ""
    """Where what is not given is taken from, empty as long as it is not."""
    radius_within_mm: float = 0.0
    """Half width of the interval of a measured radius; 0 where the radius is taken as exact."""
    mark_within_mm: float = 0.0
    """The same of the mark's offset; 0 where nobody measured it."""
    learned: Message | None = field(default=None, repr=False)
    """What is learned of it from finished pieces, and what that rests on."""
    drifted: Message | None = field(default=None, repr=False)
    """From which of those pieces on it springs back otherwise."""
    untaught: "Former | None" = field(default=None, repr=False, compare=False)
    """What it was before that."""
    allow_tight: bool = False
    """Whether it may bend tighter than the smallest radius published for the tube."""

    guide_block_mm: float | None = None
    """Length of the guide block, None where the straight needed does not depend on the angle."""

    @property
    def named_by_radius(self) -> bool:
        """Whether its name says its radius and nothing else."""
        return self.name == f"former of radius {self.radius_mm:g} mm"

    @property
    def called(self) -> Message:
        """Its name, as a value for a sentence."""
        if self.named_by_radius:
            return message("former.of radius", radius=Number(self.radius_mm))
        return message("former.named", former=Word(self.name))

    def guide_needed_mm(self, angle_deg: float) -> float:
        """Return the straight needed after a bend of this finished angle.

        A guide block lies on straight tube from where the bend begins to its own length further on, and the bend
        takes up radius x angle of that: what is left of the block lies beyond the bend. It is never less than
        `guide_mm`. A guide that slides ahead during the pull needs its travel as well.
        """
        needed = self.guide_mm
        if self.guide_block_mm is not None:
            needed = max(needed, self.guide_block_mm - self.radius_mm * radians(angle_deg))
        return needed + self.guide_travel_mm * self.springback.pull_deg(angle_deg) / 90.0


class UnknownSizeError(LookupError):
    """A size that no row of the table has, or that several have; the message names the nearest or the choices."""


class UnknownFormerError(LookupError):
    """A former that no row of the table has; the message names the nearest ones."""
