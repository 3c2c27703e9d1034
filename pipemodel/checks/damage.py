"""What bending does to the tube: radii against what is published, stretch, thinning, flattening, support.

Everything here but D101 and D106 is an estimate by formula, and says so. Nobody publishes how much a tube flattens in a
grooved former, so for that there are only the limits, put as what to measure.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor, sqrt

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding, Severity, of_runs
from pipemodel.messages.values import Length, Message, Name, Number, Size, Tape, message
from pipemodel.trade.model import Former, Tube
from pipemodel.trade.out_of_round import FLATTENING_PERCENT, OVALITY_PERCENT, SHORTEST_PERCENT, out_of_round_mm
from pipemodel.trade.rows import read_rows
from pipemodel.trade.tube_table import SAME_MM
from pipemodel.trade.tubes import published_least

CHECK = "damage"

SPRING_SIZES_MM = (12.0, 15.0, 22.0)
"""Internal springs are made for these; BS 5431 does not cover larger ones (a tube maker's guide, 3.4)."""
SPRING_DIAMETERS = 4.0
"""City & Guilds Plumbing Book 1 (2019) p. 95-97; the tube maker's guide asks for about 5."""
POISSON_COPPER = 0.34
"""From memory; of small effect here."""
_B31_BEFORE_BENDING = ((6.0, 1.06), (5.0, 1.08), (4.0, 1.14), (3.0, 1.25))


@dataclass(frozen=True)
class BendEstimate:
    """What a bend of one radius is estimated to do to a tube; lengths in mm.

    `wall_back_mm` is the wall on the outside of the bend by t R / (R + D / 2); `stretch_percent` how far the
    outside stretches, (D / 2) / R. `needs_throat` and `needs_back` are what ASME B31 multiplies the thickness that
    pressure asks for with, on the inside and the outside. `before_bending` is the factor on that thickness which
    B31.1 102.4.5 recommends for the straight tube, None below 3 D.
    """

    wall_back_mm: float
    stretch_percent: float
    needs_throat: float
    needs_back: float
    before_bending: float | None


def estimate(tube: Tube, radius_mm: float) -> BendEstimate:
    """Return the estimate for a tube on a centreline radius.

    The thinning keeps the outside fibre's volume; the factors are those of ASME B31.1 and B31.3, which at the
    throat need a radius above half the diameter.
    """
    ratio = radius_mm / tube.outside_mm
    return BendEstimate(
        tube.wall_mm * radius_mm / (radius_mm + tube.outside_mm / 2.0),
        50.0 / ratio,
        thickness_factor(tube.outside_mm, radius_mm, -1),
        thickness_factor(tube.outside_mm, radius_mm, +1),
        next((factor for least, factor in _B31_BEFORE_BENDING if ratio >= least), None),
    )


def thickness_factor(outside_mm: float, radius_mm: float, side: int) -> float:
    """Return the factor on the thickness required in a bend: (4 R / D + side) / (4 R / D + 2 side).

    ASME B31.1 and B31.3; `side` is -1 for the throat (intrados) and 1 for the back (extrados).
    """
    four = 4.0 * radius_mm / outside_mm
    return (four + side) / (four + 2.0 * side)


def kinking_radius(tube: Tube) -> float:
    """Return the centreline radius in mm at which a thin tube bent free, without support, buckles.

    Elastic theory of thin tube in pure bending (Proc. R. Soc. A 116, 1927, from memory): the curvature is
    sqrt(2) / 3 * t / (r^2 sqrt(1 - nu^2)). An order of magnitude for copper, which yields long before.
    """
    mean = (tube.outside_mm - tube.wall_mm) / 2.0
    return 3.0 / sqrt(2.0) * mean**2 * sqrt(1.0 - POISSON_COPPER**2) / tube.wall_mm


def damage(schedule: Schedule) -> tuple[Finding, ...]:
    """Ask of each tube and former of a solved job, once, what its bends do to the tube."""
    runs: dict[tuple[Tube, Former], list[SolvedRun]] = {}
    for solved in schedule.runs:
        for former in solved.formers_used if solved.table.bends else ():
            runs.setdefault((solved.tube, former), []).append(solved)
    return tuple(f for (tube, former), bent in runs.items() for f in _asked(tube, former, bent))


def _asked(tube: Tube, former: Former, bent: list[SolvedRun]) -> Iterable[Finding]:
    radius = former.radius_mm
    guess = estimate(tube, radius)

    def say(code: str, severity: Severity, said: Message, basis: str = "") -> Finding:
        run = bent[0].name if len(bent) == 1 else None
        return Finding(code, CHECK, severity, of_runs([solved.name for solved in bent], said), run, basis=basis)

    least, where = published_least(tube)
    within = former.radius_within_mm
    if least is not None and radius < least - SAME_MM:
        measured = _measured(radius, within, least)
        published = message("damage.published", least=Length(least, beside=radius), source=Name(where, quoted=False))
        if radius + within < least - SAME_MM:
            below = Length(least - radius, ".4g")
            said = message("damage.below least", radius=measured, below=below, published=published)
            yield say("D101", "warning", said)
        else:
            yield say("D106", "note", message("damage.least within", radius=measured, published=published))
    if stretched := _stretched(tube, guess):
        yield say("D102", "error", stretched)
    yield say("D103", "note", _left_to_measure(tube, guess), _thinning(tube, radius, guess))
    free = kinking_radius(tube)
    if radius < free:
        unheld = (
            f"bent free, this tube would kink at a radius of about {free:.0f} mm "
            "(estimate, elastic theory of thin tube)"
        )
        held = message("damage.needs support", radius=Tape(radius, exact=True), support=_support(tube, former))
        yield say("D104", "note", held, unheld)
    if former.kind == "spring" and (odd := _odd_spring(tube, radius)):
        yield say("D105", "warning", odd)


def _measured(radius: float, within: float, beside: float) -> Message:
    if within:
        return message("damage.measured", radius=Size(radius), within=Length(within))
    return message("length", mm=Length(radius, beside=beside))


def _stretched(tube: Tube, guess: BendEstimate) -> Message | None:
    for row in read_rows("tempers.csv"):
        if row["temper"] == tube.temper and guess.stretch_percent > float(row["elongation_percent"]):
            return message(
                "damage.breaks",
                # Never rounded to what it is beyond.
                stretch=Number(float(_up(guess.stretch_percent, 1))),
                temper=Name(tube.temper, quoted=False),
                breaks=Number(float(row["elongation_percent"])),
                source=Name(row["source"], quoted=False),
            )
    return None


def _left_to_measure(tube: Tube, guess: BendEstimate) -> Message:
    return message(
        "damage.left to measure",
        wall=Length(guess.wall_back_mm, ".2f", rounded="down"),
        out_of_round=Length(out_of_round_mm(tube.outside_mm), ".2f", rounded="down"),
    )


def _down(mm: float) -> str:
    """Return a length rounded down to hundredths, so that what keeps within it keeps within the limit."""
    return f"{floor(mm * 100 + 1e-9) / 100:.2f}"


def _up(value: float, digits: int) -> str:
    """Return a figure rounded up, so that what allows for it allows for enough."""
    return f"{ceil(value * 10**digits - 1e-9) / 10**digits:.{digits}f}"


def _thinning(tube: Tube, radius: float, guess: BendEstimate) -> str:
    less = 100.0 * (1.0 - guess.wall_back_mm / tube.wall_mm)
    before = (
        "B31.1 recommends no wall for bends below 3 x the diameter"
        if guess.before_bending is None
        else f"B31.1 recommends {guess.before_bending:g} x that thickness in the straight tube"
    )
    shortest = tube.outside_mm * SHORTEST_PERCENT / 100.0
    return (
        f"at radius {radius:g} mm the wall on the back is t R / (R + D/2), {_up(less, 0)} % less; pressure asks there "
        f"for {_up(guess.needs_back, 2)} x the straight tube's thickness and in the throat for "
        f"{_up(guess.needs_throat, 2)} x "
        f"(ASME B31); {before}; of the limits printed the strictest counts: longest less shortest diameter at most "
        f"{_down(tube.outside_mm * OVALITY_PERCENT / 100)} mm (8 %, UFGS-15901); others are "
        f"{_down(tube.outside_mm * FLATTENING_PERCENT / 100)} mm (10 %, TEMA), and a shortest of at least "
        f"{_up(shortest, 2)} mm (75 %, FAA-H-8083-30)"
    )


def _support(tube: Tube, former: Former) -> Message:
    if former.kind == "spring":
        return message("damage.keep spring in")
    if former.kind in ("hand bender", "stand bender"):
        return message("damage.guide in")
    return message("damage.groove or spring") if _springs_made(tube) else message("damage.groove")


def _odd_spring(tube: Tube, radius: float) -> Message | None:
    if not _springs_made(tube):
        return message("damage.no such spring", outside=Length(tube.outside_mm))
    usual = SPRING_DIAMETERS * tube.outside_mm
    if radius < usual - SAME_MM:
        return message("damage.tight spring", usual=Length(usual, beside=radius), radius=Length(radius, beside=usual))
    return None


def _springs_made(tube: Tube) -> bool:
    return any(abs(tube.outside_mm - size) < SAME_MM for size in SPRING_SIZES_MM)
