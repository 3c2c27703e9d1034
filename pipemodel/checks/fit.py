"""Will it fit, bent by these hands: asked only where the job says how well they bend (`hands`)."""

from pipemodel.accuracy.values import RunFit, TouchChance
from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Finding, Severity
from pipemodel.checks.fit_values import fits_of
from pipemodel.checks.fit_words import lands, not_linear, touches

CHECK = "fit"
LIKELY = 0.9
"""Below this chance a fitter would rather know before cutting tube; common practice, no source."""
RARE = 0.01
LEARNED = "scatter beside that of the readings, prior 1 within a factor of two; medians and 95 % intervals"
BASIS = (
    "covariance of the finish J S J' with S the variances of marks, angles and rolls; start end, first leg and plane "
    "of the first bend as drawn; chances of simulated pieces, normal and independent errors, 95 % interval by Wilson"
)


def fit(schedule: Schedule) -> tuple[Finding, ...]:
    """Say how likely each run is to fit, and what it is likely to touch."""
    found: list[Finding] = []
    if schedule.job.hands_learned is not None:
        found.append(Finding("F121", CHECK, "note", schedule.job.hands_learned, basis=LEARNED))
    for one in fits_of(schedule):
        severity: Severity = "note" if one.chance.value >= LIKELY else "warning"
        found.append(Finding("F101", CHECK, severity, lands(one), one.run, basis=BASIS))
        found += [
            _touch(one, touch) for touch in one.touches if touch.distance_mm >= 0.0 and touch.chance.value >= RARE
        ]
        if not one.linear_holds:
            found.append(Finding("F103", CHECK, "note", not_linear(one), one.run, basis=BASIS))
    return tuple(found)


def _touch(one: RunFit, touch: TouchChance) -> Finding:
    said = touches(one, touch)
    return Finding("F102", CHECK, "warning", said, one.run, touch.against, touch.distance_mm, 0.0, basis=BASIS)
