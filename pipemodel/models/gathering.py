"""What readers of models in a child process have in common: shapes gathered, and the answer packed."""

import json
from io import BytesIO
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.messages.values import Number, SaidError, as_data, message
from pipemodel.models.ifc.mending import mended
from pipemodel.models.ifc.placing import OddError
from pipemodel.models.ifc.plain import things_of
from pipemodel.models.ifc.solids import Surface

FARTHEST_MM = 1e9
"""Nothing in a room lies farther out than this."""


class ModelError(SaidError):
    """A model that cannot be read, or does not have what is asked for; the message says why."""


class Gathering:
    """The shapes of a model so far; `moved` is taken off every place, (3,) mm."""

    def __init__(self, moved: Floats) -> None:
        self.moved = moved
        self.surfaces: list[tuple[Floats, Ints]] = []

    def exact(self, shape: Any) -> list[dict[str, Any]]:
        """Return an exact shape as it stands in an answer.

        Raises:
            HardError: if the room has no such shape.
            OddError: if it reaches too far out.
        """
        found = things_of(shape, self.moved)
        for plain in found:
            _see_near(plain.block)
        return [{"thing": plain.thing, "block": plain.block.tolist(), "hollow": plain.hollow} for plain in found]

    def surface(self, pieces: list[Surface]) -> dict[str, Any]:
        """Return surfaces as one, as it stands in an answer, mended where that helps.

        Raises:
            OddError: if there is nothing in them, or they reach too far out.
        """
        pieces = [piece for piece in pieces if len(piece.faces)]
        if not pieces or not all(np.all(np.isfinite(piece.vertices)) for piece in pieces):
            raise OddError(message("odd.empty"))
        first = np.cumsum([0, *(len(piece.vertices) for piece in pieces[:-1])])
        vertices = np.concatenate([piece.vertices for piece in pieces]) - self.moved
        mends = [mended(piece.vertices, piece.faces) for piece in pieces]
        faces = np.concatenate([found + n for (found, _), n in zip(mends, first, strict=True)])
        block = np.array([vertices.min(axis=0), vertices.max(axis=0)])
        _see_near(block)
        self.surfaces.append((vertices, faces))
        closed = all(closes for _, closes in mends)
        return {"vertices": len(vertices), "faces": len(faces), "block": block.tolist(), "closed": closed}

    def packed(self, head: dict[str, Any]) -> bytes:
        """Return the answer: a line of JSON, then the corners and faces of all surfaces as numpy arrays."""
        out = BytesIO()
        out.write(json.dumps({**head, "moved_mm": self.moved.tolist()}).encode() + b"\n")
        for k, kind in ((0, np.float64), (1, np.int64)):
            arrays = [np.asarray(surface[k], dtype=kind) for surface in self.surfaces]
            np.save(out, np.concatenate(arrays) if arrays else np.zeros((0, 3), dtype=kind), allow_pickle=False)
        return out.getvalue()


def fault(error: SaidError) -> bytes:
    """Return the answer that says what is wrong with a model."""
    return json.dumps({"fault": as_data(error.said)}).encode()


def _see_near(block: Floats) -> None:
    if not np.abs(block).max() <= FARTHEST_MM:
        raise OddError(message("odd.far", km=Number(FARTHEST_MM / 1e6)))
