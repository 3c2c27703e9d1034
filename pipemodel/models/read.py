"""Reading a building model in a process of its own, within limits."""

import json
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.job.model import Fault, JobError
from pipemodel.job.model_place import OnMap
from pipemodel.job.text import why_unread as why_unopened
from pipemodel.messages.values import Message, Number, bare, from_data, message
from pipemodel.models.missing import ModelsMissingError
from pipemodel.models.parts_reading import MESHES, MOST_BYTES, STEPS
from pipemodel.models.values import Element, ElementPart, Model
from pipemodel.processes.child import Child, ChildError, ChildFailedError, ChildLimits
from pipemodel.solids.child_words import why_unread
from pipemodel.solids.missing import LibraryMissingError

LIMITS = ChildLimits(seconds=300.0, memory_bytes=6_000_000_000)
"""What reading one model may take."""
MOST_TRIANGLES = 2_000_000
_IFC = "pipemodel.models.ifc.reading:answer"
_PARTS = "pipemodel.models.parts_reading:answer"
ENDINGS = ("ifc", *STEPS, *MESHES)
"""What a model's file may end in."""


def read_model(
    path: Path, classes: Sequence[str] = (), storeys: Sequence[str] = (), unit_mm: float | None = None
) -> Model:
    """Read the elements of a building model, or the parts of another.

    Args:
        path: the file.
        unit_mm: what one unit of a file of triangles is; as the file says, or mm, if left out.
        classes: classes of elements, such as IfcWall, with all below them; all elements if left out.
        storeys: names of storeys; all if left out.

    Raises:
        JobError: if it cannot be read, or lacks a class or storey asked for.
        ModelsMissingError: if the library that reads it is not installed.
    """
    _see(path)
    request: dict[str, Any] = {"path": str(path.resolve())}
    if path.suffix.lower() == ".ifc":
        request |= {"classes": list(classes), "storeys": list(storeys)}
    elif classes or storeys:
        raise refused(path, message("model.only ifc"))
    else:
        request |= {"unit_mm": unit_mm, "most_triangles": MOST_TRIANGLES}
    try:
        with Child(_IFC if "classes" in request else _PARTS, LIMITS) as child:
            answer = child.ask(json.dumps(request).encode())
    except ChildFailedError as error:
        if error.kind in ("ImportError", "ModuleNotFoundError") and "classes" in request:
            raise ModelsMissingError from None
        if error.kind == "LibraryMissingError":
            raise LibraryMissingError("step", error.message) from None
        raise refused(path, why_unread(error, LIMITS)) from None
    except ChildError as error:
        raise refused(path, why_unread(error, LIMITS)) from None
    return _model_of(answer, path)


def refused(path: Path, said: Message) -> JobError:
    """Return the error of a model that cannot be used."""
    return JobError(str(path), [Fault(said)])


def _see(path: Path) -> None:
    try:
        about = path.stat()
        if path.is_dir():
            raise refused(path, message("model.folder"))
        if not path.is_file():
            raise refused(path, message("model.device"))
    except FileNotFoundError:
        raise refused(path, message("model.no file")) from None
    except (OSError, ValueError) as error:
        raise refused(path, message("fault.cannot be read", reason=bare(why_unopened(error)))) from None
    if path.suffix.lower().lstrip(".") not in ENDINGS:
        raise refused(path, message("model.ending", endings=bare(", .".join(ENDINGS))))
    if about.st_size > MOST_BYTES:
        mb, most = Number(about.st_size / 1e6, ".0f"), Number(MOST_BYTES / 1e6, ".0f")
        raise refused(path, message("model.large", mb=mb, most=most))
    if about.st_size == 0:
        raise refused(path, message("model.empty"))


def _model_of(answer: bytes, path: Path) -> Model:
    stream = BytesIO(answer)
    head = json.loads(stream.readline())
    if "fault" in head:
        raise refused(path, from_data(head["fault"]))
    vertices, faces = (np.load(stream, allow_pickle=False) for _ in range(2))
    cutter = _Cutter(vertices, faces)
    elements = tuple(
        Element(
            one["guid"],
            one["class"],
            one["name"],
            one["storey"],
            tuple(one["systems"]),
            tuple(cutter.part(part) for part in one["parts"]),
            is_=one.get("is", ""),
        )
        for one in head["elements"]
    )
    left_out = tuple(
        Element(one["guid"], one["class"], one["name"], why=from_data(one["why"])) for one in head["left_out"]
    )
    x, y, z = head["moved_mm"]
    even = head["map"] is None or head["map"].pop("even")
    on_map = None if head["map"] is None else _on_map(head["map"])
    levels = tuple((name, z_mm) for name, z_mm in head.get("levels", []))
    return Model(
        head["schema"],
        elements,
        left_out,
        head["unit_given"],
        head["true_north_deg"],
        on_map,
        (x, y, z),
        levels=levels,
        map_even=even,
        map_left=head.get("map_left", False),
    )


def _on_map(said: dict[str, Any]) -> OnMap:
    x, y = said.pop("x_axis")
    return OnMap(**said, x_axis=(x, y))


class _Cutter:
    """Cuts the corners and faces of an answer into those of each surface, in their order."""

    def __init__(self, vertices: Floats, faces: Ints) -> None:
        self.vertices, self.faces = vertices, faces
        self.vertex = self.face = 0

    def part(self, said: dict[str, Any]) -> ElementPart:
        block = np.array(said["block"], dtype=np.float64)
        if "thing" in said:
            return ElementPart(block, said["thing"], hollow=bool(said["hollow"]))
        vertices = self.vertices[self.vertex : self.vertex + said["vertices"]]
        faces = self.faces[self.face : self.face + said["faces"]]
        self.vertex += said["vertices"]
        self.face += said["faces"]
        return ElementPart(block, surface=(vertices, faces), closed=bool(said["closed"]))
