"""The text of a room file made of a building model: a line for each thing, and what was left out as comments."""

import json
import re
from collections import Counter
from collections.abc import Sequence
from math import log
from typing import Any

import numpy as np

from pipemodel.job.names import LONGEST
from pipemodel.job.quantities import LONGEST_MM
from pipemodel.job.room_file_forms import MOST_LEVELS
from pipemodel.messages.say import say
from pipemodel.messages.units import Language, units_for
from pipemodel.messages.values import Count, Message, Number, Value, Word, bare, message
from pipemodel.models.values import Element, Model

PART_PLACED: dict[str, Any] = {"unit": "m", "turn": {"about": "x", "by": 90}}
"""How a part of the file of surfaces is placed: it has metres, and y up."""
_SPARE = 16
"""Characters of a level's name kept free for what tells storeys of one name apart."""
MOST_STRETCH = 0.05
"""A map that stretches by more, as the logarithm says, is thought to be a slip: grids stretch by a thousandth."""
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_() .-]*[A-Za-z0-9_)]|[A-Za-z]")
_WORDS = frozenset({"true", "false", "null", "yes", "no", "on", "off", "file"})
BY_THICKNESS = {"beam", "floor", "joist", "purlin", "rafter", "strut", "stud", "wall"}
"""What rules of building judge by how thick or deep it is."""


def room_text(
    model: Model,
    things: Sequence[tuple[str, Element, dict[str, Any]]],
    file: str,
    asked: Sequence[Message] = (),
    language: Language = "en",
) -> str:
    """Return the text of a room file.

    Args:
        model: what was read.
        things: name, element and shape of each, in the order they are written.
        file: the name of the model's file.
        asked: what was asked for, a line each.
        language: of the comments.
    """
    units = units_for("mm", language)
    head = [message("room file.made", file=bare(file), schema=bare(model.schema)), *asked, *_said_of(model)]
    lines = [f"# {_one_line(say(line, units))}" for line in head]
    lines += ["", f"model: {_flow(_model(model, file))}"]
    if levels := levels_of(model):
        lines += ["", "levels:", *(f"  {_scalar(name)}: {_flow(z)}" for name, z in levels.items())]
    lines += ["", "room:" if things else "room: {}"]
    for name, element, thing in things:
        lines.append(f"  {_scalar(name)}: {_flow({**thing, **_is(element), **_source(element, name)})}")
    lines += ["", *(f"# {_one_line(say(line, units))}" for line in _left_out(model))]
    return "\n".join(lines).rstrip() + "\n"


def _said_of(model: Model) -> list[Message]:
    said = [message("room file.axes")]
    if model.true_north_deg:
        way = Word("clockwise" if model.true_north_deg > 0.0 else "counter")
        said.append(message("room file.north", deg=Number(abs(model.true_north_deg)), way=way))
    if model.on_map is not None:
        east, north, height = (bare(_flow(v)) for v in model.on_map[:3])
        said.append(message("room file.map", east=east, north=north, height=height))
        if abs(log(model.on_map.scale)) > MOST_STRETCH:
            said.append(message("room file.scale", scale=bare(_flow(model.on_map.scale))))
        if not model.map_even:
            said.append(message("room file.uneven"))
    if model.map_left:
        said.append(message("room file.no map"))
    if any(model.moved_mm):
        said.append(message("room file.moved", place=bare(", ".join(_flow(v) for v in model.moved_mm))))
    if not model.unit_given:
        said.append(message("room file.no unit"))
    hollow = sum(part.hollow for element in model.elements for part in element.parts)
    if hollow:
        said.append(message("room file.hollow", n=Count(hollow)))
    return said


def _model(model: Model, file: str) -> dict[str, Any]:
    """Return what `job.room_file_forms.ModelForm` reads: how to go back from here to the model."""
    said: dict[str, Any] = {"file": file[-200:]}
    if any(model.moved_mm):
        said["moved"] = list(model.moved_mm)
    if model.true_north_deg:
        said["true_north"] = model.true_north_deg
    if (at := model.on_map) is not None:
        said["map"] = {"eastings": at.eastings_m, "northings": at.northings_m, "height": at.height_m}
        if at.x_axis != (1.0, 0.0):
            said["map"]["x_axis"] = list(at.x_axis)
        if at.scale != 1.0:
            said["map"]["scale"] = at.scale
        if at.crs:
            said["map"]["crs"] = at.crs[:100]
    return said


def levels_of(model: Model) -> dict[str, float]:
    """Return the heights (z, mm) of the storeys by names that `to level` can have; of one name, those are numbered."""
    found: dict[str, float] = {}
    for storey, z in model.levels:
        if abs(z) > LONGEST_MM or len(found) >= MOST_LEVELS:
            continue
        plain = " ".join(_one_line(storey).replace("${", "$ {").split())[: LONGEST - _SPARE].strip()
        name, number = plain, 1
        while name in found and found[name] != z:
            number += 1
            name = f"{plain} ({number})"
        if name:
            found[name] = z
    return found


def _left_out(model: Model) -> list[Message]:
    lines: list[Message] = []
    for one in open_ones(model):
        lines.append(message("room file.open", element=_called(one)))
    for one in filter(_no_thickness, model.elements):
        lines.append(message("room file.bodies", element=_called(one)))
    if model.left_out:
        lines.append(message("room file.left out", n=Count(len(model.left_out))))
        lines += [message("room file.why", element=_called(one), why=one.why) for one in model.left_out]
    if model.further:
        lines.append(message("room file.further", n=Count(model.further)))
    return lines


def _called(element: Element) -> Value:
    kind, guid = f"{element.kind} " if element.kind else "", f" ({element.guid})" if element.guid else ""
    if element.name:
        return bare(f"{kind}{element.name}{guid}")
    return message("room file.unnamed", kind=bare(kind), guid=bare(guid))


def open_ones(model: Model) -> list[Element]:
    """Return the elements with a surface that does not close."""
    return [element for element in model.elements if not all(part.closed for part in element.parts)]


def counts_of(model: Model) -> Counter[str]:
    """Return how many things there are of each kind of shape."""
    return Counter(
        "mesh" if part.thing is None else next(iter(part.thing)) for element in model.elements for part in element.parts
    )


def _is(element: Element) -> dict[str, Any]:
    return {} if not element.is_ or _no_thickness(element) else {"is": element.is_}


def _no_thickness(element: Element) -> bool:
    """Whether rules would take one of several bodies, such as a layer of plaster, for all of a wall or a timber."""
    return len(element.parts) > 1 and element.is_ in BY_THICKNESS


def _source(element: Element, name: str) -> dict[str, Any]:
    if not element.guid:
        return {}
    source: dict[str, Any] = {"guid": element.guid, "class": element.kind}
    if element.name and not name.startswith(element.name):
        source["name"] = element.name
    if element.storey:
        source["storey"] = element.storey
    if element.systems:
        source["systems"] = list(element.systems)
    return {"source": source}


def _flow(value: Any) -> str:
    """Return a value in YAML, on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(inner) for inner in value) + "]"
    if isinstance(value, float):
        return str(np.format_float_positional(value, trim="-"))
    return _scalar(value) if isinstance(value, str) else json.dumps(value)


def _scalar(text: str) -> str:
    """Return a text in YAML, in quotes where it needs them; nothing in it is taken for an expression."""
    text = text.replace("${", "$ {")
    if _PLAIN.fullmatch(text) and text.casefold() not in _WORDS and "  " not in text:
        return text
    return json.dumps(text, ensure_ascii=not text.isprintable())


def _one_line(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)
