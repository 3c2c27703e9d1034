"""Every number of the schema, given every kind of wrong value: each fault stands at the value and says what is right.

The schema is walked as an editor would read it; a group has all its keys at once, since what does not fit is said of
each before anything is said of how they go together.
"""

import json
import re
from typing import get_args

import pytest
from pydantic_core.core_schema import ErrorType

from pipemodel.job.misfits import misfit
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.job.schema import json_schema
from pipemodel.messages.values import Name

SCHEMA = json_schema()
NUMBERS = ("number", "integer")
LEAKS = re.compile(
    r"[Ii]nput should|should be|should have|valid (string|integer|number)|instance of|pydantic|type=", re.ASCII
)
RIGHT = re.compile(
    r"write |give |a length|an angle|a number|whole number|or more|more than|at most|less than|at least|\bis one of|"
    r"three lengths|two lengths|true or false|a list|a group|is text|may be|no .{1,40} here is beyond|must |"
    r"takes at most|\bfinite\b|, not |such as|name one|leave it out",
)
WRONG = {
    "text": "hello there", "list": [], "group": {}, "true": True, "nan": float("nan"), "infinite": float("inf"),
    "huge": 1e30, "digits": 10**50, "negative": -1e30, "zero": 0, "below nothing": -1, "half": 0.5, "empty": None,
}  # fmt: skip
WRONG_ALWAYS = {"text", "list", "group", "true", "nan", "infinite", "huge", "digits", "negative"}
FITS = {
    # Text where text may stand; a list of no radii, of a pipe without corners; a leg that a later step looks for.
    "text": {"revision", "to level"}, "list": {"radius"}, "huge": {"legs"},
}  # fmt: skip


def spread(node):
    """Yield the forms a value may have, references followed."""
    if "$ref" in node:
        yield from spread(SCHEMA["$defs"][node["$ref"].rsplit("/", 1)[1]])
    elif "anyOf" in node:
        for part in node["anyOf"]:
            yield from spread(part)
    else:
        yield node


def filled(node, wrong, deep, depth=0):
    """Return a value of a schema in which every number is the wrong one; None where there is none in it.

    Where a number or a group of keys may stand, it is the group if `deep`, else the number.
    """
    ways = list(spread(node))
    number = any(way.get("type") in NUMBERS for way in ways)
    if depth > 14 or (number and not deep):
        return wrong if number else None
    groups = [way for way in ways if way.get("properties") or isinstance(way.get("additionalProperties"), dict)]
    for way in groups:
        named = {**way.get("properties", {}), **({"it": more} if (more := way.get("additionalProperties")) else {})}
        keys = {key: filled(inner, wrong, deep, depth + 1) for key, inner in named.items()}
        keys = {key: value for key, value in keys.items() if value is not None}
        if keys:
            return keys | {key: "east" for key in way.get("required", ()) if key not in keys}
    if number:
        return wrong
    for way in ways:
        if way.get("type") == "array":
            parts = [
                filled(part, wrong, deep, depth + 1) for part in way.get("prefixItems", ()) or [way.get("items", {})]
            ]
            if parts and all(part is not None for part in parts):
                return parts
    return None


class Written:
    """A job as one line of flow YAML, and the columns at which a fault of each of its wrong values may stand."""

    def __init__(self, value, marker, wrong):
        self.marker, self.wrong = marker, {"nan": ".nan", "infinite": ".inf"}.get(wrong, json.dumps(WRONG.get(wrong)))
        self.text, self.columns = "", {}
        self.put(value, (), ())

    def put(self, value, path, around):
        here = len(self.text) + 1
        if value is self.marker:
            self.columns[path] = (here, *around)
            self.text += self.wrong
        elif isinstance(value, dict | list):
            self.text += "{" if isinstance(value, dict) else "["
            for n, (key, inner) in enumerate(value.items() if isinstance(value, dict) else enumerate(value)):
                self.text += ", " if n else ""
                at = len(self.text) + 1
                self.text += f"{json.dumps(key)}: " if isinstance(value, dict) else ""
                self.put(inner, (*path, key), (at, here, *around[:1]))
            self.text += "}" if isinstance(value, dict) else "]"
        else:
            self.text += json.dumps(value)


@pytest.mark.parametrize("deep", [False, True], ids=["numbers", "groups"])
@pytest.mark.parametrize("wrong", WRONG)
def test_every_wrong_number_is_said_at_its_place_with_what_is_right(wrong, deep):
    marker = object()
    job = Written(filled(SCHEMA, marker, deep), marker, wrong)
    assert len(job.columns) > 300
    with pytest.raises(JobError) as error:
        job_of_text(job.text, "job.yaml")
    said = {}
    for fault in error.value.faults:
        assert not LEAKS.search(fault.message)
        said.setdefault(fault.place.column, []).append(fault.message)
    for path, columns in job.columns.items():
        if wrong in FITS and path[-1] in FITS[wrong]:
            continue
        messages = [text for column in columns for text in said.get(column, ())]
        if wrong in WRONG_ALWAYS:
            assert messages, path
        assert all(RIGHT.search(text) for text in said.get(columns[0], ())), (path, messages)


def test_every_kind_of_misfit_is_worded_here():
    """The kinds of the library that fills the forms, as its own list has them."""
    for kind in get_args(ErrorType):
        context = dict.fromkeys(("ge", "gt", "le", "lt"), 1.0) | {"min_length": 1, "max_length": 2, "actual_length": 3}
        context |= {"expected": "a or b", "error": ValueError("ours: write 1")}
        said = misfit({"type": kind, "ctx": context, "input": 7, "msg": "Input should be 8"}, Name("it"))
        assert not LEAKS.search(str(said)), kind
