"""What is not read here exactly, as triangles by the library's own geometry kernel."""

from functools import cache
from typing import Any

import numpy as np

from pipemodel.messages.values import message
from pipemodel.models.ifc.placing import OddError
from pipemodel.models.ifc.solids import Surface

CHORD_MM = 0.5
"""How far a triangle may stand off a round surface."""
ANGLE_RAD = 0.35
"""How far apart two triangles of a round surface may look: eighteen to a circle."""


@cache
def _settings() -> Any:
    import ifcopenshell.geom

    settings: Any = ifcopenshell.geom.settings()  # type: ignore[no-untyped-call]
    settings.set("use-world-coords", True)
    settings.set("mesher-linear-deflection", CHORD_MM / 1000.0)
    settings.set("mesher-angular-deflection", ANGLE_RAD)
    settings.set("weld-vertices", True)
    return settings


def by_kernel(element: Any) -> Surface:
    """Return the surface of an element, its openings cut out, in the model's axes, or of an item in its own; mm.

    Raises:
        OddError: if the kernel cannot make all of it either.
    """
    import ifcopenshell
    import ifcopenshell.geom

    logged: Any = ifcopenshell.get_log
    logged()  # what is in it so far is of others
    try:
        shape: Any = ifcopenshell.geom.create_shape(_settings(), element)
    except RuntimeError:
        raise OddError(message("odd.cannot be made")) from None
    # It leaves out an item that it cannot make, and says so in its log only.
    if "[error]" in logged():
        raise OddError(message("odd.part"))
    geometry = getattr(shape, "geometry", shape)
    vertices = np.array(geometry.verts, dtype=np.float64).reshape(-1, 3) * 1000.0
    faces = np.array(geometry.faces, dtype=np.int64).reshape(-1, 3)
    if not len(faces):
        raise OddError(message("odd.nothing"))
    return Surface(vertices, faces)
