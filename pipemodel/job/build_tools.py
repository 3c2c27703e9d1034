"""Tubes and formers, from what the user wrote to what is bent and what it is bent round."""

from dataclasses import replace
from functools import cache

from pydantic import ValidationError

from pipemodel.job.faults import Faults
from pipemodel.job.learned import Histories
from pipemodel.job.messages import faults_of
from pipemodel.job.model import Fault, said_of
from pipemodel.job.own_file import OwnFileError, OwnFiles, with_lines
from pipemodel.job.quantities import shown
from pipemodel.job.tool_forms import FormerForm, OwnFormerForm, SpringbackForm, TubeForm
from pipemodel.job.yaml_tree import YamlPath, YamlTree
from pipemodel.messages.values import Length, Message, Name, Number, Word, bare, listed, message
from pipemodel.trade.formers import assumed, completed, find_former, generic_former
from pipemodel.trade.model import Former, Springback, Tube
from pipemodel.trade.tubes import find_tube

SAME_MM = 1e-6


class Tools:
    """Finds each tube and former once, however many runs share it, and notes each fault once."""

    def __init__(self, faults: Faults, files: OwnFiles, histories: Histories, learned: str | None = None) -> None:
        self.faults, self.files = faults, files
        self.histories, self.job_history = histories, learned
        self._taught: dict[tuple[Former, Tube, str], Former | None] = {}
        self.notes: dict[Message, None] = {}
        # However many runs share one, it is looked up once.
        self._tube_of, self._find_former, self._fit_fault = cache(tube_of), cache(self._former_of), cache(fit_fault)
        self._said: set[Fault] = set()

    def tube(self, choice: TubeForm | float | str, path: YamlPath) -> Tube | None:
        """Return the tube chosen at a path, or None with the fault noted."""
        tube = self._tube_of(choice)
        if not isinstance(tube, Tube):
            self._note(path, tube)
            return None
        return tube

    def former(
        self, choice: FormerForm | OwnFormerForm | str | None, tube: Tube, path: YamlPath, own: bool = False
    ) -> Former | None:
        """Return the former chosen at a path (the generic one for None), or None with the fault noted.

        One that is a corner's `own`, given by its figures, is called by its radius.
        """
        if choice is None:
            return self._learned(self._generic_former(tube), tube, None, path)
        former = self.known_former(choice, path)
        if former is None:
            return None
        if fault := self._fit_fault(former, tube):
            self._note((*path, "radius") if isinstance(choice, FormerForm) else path, fault)
            return None
        if own and isinstance(choice, FormerForm) and choice.name is None:
            former = replace(former, name=f"former of radius {former.radius_mm:g} mm")
        file = None if isinstance(choice, str) else choice.history
        if isinstance(choice, FormerForm) and file is not None and choice.name is None:
            self._note(path, message("fault.former name"))
            return None
        return self._learned(completed(former, tube), tube, file, (*path, "history"))

    def _learned(self, former: Former, tube: Tube, file: str | None, path: YamlPath) -> Former | None:
        """Return a former with what finished pieces say of it; None with the fault noted.

        What is taken from the generic one, and what is learned, is noted for the reader.

        Args:
            former: the former, complete.
            tube: the tube it bends.
            file: the history that it names itself; the job's serves where it names none.
            path: where that is.
        """
        asked = file is not None
        if file is None:
            file, path = self.job_history, ("learned",)
        taught: Former | None = former
        if file is not None:
            triple = (former, tube, file)
            if triple not in self._taught:
                self._taught[triple] = self._teach(*triple, path, asked)
            taught = self._taught[triple]
            if taught is former and self.histories.records(file, path):
                self.notes[message("former.learned nothing", former=former.called, file=Name(file))] = None
        if taught is not None:
            said = [assumed(taught) if taught.completed_from else None, taught.learned, taught.drifted]
            self.notes |= dict.fromkeys(note for note in said if note is not None)
        return taught

    def _teach(self, former: Former, tube: Tube, file: str, path: YamlPath, asked: bool) -> Former | None:
        taught = self.histories.former(file, former, tube, path, asked)
        if taught is not None and (fault := fit_fault(taught, tube)):
            self.faults.once(path, message("fault.with learned", file=Name(shown(file)), why=Fault(fault).value))
            return None
        return taught

    def known_former(self, choice: FormerForm | OwnFormerForm | str, path: YamlPath) -> Former | None:
        """Return the former chosen at a path, whatever tube it is for, or None with the fault noted."""
        former = self._find_former(choice)
        if not isinstance(former, Former):
            self._note(path, former)
            return None
        return former

    def _former_of(self, choice: FormerForm | OwnFormerForm | str) -> Former | str | Message:
        if isinstance(choice, FormerForm):
            return former_of_form(choice)
        try:
            if isinstance(choice, str):
                return find_former(choice)
            if choice.file is None:
                former = find_former(choice.name)
            else:
                own = read_formers(self.files.tree(choice.file), choice.file)
                if choice.name not in own:
                    there = listed([bare(shown(one)) for one in own], ",")
                    file, name = Name(shown(choice.file)), Name(shown(choice.name))
                    return message("fault.no own former", file=file, name=name, there=there)
                former = own[choice.name]
            return replace(former, allow_tight=True) if choice.allow_tight else former
        except LookupError as error:
            return said_of(error)
        except OwnFileError as error:
            return message("file.all", said=listed(error.messages, ";"))

    def _generic_former(self, tube: Tube) -> Former:
        former = generic_former(tube)
        said = message("former.not given", tube=tube.called, former=former.called, radius=Length(former.radius_mm))
        self.notes[said] = None
        return former

    def _note(self, path: YamlPath, said: str | Message) -> None:
        fault = Fault(said, self.faults.place(path))
        if fault not in self._said:
            self._said.add(fault)
            self.faults.found.append(fault)


