"""A jig from a solved run, step by step: a plan, solids, lettering, gauges; or a reason why not."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.jigs.bench_rests import BenchRests, bench_rests
from pipemodel.jigs.build import ManifoldSolid, body_of, part_base, whole_base
from pipemodel.jigs.carve import hole_cuts, number_cuts, with_towers
from pipemodel.jigs.gauges import Gauge, gauges_of
from pipemodel.jigs.inserts import inserts_of
from pipemodel.jigs.labels import JigLabel, label_solid, lines_for, place_label
from pipemodel.jigs.layout import JigLayout
from pipemodel.jigs.plan import JigPlan, JigRefusedError, plans
from pipemodel.jigs.printing import NECK_MM, Plastic, Printability, check_part, plastic_for, total_of
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.split import PartPlan, best_turn
from pipemodel.jigs.towers import Tower
from pipemodel.jigs.verdict import Limit, limits_of
from pipemodel.jigs.windows import window_cuts
from pipemodel.jigs.worth import Worth, worth_of
from pipemodel.job.jig import JigSettings
from pipemodel.messages.values import Count, Message, Name, listed, message

SCREW_PLAY_MM = 0.4
"""A screw hole is this much wider than the screw."""
MUCH_CM3 = 150.0
"""A jig of so much solid or more says what timber would spare."""
BUILT = 3
"""Plans that are made solid before a run is refused for how its jig would print."""


@dataclass(frozen=True)
class JigPart:
    """One thing to print, standing as it is printed: flat face on z = 0, and nothing below 0 along x and y.

    `stem` ends its file name, `name` is for people. For a part of the jig itself `rotation` (3, 3) and `offset`
    (3,) take it to its place in the jig's axes; gauges have none, but say how they are used.
    """

    stem: str
    name: Message
    body: Mesh
    printability: Printability
    plastic: Plastic
    rotation: Array | None = None
    offset: Array | None = None
    use: Message | None = None
    fits: tuple[float, ...] = ()


@dataclass(frozen=True, eq=False)
class Jig:
    """A jig, whole: how the run lies in it, its parts as printed, and what the report needs to know."""

    solved: SolvedRun
    settings: JigSettings
    plan: JigPlan
    labels: tuple[JigLabel | None, ...]
    parts: tuple[JigPart, ...]
    gauges: tuple[JigPart, ...] = ()
    notes: tuple[Message, ...] = ()
    """What was left out, and why."""
    elsewhere: tuple[tuple[JigPart, str], ...] = ()
    """Gauges that serve this run too and are printed with another, and that run's name."""

    @property
    def layout(self) -> JigLayout:
        """The run in the jig's axes, with its towers."""
        return self.plan.layout

    def held_mm(self, tower: Tower) -> tuple[float, float]:
        """Return from where to where a cradle holds the tube, mm along it."""
        begins, (low, high) = self.solved.centreline.offsets[2 * tower.cradle.leg], tower.ends_mm
        return begins + low, begins + high

    @property
    def holes(self) -> list[tuple[str, Array]]:
        """What is drilled in what it stands on, (m, 2) each, by the number of a cradle or the letter of a prop."""
        props = self.plan.timber.props if self.plan.timber else ()
        return [
            *((str(pad.tower + 1), pad.holes) for pad in self.plan.base.pads),
            *((p.letter, p.holes) for p in props),
        ]

    @cached_property
    def whole(self) -> Mesh:
        """The jig in one piece, as if no joint had been cut."""
        cuts = _cuts(self.plan, self.labels, self.settings)
        return body_of(with_towers(whole_base(self.plan.base), self.layout.towers, cuts))

    @cached_property
    def worth(self) -> Worth:
        """Whether it is worth printing, and what checks as well."""
        return worth_of(self.solved, self.settings.tolerance).with_jig(self.limits)

    @cached_property
    def bench(self) -> BenchRests | None:
        """Rests and stops to pull by, None where the job says nothing of the bench."""
        return bench_rests(self.solved, self.settings)

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """What the jig passes and what it refuses."""
        props = [p.at_mm for p in self.plan.timber.props] if self.plan.timber else []
        return limits_of(self.layout, self.solved.table, self.settings.tolerance, self.solved.tube, props)

    @property
    def without_cradle(self) -> tuple[int, ...]:
        """Legs (from 0) that have room for a cradle and none, since it would tell nothing that others do not."""
        judged = {t.cradle.leg for t in self.layout.towers} | set(self.layout.unjudged)
        return tuple(leg.index for leg in self.layout.axis.legs if leg.index not in judged)

    @property
    def total(self) -> Plastic:
        """What all parts of the jig itself take."""
        return total_of([part.plastic for part in self.parts])

    @cached_property
    def on_timber(self) -> Plastic | None:
        """What its parts would take on timber, where much is printed, and timber takes less; else None."""
        if self.settings.base == "timber" or self.total.volume_cm3 < MUCH_CM3:
            return None
        try:
            total = design(self.solved, replace(self.settings, base="timber", gauges=False, inserts=False)).total
        except JigRefusedError:
            return None
        return total if total.plastic_cm3 < self.total.plastic_cm3 else None

    def plain_parts(self) -> Iterator[tuple[str, Mesh]]:
        """Yield every part by name, where it stands in the jig and without its lettering, as a drawing has it."""
        holes = hole_cuts(self.plan.base, self.settings.screw_mm + SCREW_PLAY_MM)
        holes += window_cuts(self.plan.base, self.plan.cut, self.labels)
        for part, plan in zip(self.parts, self.plan.cut.parts, strict=True):
            yield str(part.name), _solid(self.plan, plan, holes, self.settings)


