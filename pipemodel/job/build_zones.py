"""Voids and room to be kept free, held against the runs they are meant for."""

from collections.abc import Collection, Mapping, Sequence

from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.model import Fault, Run, Thing
from pipemodel.job.quantities import shown
from pipemodel.messages.values import Name, Number, Word, message

OUTSIDE_MM = 1e-6


def check_zones(things: Sequence[Thing], runs: Sequence[Run], names: Collection[str], faults: Faults) -> None:
    """Note runs that are not there, and voids that do not hold the ends of runs that must stay within them.

    `runs` are those that are sound, `names` those of all.
    """
    by_name = {run.name: run for run in runs}
    said: set[tuple[str, str]] = set()
    for thing in things:
        if thing.role == "solid":
            continue
        for name in sorted(thing.runs or () if thing.sleeve is None else thing.sleeve.runs):
            if name not in names and (thing.of or thing.name, name) not in said:
                said.add((thing.of or thing.name, name))
                faults.found.append(
                    Fault(none_called("run", name, names), dict(thing.run_places).get(name, thing.place))
                )
    for void in _voids(things).values():
        for run in by_name.values():
            if void[0].runs is None or run.name in void[0].runs:
                _see_ends(void, run, faults)


def _voids(things: Sequence[Thing]) -> Mapping[str, list[Thing]]:
    found: dict[str, list[Thing]] = {}
    for thing in things:
        if thing.role == "void":
            found.setdefault(thing.of, []).append(thing)
    return found


def _see_ends(void: Sequence[Thing], run: Run, faults: Faults) -> None:
    for end, point in (("start", run.route.corners[0]), ("finish", run.route.corners[-1])):
        out = {side.name.removeprefix(side.of).strip(): -side.shape.distance(point) for side in void}
        side = max(out, key=lambda name: out[name])
        if out[side] > OUTSIDE_MM:
            said = message(
                "fault.outside void",
                end=Word(end),
                run=Name(shown(run.name)),
                by=Number(out[side], ".4g"),
                void=Name(shown(void[0].of)),
                side=Name(side, quoted=False),
            )
            faults.found.append(Fault(said, void[0].place))
