"""A file of readings to its filled form, or to everything that is wrong with it."""

from collections.abc import Mapping
from os import PathLike, fspath
from typing import Any, TypeVar

from pydantic import ValidationError

from pipemodel.job.expressions import nearest
from pipemodel.job.form import Form
from pipemodel.job.messages import keys_beside
from pipemodel.job.misfits import misfit
from pipemodel.job.model import Fault, JobError
from pipemodel.job.quantities import shown
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlSpot, YamlTree, read_tree
from pipemodel.messages.values import Message, Name

LEAST_DEVIATION = 0.001
"""No reading by hand is as fine as this, in mm or degrees; far finer ones leave no figures to reckon with."""

Filled = TypeVar("Filled", bound=Form)


def readable(value: float) -> float:
    """Return how well something is read, as a standard deviation.

    Raises:
        ValueError: if nothing is read as well by hand.
    """
    if value < LEAST_DEVIATION:
        raise ValueError(f"no reading by hand is as fine as {value:g}; give at least {LEAST_DEVIATION:g}, mostly 0.5")
    return value


def filled(path: str | PathLike[str], form: type[Filled], what: str) -> tuple[Filled, YamlSpot]:
    """Return the form of a file, filled, and where everything in it stands.

    Args:
        path: the file.
        form: its form; a list in it has forms of one kind.
        what: what the file should be, for one that is something else.

    Raises:
        JobError: with everything that is wrong with the file, each at its line and column.
    """
    return filled_of(read_tree(read_text(path)), fspath(path), form, what)


def filled_of(tree: YamlTree, path: str, form: type[Filled], what: str) -> tuple[Filled, YamlSpot]:
    """Return the form of a file's tree, filled; see `filled`."""
    faults = list(tree.faults)
    if faults or not isinstance(tree.values, dict):
        raise JobError(path, faults or [Fault(what)])
    try:
        return form.model_validate(tree.values), tree.spot
    except ValidationError as error:
        for detail in error.errors():
            here = tree.spot.at(tuple(detail["loc"]))
            bad_key = detail["type"] in ("extra_forbidden", "missing")
            faults.append(Fault(_wrong(detail, form), here.key if bad_key else here.place))
        raise JobError(path, faults) from None


def _wrong(detail: Mapping[str, Any], form: type[Form]) -> str | Message:
    loc, kind = detail["loc"], detail["type"]
    name = shown(str(loc[-1])) if loc else "the file"
    known = list(keys_beside(form, loc))
    if kind == "extra_forbidden":
        return f"unknown key {name!r}; {nearest(str(loc[-1]), known, 'the keys here are ' + ', '.join(known))}"
    if kind == "missing":
        return f"{name!r} is missing; the keys here are {', '.join(known)}"
    if kind == "too_short":
        return f"{name} is empty; give at least one"
    return misfit(detail, Name(name, quoted=False))
