"""A job as the rest of the program sees it: frozen, in mm and degrees, every other way of saying compiled away."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

from pipemodel.geometry.in_libraries import InLibraries
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.drawing_fields import NOTHING_GIVEN, DrawingFields
from pipemodel.job.fall import Fall
from pipemodel.job.find import CRITERIA, Criterion, Find
from pipemodel.job.jig import JigSettings
from pipemodel.job.place import BEGINNING as BEGINNING
from pipemodel.job.place import Place as Place
from pipemodel.messages.say import say
from pipemodel.messages.units import Language, UnitName, units_for
from pipemodel.messages.values import Message, Name
from pipemodel.trade.benders import Bender, Stance
from pipemodel.trade.clips import ClipRule
from pipemodel.trade.fittings import PLAIN_ENDS, Ends
from pipemodel.trade.model import Former, Tube
from pipemodel.trade.rules import RuleSet

if TYPE_CHECKING:
    from pipemodel.adjustment.readings import Places
    from pipemodel.job.building.place_forms import TermFrame
    from pipemodel.job.measured import MeasuredRoom
    from pipemodel.job.model_place import ModelPlace
    from pipemodel.job.routing.drawn import Drawn


class Source(NamedTuple):
    """Where a thing comes from in a building model: the element's GUID, class, storey and systems."""

    guid: str
    kind: str
    storey: str = ""
    systems: tuple[str, ...] = ()
    name: str = ""
    """Its name in the model, where the thing has another."""


Role: TypeAlias = Literal["solid", "void", "kept free"]


@dataclass(frozen=True)
class Opening:
    """A hole in what closes the room off, by which a run is brought in: a flat outline of at least three corners, mm.

    `outside` is a point on the side one comes from.
    """

    name: str
    corners: tuple[Vec3, ...]
    outside: Vec3
    place: Place | None = None


@dataclass(frozen=True)
class Spread:
    """How far a piece may be sprung by hand while it is brought in.

    `strain` is the most that its worst fibre is strained, `at_most_mm` how far an end goes at the most, None for as
    far as that strain allows. `proof_n_mm2` is the proof stress that the strain follows from, None where the job gives
    a strain of its own.
    """

    strain: float
    at_most_mm: float | None = None
    proof_n_mm2: float | None = None


@dataclass(frozen=True)
class BringIn:
    """What is asked of bringing a run to its place."""

    through: str | None = None
    """The opening's name; None: from anywhere, along any straight way that leads out."""
    margin_mm: float = 0.0
    """How far the run keeps off everything on its way."""
    effort: int = 400_000
    """How many placements are judged before the search ends without an answer."""
    seed: int = 1
    """What the search's random numbers begin with: the same one gives the same answer."""
    place: Place = BEGINNING
    spread: Spread | None = None
    """How far the piece may be sprung by hand on its way; None: not at all."""


@dataclass(frozen=True)
class Reach:
    """By which openings a hand is to reach joints, clips and cuts, how far from there, and how thick the arm is."""

    openings: tuple[Opening, ...]
    arm_mm: float = 600.0
    thick_mm: float = 100.0


class Sleeve(NamedTuple):
    """What goes through a sleeve, or a hole for some runs: where it is, its bore, the runs, the clearance in it."""

    through: str
    """The name of the wall or floor that it is in."""
    bore_mm: float
    """Its diameter, or how wide one with square corners is the way it is narrowest."""
    runs: frozenset[str]
    clearance_mm: float | None = None
    """Round a run within it; None for that to the wall or floor."""
    bare: bool = False
    """Whether the insulation of its runs stops at it."""
    what: Literal["sleeve", "hole", "opening", "notch"] = "sleeve"
    """A pipe lines a sleeve; a plain hole, an opening or a notch that is for some runs has none."""

    @property
    def lined(self) -> bool:
        """Whether a pipe lines it."""
        return self.what == "sleeve"


@dataclass(frozen=True)
class Thing(InLibraries):
    """A thing in the room that the runs must keep clear of; its own clearance wins over the job's.

    One that is no `solid` is what lies beyond a side of a void that runs must stay within, or room to be kept free.
    """

    name: str
    shape: Shape
    clearance_mm: float | None = None
    place: Place = BEGINNING
    kind: str = ""
    """What it is to the rules of building, such as a cable; empty where nobody says."""
    source: Source | None = None
    of: str = ""
    """The name of the building term that it is a part of, such as the joists of which this is one; "" for none."""
    frame: "TermFrame | None" = None
    """The wall or the joists that it is of, against which points are said in words."""
    role: Role = "solid"
    why: str = ""
    """Why it is kept free."""
    runs: frozenset[str] | None = None
    """The runs that it is meant for; None for all."""
    sleeve: Sleeve | None = None
    """The sleeve whose bore it is, kept free of all runs but those that the sleeve is for."""
    moved: tuple[Placing, ...] | None = ()
    """How what it is written in is placed, the innermost first; None for one of several that are written once."""
    own: Shape | None = None
    """Its shape as it is written, where what it is written in is placed."""
    run_places: tuple[tuple[str, Place], ...] = ()
    """Where each run that it or a hole of it is for is named."""