def design(solved: SolvedRun, settings: JigSettings) -> Jig:
    """Design the jig of a run: the lightest plan whose every part prints.

    Raises:
        JigRefusedError: if no way up gives a jig that prints on the bed, with the reasons and what would help.
    """
    faults: list[Message] = []
    for plan in islice(plans(solved, settings), BUILT):
        labels = _labels(solved, plan, settings)
        cuts = _cuts(plan, labels, settings)
        of = len(plan.cut.parts)
        parts = tuple(
            _stood(f"{i:0{len(str(of))}d}", _part(i, of), _solid(plan, part, cuts, settings), settings)
            for i, part in enumerate(plan.cut.parts, 1)
        )
        faults = [message("jig.of part", part=p.name, fault=fault) for p in parts for fault in p.printability.faults]
        if not faults:
            gauges, notes = _gauges(solved, plan, settings)
            return Jig(solved, settings, plan, labels, parts, gauges, notes)
    raise JigRefusedError(solved.name, faults)


def _part(i: int, of: int) -> Message:
    return message("jig.part", part=Count(i), parts=Count(of))


def _labels(solved: SolvedRun, plan: JigPlan, settings: JigSettings) -> tuple[JigLabel | None, ...]:
    of = len(plan.cut.parts)
    if settings.base == "timber":
        return (None,) * of
    return tuple(
        place_label(plan.base, plan.cut, part, lines_for(solved.name, i, of, settings.revision))
        for i, part in enumerate(plan.cut.parts, 1)
    )


def _gauges(solved: SolvedRun, plan: JigPlan, settings: JigSettings) -> tuple[tuple[JigPart, ...], tuple[Message, ...]]:
    """Print what goes with the jig; a gauge that does not print on this bed is left out, and said."""
    made: list[Gauge] = []
    notes: list[Message] = []
    for more, left_out in (
        *([gauges_of(solved, settings)] if settings.gauges else ()),
        *([inserts_of(plan.layout.towers, settings)] if settings.inserts else ()),
    ):
        made += more
        notes += left_out
    parts: list[JigPart] = []
    for gauge in made:
        try:
            # A liner is as thin as it must be: two lines of plastic hold it together.
            neck = 1.5 * settings.print.nozzle_mm
            part = _stood(gauge.stem, gauge.name, body_of(gauge.solid), settings, gauge.use, neck)
        except ArithmeticError as error:
            notes.append(message("gauge.none", gauge=gauge.name, why=Name(str(error), quoted=False)))
            continue
        if part.printability.faults:
            notes.append(message("gauge.none", gauge=gauge.name, why=listed(part.printability.faults, ";")))
        else:
            parts.append(replace(part, rotation=None, offset=None, fits=gauge.fits))
    return tuple(parts), tuple(notes)


def _cuts(plan: JigPlan, labels: Sequence[JigLabel | None], settings: JigSettings) -> list[ManifoldSolid]:
    cuts = hole_cuts(plan.base, settings.screw_mm + SCREW_PLAY_MM) + number_cuts(plan.base)
    cuts += [label_solid(label, plan.base.thickness) for label in labels if label]
    return cuts + window_cuts(plan.base, plan.cut, labels)


def _solid(plan: JigPlan, part: PartPlan, cuts: Sequence[ManifoldSolid], settings: JigSettings) -> Mesh:
    towers = plan.layout.towers
    base = part_base(plan.base, plan.cut, part, settings.joint_gap_mm)
    return body_of(with_towers(base, [towers[t] for t in part.towers], cuts))


def _stood(
    stem: str,
    name: Message,
    body: Mesh,
    settings: JigSettings,
    use: Message | None = None,
    neck_mm: float = NECK_MM,
) -> JigPart:
    """Turn a part to where it fits the bed, and check it there."""
    degrees, _, _ = best_turn(body.vertices[:, :2], settings.bed)
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    turned = body.vertices @ turn.T
    low = turned.min(axis=0)
    stood = Mesh(turned - low, body.faces)
    return JigPart(
        stem,
        name,
        stood,
        check_part(stood, settings.bed, settings.print, neck_mm),
        plastic_for(stood, settings.print),
        turn.T,
        turn.T @ low,
        use,
    )
