"""What a job says about its checking jig: the printer's bed, the tolerance of the piece, and how the jig is made."""

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pipemodel.job.place import BEGINNING, Place

Decision: TypeAlias = Literal["balanced", "go", "fine"]
"""How slots come from the tolerance where a fixed slot cannot do justice to position and angle at once.

`go`: no piece whose legs lie within position is refused; `balanced`: what is out of tolerance in one thing alone is
refused; `fine`: no leg out of place and no bend out by more than asked passes, whatever else is out.
"""
BaseKind: TypeAlias = Literal["timber", "board", "printed"]
"""`timber`: small cradles on posts cut from battens, screwed to a board by a plan; `board`: towers printed whole,
screwed to a board by a plan; `printed`: towers on printed bars that key together."""
Cradles: TypeAlias = Literal["fewest", "all"]
"""`fewest`: the cradles with the least plastic that refuse all that is out; `all`: two to every leg that has room."""
When: TypeAlias = Literal["worth", "always"]
"""`worth`: a run that tape, card and template tell all of gets these checks and no jig; `always`: it gets one too."""
TIMBER_PLATE_MM = 2.4
"""Thickness of the plate of a cradle that timber carries: screwed down flat, it bends nowhere."""


@dataclass(frozen=True)
class Bed:
    """The room a printer has for one part, in mm: along x, along y, and how high."""

    x_mm: float = 220.0
    y_mm: float = 220.0
    z_mm: float = 250.0

    def __str__(self) -> str:
        return f"{self.x_mm:g} x {self.y_mm:g} x {self.z_mm:g}"


@dataclass(frozen=True)
class Tolerance:
    """How far a finished piece may be out and still be right.

    `position_mm`: the axis of every leg lies within this of its place, sideways and up and down, and both ends
    lie within it along the tube too; a leg's length is within it. `angle_deg`: every bend's angle is within this, and
    every turn leaves the legs beside it within this of their directions. `start_mm` and `finish_mm`, where given,
    stand in for `position_mm` along the tube at that end.
    """

    position_mm: float = 3.0
    angle_deg: float = 1.0
    start_mm: float | None = None
    finish_mm: float | None = None

    @property
    def at_start_mm(self) -> float:
        """How far the start end may lie along the tube from its place."""
        return self.position_mm if self.start_mm is None else self.start_mm

    @property
    def at_finish_mm(self) -> float:
        """How far the finish end may lie along the tube from its place."""
        return self.position_mm if self.finish_mm is None else self.finish_mm


SLOW_CM3_H, FAST_CM3_H = 8.0, 20.0
"""What small printers with a nozzle of 0.4 mm lay down in an hour, from slow to fast (common practice, no source)."""


@dataclass(frozen=True)
class Print:
    """How the jig is printed: what decides the least wall, the plastic and the time.

    `allowance_mm` is how much narrower a slot comes off the printer than drawn, both sides together. `rate_cm3_h`
    is the plastic laid down per hour, averaged over a part, moves and all.
    """

    nozzle_mm: float = 0.4
    layer_mm: float = 0.2
    allowance_mm: float = 0.2
    walls: int = 3
    infill: float = 0.15
    density_g_cm3: float = 1.24
    rate_cm3_h: float = 12.0
    overhang_deg: float = 45.0


@dataclass(frozen=True)
class JigSettings:
    """Everything a job says about its jigs; every default is what a small shop would start from."""

    bed: Bed = Bed()
    tolerance: Tolerance = Tolerance()
    print: Print = field(default_factory=Print)
    decision: Decision = "balanced"
    base: BaseKind = "timber"
    cradles: Cradles = "fewest"
    when: When = "worth"
    timber_mm: float = 44.0
    base_mm: float = 1.6
    bar_mm: float = 20.0
    joint_gap_mm: float = 0.15
    screw_mm: float = 4.0
    steepest_deg: float = 60.0
    inserts: bool = False
    gauges: bool = True
    standoff_mm: float | None = None
    revision: str = "A"
    price_per_kg: float | None = None
    bends: tuple[int, int] | None = None
    """The first and the last bend that it judges, where it is a jig for a part of the piece; None for all of them."""
    bench_mm: float | None = None
    """How far the bench lies below the axis of the tube in the bender; None for no rests."""
    bends_place: Place = field(default=BEGINNING, compare=False, repr=False)
    """Where in the job's file `bends` stands."""

    @property
    def plate_mm(self) -> float:
        """Thickness of the pads and bars of a printed base, or of the plates of cradles on timber."""
        return TIMBER_PLATE_MM if self.base == "timber" else self.base_mm
