"""Measured test pieces, as written in a YAML file, and the former file that a calibration writes."""

from collections.abc import Mapping
from dataclasses import dataclass
from os import PathLike, fspath
from typing import Annotated, Any

from pydantic import AfterValidator, Field, ValidationError

from pipemodel.bending.calibrate import Calibration, ContradictionError, TestPiece, calibrate
from pipemodel.job.expressions import nearest
from pipemodel.job.form import Form
from pipemodel.job.forms import TubeChoice, TubeForm
from pipemodel.job.model import Fault, JobError
from pipemodel.job.quantities import Angle, NonNegativeLength, PositiveAngle, PositiveLength, shown
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import read_tree
from pipemodel.trade.tubes import find_tube

LEAST_DEVIATION = 0.001
"""No reading by hand is as fine as this, in mm or degrees; far finer ones leave no figures to reckon with."""


def _readable(value: float) -> float:
    if value < LEAST_DEVIATION:
        raise ValueError(f"no reading by hand is as fine as {value:g}; give at least {LEAST_DEVIATION:g}, mostly 0.5")
    return value


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

    tube: TubeChoice
    tape: Annotated[PositiveLength, AfterValidator(_readable)] = Field(
        default=0.5, description="How well a length is read: standard deviation"
    )
    protractor: Annotated[PositiveAngle, AfterValidator(_readable)] = Field(
        default=0.5, description="How well an angle is read: standard deviation"
    )
    pieces: list[PieceForm] = Field(min_length=1)


@dataclass(frozen=True)
class Pieces:
    """The test pieces of one former."""

    outside_mm: float
    pieces: tuple[TestPiece, ...]
    tape_mm: float
    protractor_deg: float


def read_pieces(path: str | PathLike[str]) -> Pieces:
    """Read a file of test pieces.

    Raises:
        JobError: with everything that is wrong with it, each at its line and column.
    """
    tree = read_tree(read_text(path))
    faults = list(tree.faults)
    if faults or not isinstance(tree.values, dict):
        raise JobError(fspath(path), faults or [Fault("this is a group of keys: tube, and pieces with their readings")])
    try:
        form = PiecesForm.model_validate(tree.values)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            here = tree.spot.at(tuple(detail["loc"]))
            bad_key = detail["type"] in ("extra_forbidden", "missing")
            faults.append(Fault(_message(detail), here.key if bad_key else here.place))
        raise JobError(fspath(path), faults) from None
    outside = _outside(form.tube)
    if isinstance(outside, str):
        raise JobError(fspath(path), [Fault(outside, tree.spot.at(("tube",)).place)])
    pieces = tuple(
        TestPiece(str(n), p.cut, p.mark, p.angle, p.start_to_back, p.finish_to_back, p.pull)
        for n, p in enumerate(form.pieces, 1)
    )
    for n, piece in enumerate(pieces):
        try:
            calibrate([piece], outside, form.tape, form.protractor)
        except ContradictionError as error:
            faults.append(Fault(str(error), tree.spot.at(("pieces", n)).place))
    if faults:
        raise JobError(fspath(path), faults)
    return Pieces(outside, pieces, form.tape, form.protractor)


def _outside(choice: TubeForm | float | str) -> float | str:
    if isinstance(choice, TubeForm):
        return choice.outside
    try:
        return find_tube(choice).outside_mm
    except LookupError as error:
        return str(error.args[0])


_KEYS = ("tube", "tape", "protractor", "pieces")
_PIECE_KEYS = ("cut", "mark", "angle", "start to back", "finish to back", "pull")


def _message(detail: Mapping[str, Any]) -> str:
    loc, kind = detail["loc"], detail["type"]
    name = shown(str(loc[-1])) if loc else "the file"
    known = list(_PIECE_KEYS if len(loc) > 1 and loc[0] == "pieces" else _KEYS)
    if kind == "extra_forbidden":
        return f"unknown key {name!r}; {nearest(str(loc[-1]), known, 'the keys here are ' + ', '.join(known))}"
    if kind == "missing":
        return f"{name!r} is missing; the keys here are {', '.join(known)}"
    if kind == "value_error":
        return str(detail["ctx"]["error"])
    if kind == "too_short":
        return f"{name} is empty; give at least one test piece"
    return f"{name}: {detail['msg'].replace('Input should be', 'this should be')}"


def per_degree_of(former: Mapping[str, Any]) -> float:
    """Return the springback for each degree that a former's entry has, 0 if it has none."""
    value = (former.get("springback") or {}).get("per_degree", 0.0)
    return float(value) if isinstance(value, int | float) else 0.0


def former_values(result: Calibration, outside_mm: float, before: Mapping[str, Any]) -> dict[str, Any]:
    """Return a former's entry with what was calibrated put in place of what it had; the rest stays.

    Args:
        result: the calibration.
        outside_mm: the tube its groove fits.
        before: the entry as it was, {} for a new one.
    """
    values: dict[str, Any] = {**before, "outside": outside_mm}
    if result.radius_mm and result.radius_mm.settled:
        values["radius"] = round(result.radius_mm.value, 2)
    if result.mark_mm and result.mark_mm.settled:
        values["mark"] = round(result.mark_mm.value, 2)
    law = [figure for figure in (result.fixed_deg, result.per_degree) if figure]
    # One without the other is no law: it was fitted beside the value that the other had.
    if law and all(figure.settled for figure in law):
        springback = dict(before.get("springback") or {})
        springback["fixed"] = round(law[0].value, 3)
        if result.per_degree:
            springback["per_degree"] = round(result.per_degree.value, 5)
        values["springback"] = springback
    return values
