"""Tubes and formers, from what the user wrote to what is bent and what it is bent round."""

from pipemodel.job.faults import Faults
from pipemodel.job.forms import FormerForm, TubeForm
from pipemodel.job.model import Fault
from pipemodel.job.yaml_tree import Path
from pipemodel.trade.formers import find_former, generic_former
from pipemodel.trade.model import Former, Springback, Tube
from pipemodel.trade.tubes import find_tube

SAME_MM = 1e-6


class Tools:
    """Finds each tube and former once, however many runs share it, and notes each fault once."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults
        self.notes: dict[str, None] = {}
        self._tubes: dict[TubeForm | float | str, Tube | str] = {}
        self._formers: dict[FormerForm | str, Former | str] = {}
        self._generic: dict[Tube, Former] = {}
        self._checked: dict[tuple[FormerForm | str, Tube], str | None] = {}
        self._said: set[Fault] = set()

    def tube(self, choice: TubeForm | float | str, path: Path) -> Tube | None:
        """Return the tube chosen at a path, or None with the fault noted."""
        if choice not in self._tubes:
            self._tubes[choice] = _tube(choice)
        tube = self._tubes[choice]
        if isinstance(tube, str):
            self._note(path, tube)
            return None
        return tube

    def former(self, choice: FormerForm | str | None, tube: Tube, path: Path) -> Former | None:
        """Return the former chosen at a path (the generic one for None), or None with the fault noted."""
        if choice is None:
            return self._generic_former(tube)
        former = self.known_former(choice, path)
        if former is None:
            return None
        pair = (choice, tube)
        if pair not in self._checked:
            self._checked[pair] = fit_fault(former, tube, isinstance(choice, FormerForm) and choice.allow_tight)
        if fault := self._checked[pair]:
            self._note((*path, "radius") if isinstance(choice, FormerForm) else path, fault)
            return None
        return former

    def known_former(self, choice: FormerForm | str, path: Path) -> Former | None:
        """Return the former chosen at a path, whatever tube it is for, or None with the fault noted."""
        if choice not in self._formers:
            self._formers[choice] = _former(choice)
        former = self._formers[choice]
        if isinstance(former, str):
            self._note(path, former)
            return None
        return former

    def _generic_former(self, tube: Tube) -> Former:
        if tube not in self._generic:
            former = self._generic[tube] = generic_former(tube)
            self.notes[
                f"no former is given for {tube.name}: the {former.name} serves, with a radius of "
                f"{former.radius_mm:g} mm; measure your own former before cutting"
            ] = None
        return self._generic[tube]

    def _note(self, path: Path, message: str) -> None:
        fault = Fault(message, self.faults.place(path))
        if fault not in self._said:
            self._said.add(fault)
            self.faults.found.append(fault)


def fit_fault(former: Former, tube: Tube, allow_tight: bool = False) -> str | None:
    """Return why a tube cannot be bent round a former: another size, or a radius too small; or None.

    A radius of half the outside diameter or less is no bend at all; one below what is published for the
    tube's temper is refused unless `allow_tight`.
    """
    half = tube.outside_mm / 2.0
    if former.radius_mm <= half:
        return (
            f"a radius of {former.radius_mm:g} mm is impossible for {tube.name}: the centreline's radius must be more "
            f"than half the outside diameter, {half:g} mm; {half - former.radius_mm:g} mm is missing"
        )
    if former.outside_mm is not None and abs(former.outside_mm - tube.outside_mm) > SAME_MM:
        return (
            f"the {former.name} is for tube of {former.outside_mm:g} mm, and this is {tube.name}; "
            "name a former of its size"
        )
    least = tube.min_radius_mm
    if least is not None and former.radius_mm < least - SAME_MM and not allow_tight:
        return (
            f"a radius of {former.radius_mm:g} mm is smaller than {tube.name} allows: it needs at least "
            f"{least:g} mm, {least - former.radius_mm:.4g} mm is missing; use a larger former, or say allow_tight: true"
        )
    return None


def _tube(choice: TubeForm | float | str) -> Tube | str:
    if isinstance(choice, TubeForm):
        name = " ".join(filter(None, [f"{choice.outside:g} x {choice.wall:g}", choice.material]))
        return Tube(choice.outside, choice.wall, name, choice.material, choice.temper)
    try:
        return find_tube(choice)
    except LookupError as error:
        return str(error.args[0])


def _former(choice: FormerForm | str) -> Former | str:
    if isinstance(choice, FormerForm):
        return Former(
            choice.radius,
            springback=Springback(choice.springback.per_degree, choice.springback.fixed),
            mark_mm=choice.mark,
            hold_mm=choice.hold,
            guide_mm=choice.guide,
            max_angle_deg=choice.max_angle,
        )
    try:
        return find_former(choice)
    except LookupError as error:
        return str(error.args[0])
