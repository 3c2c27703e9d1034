"""A job as the rest of the program sees it: frozen, in mm and degrees, every other way of saying compiled away."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.vectors import Vec3


@dataclass(frozen=True)
class Place:
    """Where in the job file something is written; lines and columns count from 1."""

    line: int = 1
    column: int = 1


@dataclass(frozen=True)
class Tube:
    """A size of tube. Sizes in mm; `name` as the trade says it ("15 x 0.7 copper").

    `min_radius_mm` is the smallest finished centreline radius published for it, None where nobody prints one.
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

    @property
    def bore_mm(self) -> float:
        """Inside diameter."""
        return self.outside_mm - 2.0 * self.wall_mm


@dataclass(frozen=True)
class Springback:
    """What the tube opens by when let go: pull angle = angle + fixed + per_degree * angle."""

    per_degree: float = 0.0
    fixed_deg: float = 0.0

    def pull_deg(self, angle_deg: float) -> float:
        """Return how far to pull for a finished angle."""
        return angle_deg + self.fixed_deg + self.per_degree * angle_deg


@dataclass(frozen=True)
class Former:
    """The grooved wheel and what it asks for; mm and degrees.

    `mark_mm`: the mark stands that much further from the start than the beginning of the bend.
    `hold_mm`: straight needed before a bend when it is pulled; `guide_mm`: straight needed after it.
    `generic` is true for a figure of common practice that the user has not measured.
    """

    radius_mm: float
    name: str = "former of the job"
    springback: Springback = Springback()
    mark_mm: float = 0.0
    hold_mm: float = 0.0
    guide_mm: float = 0.0
    max_angle_deg: float = 180.0
    generic: bool = False
    source: str = ""


@dataclass(frozen=True)
class Thing:
    """A thing in the room that the runs must keep clear of; its own clearance wins over the job's."""

    name: str
    shape: Shape
    clearance_mm: float | None = None
    place: Place = Place()


@dataclass(frozen=True)
class Route:
    """Where a run goes: start, corners and finish, (n, 3) mm, n at least 2.

    `joined` holds each i for which corners i and i + 1 are the two halves of one 180 degree bend.
    `places` tells where in the file each corner comes from; `notes` what was assumed on the way.
    """

    corners: tuple[Vec3, ...]
    joined: frozenset[int] = frozenset()
    places: tuple[Place, ...] = ()
    notes: tuple[str, ...] = ()

    def place_of(self, corner: int) -> Place:
        """Return where in the file a corner was written."""
        return self.places[corner] if corner < len(self.places) else Place()


@dataclass(frozen=True)
class Run:
    """One continuous piece of tube, from its start to its finish."""

    name: str
    tube: Tube
    former: Former
    route: Route
    place: Place = Place()


@dataclass(frozen=True)
class Job:
    """One YAML file: the tube, the former, the room, the runs."""

    name: str
    runs: tuple[Run, ...]
    things: tuple[Thing, ...] = ()
    clearance_mm: float = 0.0
    notes: tuple[str, ...] = ()
    path: Path = Path("job.yaml")
    parameters: Mapping[str, float] = field(default_factory=dict)

    def clearance_to(self, thing: Thing) -> float:
        """Return the clearance asked for between tube and a thing."""
        return self.clearance_mm if thing.clearance_mm is None else thing.clearance_mm


@dataclass(frozen=True)
class Fault:
    """One thing wrong with what the user wrote: where, what, and what would be right."""

    message: str
    place: Place = Place()


class JobError(Exception):
    """A job that cannot be read or solved: every fault in it, in the order of the file."""

    def __init__(self, path: str, faults: list[Fault]) -> None:
        self.path = path
        self.faults = tuple(sorted(faults, key=lambda f: (f.place.line, f.place.column)))
        super().__init__("\n".join(self.lines()))

    def lines(self) -> list[str]:
        """Return one `file:line:column: message` line per fault."""
        return [f"{self.path}:{f.place.line}:{f.place.column}: {f.message}" for f in self.faults]
