"""The plan of a jig: which way up the run lies, where cradles stand, and how the base is cut into parts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.distance import self_distances
from pipemodel.jigs.base import Base, base_of
from pipemodel.jigs.choose import fewest, without_crowds
from pipemodel.jigs.cores import tower_plastic
from pipemodel.jigs.fitting_slots import fitted
from pipemodel.jigs.labels import towers_to_letter
from pipemodel.jigs.layout import JigLayout, Stuck, lay, lowered
from pipemodel.jigs.posts import Timber, supports_of, timber_for
from pipemodel.jigs.run_in_jig import Array, RunAxis, axis_of, judged_part
from pipemodel.jigs.split import MARGIN_MM, Cut, TooBigError, cut
from pipemodel.jigs.towers import MOST_POST_MM
from pipemodel.jigs.way_up import TIMBER_MM2, best_first, lowest_height, steady
from pipemodel.jigs.windows import bar_mm2
from pipemodel.job.jig import JigSettings
from pipemodel.messages.values import Angle, Count, Length, Message, Name, Size, counts, message

TRIES, MOST_TRIES = 24, 160
"""Ways up that are worked out in full before the lightest is taken; and how many, if need be, to find one at all."""
LIKELY = 3
"""Ways up for which the fewest cradles are chosen, the lightest with all of them first."""
PART_MM3 = 10_000.0
"""Plastic that one part fewer is worth."""


class JigRefusedError(Exception):
    """A run that gets no jig: the reasons, each with what would help."""

    def __init__(self, run: str, reasons: Sequence[Message]) -> None:
        self.run, self.reasons = run, tuple(reasons)
        super().__init__("; ".join(map(str, reasons)))


@dataclass(frozen=True)
class JigPlan:
    """A jig before anything solid is made of it."""

    layout: JigLayout
    base: Base
    cut: Cut
    timber: Timber | None = None


def plans(solved: SolvedRun, settings: JigSettings) -> Iterator[JigPlan]:
    """Yield the plans of a run's jig, the lightest first.

    Raises:
        JigRefusedError: if there is none at all, with the reasons and what would help.
    """
    if settings.bends and settings.bends[1] > len(solved.table.bends):
        count = Count(len(solved.table.bends))
        raise JigRefusedError(solved.name, [message("jig.no such bend", bend=Count(settings.bends[1]), count=count)])
    itself = self_distances([solved.centreline], [solved.tube.outside_mm], 0.0)[0]
    if itself is not None and itself.distance < 0.0:
        raise JigRefusedError(solved.name, [message("jig.through itself", at=Length(itself.at, ".0f"))])
    axis = axis_of(solved)
    refused: dict[str, Stuck] = {}
    judged = replace(axis, legs=judged_part(axis, settings.bends))
    ups = best_first(judged, settings, MOST_TRIES)
    found = False
    for batch in (ups[:TRIES], ups[TRIES:]):
        for plan in _lightest_first(solved, axis, batch, settings, refused):
            found = True
            yield plan
        if found:
            return
    reasons = [stuck.reason for stuck in refused.values()]
    raise JigRefusedError(solved.name, reasons or [_no_way_up(judged, settings)])


def _lightest_first(
    solved: SolvedRun, axis: RunAxis, ups: Array, settings: JigSettings, refused: dict[str, Stuck]
) -> Iterator[JigPlan]:
    """Yield a plan for each way up that has one, the lightest first, noting what is wrong with the others."""
    waiting: list[tuple[float, int, JigLayout, JigPlan | None]] = []
    for number, up in enumerate(ups):
        layout = _settled(axis, up, settings)
        if isinstance(layout, Stuck):
            _note(refused, layout)
        else:
            heappush(waiting, (_cost(layout, base_of(layout, settings), settings) + PART_MM3, number, layout, None))
    begin: dict[int, Array] = {}
    if _chosen(settings):
        # With few of its cradles one way up may turn out lighter than another that was lighter with all of them.
        likely = [heappop(waiting) for _ in range(min(LIKELY, len(waiting)))]
        waiting = []
        for _, number, layout, _ in likely:
            few, begin[number] = fewest(layout, solved.table, settings)
            heappush(waiting, (_cost(few, base_of(few, settings), settings) + PART_MM3, number, few, None))
    while waiting:
        cost, number, layout, plan = heappop(waiting)
        if plan is not None:
            yield plan
            continue
        # Only what may still be the lightest is fitted and cut into parts, and then weighed again with them.
        if settings.decision != "go" and not settings.inserts:
            layout = fitted(layout, solved.table, settings, begin.get(number))
        made = _cut_up(solved, lowered(layout, settings), settings)
        if isinstance(made, Stuck):
            _note(refused, made)
        else:
            heappush(waiting, (cost + PART_MM3 * (len(made.cut.parts) - 1), number, layout, made))


def _chosen(settings: JigSettings) -> bool:
    """Tell whether cradles that tell nothing are left out; `fine` and liners promise too much for that."""
    return settings.cradles == "fewest" and settings.decision != "fine" and not settings.inserts


def _note(refused: dict[str, Stuck], stuck: Stuck) -> None:
    """Keep, of each kind of trouble, the case that is nearest to well."""
    if stuck.kind not in refused or stuck.measure < refused[stuck.kind].measure:
        refused[stuck.kind] = stuck


def _no_way_up(axis: RunAxis, settings: JigSettings) -> Message:
    """Say why not one direction is worth trying."""
    lowest = lowest_height(axis, settings)
    if np.isfinite(lowest) and settings.base == "timber":
        post = Length(lowest, ".0f", beside=MOST_POST_MM)
        return message("jig.posts too long", post=post, most=Length(MOST_POST_MM))
    if np.isfinite(lowest):
        bed = settings.bed.z_mm
        return message(
            "jig.lowest too high", high=Length(lowest, ".0f", beside=bed), bed=Length(bed, beside=float(lowest))
        )
    return message("jig.always steep", most=Angle(settings.steepest_deg, "g"))


def _settled(axis: RunAxis, up: Array, settings: JigSettings) -> JigLayout | Stuck:
    """Lay the run this way up and see that it does not topple."""
    layout = lay(axis, up, settings)
    if isinstance(layout, Stuck):
        return layout
    if settings.base == "timber":
        layout = without_crowds(layout, settings)
    if settings.base != "timber" and not steady(layout.axis, supports_of(layout)):
        return Stuck("topple", message("jig.topples"))
    return layout


def _cut_up(solved: SolvedRun, layout: JigLayout, settings: JigSettings) -> JigPlan | Stuck:
    """Cut the base into parts, and make room for a label on every part."""
    lettered: dict[int, float] = {}
    try:
        for _ in range(4):
            base = base_of(layout, settings, lettered)
            parts = cut(base, settings.bed)
            more = towers_to_letter(base, parts, solved.name, settings)
            if not more:
                break
            lettered |= more
    except TooBigError as error:
        x, y = (s + 2.0 * MARGIN_MM for s in error.size)
        bed = Name(str(settings.bed), quoted=False)
        said = message("jig.needs bed", towers=_too_close(error.towers), x=Size(round(x)), y=Length(y, ".0f"), bed=bed)
        return Stuck("bed", said, max(error.size))
    timber = timber_for(layout, solved.tube, settings) if settings.base == "timber" else None
    return JigPlan(layout, base, parts, timber)


def _too_close(towers: tuple[int, ...]) -> Message:
    if len(towers) == 1:
        return message("jig.one cradle", cradle=Count(towers[0] + 1))
    return message("jig.cradles", cradles=counts([t + 1 for t in towers], ","))


def _cost(layout: JigLayout, base: Base, settings: JigSettings) -> float:
    """Weigh a plan: its plastic in mm3, and what makes a jig worse without weighing anything."""
    cost = float(sum(tower_plastic(t, settings.print) + TIMBER_MM2 * t.seat for t in layout.towers))
    cost += sum(b.length for b in base.bars) * bar_mm2(settings.bar_mm, settings.base_mm)
    cost += 40_000.0 * (len(layout.unjudged) + len(layout.lone))
    cost += 200_000.0 * (2 - sum(t.cradle.stop is not None for t in layout.towers))
    steepest = max(abs(float(g.direction[2])) for g in layout.axis.legs)
    return cost * (1.0 + 0.3 * steepest**2)
