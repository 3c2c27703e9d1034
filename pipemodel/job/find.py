"""What a run says whose way is to be found: from where to where, and which way it sets out and arrives."""

from typing import Literal, NamedTuple, TypeAlias, get_args

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.place import BEGINNING, Place

Criterion: TypeAlias = Literal[
    "clear",
    "rules",
    "pulls",
    "gets in",
    "reach",
    "clips",
    "joints",
    "cuts",
    "beside",
    "bends",
    "fit",
    "length",
    "faces",
    "room",
]
"""What ways are compared by; docs/finding.md says how each is counted."""
CRITERIA: tuple[Criterion, ...] = get_args(Criterion)
"""All of them, in the order that counts where a job says nothing else: a later one only decides between equals."""


CutKind: TypeAlias = Literal["hole", "notch"]


class NewCut(NamedTuple):
    """A hole or a notch that a way needs in a thing, and the point of the room at its middle; mm.

    A notch is open at the joist's top: `wide_mm` along the joist, `deep_mm` down; a hole has its diameter in both.
    """

    thing: str
    kind: CutKind
    at: Vec3
    wide_mm: float
    deep_mm: float


class FindBeside(NamedTuple):
    """The run that a way lies beside as far as it can, and how far their axes are apart, mm."""

    run: str
    centres_mm: float


class Find(NamedTuple):
    """A way to be found; points in mm, `heading` and `arriving` unit vectors in the direction of travel.

    `within` is the void that the tube must stay in, its low and high corner; None where there is none. `may_cut` is
    what may be cut in joists for it, and `cuts` what the way that was found needs.
    """

    start: Vec3
    heading: Vec3
    finish: Vec3
    arriving: Vec3
    within: tuple[Vec3, Vec3] | None = None
    may_cut: frozenset[CutKind] = frozenset()
    cuts: tuple[NewCut, ...] = ()
    beside: FindBeside | None = None
    place: Place = BEGINNING
    start_place: Place = BEGINNING
    finish_place: Place = BEGINNING
