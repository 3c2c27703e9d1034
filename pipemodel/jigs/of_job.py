"""The jigs of a job: which runs are worth one, and one set of gauges for all of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from pipemodel.bending.schedule import SolvedRun
from pipemodel.jigs.design import Jig, JigPart, design
from pipemodel.jigs.plan import JigRefusedError
from pipemodel.jigs.worth import Worth, worth_of
from pipemodel.job.jig import JigSettings


@dataclass(frozen=True)
class NotWorth:
    """A run that needs no jig: `worth` says which checks with tape, card and template tell as much."""

    solved: SolvedRun
    worth: Worth


JigAnswer: TypeAlias = Jig | NotWorth | JigRefusedError
"""The jig of a run, or that it needs none, or why it gets none."""
_Fits: TypeAlias = tuple[str, tuple[float, ...]]


def jigs_of(runs: Sequence[SolvedRun], settings: JigSettings) -> tuple[JigAnswer, ...]:
    """Design the jigs of some runs, with one set of gauges.

    A run that is not worth a jig gets one only where the job says `always`, names the bends to judge, or asks for
    rests to pull by.
    """
    return sharing_gauges([_answer(solved, settings) for solved in runs])


def _answer(solved: SolvedRun, settings: JigSettings) -> JigAnswer:
    asked = settings.when == "worth" and settings.bends is None and settings.bench_mm is None
    if asked and not (worth := worth_of(solved, settings.tolerance)).printing:
        return NotWorth(solved, worth)
    try:
        jig = design(solved, settings)
    except JigRefusedError as refusal:
        return refusal
    return NotWorth(solved, jig.worth) if asked and not jig.worth.printing else jig


def sharing_gauges(answers: Sequence[JigAnswer]) -> tuple[JigAnswer, ...]:
    """Return the jigs of a job with one set of gauges: what serves several runs is printed with the first of them.

    Of two that serve alike, such as angle gauges with longer and shorter arms, the smaller is taken.
    """
    best: dict[_Fits, JigPart] = {}
    for jig in answers:
        for gauge in jig.gauges if isinstance(jig, Jig) else ():
            key = gauge.stem, gauge.fits
            if key not in best or gauge.plastic.volume_cm3 < best[key].plastic.volume_cm3 - 1e-9:
                best[key] = gauge
    first: dict[_Fits, str] = {}
    return tuple(_with_gauges(jig, best, first) if isinstance(jig, Jig) else jig for jig in answers)


def _with_gauges(jig: Jig, best: dict[_Fits, JigPart], first: dict[_Fits, str]) -> Jig:
    mine: list[JigPart] = []
    elsewhere: list[tuple[JigPart, str]] = []
    for gauge in jig.gauges:
        key = gauge.stem, gauge.fits
        if not gauge.fits:
            mine.append(gauge)
        elif key in first:
            elsewhere.append((gauge, first[key]))
        else:
            first[key] = jig.solved.name
            mine.append(best[key])
    return replace(jig, gauges=tuple(mine), elsewhere=tuple(elsewhere))
