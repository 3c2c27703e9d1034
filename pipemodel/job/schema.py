"""The JSON Schema of a job file, for editors and for finding the key that was meant."""

from copy import deepcopy
from functools import cache
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter

from pipemodel.job.forms import JobForm
from pipemodel.job.room_file_forms import RoomFileForm
from pipemodel.job.room_forms import SHAPES, TERMS

if TYPE_CHECKING:
    from pipemodel.job.routing.forms import BesideForm, RouteItem

DRAFT = "https://json-schema.org/draft/2020-12/schema"
ROUTE = ("runs", "", "route")
"""The path of a run's route in the form of a job, under a run of any name."""
BESIDE = ("runs", "", "beside")
"""The path of what a run lies beside."""

_ONE_OF: dict[str, list[dict[str, Any]]] = {
    "ThingForm": [{"required": [shape]} for shape in (*SHAPES, *TERMS)],
    "RunForm": [
        {"required": ["points"], "properties": dict.fromkeys(("start", "heading", "route", "beside", "find"), False)},
        {"required": ["start", "route"], "properties": {"points": False, "beside": False, "find": False}},
        {"required": ["beside"], "properties": dict.fromkeys(("points", "start", "heading", "find"), False)},
        {"required": ["find"], "properties": dict.fromkeys(("points", "start", "heading", "route", "beside"), False)},
        {
            "required": ["route"],
            "properties": dict.fromkeys(("points", "start", "heading", "beside", "find"), False)
            | {"route": {"prefixItems": [{"required": ["beside"]}]}},
        },
    ],
}
"""Of what stands in a form, what may not stand together, and what of it must."""
_BESIDE = {"anyOf": [{"$ref": "#/$defs/BesideForm"}]}
_FORMULA = {"type": "string", "pattern": r"\$\{"}
_NO_TEXT = ("number", "integer", "boolean")


@cache
def beside_another() -> "TypeAdapter[BesideForm]":
    """Return what reads where a run lies that is laid beside another."""
    from pipemodel.job.routing.forms import BesideForm

    return TypeAdapter(BesideForm)


@cache
def route_items() -> "TypeAdapter[list[RouteItem]]":
    """Return what reads the moves and features of a run."""
    from pipemodel.job.routing.forms import RouteItem

    return TypeAdapter(list[RouteItem])


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a job file.

    Every number may also be text with an expression, `${...}`; lengths and angles also text with a unit.
    """
    return {"$schema": DRAFT, **_finished(_whole()), "title": "A pipemodel job"}


def room_file_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a room file; see `json_schema`."""
    return {"$schema": DRAFT, **_finished(RoomFileForm.model_json_schema()), "title": "A pipemodel room file"}


def _finished(schema: dict[str, Any]) -> dict[str, Any]:
    schema = _with_formulas(deepcopy(schema))
    for form, ways in _ONE_OF.items():
        if form in schema["$defs"]:
            schema["$defs"][form]["oneOf"] = ways
    return schema


@cache
def _whole() -> dict[str, Any]:
    schema = JobForm.model_json_schema()
    items = route_items().json_schema()
    schema["$defs"].update(items.pop("$defs", {}))
    run = schema["$defs"]["RunForm"]["properties"]
    run["route"] = {"description": run["route"].get("description", ""), **items}
    run["beside"] = {"description": run["beside"].get("description", ""), **_BESIDE}
    return schema


def schema_at(path: tuple[str | int, ...]) -> list[dict[str, Any]]:
    """Return the schemas a value at a path may have; steps the form does not know are left out."""
    schema = _whole()
    definitions = schema["$defs"]
    nodes = _spread([schema], definitions)
    for step in path:
        found: list[dict[str, Any]] = []
        for node in nodes:
            if isinstance(step, int):
                found += [part for part in (node.get("items"), node.get("prefixItems")) if isinstance(part, dict)]
            elif step in node.get("properties", {}):
                found.append(node["properties"][step])
            elif isinstance(node.get("additionalProperties"), dict):
                found.append(node["additionalProperties"])
        nodes = _spread(found, definitions) or nodes
    return nodes


def _spread(nodes: list[dict[str, Any]], definitions: dict[str, Any]) -> list[dict[str, Any]]:
    out: list[dict[str, Any]] = []
    for node in nodes:
        if "$ref" in node:
            out += _spread([definitions[node["$ref"].rsplit("/", 1)[1]]], definitions)
        elif choices := node.get("anyOf", node.get("oneOf")):
            out += _spread(choices, definitions)
        else:
            out.append(node)
    return out


def _with_formulas(node: Any, beside_text: bool = False) -> Any:
    """Return a schema in which whatever takes a number or one of some words takes a `${...}` too."""
    if isinstance(node, list):
        return [_with_formulas(part, beside_text) for part in node]
    if not isinstance(node, dict):
        return node
    takes_text = any(isinstance(part, dict) and part.get("type") == "string" for part in node.get("anyOf", ()))
    new = {}
    for key, part in node.items():
        if key in ("properties", "$defs"):
            new[key] = {name: _with_formulas(inner) for name, inner in part.items()}
        elif key in ("anyOf", "oneOf"):
            new[key] = _with_formulas(part, takes_text or beside_text)
        elif key in ("items", "prefixItems", "additionalProperties"):
            new[key] = _with_formulas(part)
        else:
            new[key] = part
    if not beside_text and (node.get("type") in _NO_TEXT or "enum" in node):
        about = {key: new.pop(key) for key in ("title", "description", "default") if key in new}
        return {**about, "anyOf": [new, _FORMULA]}
    return new
