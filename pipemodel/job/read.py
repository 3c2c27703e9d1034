"""A job file to a job, or to everything that is wrong with it.

The steps, in order: the file's text; its tree of values with their places; the parameters and expressions; the
form; the job. Each step goes on past what is wrong as far as it can, so that all faults come in one go.
"""

import gc
import pathlib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from os import PathLike, fspath
from typing import Any

from pydantic import ValidationError

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.build import build_job
from pipemodel.job.faults import APART, Faults, places_with
from pipemodel.job.forms import JobForm
from pipemodel.job.messages import faults_of
from pipemodel.job.model import Fault, Job, JobError
from pipemodel.job.own_file import OwnFiles
from pipemodel.job.parameters import resolve
from pipemodel.job.placed_points import put_placed
from pipemodel.job.room_files import Reader
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlPath, YamlSpot, YamlTree, read_tree
from pipemodel.messages.values import message


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
    return job_of_text(read_text(path), path, parameters, allow_outside)


def job_of_text(
    text: str,
    path: str | PathLike[str],
    parameters: Mapping[str, float | str] | None = None,
    allow_outside: bool = False,
    places: Mapping[str, Vec3] | None = None,
) -> Job:
    """Read a job from its text, as if it stood in the file at `path`; see `read_job`.

    Args:
        text: the job.
        path: its file.
        parameters: see `read_job`.
        allow_outside: see `read_job`.
        places: where the measured points are, in place of where their readings put them.

    Raises:
        JobError: with every fault in the text, each at its line and column.
    """
    with _not_collecting():
        job = job_of_tree(read_tree(text), path, parameters, allow_outside, places)
    if job.measured is None or places is not None:
        return job
    return replace(job, with_points=partial(job_of_text, text, path, parameters, allow_outside))


@contextmanager
def _not_collecting() -> Iterator[None]:
    """Let the garbage collector wait: of a large room it looks through all that was read, again and again."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def job_of_tree(
    tree: YamlTree,
    path: str | PathLike[str],
    parameters: Mapping[str, float | str] | None = None,
    allow_outside: bool = False,
    places: Mapping[str, Vec3] | None = None,
) -> Job:
    """Read a job from the tree of its file, whose expressions are filled in on the way; see `job_of_text`.

    Raises:
        JobError: with every fault in it, each at its line and column.
    """
    if not tree.complete:
        raise JobError(fspath(path), tree.faults)
    if not isinstance(tree.values, dict):
        raise JobError(fspath(path), [*tree.faults, _no_job(tree)])
    values, faults, spoilt, measured, unfound = resolve(tree, parameters or {}, places)
    file = pathlib.Path(path)
    reader = Reader(OwnFiles(file.parent, allow_outside))
    misplaced, unplaced = put_placed(tree.values, tree.spot, lambda form: reader.frames(form, file, (file.resolve(),)))
    faults += misplaced
    form, misfits, broken = fill_form(tree.values, tree.spot, (*unfound, *unplaced))
    # Of a value that could not be read at all, and of what hangs on it, nothing more is said.
    spoilt |= {fault.place for fault in tree.faults}
    spoilt |= places_with(tree.spot, (*unfound, *unplaced))
    report = Faults(tree.spot, misfits)
    job = build_job(form, report, file, values, allow_outside, broken, measured)
    faults = [*tree.faults, *faults, *(fault for fault in report.found if fault.place not in spoilt)]
    if faults:
        raise JobError(fspath(path), faults, sound=job)
    return job


def fill_form(
    values: dict[str, Any], spot: YamlSpot, unfound: Iterable[YamlPath] = ()
) -> tuple[JobForm, list[Fault], frozenset[YamlPath]]:
    """Fill the form of a job with the values of its file.

    Args:
        values: the values.
        spot: where they stand.
        unfound: paths of points whose place is not known; what hangs on them is left out, too.

    Returns:
        The form, without whatever does not fit; the faults; and the paths of what was left out.
    """
    faults, wrong = list[Fault](), list(unfound)
    try:
        form = JobForm.model_validate(values)
        if not wrong:
            return form, [], frozenset()
    except ValidationError as error:
        faults = faults_of(error, (), spot)
        wrong += (detail["loc"] for detail in error.errors(include_url=False, include_context=False))
    misfits = frozenset(path[: APART.get(str(path[0]), 1)] for path in wrong)
    # What is left has fitted once, and fits again.
    return JobForm.model_validate({"job": "job", "runs": {}, **_without(values, misfits)}), faults, misfits


def _without(values: dict[str, Any], paths: Iterable[YamlPath]) -> dict[str, Any]:
    """Return a copy of nested groups without what stands at the paths."""
    here = {path[0] for path in paths if len(path) == 1}
    deeper: dict[str | int, list[YamlPath]] = {}
    for path in paths:
        if path[0] not in here:
            deeper.setdefault(path[0], []).append(path[1:])
    return {
        key: _without(value, deeper[key]) if key in deeper else value
        for key, value in values.items()
        if key not in here
    }


def _no_job(tree: YamlTree) -> Fault:
    if tree.values is None:
        return Fault(message("fault.empty file"))
    return Fault(message("fault.a job"), tree.spot.place)
