"""The parameters of a job, worked out, and every `${...}` in the file replaced by what it comes to."""

import re
from collections.abc import Mapping
from typing import Any

from pipemodel.job.expressions import RESERVED, ExpressionError, evaluate, names_in, nearest
from pipemodel.job.model import Fault, Place
from pipemodel.job.quantities import parse_angle, parse_length, shown
from pipemodel.job.yaml_tree import YamlTree

SECTION = "parameters"
MOST = 1000
"""How many parameters a job may have."""

_HOLE = re.compile(r"\$\{([^{}]*)\}")
_WHOLE = re.compile(r"\s*\$\{([^{}]*)\}\s*")
_NAME = re.compile(r"[^\W\d]\w*")


def resolve(tree: YamlTree, given: Mapping[str, float | str]) -> tuple[dict[str, float], list[Fault], set[Place]]:
    """Work out the parameters and fill in every expression of the tree, in place.

    Args:
        tree: a complete tree whose root is a group of keys.
        given: parameters set from outside, which win over what the file says.

    Returns:
        The parameters' values; the faults; and the places of values left unfilled because of a fault
        elsewhere, of which nothing more should be said.
    """
    written = tree.values.get(SECTION)
    faults: list[Fault] = []
    if written is not None and not isinstance(written, dict):
        place = tree.spot.at((SECTION,)).place
        text = "parameters is a group of names and values, such as {drop: 350}"
        return {}, [Fault(text, place)], {place, *(formula.place for formula in tree.formulas)}
    sheet = _Sheet(tree, written or {}, given)
    faults += sheet.faults
    spoilt: set[Place] = set()
    for holder, key, text, place in tree.formulas:
        if holder is written:
            continue
        try:
            holder[key] = fill(text, sheet.values)
        except ExpressionError as error:
            spoilt.add(place)
            if not sheet.failed or not _names_one_of(text, sheet.failed):
                faults.append(Fault(str(error), place))
    return sheet.values, faults, spoilt


def fill(text: str, values: Mapping[str, float]) -> float | str:
    """Return a text with its `${...}` worked out: a number if it is one expression, else text.

    Raises:
        ExpressionError: if an expression cannot be worked out, or is not closed.
    """
    if whole := _WHOLE.fullmatch(text):
        return evaluate(whole[1], values)
    filled = _HOLE.sub(lambda hole: f"{evaluate(hole[1], values):.15g}", text)
    if "${" in filled:
        raise ExpressionError(f"'${{' without its '}}' in {shown(text)!r}")
    return filled


class _Sheet:
    """The parameters being worked out, each as soon as those it names are known."""

    def __init__(self, tree: YamlTree, written: dict[str, Any], given: Mapping[str, float | str]) -> None:
        self.spot = tree.spot.at((SECTION,))
        self.values: dict[str, float] = {}
        self.failed: set[str] = set()
        self.faults: list[Fault] = []
        if len(written) > MOST:
            self.faults.append(Fault(f"{len(written)} parameters; at most {MOST} are read", self.spot.key))
            self.failed.update(written)
            return
        self._check_given(written, given)
        order = list(written)
        written = {**written, **{name: value for name, value in given.items() if name in written}}
        waiting: dict[str, frozenset[str]] = {}
        for name in order:
            if name in RESERVED or not _NAME.fullmatch(name):
                self._fail(name, _bad_name(name), self.spot.at((name,)).key)
            elif (needs := self._needs(name, written[name])) is not None:
                waiting[name] = needs
        self._work_out(waiting, written)
        self.values = {name: self.values[name] for name in order if name in self.values}

    def _check_given(self, written: dict[str, Any], given: Mapping[str, float | str]) -> None:
        for name in given:
            if name not in written:
                known = list(written)
                say = f"the parameters are {', '.join(known[:12])}" if known else "the job has no parameters"
                text = f"there is no parameter {shown(name)!r} to set; {nearest(str(name), known, say)}"
                self.faults.append(Fault(text, self.spot.key))

    def _needs(self, name: str, value: Any) -> frozenset[str] | None:
        if not isinstance(value, str):
            return frozenset()
        try:
            return frozenset().union(*(names_in(hole[1]) for hole in _HOLE.finditer(value)))
        except ExpressionError as error:
            self._fail(name, str(error))
            return None

    def _work_out(self, waiting: dict[str, frozenset[str]], written: dict[str, Any]) -> None:
        while waiting:
            ready = [name for name, needs in waiting.items() if not needs & waiting.keys()]
            if not ready:
                self._cycle(waiting)
                return
            for name in ready:
                if waiting.pop(name) & self.failed:
                    self.failed.add(name)
                    continue
                try:
                    self.values[name] = _value(written[name], self.values)
                except ValueError as error:
                    self._fail(name, str(error))

    def _cycle(self, waiting: dict[str, frozenset[str]]) -> None:
        self.failed.update(waiting)
        while waiting:
            name = next(iter(waiting))
            round_ = [name]
            while (name := min(waiting[name] & waiting.keys(), default="")) and name not in round_:
                round_.append(name)
            if name:
                ring = round_[round_.index(name) :]
                text = " -> ".join([*ring, name]) if len(ring) < 8 else f"{ring[0]} -> {ring[1]} -> ... -> {name}"
                self._fail(ring[0], f"the parameter {name} is made from itself: {text}")
            for done in round_:
                del waiting[done]

    def _fail(self, name: str, message: str, place: Place | None = None) -> None:
        self.failed.add(name)
        self.faults.append(Fault(message, place or self.spot.at((name,)).place))


def _value(value: Any, values: Mapping[str, float]) -> float:
    filled = fill(value, values) if isinstance(value, str) and "${" in value else value
    try:
        return parse_length(filled)
    except ValueError:
        if isinstance(filled, str) and ("deg" in filled or "°" in filled):
            return parse_angle(filled)
        raise


def _bad_name(name: str) -> str:
    if name in RESERVED:
        return f"{name!r} means something in expressions already; give the parameter another name"
    better = re.sub(r"\W+", "_", name).strip("_")
    better = better if _NAME.fullmatch(better) else f"p_{better}"
    return f"a parameter's name is made of letters, digits and _; not {shown(name)!r} but {shown(better)!r}"


def _names_one_of(text: str, names: set[str]) -> bool:
    try:
        return any(names_in(hole[1]) & names for hole in _HOLE.finditer(text))
    except ExpressionError:
        return False
