"""Reading a model of named parts (STEP, glTF, 3MF, OBJ, STL, PLY, OFF), in a child process.

A request is JSON: the file, what one unit of it is, and what is too much. The answer is that of every reader of models.
"""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.messages.values import Count, Name, as_data, message
from pipemodel.models.gathering import Gathering, ModelError, fault
from pipemodel.models.ifc.about import FAR_MM, METRE_MM
from pipemodel.models.ifc.faces import welded
from pipemodel.models.ifc.placing import HardError, OddError
from pipemodel.models.ifc.plain import shapes_of
from pipemodel.models.ifc.solids import Surface
from pipemodel.solids.mesh_reading import MeshError, declared_unit, loaded_mesh, see_zip

CHORD_MM = 0.5
"""How far a triangle may stand off a curved face of a STEP file."""
MOST_BYTES = 500_000_000
"""A larger model, or one that unpacks to more, is not read."""
MESHES = ("stl", "obj", "ply", "off", "3mf", "glb")
STEPS = ("step", "stp")
_OF_OBJ = re.compile(rb"^([og])[ \t]+(\S.*?)\s*$", re.MULTILINE)
"""A line of an OBJ file that names an object or, where it has no objects, a group."""
_OBJECT = re.compile(rb"^o[ \t]+(\S.*?)[ \t\r]*$", re.MULTILINE)
FLAT = 1e-9
"""A part that is scaled to less than this across is no body."""


def answer(request: bytes) -> bytes:
    """Read the model of a request; never raises for what is wrong with the file."""
    asked = json.loads(request)
    try:
        return _read(Path(asked["path"]), asked["unit_mm"], asked["most_triangles"])
    except ModelError as error:
        return fault(error)


def _read(path: Path, unit_mm: float | None, most: int) -> bytes:
    ending = path.suffix.lower().lstrip(".")
    parts = list(_of_step(path) if ending in STEPS else _of_mesh(path, ending, unit_mm))
    triangles = sum(len(surface.faces) for _, surface in parts)
    if not triangles:
        raise ModelError(message("mesh.no triangles", file=Name(path.name)))
    if triangles > most:
        raise ModelError(message("model.triangles", most=Count(most)))
    gathered = Gathering(_moved([surface for _, surface in parts]))
    found: list[dict[str, Any]] = []
    left_out: list[dict[str, Any]] = []
    for name, surface in parts:
        said = {"guid": "", "class": "", "name": name}
        try:
            found.append({**said, "storey": "", "systems": [], "parts": _shapes(surface, gathered)})
        except OddError as error:
            left_out.append({**said, "why": as_data(error.said)})
    about = {"schema": ending.upper(), "unit_given": True, "true_north_deg": None, "map": None}
    return gathered.packed({**about, "elements": found, "left_out": left_out})


def _shapes(surface: Surface, gathered: Gathering) -> list[dict[str, Any]]:
    """Return a part as it stands in an answer: a block where it is one, else its surface."""
    whole = Surface(*welded(surface.vertices, surface.faces))
    if not len(whole.faces):
        raise OddError(message("odd.flat"))
    try:
        (shape,) = shapes_of([whole], [], 1.0)
        if not isinstance(shape, Surface):
            return gathered.exact(shape)
    except HardError:
        pass
    return [gathered.surface([whole])]


def _moved(surfaces: list[Surface]) -> Floats:
    lows = [surface.vertices.min(axis=0) for surface in surfaces if len(surface.vertices)]
    highs = [surface.vertices.max(axis=0) for surface in surfaces if len(surface.vertices)]
    if not lows or not np.all(np.isfinite(lows)) or max(np.abs(lows).max(), np.abs(highs).max()) <= FAR_MM:
        return np.zeros(3)
    return np.asarray(np.floor(np.min(lows, axis=0) / METRE_MM) * METRE_MM)


def _of_step(path: Path) -> Iterator[tuple[str, Surface]]:
    from pipemodel.solids.kernel import UnreadableError
    from pipemodel.solids.step_parts import step_parts

    try:
        for part in step_parts(path.read_bytes(), CHORD_MM):
            yield part.name, Surface(part.vertices, part.faces)
    except UnreadableError:
        raise ModelError(message("model.no step")) from None


def _of_mesh(path: Path, ending: str, unit_mm: float | None) -> Iterator[tuple[str, Surface]]:
    import trimesh

    data = path.read_bytes()
    try:
        if ending == "3mf":
            see_zip(path, data, MOST_BYTES)
        named = _OF_OBJ.findall(data) if ending == "obj" else []
        objects = any(kind == b"o" for kind, _ in named)
        data, own_names = _told_apart(data, [name for kind, name in named if kind == b"o"])
        loaded = loaded_mesh(path, data, split_objects=objects, split_groups=not objects)
        own = 1000.0 if ending == "glb" else 1.0 if unit_mm else declared_unit(path, loaded)
    except MeshError as error:
        raise ModelError(error.said) from None
    scene = loaded if isinstance(loaded, trimesh.Scene) else trimesh.Scene(loaded)
    # glTF has metres, and y up.
    upright = np.array([(1, 0, 0, 0), (0, 0, -1, 0), (0, 1, 0, 0), (0, 0, 0, 1)]) if ending == "glb" else np.eye(4)
    size = own if unit_mm is None else unit_mm
    names = {name for kind, name in named if kind == b"o" or not objects}
    whole = names.pop().decode(errors="replace") if len(names) == 1 else path.stem
    for node in sorted(scene.graph.nodes_geometry, key=str):
        matrix, geometry = scene.graph[node]
        mesh = scene.geometry[geometry]
        if not isinstance(mesh, trimesh.Trimesh):
            continue
        matrix = upright @ matrix
        vertices = size * (np.asarray(mesh.vertices, dtype=np.float64) @ matrix[:3, :3].T + matrix[:3, 3])
        faces = np.asarray(mesh.faces, dtype=np.int64)
        name = own_names.get(str(node), str(node)) if isinstance(loaded, trimesh.Scene) else whole
        size_left = float(np.linalg.det(matrix[:3, :3]))
        flat = abs(size_left) < FLAT * float(np.linalg.norm(matrix[:3, :3])) ** 3
        yield name, Surface(vertices, faces[:0] if flat else faces[:, ::-1] if size_left < 0.0 else faces)


def _told_apart(data: bytes, names: list[bytes]) -> tuple[bytes, dict[str, str]]:
    """Return an OBJ file in which no two objects have one name, and the names that those had which are renamed."""
    taken, renamed = set(names), dict[str, str]()
    seen: set[bytes] = set()

    def own(found: re.Match[bytes]) -> bytes:
        name, number = found[1], 1
        while name in seen or (number > 1 and name in taken):
            number += 1
            name = found[1] + b" %d" % number
        seen.add(name)
        if number > 1:
            renamed[name.decode(errors="replace")] = found[1].decode(errors="replace")
        return b"o " + name

    return (data if len(taken) == len(names) else _OBJECT.sub(own, data)), renamed
