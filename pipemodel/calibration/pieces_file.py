"""Measured test pieces, as written in a YAML file, and the former file that a calibration writes."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, sqrt
from os import PathLike, fspath
from typing import Annotated, Any

from pydantic import AfterValidator, Field

from pipemodel.calibration.filled import filled, readable
from pipemodel.calibration.mistakes import refuse_impossible
from pipemodel.calibration.values import Accuracy, Calibration, ContradictionError, TestPiece
from pipemodel.job.build_tools import tube_of
from pipemodel.job.form import Form
from pipemodel.job.model import Fault, JobError, said_of
from pipemodel.job.quantities import Angle, NonNegativeLength, PositiveAngle, PositiveLength
from pipemodel.job.tool_forms import TubeChoice
from pipemodel.messages.values import message
from pipemodel.trade.model import Tube
from pipemodel.trade.tubes import published_least


class PieceForm(Form):
    """One test piece."""

    cut: PositiveLength = Field(description="Length it was cut to")
    mark: NonNegativeLength = Field(description="Where the mark was, from the start end")
    angle: Angle = Field(description="The finished angle, let go")
    start_to_back: PositiveLength | None = Field(None, alias="start to back")
    finish_to_back: PositiveLength | None = Field(None, alias="finish to back")
    pull: Angle | None = Field(None, description="What it was pulled to")


class PiecesForm(Form):
    """A file of test pieces, all bent round one former."""

    tube: TubeChoice = Field(description="The tube of all pieces: a size such as 15, or outside and wall")
    tape: Annotated[PositiveLength, AfterValidator(readable)] = Field(
        default=0.5, description="How well a length is read: standard deviation"
    )
    protractor: Annotated[PositiveAngle, AfterValidator(readable)] = Field(
        default=0.5, description="How well an angle is read: standard deviation"
    )
    hold: NonNegativeLength | None = Field(None, description="Straight tube that the bender's stop needs before a bend")
    guide: NonNegativeLength | None = Field(None, description="Straight tube it needs after one")
    allow_tight: bool = Field(default=False, description="The former is tighter than is published for the tube")
    pieces: list[PieceForm] = Field(min_length=1, description="The test pieces, each with its readings")


@dataclass(frozen=True)
class Pieces:
    """The test pieces of one former."""

    outside_mm: float
    pieces: tuple[TestPiece, ...]
    tape_mm: float
    protractor_deg: float
    hold_mm: float | None
    guide_mm: float | None
    allow_tight: bool
    least_mm: float | None
    """The smallest centreline radius published for the tube, None where there is none or less is meant."""


def read_pieces(path: str | PathLike[str]) -> Pieces:
    """Read a file of test pieces.

    Raises:
        JobError: with everything that is wrong with it, each at its line and column.
    """
    form, spot = filled(path, PiecesForm, message("piece.keys of pieces"))
    tube = tube_of(form.tube)
    if not isinstance(tube, Tube):
        raise JobError(fspath(path), [Fault(tube, spot.at(("tube",)).place)])
    outside, accuracy = tube.outside_mm, Accuracy(form.tape, form.protractor)
    pieces = tuple(
        TestPiece(str(n), p.cut, p.mark, p.angle, p.start_to_back, p.finish_to_back, p.pull)
        for n, p in enumerate(form.pieces, 1)
    )
    faults: list[Fault] = []
    for n, piece in enumerate(pieces):
        try:
            refuse_impossible(piece, outside, accuracy)
        except ContradictionError as error:
            faults.append(Fault(said_of(error), spot.at(("pieces", n)).place))
    if faults:
        raise JobError(fspath(path), faults)
    least = None if form.allow_tight else published_least(tube)[0]
    return Pieces(outside, pieces, form.tape, form.protractor, form.hold, form.guide, form.allow_tight, least)


def per_degree_of(former: Mapping[str, Any]) -> float:
    """Return the springback for each degree that a former's entry has, 0 if it has none."""
    value = (former.get("springback") or {}).get("per_degree", 0.0)
    return float(value) if isinstance(value, int | float) else 0.0


def former_values(result: Calibration, pieces: Pieces, held: float) -> dict[str, Any]:
    """Return what a calibration says of a former's entry in a file of formers; what it does not say is left out.

    Args:
        result: the calibration.
        pieces: the test pieces, with what was measured on the bender itself.
        held: the springback for each degree that was taken for true, see `per_degree_of`.
    """
    values: dict[str, Any] = {"outside": pieces.outside_mm}
    if result.radius_mm and result.radius_mm.settled:
        values["radius"] = round(result.radius_mm.value, 2)
        values["radius_within"] = ceil(result.radius_mm.uncertainty * 100.0) / 100.0
    if result.mark_mm and result.mark_mm.settled:
        values["mark"] = round(result.mark_mm.value, 2)
        values["mark_within"] = ceil(result.mark_mm.uncertainty * 100.0) / 100.0
    law = [figure for figure in (result.fixed_deg, result.per_degree) if figure]
    # One without the other is no law: it was fitted beside the value that the other had.
    if law and all(figure.settled for figure in law):
        rate = held if result.per_degree is None else round(result.per_degree.value, 5)
        values["springback"] = {"fixed": round(law[0].value, 3), "per_degree": rate}
        if result.springback_covariance is not None:
            (a, b), (_, d) = result.springback_covariance
            values["springback"] |= {
                "fixed_within": ceil(law[0].uncertainty * 1000.0) / 1000.0,
                "per_degree_within": ceil(law[1].uncertainty * 100_000.0) / 100_000.0,
                "correlation": max(-0.9999, min(0.9999, round(b / sqrt(a * d), 4))),
            }
    if pieces.hold_mm is not None:
        values["hold"] = pieces.hold_mm
    if pieces.guide_mm is not None:
        values["guide"] = pieces.guide_mm
    if pieces.allow_tight:
        values["allow_tight"] = True
    return values
