"""A file of readings to its filled form, or to everything that is wrong with it."""

from os import PathLike, fspath
from typing import TypeVar

from pydantic import ValidationError

from pipemodel.job.form import Form
from pipemodel.job.messages import faults_of_form
from pipemodel.job.model import Fault, JobError
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlSpot, YamlTree, read_tree
from pipemodel.messages.values import Message, Number, message

LEAST_DEVIATION = 0.001
"""No reading by hand is as fine as this, in mm or degrees; far finer ones leave no figures to reckon with."""

Filled = TypeVar("Filled", bound=Form)


def readable(value: float) -> float:
    """Return how well something is read, as a standard deviation.

    Raises:
        ValueError: if nothing is read as well by hand.
    """
    if value < LEAST_DEVIATION:
        raise ValueError(message("piece.fine", value=Number(value), least=Number(LEAST_DEVIATION)))
    return value


def filled(path: str | PathLike[str], form: type[Filled], what: Message) -> tuple[Filled, YamlSpot]:
    """Return the form of a file, filled, and where everything in it stands.

    Args:
        path: the file.
        form: its form; a list in it has forms of one kind.
        what: what the file should be, for one that is something else.

    Raises:
        JobError: with everything that is wrong with the file, each at its line and column.
    """
    return filled_of(read_tree(read_text(path)), fspath(path), form, what)


def filled_of(tree: YamlTree, path: str, form: type[Filled], what: Message) -> tuple[Filled, YamlSpot]:
    """Return the form of a file's tree, filled; see `filled`."""
    if tree.faults or not isinstance(tree.values, dict):
        raise JobError(path, tree.faults or [Fault(what)])
    try:
        return form.model_validate(tree.values), tree.spot
    except ValidationError as error:
        raise JobError(path, faults_of_form(error, form, message("fault.this file"), tree.spot)) from None
