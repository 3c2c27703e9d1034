"""The bender a run is pulled in, from what the user wrote: a name, shapes, or a file of the user's own."""

from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache

from pydantic import ValidationError

from pipemodel.job.bender_forms import GROUPS, BenderForm, Group, OwnBenderForm
from pipemodel.job.faults import Faults
from pipemodel.job.messages import faults_of
from pipemodel.job.model import Fault, said_of
from pipemodel.job.own_file import OwnFileError, OwnFiles, with_lines
from pipemodel.job.quantities import shown
from pipemodel.job.yaml_tree import YamlPath, YamlTree, read_tree
from pipemodel.messages.values import Message, Name, bare, message
from pipemodel.trade.benders import Bender, BenderPart
from pipemodel.trade.rows import DATA


class Benders:
    """Finds each bender once, however many runs share it, and notes each fault once."""

    def __init__(self, faults: Faults, files: OwnFiles) -> None:
        self._faults, self._files = faults, files
        self._known: dict[YamlPath, Bender | None] = {}

    def bender(self, choice: BenderForm | OwnBenderForm | str, path: YamlPath) -> Bender | None:
        """Return the bender chosen at a path of the job, or None with its faults noted."""
        if path not in self._known:
            self._known[path] = self._find(choice, path)
        return self._known[path]

    def _find(self, choice: BenderForm | OwnBenderForm | str, path: YamlPath) -> Bender | None:
        at = path
        try:
            if isinstance(choice, str):
                return bender_named(choice)
            if isinstance(choice, BenderForm):
                at = (*path, "like")
                return bender_of_form(choice, "bender of the job")
            at = (*path, "name")
            return bender_named(choice.name, read_benders(self._files.tree(choice.file), choice.file))
        except LookupError as error:
            self._faults.at(at, said_of(error))
        except OwnFileError as error:
            for said in error.messages:
                self._faults.at((*path, "file"), said)
        return None


@cache
def generic_benders() -> dict[str, Bender]:
    """Return the benders of common practice, by name."""
    file = DATA / "benders.yaml"
    return read_benders(read_tree(file.read_text(encoding="utf-8")), file.name, generic=True)


def bender_named(name: str, own: Mapping[str, Bender] | None = None) -> Bender:
    """Return the bender of that name, of the user's own first, then of those of common practice.

    Raises:
        LookupError: if there is none; it names the nearest ones.
    """
    if own and name in own:
        return own[name]
    known = {**generic_benders(), **(own or {})}
    if name in known:
        return known[name]
    near = get_close_matches(name, known, 3, 0.4) or sorted(known)
    raise LookupError(message("fault.no bender", name=Name(shown(name)), there=bare(", ".join(near))))


def read_benders(tree: YamlTree, file: str, generic: bool = False) -> dict[str, Bender]:
    """Return the benders of a file; each may be like one before it in it, or one of common practice.

    Raises:
        OwnFileError: with everything in the file that does not fit, each with its line.
    """
    if not isinstance(tree.values, dict):
        raise OwnFileError([message("file.benders", file=Name(shown(file)))])
    benders: dict[str, Bender] = {}
    messages: list[Message] = []
    for name, values in tree.values.items():
        spot = tree.spot.at((name,))
        try:
            benders[name] = bender_of_form(BenderForm.model_validate(values), name, benders, generic)
        except ValidationError as error:
            messages += with_lines(file, faults_of(error, ("bender",), spot), name)
        except LookupError as error:
            messages += with_lines(file, [Fault(said_of(error), spot.at(("like",)).place)], name)
    if messages:
        raise OwnFileError(messages)
    return benders


def bender_of_form(
    form: BenderForm, name: str, own: Mapping[str, Bender] | None = None, generic: bool = False
) -> Bender:
    """Return the bender that a form describes; `own` are those of the user that it may be like.

    Raises:
        LookupError: if there is none that it is like.
    """
    base = Bender(name, 0.0) if form.like is None else bender_named(form.like, own)
    return Bender(
        name,
        form.radius or base.radius_mm,
        **{group: _group(form, group, base) for group in GROUPS},
        generic=generic,
        source=base.source if form.source is None else form.source,
    )


def _group(form: BenderForm, group: Group, base: Bender) -> tuple[BenderPart, ...]:
    """Return the parts of a group over those of `base`: one of the same name replaces it, `none` takes it out."""
    own = {name: part and BenderPart(name, part.shape) for name, part in getattr(form, group).items()}
    parts = {part.name: part for part in getattr(base, group)} | own
    return tuple(part for part in parts.values() if part is not None)
