"""A job file to a job, or to everything that is wrong with it.

The steps, in order: the file's text; its tree of values with their places; the parameters and expressions; the
form; the job. Each step goes on past what is wrong as far as it can, so that all faults come in one go.
"""

from collections.abc import Mapping
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from pipemodel.job.build import build_job
from pipemodel.job.faults import Faults
from pipemodel.job.forms import JobForm
from pipemodel.job.messages import faults_of
from pipemodel.job.model import Fault, Job, JobError
from pipemodel.job.parameters import resolve
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import Spot, Tree, read_tree

_BY_NAME = ("room", "runs")
"""Sections made of named things: one that does not fit leaves the others to be looked at."""


def read_job(
    path: str | PathLike[str],
    parameters: Mapping[str, float | str] | None = None,
    allow_outside: bool = False,
) -> Job:
    """Read a job file.

    Args:
        path: the file.
        parameters: values that win over the file's own parameters; numbers (mm) or text with a unit.
        allow_outside: whether mesh files may lie outside the job's folder.

    Raises:
        JobError: with every fault in the file, each at its line and column.
    """
    tree = read_tree(read_text(path))
    if not tree.complete:
        raise JobError(fspath(path), tree.faults)
    if not isinstance(tree.values, dict):
        raise JobError(fspath(path), [*tree.faults, _no_job(tree)])
    values, faults, spoilt = resolve(tree, parameters or {})
    form, misfits, broken = fill_form(tree.values, tree.spot)
    # Of a value that could not be read at all, nothing more is said.
    spoilt |= {fault.place for fault in tree.faults}
    report = Faults(tree.spot, misfits)
    job = build_job(form, report, Path(path), values, allow_outside, broken)
    faults = [*tree.faults, *faults, *(fault for fault in report.found if fault.place not in spoilt)]
    if faults:
        raise JobError(fspath(path), faults)
    return job


def fill_form(values: dict[str, Any], spot: Spot) -> tuple[JobForm, list[Fault], frozenset[str]]:
    """Fill the form of a job with the values of its file.

    Returns:
        The form, without whatever does not fit; the faults; and the sections left out because of them.
    """
    try:
        return JobForm.model_validate(values), [], frozenset()
    except ValidationError as error:
        faults = faults_of(error, JobForm, spot)
        rest = dict(values)
        broken: set[str] = set()
        for detail in error.errors(include_url=False, include_context=False, include_input=False):
            section, *inner = detail["loc"]
            if section in _BY_NAME and inner:
                rest[section] = {name: item for name, item in rest[section].items() if name != inner[0]}
                broken.add(str(section))
            else:
                rest.pop(str(section), None)
                broken.add(str(section))
    # What is left has fitted once, and fits again.
    return JobForm.model_validate({"job": "job", "runs": {}, **rest}), faults, frozenset(broken)


def _no_job(tree: Tree) -> Fault:
    if tree.values is None:
        return Fault("the file is empty; a job has job, tube, former, room and runs, each with what belongs to it")
    return Fault("a job is a group of keys: job, tube, former, room and runs", tree.spot.place)