@dataclass(frozen=True)
class Route:
    """Where a run goes: start, corners and finish, (n, 3) mm, n at least 2.

    `joined` holds each i for which corners i and i + 1 are the two halves of one 180 degree bend.
    `places` tells where in the file each corner comes from; `notes` what was assumed on the way. `formers` holds, for
    each corner, the former of its own that it is bent round, None for the run's; it is empty where none has its own.
    """

    corners: tuple[Vec3, ...]
    joined: frozenset[int] = frozenset()
    places: tuple[Place, ...] = ()
    notes: tuple[Message, ...] = ()
    formers: tuple[Former | None, ...] = ()
    falls: tuple[Fall | None, ...] = ()
    """How each leg is meant to fall, towards which end; empty where none is."""
    find: Find | None = None
    """What the way is found by, None where it is written; until it is found, there is no more here than its ends."""
    legs: tuple[tuple[int, int, int], ...] = field(default=(), compare=False)
    """Each leg that an item measures: which item, and from which corner to which; a passover may lie between."""
    drawn: "Drawn | None" = field(default=None, compare=False)
    """The moves and features that it is drawn from; None for points."""

    def place_of(self, corner: int) -> Place:
        """Return where in the file a corner was written."""
        return self.places[corner] if corner < len(self.places) else Place()


class Temperatures(NamedTuple):
    """The coldest and the hottest a run gets, degrees Celsius."""

    coldest_c: float
    hottest_c: float


@dataclass(frozen=True)
class Run:
    """One continuous piece of tube, from its start to its finish."""

    name: str
    tube: Tube
    former: Former
    """What every bend is made round, but for the corners of its route that have a former of their own."""
    route: Route
    place: Place = BEGINNING
    bender: Bender | None = None
    """The bender it is pulled in, None when only the former's limits are to count."""
    ends: Ends = PLAIN_ENDS
    """What its ends go into; the route's first and last points are the tube's own ends, inside the fittings."""
    clips: ClipRule | None = None
    """How it is to be clipped, None when nobody asks."""
    insulation_mm: float = 0.0
    """Thickness of the insulation that goes round it; clearances are kept outside it."""
    temperatures: Temperatures | None = None
    """Between which temperatures it grows and shrinks, None when nobody asks."""
    stance: Stance = "flat"
    """How the bender stands when the run is pulled: flat on a bench, or upright in front of whoever pulls."""
    for_accuracy: bool = False
    """Whether its plan of pulls is to be the one by which the finish lands best, and not the one that is least work."""
    bring_in: BringIn | None = None
    """What is asked of bringing it to its place, None when nobody asks."""


class Hands(NamedTuple):
    """How well a person bends: standard deviations, all independent of each other.

    What a careful beginner does; common practice, no source.
    """

    mark_mm: float = 1.0
    """Of where each bend begins, along the tube."""
    angle_deg: float = 1.0
    """Of each bend's angle."""
    turn_deg: float = 1.0
    """Of each roll of the tube between two bends."""


WORST_HANDS = Hands(20.0, 20.0, 45.0)
"""Nobody's hands are out by more; a job that says so has another figure in mind."""


@dataclass(frozen=True)
class Stock:
    """What tube comes in: new lengths as many as needed, and offcuts at hand by size of tube, each once; mm."""

    length_mm: float = 3000.0
    offcuts: tuple[tuple[Tube, tuple[float, ...]], ...] = ()
    assumed: bool = True
    """Whether the job says nothing of its stock: then nothing can be wrong with it."""

    def offcuts_of(self, tube: Tube) -> tuple[float, ...]:
        """Return the offcuts at hand of a size of tube: those of its outside diameter and wall."""
        size = tube.outside_mm, tube.wall_mm
        return tuple(mm for of, lengths in self.offcuts if (of.outside_mm, of.wall_mm) == size for mm in lengths)

    def longest_mm(self, tube: Tube) -> float:
        """Return the longest piece of a size of tube that there is, new or offcut."""
        return max(self.length_mm, *self.offcuts_of(tube), 0.0)


