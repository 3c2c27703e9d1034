"""Fittings at the ends of a run: how far the tube goes in, and where that puts its end.

People give a run's dimension to a fitting's centre or to its mouth as often as to the end of the tube. Along the
tube, outward, lie the mouth of the fitting, then the stop (where the tube's end comes to lie, `depth_mm` further
in), then the centre (`centre_to_stop_mm` beyond that).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from pipemodel.geometry.straighten import find_corners
from pipemodel.geometry.vectors import Vec3, along, distance, dot, sub, unit
from pipemodel.messages.values import Number, Word, message
from pipemodel.trade.model import Tube
from pipemodel.trade.rows import MM_PER_INCH, Row, inches, number, read_rows
from pipemodel.trade.tube_table import SAME_MM

MeasuredTo: TypeAlias = Literal["end", "mouth", "centre"]
"""What a run's dimension is given to: the end of the tube, the fitting's mouth, or its centre."""
FittingKind: TypeAlias = Literal["plain", "capillary", "compression", "press", "elbow", "tee"]
FITTING_KINDS: tuple[FittingKind, ...] = get_args(FittingKind)


class FittingError(ValueError):
    """A fitting whose dimensions are asked for and stand in no table; says which to give."""


@dataclass(frozen=True)
class Fitting:
    """One socket of a fitting: the tube goes in `depth_mm` to the stop; `centre_to_stop_mm` None if not known."""

    kind: FittingKind
    depth_mm: float
    centre_to_stop_mm: float | None = None
    source: str = ""


@dataclass(frozen=True)
class Within:
    """How far off a run's finish may lie and still fit, square to its last leg and along it, mm.

    What the spring of a metre or two of copper between clips takes up sideways, and a fitting with play along it takes
    up along; common practice, no source.
    """

    sideways_mm: float = 5.0
    along_mm: float = 10.0
    assumed: bool = True
    """Whether the job does not say."""


@dataclass(frozen=True)
class Ending:
    """How a run ends: in nothing, or in a fitting; and what its dimension is given to.

    `joins` names the thing or the run it is connected to, "" for none; `layers` all parts of such a wall. `bare_mm`
    is how much of the run is left without insulation here; what is inside the fitting always is.
    """

    fitting: Fitting | None = None
    to: MeasuredTo = "end"
    joins: str = ""
    bare_mm: float = 0.0
    within: Within = Within()
    """How far off it may lie; of a finish only."""
    layers: tuple[str, ...] = ()

    @property
    def joined(self) -> frozenset[str]:
        """The names of what it is connected to: a thing or a run, or the layers of a wall."""
        return frozenset((self.joins, *self.layers)) - {""}

    def joined_to(self, name: str) -> bool:
        """Tell whether it is connected to a thing, a run or a layer of a wall, by its name."""
        return name in self.joined

    @property
    def depth_mm(self) -> float:
        """How much of the tube is inside the fitting."""
        return self.fitting.depth_mm if self.fitting else 0.0

    @property
    def beyond_mm(self) -> float:
        """How far the tube's end lies beyond the point the dimension is given to; below zero when short of it.

        Raises:
            FittingError: if it is given to the centre of a fitting whose centre-to-stop is not known.
        """
        if self.fitting is None or self.to == "end":
            return 0.0
        if self.to == "mouth":
            return self.fitting.depth_mm
        if self.fitting.centre_to_stop_mm is None:
            raise FittingError(message("fault.fitting centre", kind=Word(self.fitting.kind)))
        return -self.fitting.centre_to_stop_mm


@dataclass(frozen=True)
class Ends:
    """Both ends of a run, and what is left on at the finish to be trimmed after bending."""

    start: Ending = Ending()
    finish: Ending = Ending()
    trim_mm: float = 0.0

    @property
    def in_fittings_mm(self) -> float:
        """How much of the tube is inside its fittings, both ends together."""
        return self.start.depth_mm + self.finish.depth_mm


PLAIN_ENDS = Ends()


def all_fittings() -> tuple[tuple[str, Fitting], ...]:
    """Return every row of the table: the size as people say it ("15 mm", "1/2 in"), and the fitting."""
    return tuple((f"{row['size']} {row['unit']}", _fitting(row)) for row in read_rows("fittings.csv"))


def find_fitting(
    kind: FittingKind, tube: Tube, depth_mm: float | None = None, centre_to_stop_mm: float | None = None
) -> Fitting:
    """Return the fitting of a kind for a tube; what the caller gives wins over the table.

    An elbow or tee without a row of its own is taken to have the capillary socket of its size.

    Raises:
        FittingError: if the depth is neither given nor in the table.
    """
    row = _row_for(kind, tube) or (_row_for("capillary", tube) if kind in ("elbow", "tee") else None)
    if row is None:
        if depth_mm is None:
            raise FittingError(message("fitting.depth", outside=Number(tube.outside_mm), kind=Word(kind)))
        return Fitting(kind, depth_mm, centre_to_stop_mm, "given in the job")
    found = _fitting(row)
    centre = found.centre_to_stop_mm if centre_to_stop_mm is None else centre_to_stop_mm
    given = depth_mm is not None and (centre_to_stop_mm is not None or centre is None)
    source = "given in the job" if given else found.source
    return Fitting(kind, found.depth_mm if depth_mm is None else depth_mm, centre, source)


def tube_ends(points: Sequence[Vec3], ends: Ends, joined: frozenset[int] = frozenset()) -> tuple[Vec3, ...]:
    """Return the points of a run with its first and last moved to where the tube itself ends.

    Args:
        points: start, corners and finish as given, (n, 3) with n at least 2, mm.
        ends: what each end goes into, and what its dimension is given to.
        joined: indices i for which points i and i + 1 are the two halves of one 180 degree bend.

    Raises:
        FittingError: if an end leg is no longer than what the fitting takes from it.
    """
    if not ends.start.beyond_mm and not ends.finish.beyond_mm:
        return tuple(points)
    # Points in line or repeated are no corners: an end leg goes to the first that is.
    kept = find_corners(points, joined).kept
    one, other = kept[1], kept[-2]
    first = _moved(points[0], points[one], ends.start, "start")
    last = _moved(points[-1], points[other], ends.finish, "finish")
    if len(kept) == 2:
        has, takes = distance(points[0], points[-1]), -ends.start.beyond_mm - ends.finish.beyond_mm
        if has > 0.0 and takes >= has:
            raise FittingError(message("fitting.run short", has=Number(has), takes=Number(takes)))
    out = [first, *points[1:-1], last]
    # What an end that moved back has passed lies inside the fitting, and repeats the end.
    for i in range(1, one):
        if dot(sub(points[i], first), sub(points[one], points[0])) < 0.0:
            out[i] = first
    for i in range(other + 1, len(points) - 1):
        if dot(sub(points[i], last), sub(points[other], points[-1])) < 0.0:
            out[i] = last
    return tuple(out)


def cut_length_mm(centreline_mm: float, ends: Ends) -> float:
    """Return the straight tube to cut: the centreline from end to end of the tube, plus the trim allowance.

    Args:
        centreline_mm: length of the centreline after `tube_ends`, so with what goes into the fittings.
        ends: the ends of the run.
    """
    return centreline_mm + ends.trim_mm


def _moved(end: Vec3, inner: Vec3, ending: Ending, name: str) -> Vec3:
    """Return where an end of the tube is, the next corner being `inner`."""
    beyond, leg = ending.beyond_mm, distance(inner, end)
    if beyond == 0.0 or leg == 0.0:
        return end
    if leg + beyond <= 0.0:
        raise FittingError(message("fitting.leg short", end=Word(name), has=Number(leg), takes=Number(-beyond)))
    return along(end, unit(sub(end, inner)), beyond)


def _row_for(kind: str, tube: Tube) -> Row | None:
    for row in read_rows("fittings.csv"):
        if row["fitting"] != kind:
            continue
        # An American size is an eighth of an inch below the outside diameter.
        outside = float(row["size"]) if row["unit"] == "mm" else (inches(row["size"]) + 0.125) * MM_PER_INCH
        if abs(outside - tube.outside_mm) < SAME_MM:
            return row
    return None


def _fitting(row: Row) -> Fitting:
    kind = next(k for k in FITTING_KINDS if k == row["fitting"])
    if row["unit"] == "mm":
        return Fitting(kind, float(row["depth"]), number(row["centre_to_stop"]), row["source"])
    centre = row["centre_to_stop"]
    return Fitting(
        kind, inches(row["depth"]) * MM_PER_INCH, inches(centre) * MM_PER_INCH if centre else None, row["source"]
    )
