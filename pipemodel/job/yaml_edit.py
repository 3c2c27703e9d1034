"""Values put into a YAML file of the user's own, by the least change of its text.

Comments, order, layout and ways of writing stay; only the values that change are written over, and what is new is
put after what belongs to the same group. Whatever is too unusual for that is refused, never rewritten.
"""

from collections.abc import Mapping
from typing import Any, TypeAlias

import yaml

NewValues: TypeAlias = Mapping[str, Any]
"""Numbers, true or false, or groups of these, by key."""


class LayoutError(ValueError):
    """Text that cannot be changed without rewriting it; the message is what to write in by hand."""


def with_values(text: str, name: str, values: NewValues) -> str:
    """Return a YAML text with values put into the group of a name at its top, which is made if not there.

    Args:
        text: the file's text, of a mapping of names; may be empty.
        name: the name of the group.
        values: what the group is to hold; everything else in it stays.

    Raises:
        LayoutError: if that cannot be done by changing these values alone (anchors, for example, that share them).
    """
    newline = "\r\n" if "\r\n" in text else "\n"
    before = yaml.safe_load(text)
    if before is None:
        head = text if not text or text.endswith("\n") else text + newline
        changed = head + _block(name, values, newline)
    else:
        edits: list[tuple[int, int, str]] = []
        root = yaml.compose(text, Loader=yaml.SafeLoader)
        if not isinstance(root, yaml.MappingNode):
            raise LayoutError(_by_hand(name, values))
        _put(text, root, {name: values}, edits, newline, top=True)
        changed = text
        for start, end, new in sorted(edits, reverse=True):
            changed = changed[:start] + new + changed[end:]
    wanted = _merged(before or {}, {name: values})
    try:
        right = yaml.safe_load(changed) == wanted
    except yaml.YAMLError:
        right = False
    if not right:
        raise LayoutError(_by_hand(name, values))
    return changed


def _put(
    text: str, group: yaml.MappingNode, values: NewValues, edits: list[tuple[int, int, str]], newline: str, top: bool
) -> None:
    """Note the changes that put values into a group."""
    children = {key.value: child for key, child in group.value}
    fresh: dict[str, Any] = {}
    for key, value in values.items():
        child = children.get(key)
        if child is None:
            fresh[key] = value
        elif isinstance(child, yaml.MappingNode) and isinstance(value, Mapping):
            _put(text, child, value, edits, newline, top=False)
        else:
            start, end = child.start_mark.index, child.end_mark.index
            written = text[start:end]
            if not isinstance(child, yaml.ScalarNode) or yaml.safe_load(written or "null") != value:
                edits.append((start, end, ("" if written else " ") + _flow(value)))
    if not fresh:
        return
    if group.flow_style:
        end = _end(group.value[-1]) if group.value else group.start_mark.index + 1
        added = ", ".join(f"{_key(key)}: {_flow(value)}" for key, value in fresh.items())
        edits.append((end, end, f", {added}" if group.value else added))
    elif top:
        # After everything, so that comments at the end stay with what they were written under.
        lead = "" if text.endswith("\n") else newline
        edits.append((len(text), len(text), lead + "".join(_block(k, v, newline) for k, v in fresh.items())))
    else:
        indent = " " * group.value[0][0].start_mark.column
        end = text.find("\n", _end(group.value[-1]))
        end = len(text) if end < 0 else end - text[:end].endswith("\r")
        lines = "".join(f"{newline}{indent}{_key(key)}: {_flow(value)}" for key, value in fresh.items())
        edits.append((end, end, lines))


def _end(pair: tuple[yaml.Node, yaml.Node]) -> int:
    """Return where the text of a key and its value ends, without the blank lines and comments after it."""
    key, value = pair
    if isinstance(value, yaml.CollectionNode) and not value.flow_style and value.value:
        last = value.value[-1]
        return _end(last) if isinstance(value, yaml.MappingNode) else _end((last, last))
    return int(max(value.end_mark.index, key.end_mark.index + 1))


def _block(name: str, values: NewValues, newline: str) -> str:
    lines = [f"{_key(name)}:", *(f"  {_key(key)}: {_flow(value)}" for key, value in values.items())]
    return "".join(line + newline for line in lines)


def _flow(value: object) -> str:
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(key)}: {_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return _dumped({"a": value})[len("{a: ") : -1]


def _key(name: str) -> str:
    return _dumped({name: 0})[1 : -len(": 0}")]


def _dumped(value: object) -> str:
    text: str = yaml.safe_dump(value, default_flow_style=True, allow_unicode=True, width=float("inf"))
    return text.strip()


def _merged(before: Mapping[str, Any], values: NewValues) -> dict[str, Any]:
    merged = dict(before)
    for key, value in values.items():
        inner = merged.get(key)
        if isinstance(value, Mapping):
            merged[key] = _merged(inner if isinstance(inner, Mapping) else {}, value)
        else:
            merged[key] = value
    return merged


def _by_hand(name: str, values: NewValues) -> str:
    return _block(name, values, "\n").rstrip()