def fit_fault(former: Former, tube: Tube) -> str | Message | None:
    """Return why a tube cannot be bent round a former: another size, or a radius too small; or None.

    A radius of half the outside diameter or less is no bend at all. One below what is published for the tube's
    temper is refused unless the former allows it; a measured radius only if its whole interval lies below.
    """
    half = tube.outside_mm / 2.0
    if former.radius_mm <= half:
        return message(
            "fault.radius",
            radius=Number(former.radius_mm),
            tube=bare(tube.name),
            half=Number(half),
            missing=Number(half - former.radius_mm),
        )
    if former.outside_mm is not None and abs(former.outside_mm - tube.outside_mm) > SAME_MM:
        return message(
            "fault.former size",
            former=Name(former.name, quoted=False),
            outside=Number(former.outside_mm),
            tube=Name(tube.name, quoted=False),
        )
    least = tube.min_radius_mm
    within = former.radius_within_mm
    if least is not None and former.radius_mm + within < least - SAME_MM and not former.allow_tight:
        return message(
            "fault.radius small",
            radius=bare(f"{former.radius_mm:g} \u00b1 {within:g}") if within else Number(former.radius_mm),
            tube=bare(tube.name),
            least=Number(least),
            missing=Number(least - former.radius_mm - within, ".4g"),
            where=Word("upper end" if within else "itself"),
        )
    return None


def tube_of(choice: TubeForm | float | str) -> Tube | str | Message:
    """Return the tube that is meant, or why there is none."""
    if isinstance(choice, TubeForm):
        name = " ".join(filter(None, [f"{choice.outside:g} x {choice.wall:g}", choice.material]))
        return Tube(choice.outside, choice.wall, name, choice.material, choice.temper)
    try:
        return find_tube(choice)
    except LookupError as error:
        return said_of(error)


def former_of_form(form: FormerForm, name: str = Former.name) -> Former:
    """Return the former that a form describes."""
    spring = form.springback
    return Former(
        form.radius,
        form.name or name,
        springback=Springback() if spring is None else _springback(spring),
        mark_mm=form.mark_mm,
        mark_at=form.mark if isinstance(form.mark, str) else "offset" if form.mark else "beginning",
        rim_mm=form.rim,
        guide_travel_mm=form.guide_travel,
        hold_mm=form.hold or 0.0,
        guide_mm=form.guide or 0.0,
        guide_block_mm=form.guide_block,
        max_angle_deg=form.max_angle,
        outside_mm=form.outside,
        not_given=form.not_given,
        radius_within_mm=form.radius_within,
        mark_within_mm=form.mark_within,
        allow_tight=form.allow_tight,
    )


def _springback(form: SpringbackForm) -> Springback:
    return Springback(form.per_degree, form.fixed, form.fixed_within, form.per_degree_within, form.correlation)


def read_formers(tree: YamlTree, file: str) -> dict[str, Former]:
    """Return the formers of a file of one's own: a mapping of names, each with its measures.

    Raises:
        OwnFileError: with everything in the file that does not fit, each with its line.
    """
    if not isinstance(tree.values, dict) or not tree.values:
        raise OwnFileError([message("file.no formers", file=Name(shown(file)))])
    formers: dict[str, Former] = {}
    messages: list[Message] = []
    for name, values in tree.values.items():
        try:
            formers[name] = former_of_form(FormerForm.model_validate(values), name)
        except ValidationError as error:
            messages += with_lines(file, faults_of(error, ("former",), tree.spot.at((name,))))
            continue
        form = values if isinstance(values, dict) else {}
        for key in ("name", "history"):
            if form.get(key) is not None:
                said = message("file.former key", key=Word(key), name=Name(shown(name)))
                messages += with_lines(file, [Fault(said, tree.spot.at((name, key)).key)])
    if messages:
        raise OwnFileError(messages)
    return formers
