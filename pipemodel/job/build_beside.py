"""Ways to be found that lie beside another run: which, and how far from it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.find import FindBeside
from pipemodel.job.forms import RunForm
from pipemodel.job.model import Run
from pipemodel.messages.values import Length, Number, Word, message


def beside_each_other(
    runs: Sequence[Run], forms: Mapping[str, RunForm], clearance_mm: float, faults: Faults
) -> tuple[Run, ...]:
    """Return the runs that could be built with what each lies beside; what cannot be meant is noted, and left out."""
    built = {run.name: run for run in runs}
    out: list[Run] = []
    for run in runs:
        asked = forms[run.name].find
        form = asked.beside if asked is not None else None
        if form is None or run.route.find is None:
            out.append(run)
            continue
        path = ("runs", run.name, "find", "beside")
        if form.run not in forms:
            faults.at((*path, "run"), none_called("run", form.run, forms))
        elif run.name in _others_of(form.run, forms):
            faults.at((*path, "run"), message("fault.itself", what=Word("beside")))
        elif (other := built.get(form.run)) is not None:
            half = (run.tube.outside_mm + other.tube.outside_mm) / 2.0
            centres = form.centres if form.centres is not None else (form.gap or 0.0) + half
            least = clearance_mm + run.insulation_mm + other.insulation_mm
            if centres - half < least - 1e-9:
                said = message("plan.gap", left=Length(centres - half), least=Length(least), gap=Number(least))
                faults.at((*path, "gap" if form.gap is not None else "centres"), said)
            beside = FindBeside(form.run, centres)
            run = replace(run, route=replace(run.route, find=run.route.find._replace(beside=beside)))
        out.append(run)
    return tuple(out)


def _others_of(name: str, forms: Mapping[str, RunForm]) -> set[str]:
    """Return a run and all that it lies beside, one by the other."""
    found: set[str] = set()
    while name in forms and name not in found:
        found.add(name)
        asked = forms[name].find
        name = asked.beside.run if asked is not None and asked.beside is not None else ""
    return found
