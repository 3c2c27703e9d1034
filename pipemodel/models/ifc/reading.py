"""Reading an IFC model, in a child process: whatever the file does to its reader, only the reader ends.

A request is JSON: the file, the classes and storeys asked for. An answer is a line of JSON (about the model, its
elements, what was left out), then the corners and faces of all surfaces as numpy arrays; or a line with what is wrong.
"""

import json
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.models.ifc.about import about, moved_by
from pipemodel.models.ifc.elements import (
    WrongChoiceError,
    body_of,
    chosen,
    has_parts,
    openings_of,
    storey_of,
    systems_of,
    whole_is_opened,
)
from pipemodel.models.ifc.kernel import by_kernel
from pipemodel.models.ifc.mending import mended
from pipemodel.models.ifc.placing import HardError, OddError, Placements
from pipemodel.models.ifc.plain import Triangles, shapes_of, things_of
from pipemodel.models.ifc.solids import Items, Solid

FARTHEST_MM = 1e9
"""Nothing in a room lies farther out than this."""
MOST_PARTS = 12
"""An element of more exact shapes than this becomes one surface."""
_END = b"END-ISO-10303-21;"


class ModelError(ValueError):
    """A model that cannot be read, or does not have what is asked for; the message says why."""


def answer(request: bytes) -> bytes:
    """Read the model of a request; never raises for what is wrong with the file."""
    asked = json.loads(request)
    try:
        return _Reading(asked).answer()
    except (ModelError, WrongChoiceError) as error:
        return json.dumps({"fault": str(error)}).encode()


def _opened(path: Path) -> Any:
    import ifcopenshell

    with path.open("rb") as file:
        head = file.read(4096)
        file.seek(max(0, path.stat().st_size - 4096))
        tail = file.read()
    if b"ISO-10303-21" not in head:
        raise ModelError("this is no IFC file as text (ISO 10303-21); export the model as .ifc")
    if _END not in tail.replace(b"\n", b"").replace(b"\r", b""):
        raise ModelError("the file is cut short: its end is missing; export it again")
    try:
        return ifcopenshell.open(str(path))
    except (MemoryError, ImportError):
        raise
    except Exception as error:  # whatever its parser makes of a broken file
        raise ModelError(f"the file is damaged: {error}") from None


class _Reading:
    """One reading of one model."""

    def __init__(self, asked: dict[str, Any]) -> None:
        self.model = _opened(Path(asked["path"]))
        self.elements = chosen(self.model, asked["classes"], asked["storeys"])
        self.placements, self.items = Placements(), Items()
        self.about = about(self.model)
        self.unit_mm = float(self.about["unit_mm"])
        self.moved = moved_by(self.model, self.placements, self.unit_mm)
        self.surfaces: list[tuple[Floats, Ints]] = []

    def answer(self) -> bytes:
        found, left_out = [], []
        for element in self.elements:
            said = {"guid": str(element.GlobalId), "class": element.is_a(), "name": str(element.Name or "")}
            try:
                parts = self._parts(element)
            except OddError as error:
                left_out.append({**said, "why": str(error)})
                continue
            except (MemoryError, ImportError):
                raise
            except Exception as error:  # a reference to nothing, a value of a wrong kind, a reader's own limits
                left_out.append({**said, "why": f"it cannot be read ({type(error).__name__})"})
                continue
            if parts is not None:
                found.append({**said, "storey": storey_of(element), "systems": systems_of(element), "parts": parts})
        out = BytesIO()
        head = {**self.about, "moved_mm": self.moved.tolist(), "elements": found, "left_out": left_out}
        out.write(json.dumps(head).encode() + b"\n")
        for k, kind in ((0, np.float64), (1, np.int64)):
            arrays = [np.asarray(surface[k], dtype=kind) for surface in self.surfaces]
            np.save(out, np.concatenate(arrays) if arrays else np.zeros((0, 3), dtype=kind), allow_pickle=False)
        return out.getvalue()

    def _parts(self, element: Any) -> list[dict[str, Any]] | None:
        """Return the shapes of an element, None where it is only made of other elements."""
        body = body_of(element)
        if body is None:
            if has_parts(element):
                return None
            raise OddError("it has no body")
        try:
            shapes = shapes_of(self._solids(element, body), list(self._openings(element)), self.unit_mm)
            if not shapes:
                raise OddError("its body is empty")
            if len(shapes) <= MOST_PARTS and not any(isinstance(shape, Triangles) for shape in shapes):
                return [part for shape in shapes for part in self._exact(shape)]
            if all(isinstance(shape, Triangles) for shape in shapes):
                return [self._surface(shapes)]
        except (HardError, ValueError, ArithmeticError, np.linalg.LinAlgError):
            pass  # the library's own kernel takes what is not read here
        return [self._surface([by_kernel(self.model, element)])]

    def _solids(self, product: Any, body: Any) -> list[Solid]:
        matrix = self.placements.of(product.ObjectPlacement)
        return [solid.placed(matrix) for solid in self.items.of(body.Items)]

    def _openings(self, element: Any) -> Iterator[Solid]:
        if whole_is_opened(element):
            raise HardError("openings of the whole")
        for opening in openings_of(element):
            body = body_of(opening)
            if body is not None:
                yield from self._solids(opening, body)

    def _exact(self, shape: Any) -> list[dict[str, Any]]:
        found = things_of(shape, self.moved)
        for plain in found:
            _see_near(plain.block)
        return [{"thing": plain.thing, "block": plain.block.tolist(), "hollow": plain.hollow} for plain in found]

    def _surface(self, pieces: list[Triangles]) -> dict[str, Any]:
        pieces = [piece for piece in pieces if len(piece.faces)]
        if not pieces or not all(np.all(np.isfinite(piece.vertices)) for piece in pieces):
            raise OddError("its body is empty")
        first = np.cumsum([0, *(len(piece.vertices) for piece in pieces[:-1])])
        vertices = np.concatenate([piece.vertices for piece in pieces]) - self.moved
        mends = [mended(piece.vertices, piece.faces) for piece in pieces]
        faces = np.concatenate([found + n for (found, _), n in zip(mends, first, strict=True)])
        block = np.array([vertices.min(axis=0), vertices.max(axis=0)])
        _see_near(block)
        self.surfaces.append((vertices, faces))
        closed = all(closes for _, closes in mends)
        return {"vertices": len(vertices), "faces": len(faces), "block": block.tolist(), "closed": closed}


def _see_near(block: Floats) -> None:
    if not np.abs(block).max() <= FARTHEST_MM:
        raise OddError(f"it reaches more than {FARTHEST_MM / 1e6:g} km out")
