"""YAML text to plain values, with the place of every one of them.

The tree is built from the parser's events, without recursion, so that a file of a thousand brackets or of
aliases to aliases is refused before it costs anything. Plain scalars are read as YAML 1.2 does: `no` and
`1:30` are text, `012` is twelve, `12e3` is a number. Keys are always text.
"""

import re
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple, TypeAlias

import yaml

from pipemodel.job.model import Fault, Place
from pipemodel.job.quantities import shown
from pipemodel.job.yaml_words import syntax_fault
from pipemodel.messages.values import Count, Message, Name, message

DEEPEST = 40
"""Levels of nesting; the deepest job needs about ten."""
MOST_ALIASED = 20_000
"""How many values the aliases of a file may stand for, all together."""
MOST_DIGITS = 40

YamlPath: TypeAlias = tuple[str | int, ...]

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_new: Any = tuple.__new__
"""Makes a named tuple of all its values at once, without the call that takes them one by one."""
_SCALAR, _LIST, _GROUP = yaml.ScalarEvent, yaml.SequenceStartEvent, yaml.MappingStartEvent
_LIST_END, _GROUP_END = yaml.SequenceEndEvent, yaml.MappingEndEvent
_NUMBER = re.compile(r"[-+]?(?:\d+(\.\d*)?|(\.\d+))([eE][-+]?\d+)?", re.ASCII)
"""A number, its groups empty for a whole one."""
_WORDS: dict[str, Any] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL"), None),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys((".inf", ".Inf", ".INF", "+.inf", "+.Inf", "+.INF"), float("inf")),
    **dict.fromkeys(("-.inf", "-.Inf", "-.INF"), float("-inf")),
    **dict.fromkeys((".nan", ".NaN", ".NAN"), float("nan")),
}


class YamlSpot(NamedTuple):
    """Where a value stands; for a group of keys or a list, also where everything in it stands."""

    place: Place
    key: Place
    """Where its key stands; for an item of a list, the item itself."""
    children: "dict[str, YamlSpot] | list[YamlSpot] | None" = None

    def at(self, path: YamlPath) -> "YamlSpot":
        """Return the spot at the end of a path, leaving out steps of the path that the file does not have."""
        spot = self
        for step in path:
            spot = spot._child(step) or spot
        return spot

    def names(self, path: YamlPath) -> tuple[str, ...]:
        """Return the keys of the group at a path, in the order of the file; none if there is no such group."""
        spot: YamlSpot | None = self
        for step in path:
            spot = spot._child(step) if spot else None
        return tuple(spot.children) if spot and isinstance(spot.children, dict) else ()

    def items(self, path: YamlPath) -> tuple[Place, ...]:
        """Return where the items of the list at a path stand; none if there is no such list."""
        spot: YamlSpot | None = self
        for step in path:
            spot = spot._child(step) if spot else None
        return tuple(child.place for child in spot.children) if spot and isinstance(spot.children, list) else ()

    def _child(self, step: str | int) -> "YamlSpot | None":
        children = self.children
        child: YamlSpot | None = None
        if isinstance(children, dict) and isinstance(step, str):
            child = children.get(step)
        elif isinstance(children, list) and isinstance(step, int) and step < len(children):
            child = children[step]
        return child


class Formula(NamedTuple):
    """A text with `${...}` in it: the list or group that holds it, under which index or key, and where."""

    holder: Any
    key: Any
    text: str
    place: Place


@dataclass
class YamlTree:
    """The values of a file (dicts, lists, text, numbers), where they stand, and the faults met on the way."""

    values: Any = None
    spot: YamlSpot = field(default_factory=lambda: YamlSpot(Place(), Place()))
    formulas: list[Formula] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    complete: bool = False
    """Whether the whole file could be read; if not, `faults` says why."""


def read_tree(text: str, file: str = "") -> YamlTree:
    """Return the tree of a YAML text; never raises, whatever the text.

    Args:
        text: the text.
        file: the file that every place is in; empty for the job's own.
    """
    builder = _Builder(file)
    try:
        following = _LOADER(text).get_event
        while (event := following()) is not None:
            if not builder.take(event):
                return builder.tree
    except yaml.YAMLError as error:
        fault = syntax_fault(error, text)
        builder.tree.faults.append(replace(fault, place=fault.place._replace(file=file)))
        return builder.tree
    builder.tree.complete = True
    return builder.tree


class _Level:
    """A list or a group of keys that is still open."""

    __slots__ = ("anchor", "grouped", "height", "key", "key_place", "place", "spots", "values", "weight")

    def __init__(self, values: Any, place: Place, anchor: str | None) -> None:
        self.values = values
        self.grouped = isinstance(values, dict)
        self.spots: Any = {} if self.grouped else []
        self.place = place
        self.anchor = anchor
        self.key: str | None = None
        self.key_place = place
        self.weight = 1
        self.height = 1


class _Anchored(NamedTuple):
    """What an anchor stands for: its value, spot, formula (if it is one), number of values and levels."""

    value: Any
    spot: YamlSpot
    formula: str | None
    weight: int
    height: int


