"""Where the cradles stand along the legs, and how wide each is: the tolerance made into slots and stops."""

from dataclasses import dataclass
from math import atan, degrees, radians, sqrt, tan
from typing import Literal

from pipemodel.jigs.run_in_jig import JigLeg, RunAxis, judged_part
from pipemodel.job.jig import Decision, JigSettings

LEAST_MM = 8.0
"""A cradle shorter than this along the leg judges nothing worth printing."""
USUAL_MM = 16.0
"""The length of a cradle along the leg, where there is room for two."""
LEAST_CLEARANCE_MM = 0.3
"""A slot tighter than this, each side, says more about the printer than about the piece."""
LEAST_STOP_MM = 0.5
"""A stop nearer than this leaves no room for the lines across the cheeks."""


@dataclass(frozen=True)
class Cradle:
    """An open saddle on one leg.

    `low_mm` and `high_mm` bound its channel in plan, measured level along the leg from the leg's start; a cradle
    with a stop goes on past the end of the tube to the stop. `clearance_mm` is what the tube has on each side,
    below, and above up to the top of the cheeks; `stop_mm` is what it has to the stop. `span_mm` is how much of
    the leg its cradles judge together, and `beyond_mm` how far the leg goes on past them.
    """

    number: int
    leg: int
    low_mm: float
    high_mm: float
    clearance_mm: float = 0.0
    span_mm: float = 0.0
    beyond_mm: float = 0.0
    stop: Literal["start", "finish"] | None = None
    stop_mm: float = 0.0

    @property
    def accepts_deg(self) -> float:
        """How far the leg could point astray, at the very most, if only this leg's slots judged it."""
        return degrees(atan(2.0 * self.clearance_mm / self.span_mm))


@dataclass(frozen=True)
class Slots:
    """All cradles of a jig in order of travel, and the legs too short to have one."""

    cradles: tuple[Cradle, ...]
    unjudged: tuple[int, ...]


def clearance_for(span: float, beyond: float, settings: JigSettings) -> float:
    """Return the clearance of a leg's slots, each side; for `balanced` the most it may be, before it is fitted.

    Two slots a span apart, each with clearance c, let the leg move c sideways and lean atan(2 c / span) either way.
    With c = position no piece within it is refused (`go`). For none outside tolerance to pass (`fine`) no bend may
    be out by more than the angle, so neither of its legs may lean more than half of it, even cornerwise, sideways and
    upwards at once: c = span tan(angle / 2) / (2 sqrt 2); and the leg must lie within the position at its very ends,
    `beyond` the slots. For `balanced` see `pipemodel.jigs.fitting_slots.fitted`.

    Args:
        span: how much of the leg its slots judge together, mm.
        beyond: how far the leg goes on past them, at the most, mm.
        settings: the tolerance and the decision.
    """
    angle = radians(settings.tolerance.angle_deg)
    limit = settings.tolerance.position_mm
    decision: Decision = "go" if settings.inserts else settings.decision
    if decision == "go":
        return limit
    if decision == "fine":
        wanted = min(limit * span / (span + 2.0 * beyond), span * tan(angle / 2.0) / (2.0 * sqrt(2.0)))
    else:
        wanted = min(limit, span * tan(angle))
    return max(wanted, min(limit, LEAST_CLEARANCE_MM))


def usable(axis: RunAxis, leg: JigLeg, settings: JigSettings) -> tuple[float, float]:
    """Return the stretch of a leg a channel may cover, in plan, level along the leg from its start.

    Next to a bend it stays the position tolerance away, so that a leg a little short still shows straight tube;
    on a slope the tube's underside and top lie ahead of or behind its axis, and both must be straight tube too.
    """
    level, rise = _run_and_rise(leg)
    p = settings.tolerance.position_mm
    lean = (axis.radius_mm + p) * abs(rise)
    low = p * level + lean if leg.bend_before else 0.0
    high = leg.length * level - (p * level + lean if leg.bend_after else 0.0)
    return low, high


def _within(leg: JigLeg, part: JigLeg, room: tuple[float, float]) -> tuple[float, float]:
    """Return what of a stretch in plan lies on the part of a leg that is judged."""
    level, _ = _run_and_rise(leg)
    begins = float((part.start - leg.start) @ leg.direction) * level
    return max(room[0], begins), min(room[1], begins + part.length * level)


def _run_and_rise(leg: JigLeg) -> tuple[float, float]:
    d = leg.direction
    return float((d[0] ** 2 + d[1] ** 2) ** 0.5), float(d[2])


def wanted(axis: RunAxis, settings: JigSettings) -> Slots:
    """Return the cradles a run asks for, before anything is known of what stands in their way.

    Two to a leg, as far apart as its straight allows, so that they judge its direction; one on a leg too short for two.
    """
    cradles: list[Cradle] = []
    unjudged: list[int] = []
    last = len(axis.legs) - 1
    reaches = {leg.index: leg for leg in judged_part(axis, settings.bends)}
    for leg in axis.legs:
        if leg.index not in reaches:
            continue
        low, high = _within(leg, reaches[leg.index], usable(axis, leg, settings))
        # An end beyond the part that is judged has no stop: a tape measures it.
        whole = reaches[leg.index].length > leg.length - 1e-9
        first, final = leg.index == 0 and whole, leg.index == last and whole
        at_start: Literal["start"] | None = "start" if first else None
        at_finish: Literal["finish"] | None = "finish" if final else None
        stops = {"start": settings.tolerance.at_start_mm, "finish": settings.tolerance.at_finish_mm, None: 0.0}
        if high - low >= 2.0 * USUAL_MM + 6.0:
            cradles.append(Cradle(0, leg.index, low, low + USUAL_MM, stop=at_start, stop_mm=stops[at_start]))
            cradles.append(Cradle(0, leg.index, high - USUAL_MM, high, stop=at_finish, stop_mm=stops[at_finish]))
        elif high - low >= LEAST_MM and not (first and final):
            stop = at_start or at_finish
            cradles.append(Cradle(0, leg.index, low, high, stop=stop, stop_mm=stops[stop]))
        else:
            unjudged.append(leg.index)
    return Slots(tuple(cradles), tuple(unjudged))
