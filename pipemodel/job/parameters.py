"""The parameters of a job, worked out, and every `${...}` in the file replaced by what it comes to."""

import re
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.expressions import RESERVED, ExpressionError, evaluate, names_in, nearest_said, parameters_said
from pipemodel.job.faults import Faults
from pipemodel.job.model import Fault, Place, said_of
from pipemodel.job.quantities import parse_angle, parse_length, shown
from pipemodel.job.yaml_tree import Formula, YamlPath, YamlTree
from pipemodel.messages.values import Count, Message, Name, message

if TYPE_CHECKING:
    from pipemodel.job.measured import MeasuredRoom

SECTION = "parameters"
MOST = 1000
"""How many parameters a job may have."""

_HOLE = re.compile(r"\$\{([^{}]*)\}")
_WHOLE = re.compile(r"\s*\$\{([^{}]*)\}\s*")
_NAME = re.compile(r"[^\W\d]\w*")


class Resolved(NamedTuple):
    """The values of the parameters, what was measured, the faults, and the places of which nothing more is said.

    Those are of values left unfilled because of a fault elsewhere. `unfound` are the paths of measured points whose
    place is not known.
    """

    values: dict[str, float]
    faults: list[Fault]
    spoilt: set[Place]
    measured: "MeasuredRoom | None" = None
    unfound: tuple[YamlPath, ...] = ()


def resolve(tree: YamlTree, given: Mapping[str, float | str], places: Mapping[str, Vec3] | None = None) -> Resolved:
    """Work out the parameters and fill in every expression of the tree, in place.

    Args:
        tree: a complete tree whose root is a group of keys.
        given: parameters set from outside, which win over what the file says.
        places: where the measured points are, in place of where their readings put them.
    """
    written = tree.values.get(SECTION)
    faults: list[Fault] = []
    if written is not None and not isinstance(written, dict):
        place = tree.spot.at((SECTION,)).place
        return Resolved(
            {}, [Fault(message("formula.group"), place)], {place, *(formula.place for formula in tree.formulas)}
        )
    sheet = _Sheet(tree, written or {}, given)
    faults += sheet.faults
    spoilt: set[Place] = set()
    taped = tree.values.get("measured")
    if not isinstance(taped, dict):
        _fill_all((f for f in tree.formulas if f.holder is not written), sheet, faults, spoilt)
        return Resolved(sheet.values, faults, spoilt)
    from pipemodel.job.measured import put_points, read_measured

    within = _groups(taped)
    _fill_all((f for f in tree.formulas if id(f.holder) in within), sheet, faults, spoilt)
    report = Faults(tree.spot, faults)
    measured = read_measured(taped, report, places)
    names = taped.get("points")
    names = names if isinstance(names, dict) else {}
    values = sheet.values
    # Of points that are not found, nothing is said where they are used.
    sheet.failed |= {f"{name}.{axis}" for name in names for axis in "xyz"}
    named = measured.adjusted.places if measured is not None else dict.fromkeys(names, (0.0, 0.0, 0.0))
    put: list[YamlPath] = []
    for section, value in tree.values.items():
        if value is not taped and value is not written and isinstance(value, dict):
            put += put_points(value, named, (section,))
    sheet.values = {**values, **(measured.values if measured is not None else {})}
    others = (f for f in tree.formulas if f.holder is not written and id(f.holder) not in within)
    _fill_all(others, sheet, faults, spoilt)
    return Resolved(values, faults, spoilt, measured, tuple(put) if measured is None else ())


def _groups(node: Any) -> set[int]:
    """Return the identities of a group or list and of all within it."""
    inner = node.values() if isinstance(node, dict) else node
    return {id(node)}.union(*(_groups(one) for one in inner if isinstance(one, dict | list)))


def _fill_all(formulas: Iterable[Formula], sheet: "_Sheet", faults: list[Fault], spoilt: set[Place]) -> None:
    for holder, key, text, place in formulas:
        try:
            holder[key] = fill(text, sheet.values)
        except ExpressionError as error:
            spoilt.add(place)
            if not sheet.failed or not _names_one_of(text, sheet.failed):
                faults.append(Fault(said_of(error), place))


def fill(text: str, values: Mapping[str, float]) -> float | str:
    """Return a text with its `${...}` worked out: a number if it is one expression, else text.

    Raises:
        ExpressionError: if an expression cannot be worked out, or is not closed.
    """
    if whole := _WHOLE.fullmatch(text):
        return evaluate(whole[1], values)
    filled = _HOLE.sub(lambda hole: f"{evaluate(hole[1], values):.15g}", text)
    if "${" in filled:
        raise ExpressionError(message("formula.not closed", text=Name(shown(text))))
    return filled


class _Sheet:
    """The parameters being worked out, each as soon as those it names are known."""

    def __init__(self, tree: YamlTree, written: dict[str, Any], given: Mapping[str, float | str]) -> None:
        self.spot = tree.spot.at((SECTION,))
        self.values: dict[str, float] = {}
        self.failed: set[str] = set()
        self.faults: list[Fault] = []
        if len(written) > MOST:
            said = message("formula.too many", n=Count(len(written)), most=Count(MOST))
            self.faults.append(Fault(said, self.spot.key))
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
                mend = nearest_said(name, known, parameters_said(known) if known else message("formula.none"))
                said = message("formula.none to set", name=Name(shown(name)), mend=mend)
                self.faults.append(Fault(said, self.spot.key))

    def _needs(self, name: str, value: Any) -> frozenset[str] | None:
        if not isinstance(value, str):
            return frozenset()
        try:
            return frozenset().union(*(names_in(hole[1]) for hole in _HOLE.finditer(value)))
        except ExpressionError as error:
            self._fail(name, said_of(error))
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
                    self._fail(name, said_of(error))

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
                called, made = Name(name, quoted=False), Name(text, quoted=False)
                self._fail(ring[0], message("formula.from itself", name=called, ring=made))
            for done in round_:
                del waiting[done]

    def _fail(self, name: str, said: str | Message, place: Place | None = None) -> None:
        self.failed.add(name)
        self.faults.append(Fault(said, place or self.spot.at((name,)).place))


def _value(value: Any, values: Mapping[str, float]) -> float:
    filled = fill(value, values) if isinstance(value, str) and "${" in value else value
    try:
        return parse_length(filled)
    except ValueError:
        if isinstance(filled, str) and ("deg" in filled or "°" in filled):
            return parse_angle(filled)
        raise


def _bad_name(name: str) -> Message:
    if name in RESERVED:
        return message("formula.reserved", name=Name(name))
    better = re.sub(r"\W+", "_", name).strip("_")
    better = better if _NAME.fullmatch(better) else f"p_{better}"
    return message("formula.bad name", name=Name(shown(name)), better=Name(shown(better)))


def _names_one_of(text: str, names: set[str]) -> bool:
    try:
        return any(names_in(hole[1]) & names for hole in _HOLE.finditer(text))
    except ExpressionError:
        return False
