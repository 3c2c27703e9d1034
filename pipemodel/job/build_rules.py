"""The rules of building that a job is held against: the tool's own by name, or out of a file of the user's own."""

from collections.abc import Collection, Iterable, Sequence
from difflib import get_close_matches

from pydantic import ValidationError
from yaml import YAMLError

from pipemodel.job.build_room import TERM_KINDS
from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.messages import faults_of_form
from pipemodel.job.model import Fault, Run, Thing, said_of
from pipemodel.job.own_file import OwnFileError, OwnFiles, with_lines
from pipemodel.job.quantities import shown
from pipemodel.job.rules_forms import ChosenRulesForm
from pipemodel.messages.values import Name, bare, message
from pipemodel.trade.rules import RULES, RuleSet, rule_set_named, rule_sets

_OURS = OwnFiles(RULES, allow_outside=False)


def build_rules(
    chosen: Sequence[str | ChosenRulesForm],
    names: Collection[str],
    faults: Faults,
    files: OwnFiles,
) -> tuple[RuleSet, ...]:
    """Return the sets of rules a job names, each once; those at fault are noted and left out. `names` are its runs'."""
    found: dict[str, RuleSet] = {}
    for i, choice in enumerate(chosen):
        form = ChosenRulesForm(set=choice) if isinstance(choice, str) else choice
        for k, run in enumerate(form.runs or ()):
            if run not in names:
                faults.at(("rules", i, "runs", k), none_called("run", run, names))
        try:
            rules = _named(form.set_) if form.set_ is not None else _own(form.file or "", files)
        except LookupError as error:
            faults.at(("rules", i), said_of(error))
        except OwnFileError as error:
            for text in error.messages:
                faults.at(("rules", i), text)
        else:
            if rules.name in found:
                faults.at(("rules", i), message("fault.named twice", name=Name(rules.name)))
            found[rules.name] = rules.model_copy(update={"runs": form.runs and frozenset(form.runs)})
    return tuple(found.values())


def _named(name: str) -> RuleSet:
    try:
        return rule_set_named(name)
    except (ValidationError, YAMLError):
        # One of the tool's own files is at fault: read as a user's, it is named with its line.
        return next(one for path in sorted(RULES.glob("*.yaml")) if (one := _own(path.name, _OURS)).name == name)


def _own(file: str, files: OwnFiles) -> RuleSet:
    tree = files.tree(file)
    try:
        return RuleSet.model_validate(tree.values)
    except ValidationError as error:
        faults = faults_of_form(error, RuleSet, message("fault.rules"), tree.spot)
        raise OwnFileError(with_lines(file, faults)) from None


def check_kinds(things: Sequence[Thing], rules: Sequence[RuleSet], faults: Faults) -> None:
    """Note each thing whose kind no set of rules names, chosen or not: it would be passed by in silence.

    What a building term is, of which nobody has said what it is, is no fault.
    """
    of_terms = frozenset(TERM_KINDS.values())
    # A term of many parts is named once.
    named = {(one.of or one.name, one.kind, one.place) for one in things if one.kind and one.kind not in of_terms}
    if not named:
        return
    known = sorted({*of_terms, *(kind for one in (*rule_sets().values(), *rules) for kind in one.kinds)})
    for name, kind, place in sorted(one for one in named if one[1] not in known):
        near = dict.fromkeys([*get_close_matches(kind, known, 3, 0.5), *known])
        may = bare(", ".join(near))
        said = message("fault.no such kind", name=Name(shown(name)), kind=Name(shown(kind)), may=may)
        faults.found.append(Fault(said, place))


def check_may_cut(runs: Iterable[Run], rules: Sequence[RuleSet], faults: Faults) -> None:
    """Note runs for which joists may be cut, and no rule of the job says where."""
    for run in runs:
        for key, kind in (("holes", "hole"), ("notches", "notch")):
            if run.route.find is None or kind not in run.route.find.may_cut:
                continue
            if not any(getattr(one.joists, kind, None) for one in rules if one.counts_for(run.name)):
                faults.at(
                    ("runs", run.name, "find", key),
                    message("fault.cut by rules", key=Name(key, quoted=False)),
                )
