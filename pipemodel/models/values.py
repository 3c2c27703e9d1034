"""A building model as it was read: its elements as the things of a room, and what was left out."""

from dataclasses import dataclass
from typing import Any

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.job.model_place import OnMap
from pipemodel.messages.values import NOTHING, Message


@dataclass(frozen=True)
class ElementPart:
    """One shape of an element: `thing` as a room file has it; or a surface, corners (n, 3) mm and faces (m, 3).

    `block` holds it, (2, 3) mm; `hollow` if it is a tube that counts as filled; `closed` if a surface has an inside.
    """

    block: Floats
    thing: dict[str, Any] | None = None
    surface: tuple[Floats, Ints] | None = None
    hollow: bool = False
    closed: bool = True


@dataclass(frozen=True)
class Element:
    """One element of a model, and the shapes it has in the room; `systems` are those it belongs to."""

    guid: str
    kind: str
    name: str
    storey: str = ""
    systems: tuple[str, ...] = ()
    parts: tuple[ElementPart, ...] = ()
    why: Message = NOTHING
    """Why it was left out, in words that end a sentence; then it has no parts."""
    is_: str = ""
    """What it is to the rules of building, "" for nothing that they name."""


@dataclass(frozen=True)
class Model:
    """What was read of a model."""

    schema: str
    elements: tuple[Element, ...]
    left_out: tuple[Element, ...] = ()
    unit_given: bool = True
    true_north_deg: float | None = None
    on_map: OnMap | None = None
    moved_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    further: int = 0
    """How many elements were left out for being too far from every run."""
    levels: tuple[tuple[str, float], ...] = ()
    """Its storeys: the name of each and its height (z) in the room, mm."""
    map_even: bool = True
    """Whether the map stretches x, y and z alike."""
    map_left: bool = False
    """Whether it names a map, and where it stands there cannot be."""