class _Builder:
    """Takes events one by one; `take` returns whether to go on."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.tree = YamlTree(spot=YamlSpot(Place(file=file), Place(file=file)))
        self.levels: list[_Level] = []
        self.anchors: dict[str, _Anchored | None] = {}
        self.documents = 0
        self.aliased = 0

    def take(self, event: Any) -> bool:
        kind = type(event)
        if kind is _SCALAR:
            return self._scalar(event)
        if kind is _LIST or kind is _GROUP:
            return self._open(event, [] if kind is _LIST else {})
        if kind is _LIST_END or kind is _GROUP_END:
            level = self.levels.pop()
            return self._add(level.values, level.place, level.spots, None, level.anchor, level.weight, level.height)
        if kind is yaml.AliasEvent:
            return self._alias(event)
        if kind is yaml.DocumentStartEvent:
            self.documents += 1
            if self.documents > 1:
                return self._stop(message("yaml.second"), self._place(event))
        return True

    def _scalar(self, event: Any) -> bool:
        place = self._place(event)
        text: str = event.value
        level = self.levels[-1] if self.levels else None
        if event.tag is not None:
            self._refuse_tag(event.tag, place)
        if level is not None and level.grouped and level.key is None:
            return self._key(level, text, place)
        value: Any = text
        if event.implicit[0] and not event.style:
            value = self._plain(text, place)
        formula = text if "${" in text else None
        return self._add(value, place, None, formula, event.anchor, 1, 0)

    def _plain(self, text: str, place: Place) -> Any:
        number = _NUMBER.fullmatch(text)
        if number is None:
            return _WORDS.get(text, text)
        if len(text) > MOST_DIGITS:
            self._note(message("yaml.digits", n=Count(len(text)), most=Count(MOST_DIGITS)), place)
            return text
        return float(text) if any(number.groups()) else int(text)

    def _key(self, level: _Level, text: str, place: Place) -> bool:
        if text in level.values:
            first = level.spots[text].key
            self._note(message("yaml.twice", key=Name(shown(text)), line=Count(first.line)), place)
        level.key, level.key_place = text, place
        return True

    def _open(self, event: Any, values: Any) -> bool:
        place = self._place(event)
        if event.tag is not None:
            self._refuse_tag(event.tag, place)
        if len(self.levels) >= DEEPEST:
            return self._stop(message("yaml.deeper", most=Count(DEEPEST)), place)
        if self.levels and self.levels[-1].key is None and isinstance(self.levels[-1].values, dict):
            return self._stop(message("yaml.no plain key"), place)
        if event.anchor is not None:
            self.anchors[event.anchor] = None
        self.levels.append(_Level(values, place, event.anchor))
        return True

    def _alias(self, event: Any) -> bool:
        place = self._place(event)
        name: str = event.anchor
        called = Name(shown(name), quoted=False)
        if name not in self.anchors:
            return self._stop(message("yaml.alias of nothing", name=called), place)
        target = self.anchors[name]
        if target is None:
            return self._stop(message("yaml.alias in itself", name=called), place)
        if self.levels and self.levels[-1].key is None and isinstance(self.levels[-1].values, dict):
            return self._stop(message("yaml.alias as key", name=called), place)
        self.aliased += target.weight
        if self.aliased > MOST_ALIASED:
            return self._stop(message("yaml.aliases", most=Count(MOST_ALIASED)), place)
        if len(self.levels) + target.height > DEEPEST:
            return self._stop(message("yaml.deeper", most=Count(DEEPEST)), place)
        return self._add(target.value, place, target.spot.children, target.formula, None, target.weight, target.height)

    def _add(
        self,
        value: Any,
        place: Place,
        children: Any,
        formula: str | None,
        anchor: str | None,
        weight: int,
        height: int,
    ) -> bool:
        if not self.levels:
            self.tree.values, self.tree.spot = value, YamlSpot(place, place, children)
            return True
        level = self.levels[-1]
        level.weight += weight
        if height >= level.height:
            level.height = height + 1
        if level.grouped:
            spot = _new(YamlSpot, (place, level.key_place, children))
            key: Any = level.key
            if key not in level.values:
                level.values[key] = value
                level.spots[key] = spot
            level.key = None
        else:
            spot = _new(YamlSpot, (place, place, children))
            key = len(level.values)
            level.values.append(value)
            level.spots.append(spot)
        if formula is not None:
            self.tree.formulas.append(Formula(level.values, key, formula, place))
        if anchor is not None:
            self.anchors[anchor] = _Anchored(value, spot, formula, weight, height)
        return True

    def _refuse_tag(self, tag: str, place: Place) -> None:
        if tag != "!":
            written = tag.replace("tag:yaml.org,2002:", "!!")
            self._note(message("yaml.tag", tag=Name(written[:40], quoted=False)), place)

    def _note(self, said: Message, place: Place) -> None:
        self.tree.faults.append(Fault(said, place))

    def _stop(self, said: Message, place: Place) -> bool:
        self._note(said, place)
        return False

    def _place(self, event: Any) -> Place:
        mark = event.start_mark
        place: Place = _new(Place, (mark.line + 1, mark.column + 1, self.file))
        return place
