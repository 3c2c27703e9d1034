"""A building model to a room file, step by step: read, choose what is near, name, write."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.messages.units import Language
from pipemodel.messages.values import Length, Message, bare, message
from pipemodel.models.files import see_free, surfaces_path, write_room
from pipemodel.models.names import names_of
from pipemodel.models.near import Nearby
from pipemodel.models.read import read_model
from pipemodel.models.room_text import PART_PLACED, room_text
from pipemodel.models.surfaces_file import surfaces_file
from pipemodel.models.values import Element, Model
from pipemodel.output.kept import digest_of


@dataclass(frozen=True)
class Wanted:
    """What is wanted of a model: classes and storeys, all where none is named; and what is near a job's runs.

    `unit_mm` is what one unit of a file of triangles is, None for what the file itself says.
    """

    classes: tuple[str, ...] = ()
    storeys: tuple[str, ...] = ()
    near: Path | None = None
    within_mm: float = 500.0
    unit_mm: float | None = None
    language: Language = "en"
    """Of the comments in the room file."""


FORMAT = "pipemodel.room/8"
"""Changes whenever the same model would give another room file, so that one written before is written again."""


def room_of(path: Path, out: Path, wanted: Wanted) -> Model | None:
    """Write the room file of a building model, and its surfaces beside it.

    Returns:
        What was read; None if the file there is of this very model, job and choice, and nothing had to be read.

    Raises:
        JobError: if the model or the job cannot be read, or the model lacks what is asked for.
        ModelsMissingError: if the library that reads models is not installed.
        FolderError: if what is there already must not be replaced, or the disk refuses.
    """
    made_of = see_free(out)
    nearby = None if wanted.near is None else Nearby(wanted.near, out, wanted.within_mm)
    asked = "" if nearby is None else f"{wanted.near} {nearby.asked}"
    source = digest_of(
        path, FORMAT, path.name, repr((wanted.classes, wanted.storeys, wanted.unit_mm, wanted.language)), asked
    )[:16]
    if made_of and made_of == source:
        return None
    model = read_model(path, wanted.classes, wanted.storeys, wanted.unit_mm)
    if nearby is not None:
        kept = tuple(element for element in model.elements if nearby.holds(element))
        model = replace(model, elements=kept, further=len(model.elements) - len(kept))
    things, surfaces = _things(model, surfaces_path(out).name)
    text = room_text(model, things, path.name, _asked(wanted), wanted.language)
    write_room(out, text, surfaces_file(surfaces) if surfaces else None, source)
    return model


def _things(
    model: Model, beside: str
) -> tuple[list[tuple[str, Element, dict[str, Any]]], list[tuple[str, Floats, Ints]]]:
    """Return the things, each with its name and element, and the surfaces by name; in the order of their names."""
    things: list[tuple[str, Element, dict[str, Any]]] = []
    surfaces: list[tuple[str, Floats, Ints]] = []
    named = sorted(zip(names_of(model.elements), model.elements, strict=True), key=lambda pair: pair[0])
    for name, element in named:
        for number, part in enumerate(element.parts, 1):
            called = name if len(element.parts) == 1 else f"{name}, part {number}"
            thing = part.thing
            if thing is None:
                assert part.surface is not None
                surfaces.append((called, *part.surface))
                thing = {"mesh": {"file": beside, "part": called, **PART_PLACED}}
            things.append((called, element, thing))
    return things, surfaces


def _asked(wanted: Wanted) -> Sequence[Message]:
    lines = []
    if wanted.classes:
        lines.append(message("room file.classes", classes=bare(", ".join(wanted.classes))))
    if wanted.storeys:
        lines.append(message("room file.storeys", storeys=bare(", ".join(wanted.storeys))))
    if wanted.near is not None:
        job = bare(wanted.near.name)
        lines.append(message("room file.near", within=Length(wanted.within_mm), job=job))
    return lines
