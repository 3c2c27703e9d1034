"""Reading an IFC model, in a child process: whatever the file does to its reader, only the reader ends.

A request is JSON: the file, the classes and storeys asked for. An answer is a line of JSON (about the model, its
elements, what was left out), then the corners and faces of all surfaces as numpy arrays; or a line with what is wrong.
"""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.messages.values import as_data, bare, message
from pipemodel.models.gathering import Gathering, ModelError, fault
from pipemodel.models.ifc.about import about, moved_by
from pipemodel.models.ifc.elements import (
    WrongChoiceError,
    body_of,
    chosen,
    has_parts,
    openings_through,
    storey_of,
    systems_of,
)
from pipemodel.models.ifc.kernel import by_kernel
from pipemodel.models.ifc.kinds import kind_of
from pipemodel.models.ifc.levels import storey_levels
from pipemodel.models.ifc.placing import HardError, OddError, Placements
from pipemodel.models.ifc.plain import shapes_of
from pipemodel.models.ifc.solids import Items, Solid, Surface, corner_of
from pipemodel.models.ifc.sound import see_sound

MOST_PARTS = 12
LOOKED_AT = 30
"""An element of more exact shapes than this becomes one surface."""
_END = b"END-ISO-10303-21;"


def answer(request: bytes) -> bytes:
    """Read the model of a request; never raises for what is wrong with the file."""
    asked = json.loads(request)
    try:
        return _Reading(asked).answer()
    except (ModelError, WrongChoiceError) as error:
        return fault(error)


def _opened(path: Path) -> Any:
    import ifcopenshell

    with path.open("rb") as file:
        head = file.read(4096)
        file.seek(max(0, path.stat().st_size - 4096))
        tail = file.read()
    if b"ISO-10303-21" not in head:
        raise ModelError(message("model.no ifc"))
    if _END not in tail.replace(b"\n", b"").replace(b"\r", b""):
        raise ModelError(message("model.cut short"))
    try:
        return ifcopenshell.open(str(path))
    except (MemoryError, ImportError):
        raise
    except Exception:  # whatever its parser makes of a broken file
        raise ModelError(message("model.damaged")) from None


class _Reading:
    """One reading of one model."""

    def __init__(self, asked: dict[str, Any]) -> None:
        self.model = _opened(Path(asked["path"]))
        self.elements = chosen(self.model, asked["classes"], asked["storeys"])
        self.about = about(self.model)
        self.placements, self.items = Placements(), Items(float(self.about["radians_per_unit"]))
        self.unit_mm = float(self.about["unit_mm"])
        moved = moved_by(self.model, self.placements, self.unit_mm, self._corners())
        self.levels = storey_levels(self.model, self.placements, self.unit_mm, float(moved[2]))
        self.gathered = Gathering(moved)

    def _corners(self) -> Floats:
        """Return a corner of each of the first bodies that can be read here, (n, 3) mm."""
        found = []
        for element in self.elements[:LOOKED_AT]:
            try:
                body = body_of(element)
                solids = self._solids(element, () if body is None else body.Items)
            except (MemoryError, ImportError):
                raise
            except Exception:  # whatever is wrong with it is said when it is read
                continue
            found += [corner for solid in solids[:1] if np.all(np.isfinite(corner := corner_of(solid)))]
        return np.array(found, dtype=np.float64).reshape(-1, 3) * self.unit_mm

    def answer(self) -> bytes:
        found, left_out = [], []
        for element in self.elements:
            said = {"guid": str(element.GlobalId), "class": element.is_a(), "name": str(element.Name or "")}
            try:
                parts = self._parts(element)
            except OddError as error:
                left_out.append({**said, "why": as_data(error.said)})
                continue
            except (MemoryError, ImportError):
                raise
            except Exception as error:  # a reference to nothing, a value of a wrong kind, a reader's own limits
                left_out.append({**said, "why": as_data(message("odd.unread", error=bare(type(error).__name__)))})
                continue
            if parts is not None:
                found.append(
                    {
                        **said,
                        "storey": storey_of(element),
                        "systems": systems_of(element),
                        "parts": parts,
                        "is": kind_of(element),
                    }
                )
        return self.gathered.packed({**self.about, "levels": self.levels, "elements": found, "left_out": left_out})

    def _parts(self, element: Any) -> list[dict[str, Any]] | None:
        """Return the shapes of an element, None where it is only made of other elements."""
        body = body_of(element)
        if body is None:
            if has_parts(element):
                return None
            raise OddError(message("odd.no body"))
        try:
            shapes = shapes_of(self._solids(element, body.Items), list(self._openings(element)), self.unit_mm)
            if not shapes:
                raise OddError(message("odd.empty"))
            surfaces = [shape for shape in shapes if isinstance(shape, Surface)]
            if len(surfaces) in ((0, len(shapes)) if len(shapes) <= MOST_PARTS else (len(shapes),)):
                return self._written(shapes)
        except (HardError, ValueError, ArithmeticError, np.linalg.LinAlgError):
            pass  # the library's own kernel takes what is not read here
        for product in (element, *openings_through(element)):
            if (made := body_of(product)) is not None:
                see_sound(made)
        try:
            return self._written([by_kernel(element)])
        except OddError:
            if any(True for _ in openings_through(element)):
                raise
            return self._written([shape for item in body.Items for shape in self._item(element, item)])

    def _written(self, shapes: Sequence[Any]) -> list[dict[str, Any]]:
        """Return shapes as they stand in an answer, all triangles as one surface."""
        surfaces = [shape for shape in shapes if isinstance(shape, Surface)]
        exact = [part for shape in shapes if not isinstance(shape, Surface) for part in self.gathered.exact(shape)]
        return [*exact, *([self.gathered.surface(surfaces)] if surfaces else [])]

    def _item(self, element: Any, item: Any) -> Sequence[Any]:
        """Return the shapes of one item of an element's body, by the library's own kernel where it is not read here."""
        try:
            shapes = shapes_of(self._solids(element, [item]), [], self.unit_mm)
            for shape in shapes:
                if not isinstance(shape, Surface):
                    self.gathered.exact(shape)  # the room may have no such shape
            return shapes
        except (HardError, ValueError, ArithmeticError, np.linalg.LinAlgError):
            found, matrix = by_kernel(item), self.placements.of(element.ObjectPlacement)
            vertices = found.vertices @ matrix[:3, :3].T + matrix[:3, 3] * self.unit_mm
            return [Surface(vertices, found.faces)]

    def _solids(self, product: Any, items: Any) -> list[Solid]:
        matrix = self.placements.of(product.ObjectPlacement)
        return [solid.placed(matrix) for solid in self.items.of(items)]

    def _openings(self, element: Any) -> Iterator[Solid]:
        for opening in openings_through(element):
            body = body_of(opening)
            if body is not None:
                yield from self._solids(opening, body.Items)
