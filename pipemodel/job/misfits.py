"""What is wrong with a value that does not fit its field, and what would be right, in our own words."""

from collections.abc import Mapping
from typing import Any

from pipemodel.job.model import said_of
from pipemodel.job.quantities import kind_of, shown
from pipemodel.messages.values import Count, Message, Name, Number, Value, Word, message

_EXPECTED = {
    "model_type": "keys",
    "model_attributes_type": "keys",
    "dict_type": "names",
    "list_type": "list",
    "tuple_type": "list",
    "string_type": "text",
    "bool_type": "truth",
    "bool_parsing": "truth",
    "int_type": "whole",
    "int_parsing": "whole",
    "int_from_float": "whole",
    "int_parsing_size": "digits",
    "float_type": "number",
    "float_parsing": "number",
    "finite_number": "finite",
}
"""What the library that fills the forms was looking for, by the types of its errors."""
_BOUNDS = {"greater_than": "gt", "greater_than_equal": "ge", "less_than": "lt", "less_than_equal": "le"}


def misfit(detail: Mapping[str, Any], name: Value, group: str = "") -> str | Message:
    """Return what is wrong with a value, by the library's account of it.

    Args:
        detail: that account, of any type but those of keys that are unknown or missing.
        name: what the value is called.
        group: the class of forms that are groups of names and not of keys.
    """
    kind, context, value = detail["type"], detail.get("ctx", {}), described(detail["input"])
    if kind == "value_error":
        return said_of(context["error"])
    if group and context.get("class_name") == group:
        kind = "dict_type"
    if kind in _EXPECTED:
        expected: Value = message("fault.kind", kind=Word(_EXPECTED[kind]))
        return message("fault.expected", name=name, expected=expected, value=value)
    if sense := _BOUNDS.get(kind):
        expected = message("fault.bound", sense=Word(sense), n=Number(context[sense]))
        return message("fault.expected", name=name, expected=expected, value=value)
    if kind in ("literal_error", "enum"):
        expected = Name(str(context["expected"]).replace("'", ""), quoted=False)
        return message("fault.expected", name=name, expected=expected, value=value)
    if kind == "too_short":
        least, has = Count(context["min_length"]), Count(context["actual_length"])
        return message("fault.needs", name=name, least=least, has=has)
    if kind == "too_long":
        return message("fault.takes", name=name, most=Count(context["max_length"]))
    if kind == "string_too_short":
        return message("fault.empty", name=name)
    if kind == "string_too_long":
        return message("fault.long", name=name, most=Count(context["max_length"]))
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        would = Name(context.get("expected_tags", "see the schema"), quoted=False)
        return message("fault.not understood here", value=value, would=would)
    return message("fault.not understood", name=name, value=value)


def described(value: Any) -> Value:
    """Return a value as it may be quoted: short, and a group or a list as such."""
    if value is None or isinstance(value, bool | Mapping | list | tuple):
        return message("fault.value", kind=Word(kind_of(value)))
    return Name(shown(value), quoted=isinstance(value, str))
