"""What does not fit the form, in trade words and with its place."""

from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from pipemodel.job.expressions import nearest
from pipemodel.job.misfits import misfit
from pipemodel.job.model import Fault
from pipemodel.job.quantities import shown
from pipemodel.job.room_file_forms import RoomForm
from pipemodel.job.schema import schema_at
from pipemodel.job.yaml_tree import YamlPath, YamlSpot


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
    found: list[Fault] = []
    details = error.errors(include_url=False)
    for detail in details:
        loc: YamlPath = tuple(detail["loc"])
        if detail["type"] == "too_short" and any(one["loc"][: len(loc)] == loc != one["loc"] for one in details):
            continue  # its items are there and at fault themselves
        key, here, fields = str(loc[-1]) if loc else "", spot.at(loc), keys_beside(form, loc)
        if detail["type"] == "extra_forbidden":
            say = nearest(
                key, list(fields), f"the keys {'here' if loc[:-1] else f'of {called}'} are {', '.join(fields)}"
            )
            found.append(Fault(f"unknown key {shown(key)!r}; {say}", here.key))
        elif detail["type"] == "missing":
            about = fields[key].description or ""
            lacks = _key(loc[:-1]) if len(loc) > 1 else called
            said = f" ({about[:1].lower()}{about[1:]})" if about else ""
            found.append(Fault(f"{lacks} lacks {key!r}{said}", here.key))
        else:
            found.append(_fault(detail, (), spot))
    return found


def keys_beside(form: type[BaseModel], loc: YamlPath) -> dict[str, FieldInfo]:
    """Return the keys that may stand where the last on a path does, by name, with their fields."""
    fields = {field.alias or name: field for name, field in form.model_fields.items()}
    for step in loc[:-1]:
        if isinstance(step, str) and step in fields and (inner := _form_in(fields[step].annotation)) is not None:
            fields = {field.alias or name: field for name, field in inner.model_fields.items()}
    return fields


def _form_in(kind: Any) -> type[BaseModel] | None:
    """Return the form that a field holds, by itself or in a list."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind
    return next((form for part in get_args(kind) if (form := _form_in(part)) is not None), None)


def _fault(detail: ErrorDetails, form: YamlPath, spot: YamlSpot) -> Fault:
    loc: YamlPath = tuple(detail["loc"])
    kind = detail["type"]
    here = spot.at(loc)
    if kind == "extra_forbidden":
        return Fault(_unknown_key(form, loc), here.key)
    if kind == "missing":
        return Fault(_missing_key(form, loc), here.key)
    place = here.key if isinstance(here.children, dict) else here.place
    return Fault(misfit(detail, _key((*form, *loc)), RoomForm.__name__), place)


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
