"""A jig from a solved run, step by step: which way up, cradles, base, parts, solids; or a reason why not."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import sqrt

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.jig.base import Base, base_of
from pipemodel.jig.build import Body, Solid, body_of, part_solid, union, whole_solid
from pipemodel.jig.carve import base_cuts, carved
from pipemodel.jig.gauges import Gauge, gauges_of
from pipemodel.jig.inserts import inserts_of
from pipemodel.jig.labels import Label, label_solid, lines_for, place_label, towers_to_letter
from pipemodel.jig.laid import Array, Axis, axis_of
from pipemodel.jig.layout import Layout, Stuck, lay
from pipemodel.jig.printing import Plastic, Printability, check_part, plastic_for
from pipemodel.jig.rest import best_first, steady
from pipemodel.jig.split import MARGIN_MM, Cut, PartPlan, TooBigError, best_turn, cut
from pipemodel.jig.towers import Tower
from pipemodel.job.jig import JigSettings

TRIES = 24
"""Ways up that are worked out in full before the lightest is taken."""


class JigRefusedError(Exception):
    """A run that gets no jig: the reasons, each with what would help."""

    def __init__(self, run: str, reasons: Sequence[str]) -> None:
        self.run, self.reasons = run, tuple(reasons)
        super().__init__("; ".join(reasons))


@dataclass(frozen=True)
class Plan:
    """A jig before anything solid is made of it."""

    layout: Layout
    base: Base
    cut: Cut
    cost: float


@dataclass(frozen=True)
class Part:
    """One thing to print, standing as it is printed: flat face on z = 0, and nothing below 0 along x and y.

    `stem` ends its file name, `name` is for people. For a part of the jig itself `rotation` (3, 3) and `offset`
    (3,) take it to its place in the jig's axes; gauges have none, but say how they are used.
    """

    stem: str
    name: str
    body: Body
    printability: Printability
    plastic: Plastic
    rotation: Array | None = None
    offset: Array | None = None
    use: str = ""

    def in_place(self) -> Body:
        """Return the part where it stands in the jig.

        Raises:
            ValueError: for a gauge, which has no place in the jig.
        """
        if self.rotation is None or self.offset is None:
            raise ValueError(f"{self.name} stands alone")
        return self.body.moved(self.rotation, self.offset)


@dataclass(frozen=True, eq=False)
class Jig:
    """A jig, whole: how the run lies in it, its parts as printed, and what the report needs to know."""

    solved: SolvedRun
    settings: JigSettings
    plan: Plan
    labels: tuple[Label | None, ...]
    parts: tuple[Part, ...]
    gauges: tuple[Part, ...] = ()
    notes: tuple[str, ...] = ()
    """What was left out, and why."""

    @property
    def layout(self) -> Layout:
        """The run in the jig's axes, with its towers."""
        return self.plan.layout

    @cached_property
    def whole(self) -> Body:
        """The jig in one piece, as if no joint had been cut."""
        cuts = _cuts(self.plan, self.labels, self.settings)
        return body_of(carved(whole_solid(self.plan.base, self.layout.towers), self.layout.towers, cuts))


def design(solved: SolvedRun, settings: JigSettings) -> Jig:
    """Design the jig of a run.

    Raises:
        JigRefusedError: if no way up gives a jig that prints on the bed, with the reasons and what would help.
    """
    plan = plan_jig(solved, settings)
    labels = tuple(
        place_label(plan.base, plan.cut, part, lines_for(solved.name, i, len(plan.cut.parts), settings.revision))
        for i, part in enumerate(plan.cut.parts, 1)
    )
    cuts = _cuts(plan, labels, settings)
    of = len(plan.cut.parts)
    parts = tuple(
        _stood(f"{i:0{len(str(of))}d}", f"part {i} of {of}", _solid(plan, part, cuts, settings), settings)
        for i, part in enumerate(plan.cut.parts, 1)
    )
    faults = [f"{p.name}: {fault}" for p in parts for fault in p.printability.faults]
    if faults:
        raise JigRefusedError(solved.name, faults)
    gauges, notes = _gauges(solved, plan, settings)
    return Jig(solved, settings, plan, labels, parts, gauges, notes)


def _gauges(solved: SolvedRun, plan: Plan, settings: JigSettings) -> tuple[tuple[Part, ...], tuple[str, ...]]:
    """Print what goes with the jig; a gauge that does not print on this bed is left out, and said."""
    made: list[Gauge] = []
    notes: list[str] = []
    if settings.gauges:
        more, left_out = gauges_of(solved, settings)
        made, notes = [*made, *more], [*notes, *left_out]
    if settings.inserts:
        more, left_out = inserts_of(plan.layout.towers, settings)
        made, notes = [*made, *more], [*notes, *left_out]
    parts: list[Part] = []
    for gauge in made:
        part = _stood(gauge.stem, gauge.name, body_of(gauge.solid), settings, gauge.use)
        if part.printability.faults:
            notes.append(f"no {gauge.name}: {'; '.join(part.printability.faults)}")
        else:
            parts.append(replace(part, rotation=None, offset=None))
    return tuple(parts), tuple(notes)


