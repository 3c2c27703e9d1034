"""Which elements of a model are near the runs of a job."""

from pathlib import Path
from typing import Any

import numpy as np
from pydantic import ValidationError

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.placing import Placing
from pipemodel.job.model import Job
from pipemodel.job.read import job_of_tree
from pipemodel.job.room_file_forms import FILE_KEY, PlacedFileForm
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import read_tree
from pipemodel.models.values import Element


class Nearby:
    """The runs of a job, and where the room file to be written stands in it.

    Args:
        path: the job file; it may name the room file already, whether that is there or not.
        room: the room file that is to be written.
        within_mm: how far off what is near may be, from the outside of the tube or its insulation.

    Raises:
        JobError: with everything that is wrong with the job.
    """

    def __init__(self, path: Path, room: Path, within_mm: float) -> None:
        tree = read_tree(read_text(path))
        own = _entries_of(tree.values, path, room)
        self.job = job_of_tree(tree, path)
        self.placings = [_placing(entry) for entry in own] or [Placing()]
        self.within_mm = within_mm
        self.low, self.high = _legs(self.job)

    @property
    def asked(self) -> str:
        """All that decides what is near, as text."""
        return repr((self.low.tolist(), self.high.tolist(), self.placings, self.within_mm))

    def holds(self, element: Element) -> bool:
        """Return whether any part of an element is near a run, by the blocks that hold them."""
        return any(self._block_is_near(part.block, placing) for part in element.parts for placing in self.placings)

    def _block_is_near(self, block: Floats, placing: Placing) -> bool:
        corners = [placing.point((x, y, z)) for x in block[:, 0] for y in block[:, 1] for z in block[:, 2]]
        low, high = np.min(corners, axis=0), np.max(corners, axis=0)
        apart = np.maximum(np.maximum(self.low - high, low - self.high), 0.0)
        return bool(np.any(np.linalg.norm(apart, axis=1) <= self.within_mm))


def _entries_of(values: Any, path: Path, room: Path) -> list[Any]:
    """Take out of a job's values, and return, the places in which it names a room file."""
    section = values.get("room") if isinstance(values, dict) else None
    named = section.get(FILE_KEY) if isinstance(section, dict) else None
    if named is None or not isinstance(section, dict):
        return []
    listed = named if isinstance(named, list) else [named]
    target = room.resolve()

    def is_it(entry: Any) -> bool:
        name = entry.get(FILE_KEY) if isinstance(entry, dict) else entry
        try:
            return isinstance(name, str) and (path.parent / name).resolve() == target
        except (OSError, ValueError, RuntimeError):
            return False

    own = [entry for entry in listed if is_it(entry)]
    section[FILE_KEY] = [entry for entry in listed if not is_it(entry)]
    return own


def _placing(entry: Any) -> Placing:
    try:
        form = PlacedFileForm.model_validate(entry if isinstance(entry, dict) else {FILE_KEY: entry})
    except ValidationError:
        return Placing()
    return Placing(form.at, form.turned)


def _legs(job: Job) -> tuple[Floats, Floats]:
    """Return the blocks that hold the legs of all runs, with their tube and insulation: low and high corners."""
    low, high = [], []
    for run in job.runs:
        corners = np.array(run.route.corners, dtype=np.float64)
        reach = run.tube.outside_mm / 2.0 + run.insulation_mm
        low.append(np.minimum(corners[:-1], corners[1:]) - reach)
        high.append(np.maximum(corners[:-1], corners[1:]) + reach)
    return np.concatenate(low), np.concatenate(high)
