"""What does not fit the form, in trade words and with its place."""

from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from pipemodel.job.key_meant import CHOICES, keys_at, unknown_key
from pipemodel.job.misfits import misfit
from pipemodel.job.model import Fault
from pipemodel.job.quantities import shown
from pipemodel.job.room_file_forms import RoomForm
from pipemodel.job.schema import schema_at
from pipemodel.job.yaml_tree import YamlPath, YamlSpot
from pipemodel.messages.values import NOTHING, Count, Message, Name, Value, bare, message

THE_JOB = message("fault.the job")
_MOST_KEYS = 8


def faults_of(error: ValidationError, form: YamlPath, spot: YamlSpot) -> list[Fault]:
    """Return one fault for each thing that did not fit a form.

    Args:
        error: what pydantic says.
        form: where in the form of a job that form is; () for the whole.
        spot: where the values stand in the file.
    """
    return [_fault(detail, form, spot) for detail in error.errors(include_url=False)]


def faults_of_form(error: ValidationError, form: type[BaseModel], called: Value, spot: YamlSpot) -> list[Fault]:
    """Return the same for a form that stands in no form of a job, by what people call it: that of a file, say."""
    found: list[Fault] = []
    details = error.errors(include_url=False)
    for detail in details:
        loc: YamlPath = tuple(detail["loc"])
        if detail["type"] == "too_short" and any(one["loc"][: len(loc)] == loc != one["loc"] for one in details):
            continue  # its items are there and at fault themselves
        key, here, fields = str(loc[-1]) if loc else "", spot.at(loc), keys_beside(form, loc)
        if detail["type"] == "extra_forbidden":
            found.append(Fault(unknown_key(key, list(fields)), here.key))
        elif detail["type"] == "missing":
            lacks = _key(loc[:-1]) if len(loc) > 1 else called
            about = _about(fields[key].description or "")
            found.append(Fault(message("fault.lacks", where=lacks, key=Name(key), about=about), here.key))
        else:
            found.append(_fault(detail, (), spot, called))
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


def _fault(detail: ErrorDetails, form: YamlPath, spot: YamlSpot, whole: Value = THE_JOB) -> Fault:
    loc: YamlPath = tuple(detail["loc"])
    kind = detail["type"]
    here = spot.at(loc)
    if kind == "extra_forbidden":
        known = keys_at((*form, *loc[:-1]), without=loc[-1])
        return Fault(unknown_key(loc[-1], known, (*form, *loc[:-1])), here.key)
    if kind == "missing":
        return Fault(_missing_key(form, loc), here.key)
    place = here.key if isinstance(here.children, dict) else here.place
    said = misfit(detail, _key((*form, *loc), whole), RoomForm.__name__)
    if kind in ("model_type", "model_attributes_type") and whole is THE_JOB and isinstance(said, Message):
        said = _with_keys(said, [node for node in schema_at((*form, *loc)) if "properties" in node])
    return Fault(said, place)


def _with_keys(said: Message, forms: list[dict[str, Any]]) -> Message:
    """Return what is said of a value that should be a group of keys, with these, where it is plain which they are."""
    if len(forms) != 1 or forms[0]["additionalProperties"]:  # a group of names
        return said
    keys = list(forms[0]["properties"])
    few = [*keys[:_MOST_KEYS], "..."] if len(keys) > _MOST_KEYS else keys
    return message("fault.its keys", said=said, keys=bare(", ".join(few)))


def _missing_key(form: YamlPath, loc: YamlPath) -> Message:
    where = _key((*form, *loc[:-1])) if len(loc) > 1 else THE_JOB
    return message("fault.lacks", where=where, key=Name(str(loc[-1])), about=_about(_description(form, loc)))


def _about(description: str) -> Message:
    """Return what a key holds, in brackets, as the schema has it."""
    if not description:
        return NOTHING
    return message("fault.about", about=Name(f"{description[0].lower()}{description[1:]}", quoted=False))


def _key(loc: YamlPath, whole: Value = THE_JOB) -> Value:
    """Return the last key on the way to a value: what a person would call it; `whole` where there is none."""
    steps = [step for step in loc if step not in CHOICES]
    number = steps[-1] + 1 if steps and isinstance(steps[-1], int) else None
    names = [step for step in steps if isinstance(step, str)]
    name: Value = Name(shown(names[-1]), quoted=False) if names else whole
    return name if number is None else message("fault.item", n=Count(number), name=name)


def _description(form: YamlPath, loc: YamlPath) -> str:
    for node in schema_at((*form, *loc[:-1])):
        if found := node.get("properties", {}).get(loc[-1]):
            return str(found.get("description", ""))
    return ""
