"""The rules of building that a job is held against: the tool's own by name, or out of a file of the user's own."""

import pathlib
from collections.abc import Sequence
from difflib import get_close_matches

from pydantic import Field

from pipemodel.job.build_room import TERM_KINDS
from pipemodel.job.faults import Faults
from pipemodel.job.form import Form
from pipemodel.job.model import Fault, Thing
from pipemodel.job.own_file import OwnFileError, read_own
from pipemodel.job.quantities import shown
from pipemodel.trade.rules import RulesError, RuleSet, read_rule_set, rule_set_named, rule_sets


class OwnRulesForm(Form):
    """Rules out of a file of one's own, of the form of the tool's."""

    file: str = Field(description="A YAML file with one set of rules, from the job's folder")


def build_rules(
    chosen: Sequence[str | OwnRulesForm], faults: Faults, folder: pathlib.Path, allow_outside: bool
) -> tuple[RuleSet, ...]:
    """Return the sets of rules a job names, each once; those at fault are noted and left out."""
    found: dict[str, RuleSet] = {}
    for i, choice in enumerate(chosen):
        try:
            rules = rule_set_named(choice) if isinstance(choice, str) else _own(choice.file, folder, allow_outside)
            found[rules.name] = rules
        except LookupError as error:
            faults.at(("rules", i), str(error.args[0]))
        except OwnFileError as error:
            for text in error.messages:
                faults.at(("rules", i), text)
    return tuple(found.values())


def _own(file: str, folder: pathlib.Path, allow_outside: bool) -> RuleSet:
    tree = read_own(file, folder, allow_outside)
    try:
        return read_rule_set(tree.values)
    except RulesError as error:
        raise OwnFileError(
            [
                f"{shown(file)!r}, line {tree.spot.at(keys).place.line}: {': '.join(map(shown, keys))}: {why}"
                for keys, why in error.faults
            ]
        ) from None


def check_kinds(things: Sequence[Thing], rules: Sequence[RuleSet], faults: Faults) -> None:
    """Note each thing whose kind no set of rules names, chosen or not: it would be passed by in silence.

    What a building term is, of which nobody has said what it is, is no fault.
    """
    known = sorted({*TERM_KINDS.values(), *(kind for one in (*rule_sets().values(), *rules) for kind in one.kinds)})
    for thing in things:
        if thing.kind and thing.kind not in known:
            near = get_close_matches(thing.kind, known, 3, 0.5) or known
            text = f"{shown(thing.name)!r}: no rules name {shown(thing.kind)!r}; a thing may be {', '.join(near)}"
            faults.found.append(Fault(text, thing.place))