@dataclass(frozen=True)
class Job:
    """One YAML file: the tube, the former, the room, the runs."""

    name: str
    runs: tuple[Run, ...]
    things: tuple[Thing, ...] = ()
    clearance_mm: float = 0.0
    notes: tuple[Message, ...] = ()
    path: Path = Path("job.yaml")
    parameters: Mapping[str, float] = field(default_factory=dict)
    kerf_mm: float = 0.0
    """What the saw takes at each cut."""
    stock: Stock = Stock()
    """What the pieces are cut from."""
    jig: JigSettings | None = None
    """How its checking jigs are made; None when the job does not ask for any."""
    units: UnitName = "mm"
    language: Language = "en"
    """What people read it in; all figures here are mm."""
    revision: str = ""
    """Which state of the job this is, as its author counts them."""
    drawing: DrawingFields = NOTHING_GIVEN
    """What its title blocks say."""
    rules: tuple[RuleSet, ...] = ()
    """The rules of building it is held against."""
    choose: tuple[Criterion, ...] = CRITERIA
    """What ways that are found are compared by, the first first."""
    hands: Hands | None = None
    """How well whoever bends it does so; None when the job does not say."""
    seen_from: Vec3 | None = None
    """The side on which the fitter stands, a level unit vector from the runs; None when the job does not say."""
    hands_learned: Message | None = None
    """What that rests on, where it comes out of a file of finished pieces."""
    measured: "MeasuredRoom | None" = None
    """The points measured with a tape, with their covariance; None when the job has none."""
    model_place: "ModelPlace | None" = None
    """How it stands in the building model that its room was made of; None where that is made of none."""
    openings: tuple[Opening, ...] = ()
    """By which runs are brought in."""
    reach: Reach | None = None
    """How a hand gets to what is made in place; None when the job does not ask."""
    with_points: "Callable[[Places], Job] | None" = field(default=None, compare=False, repr=False)
    """Returns the same job with its measured points at other places, each named; raises `JobError` where there is none
    such. None where nothing is measured."""

    def clearance_to(self, thing: Thing) -> float:
        """Return the clearance asked for between a thing and the tube, or what insulates it."""
        if thing.clearance_mm is not None:
            return thing.clearance_mm
        return self.clearance_mm if thing.role == "solid" else 0.0

    @property
    def shown(self) -> tuple[Thing, ...]:
        """The things that drawings and solids show: all but what lies round voids."""
        return tuple(thing for thing in self.things if thing.role != "void")

    @property
    def standing(self) -> tuple[Thing, ...]:
        """The things that are there, neither voids nor room to be kept free."""
        return tuple(thing for thing in self.things if thing.role == "solid")

    def things_for(self, run: str) -> tuple[Thing, ...]:
        """Return the things that a run, by its name, must keep clear of: not what is kept free for it."""
        return tuple(thing for thing in self.things if thing.runs is None or run in thing.runs)

    def sleeves_of(self, run: str) -> list[tuple[Thing, Sleeve]]:
        """Return the bores of the sleeves, and of the holes like them, that are for a run, by its name."""
        return [(one, one.sleeve) for one in self.things if one.sleeve is not None and run in one.sleeve.runs]

    def asked_of(self, run: Run) -> dict[str, float]:
        """Return by name how far a run's tube must stay from everything else: clearance and insulation, mm."""
        runs = {other.name: self.clearance_mm + run.insulation_mm + other.insulation_mm for other in self.runs}
        return runs | {name: clearance + run.insulation_mm for name, clearance in self._clearances.items()}

    @cached_property
    def _clearances(self) -> dict[str, float]:
        """The clearance to each thing by its name, kept since every run asks for them."""
        return {thing.name: self.clearance_to(thing) for thing in self.things}

    def joined_to(self, run: Run) -> frozenset[str]:
        """Return the names of what a run is connected to, things and runs: there it may touch."""
        own = {run.ends.start.joins, run.ends.finish.joins} - {""}
        return frozenset(own | {o.name for o in self._joining if run.name in (o.ends.start.joins, o.ends.finish.joins)})

    @cached_property
    def _joining(self) -> tuple[Run, ...]:
        """The runs an end of which joins something, kept since every run asks for them."""
        return tuple(run for run in self.runs if run.ends.start.joins or run.ends.finish.joins)


@dataclass(frozen=True)
class Fault:
    """One thing wrong with what the user wrote: where, what, and what would be right."""

    said: str | Message
    place: Place = BEGINNING

    @property
    def message(self) -> str:
        """What is said, in English."""
        return str(self.said)

    @property
    def value(self) -> Message | Name:
        """What is said, as a value of another message."""
        return self.said if isinstance(self.said, Message) else Name(self.said, quoted=False)

    def worded(self, language: Language) -> str:
        """Return what is said in a language; in English where it has no template."""
        return say(self.said, units_for("mm", language)) if isinstance(self.said, Message) else self.said


def said_of(error: Exception) -> str | Message:
    """Return what an error was raised with, to be worded in any language."""
    said = error.args[0] if error.args else ""
    return said if isinstance(said, Message) else str(error)


class JobError(Exception):
    """A job that cannot be read or solved: every fault in it, in the order of the file.

    `sound` is the job without what is at fault, where there is one: whatever else is wrong can be looked for in it.
    """

    def __init__(self, path: str, faults: Sequence[Fault], sound: Job | None = None) -> None:
        self.path = path
        self.sound = sound
        self.language: Language = sound.language if sound is not None else "en"
        self.faults = tuple(sorted(faults, key=lambda f: (f.place.file, f.place.line, f.place.column)))
        super().__init__("\n".join(self.lines("en")))

    def lines(self, language: Language | None = None) -> list[str]:
        """Return one `file:line:column: message` line per fault, in a language; in that of the job if left out."""
        return [
            f"{f.place.file or self.path}:{f.place.line}:{f.place.column}: {f.worded(language or self.language)}"
            for f in self.faults
        ]
