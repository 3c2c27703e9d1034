"""The filled form of a jig to its settings, held against the tube it is to judge."""

from pipemodel.job.faults import Faults
from pipemodel.job.jig import Bed, JigSettings, Print, Tolerance
from pipemodel.job.jig_forms import JigForm
from pipemodel.job.model import Run
from pipemodel.messages.values import Number, message


def build_jig(form: JigForm | None, runs: tuple[Run, ...], faults: Faults) -> JigSettings | None:
    """Return the settings of a job's jigs, None when it asks for none."""
    if form is None:
        return None
    t = form.tolerance
    for run in runs:
        if t.position > run.tube.outside_mm:
            faults.once(
                ("jig", "tolerance"),
                message("fault.jig position", position=Number(t.position), outside=Number(run.tube.outside_mm)),
            )
    return JigSettings(
        Bed(*form.bed),
        Tolerance(t.position, t.angle, t.start, t.finish),
        Print(form.nozzle, form.layer, form.allowance, int(form.walls), form.infill, form.density, form.rate),
        form.decision,
        form.base,
        form.cradles,
        form.when,
        form.timber,
        form.base_thickness,
        form.bar,
        form.joint_gap,
        form.screw,
        form.steepest,
        form.inserts,
        form.gauges,
        form.standoff,
        form.revision,
        form.price,
        form.bends,
        form.bench,
        faults.place(("jig", "bends")),
    )