def plan_jig(solved: SolvedRun, settings: JigSettings) -> Plan:
    """Choose which way up the run lies, and lay out cradles, base and joints.

    Raises:
        JigRefusedError: as `design` does.
    """
    axis = axis_of(solved)
    refused: dict[str, str] = {}
    best: Plan | None = None
    for up in best_first(axis, settings, TRIES):
        made = _try(solved, axis, up, settings)
        if isinstance(made, Stuck):
            refused.setdefault(made.reason, made.reason)
        elif best is None or made.cost < best.cost - 1e-6:
            best = made
    if best is None:
        raise JigRefusedError(solved.name, list(refused) or [_all_steep(settings)])
    return best


def _all_steep(settings: JigSettings) -> str:
    return (
        f"whichever way up it lies, some leg stands steeper than {settings.steepest_deg:g} degrees, and an open "
        "saddle would not hold it; split the run at a fitting and make a jig for each piece"
    )


def _try(solved: SolvedRun, axis: Axis, up: Array, settings: JigSettings) -> Plan | Stuck:
    layout = lay(axis, up, settings)
    if isinstance(layout, Stuck):
        return layout
    if layout.height > settings.bed.z_mm:
        return Stuck(
            f"the jig would stand {layout.height:.0f} mm high and the bed has {settings.bed.z_mm:g}: "
            "print on a taller printer, or split the run at a fitting"
        )
    supports = np.array(
        [
            t.place.point(a, b, 0.0)[:2]
            for t in layout.towers
            for a in (t.cradle.low_mm, t.cradle.high_mm)
            for b in (-t.radius, t.radius)
        ]
    )
    if not steady(layout.axis, supports):
        return Stuck("the piece would topple out of its saddles: its weight falls outside them; lengthen an end leg")
    try:
        base, parts = _cut_up(solved, layout, settings)
    except TooBigError as error:
        need = " x ".join(f"{s + 2.0 * MARGIN_MM:.0f}" for s in error.size)
        return Stuck(
            f"cradles {', '.join(str(t + 1) for t in error.towers)} stand too close together for a joint "
            f"between them, and need a bed of {need} mm; the bed is {settings.bed}"
        )
    return Plan(layout, base, parts, _cost(layout, base, parts))


def _cut_up(solved: SolvedRun, layout: Layout, settings: JigSettings) -> tuple[Base, Cut]:
    lettered: dict[int, float] = {}
    for _ in range(4):
        base = base_of(layout, settings, lettered)
        parts = cut(base, settings.bed)
        more = towers_to_letter(base, parts, solved.name, settings)
        if not more:
            break
        lettered |= more
    return base, parts


def _cost(layout: Layout, base: Base, parts: Cut) -> float:
    """Weigh a plan: its plastic in mm3, and what makes a jig worse without weighing anything."""
    cost = float(sum(_block_volume(t) for t in layout.towers))
    cost += sum(b.length * 2.0 * b.half for b in base.bars) * base.thickness
    cost += 10_000.0 * len(parts.parts)
    cost += 40_000.0 * (len(layout.unjudged) + len(layout.lone))
    cost += 200_000.0 * (2 - sum(t.cradle.stop is not None for t in layout.towers))
    steepest = max(abs(float(g.direction[2])) for g in layout.axis.legs)
    return cost * (1.0 + 0.3 * steepest**2)


def _block_volume(tower: Tower) -> float:
    low, high, left, right = tower.foot
    foot, top = (high - low) * (right - left), (tower.top[1] - tower.top[0]) * 2.0 * tower.half
    return tower.height * (foot + top + sqrt(foot * top)) / 3.0


def _cuts(plan: Plan, labels: Sequence[Label | None], settings: JigSettings) -> list[Solid]:
    cuts = base_cuts(plan.base, plan.layout.towers, settings.screw_mm + 0.4)
    return cuts + [label_solid(label, plan.base.thickness) for label in labels if label]


def _solid(plan: Plan, part: PartPlan, cuts: Sequence[Solid], settings: JigSettings) -> Body:
    towers = plan.layout.towers
    uncut = part_solid(plan.base, plan.cut, part, towers, settings)
    return body_of(carved(uncut, [towers[t] for t in part.towers], [union(cuts)]))


def _stood(stem: str, name: str, body: Body, settings: JigSettings, use: str = "") -> Part:
    """Turn a part to where it fits the bed, and check it there."""
    degrees, _, _ = best_turn(body.vertices[:, :2], settings.bed)
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    turned = body.vertices @ turn.T
    low = np.array([*turned[:, :2].min(axis=0), 0.0])
    stood = Body(turned - low, body.faces)
    return Part(
        stem,
        name,
        stood,
        check_part(stood, settings.bed, settings.print),
        plastic_for(stood, settings.print),
        turn.T,
        turn.T @ low,
        use,
    )
