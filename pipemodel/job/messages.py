"""What does not fit the form, in trade words and with its place."""

from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from pipemodel.job.expressions import nearest
from pipemodel.job.model import Fault
from pipemodel.job.quantities import shown
from pipemodel.job.room_file_forms import RoomForm
from pipemodel.job.schema import schema_at
from pipemodel.job.yaml_tree import YamlPath, YamlSpot

_EXPECTED = {
    "model_type": "a group of keys",
    "model_attributes_type": "a group of keys",
    "dict_type": "a group of names, each with what belongs to it",
    "list_type": "a list",
    "tuple_type": "a list",
    "string_type": "text",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "int_type": "a whole number",
    "int_parsing": "a whole number",
    "int_from_float": "a whole number",
}
"""What pydantic's error types were looking for."""


def faults_of(error: ValidationError, form: YamlPath, spot: YamlSpot) -> list[Fault]:
    """Return one fault for each thing that did not fit a form.

    Args:
        error: what pydantic says.
        form: where in the form of a job that form is; () for the whole.
        spot: where the values stand in the file.
    """
    return [_fault(detail, form, spot) for detail in error.errors(include_url=False)]


def faults_of_form(error: ValidationError, form: type[BaseModel], called: str, spot: YamlSpot) -> list[Fault]:
    """Return the same for a form that stands in no form of a job by itself, by what people call it."""
    fields = {field.alias or name: field for name, field in form.model_fields.items()}
    found: list[Fault] = []
    for detail in error.errors(include_url=False):
        loc: YamlPath = tuple(detail["loc"])
        key, here = str(loc[0]) if loc else "", spot.at(loc)
        if detail["type"] == "extra_forbidden":
            say = nearest(key, list(fields), f"the keys of {called} are {', '.join(fields)}")
            found.append(Fault(f"unknown key {shown(key)!r}; {say}", here.key))
        elif detail["type"] == "missing":
            about = fields[key].description or ""
            found.append(Fault(f"{called} lacks {key!r} ({about[:1].lower()}{about[1:]})", here.key))
        else:
            found.append(_fault(detail, (), spot))
    return found


def _fault(detail: ErrorDetails, form: YamlPath, spot: YamlSpot) -> Fault:
    loc: YamlPath = tuple(detail["loc"])
    kind = detail["type"]
    here = spot.at(loc)
    if kind == "extra_forbidden":
        return Fault(_unknown_key(form, loc), here.key)
    if kind == "missing":
        return Fault(_missing_key(form, loc), here.key)
    place = here.key if isinstance(here.children, dict) else here.place
    return Fault(_words(detail, (*form, *loc)), place)


def _words(detail: ErrorDetails, loc: YamlPath) -> str:
    kind, context, value = detail["type"], detail.get("ctx", {}), detail["input"]
    if kind == "value_error":
        return str(context["error"])
    name = _key(loc)
    if context.get("class_name") == RoomForm.__name__:
        kind = "dict_type"
    if kind in _EXPECTED:
        return f"{name} is {_EXPECTED[kind]}, not {_described(value)}"
    if kind in ("literal_error", "enum"):
        expected = str(context["expected"]).replace("'", "")
        return f"{name} is {expected}, not {_described(value)}"
    if kind == "too_short":
        return f"{name} needs at least {context['min_length']}; this has {context['actual_length']}"
    if kind == "too_long":
        return f"{name} takes at most {context['max_length']}"
    if kind == "string_too_short":
        return f"{name} is empty"
    if kind == "string_too_long":
        return f"{name} is too long; at most {context['max_length']} characters"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return f"{_described(value)} is not understood here; {context.get('expected_tags', 'see the schema')} would be"
    return f"{name}: {detail['msg'].replace('Input should be', 'this should be')}"


def _unknown_key(form: YamlPath, loc: YamlPath) -> str:
    known = _keys_at(form, loc[:-1], without=loc[-1])
    say = f"the keys here are {', '.join(known)}" if known else "leave it out"
    return f"unknown key {shown(loc[-1])!r}; {nearest(str(loc[-1]), known, say)}"


def _missing_key(form: YamlPath, loc: YamlPath) -> str:
    where = f"{_key((*form, *loc[:-1]))} lacks" if len(loc) > 1 else "the job lacks"
    about = _description(form, loc)
    return f"{where} {str(loc[-1])!r}" + (f" ({about[0].lower()}{about[1:]})" if about else "")


def _key(loc: YamlPath) -> str:
    """Return the last key on the way to a value: what a person would call it."""
    steps = [step for step in loc if step not in ("form", "name", "own", "[key]")]
    number = steps[-1] + 1 if steps and isinstance(steps[-1], int) else None
    names = [step for step in steps if isinstance(step, str)]
    name = shown(names[-1]) if names else "the job"
    return name if number is None else f"item {number} of {name}"


def _described(value: Any) -> str:
    if value is None:
        return "empty"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, list | tuple):
        return "a list"
    return repr(shown(value)) if isinstance(value, str) else shown(value)


def _keys_at(form: YamlPath, loc: YamlPath, without: str | int) -> list[str]:
    """Return the keys that may stand at a path, in the order of the form.

    Where several forms may stand there, those that have the key which did not fit are not the one that was meant.
    """
    nodes = [node for node in schema_at((*form, *loc)) if without not in node.get("properties", {})]
    return list(dict.fromkeys(key for node in nodes for key in node.get("properties", {})))


def _description(form: YamlPath, loc: YamlPath) -> str:
    for node in schema_at((*form, *loc[:-1])):
        if found := node.get("properties", {}).get(loc[-1]):
            return str(found.get("description", ""))
    return ""
