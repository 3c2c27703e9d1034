"""What is wrong with a value that does not fit its field, and what would be right, in our own words."""

from collections.abc import Mapping
from typing import Any

from pipemodel.job.quantities import shown

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
    "int_parsing_size": "a whole number of fewer digits",
    "float_type": "a number",
    "float_parsing": "a number",
    "finite_number": "a finite number",
    "greater_than": "more than {gt:g}",
    "greater_than_equal": "{ge:g} or more",
    "less_than": "less than {lt:g}",
    "less_than_equal": "{le:g} at most",
}
"""What the library that fills the forms was looking for, by the types of its errors."""


def misfit(detail: Mapping[str, Any], name: str, group: str = "") -> str:
    """Return what is wrong with a value, by the library's account of it.

    Args:
        detail: that account, of any type but those of keys that are unknown or missing.
        name: what the value is called.
        group: the class of forms that are groups of names and not of keys.
    """
    kind, context, value = detail["type"], detail.get("ctx", {}), detail["input"]
    if kind == "value_error":
        return str(context["error"])
    if group and context.get("class_name") == group:
        kind = "dict_type"
    if kind in _EXPECTED:
        return f"{name} is {_EXPECTED[kind].format(**context)}, not {described(value)}"
    if kind in ("literal_error", "enum"):
        expected = str(context["expected"]).replace("'", "")
        return f"{name} is {expected}, not {described(value)}"
    if kind == "too_short":
        return f"{name} needs at least {context['min_length']}; this has {context['actual_length']}"
    if kind == "too_long":
        return f"{name} takes at most {context['max_length']}"
    if kind == "string_too_short":
        return f"{name} is empty"
    if kind == "string_too_long":
        return f"{name} is too long; at most {context['max_length']} characters"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return f"{described(value)} is not understood here; {context.get('expected_tags', 'see the schema')} would be"
    return f"{name} is not understood: {described(value)}; `pipemodel schema` says what may stand here"


def described(value: Any) -> str:
    """Return a value as it may be quoted: short, and a group or a list as such."""
    if value is None:
        return "empty"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "a group of keys"
    if isinstance(value, list | tuple):
        return "a list"
    return repr(shown(value)) if isinstance(value, str) else shown(value)
