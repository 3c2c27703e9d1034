"""Tube, former, law of springback, verdict and points in words, the same on every paper."""

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.findings import Report
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import (
    NOTHING,
    Angle,
    Count,
    Message,
    Number,
    Size,
    Tape,
    Word,
    counts,
    listed,
    message,
)
from pipemodel.trade.model import GREATEST_PULL_DEG, Former, Tube


def tube_words(tube: Tube, units: Units = MM) -> str:
    """Return a tube in words: "15 x 0.7 copper, half hard (EN 1057)"."""
    called = say(tube.called, units)
    more = [say(message("word", word=Word(w)), units) for w in (tube.material, tube.temper) if w and not _in(w, tube)]
    called = ", ".join([called, *more])
    return f"{called} ({tube.standard})" if tube.standard and tube.standard not in called else called


def _in(word: str, tube: Tube) -> bool:
    return word.lower() in str(tube.called).lower()


def former_words(former: Former, units: Units = MM) -> str:
    """Return a former in words: its name, its finished radius, and what it needs on either side of a bend."""
    block, travel, most = NOTHING, NOTHING, NOTHING
    if former.guide_block_mm is not None:
        guides = [
            message("former.guide at", guide=_own(round(former.guide_needed_mm(angle), 1)), angle=Angle(angle, "g"))
            for angle in (30.0, 45.0, 90.0)
        ]
        block = message("former.block", block=_own(former.guide_block_mm), guides=listed(guides, ","))
    if former.guide_travel_mm:
        travel = message("former.travel", travel=_own(former.guide_travel_mm))
    if former.max_angle_deg < GREATEST_PULL_DEG:
        most = message("former.most", most=Angle(former.max_angle_deg))
    return words(
        units,
        "former.words",
        former=former.called,
        radius=_own(former.radius_mm),
        needs=_needs(former),
        block=block,
        travel=travel,
        most=most,
        generic=message("former.generic") if former.generic else NOTHING,
    )


def _own(mm: float) -> Tape:
    """Return a former's own figure, which hands measure with a tape."""
    return Tape(mm, unit=False, exact=True)


def _needs(former: Former) -> Message:
    if not (former.hold_mm or former.guide_mm):
        return NOTHING
    figures = [Word(figure) for figure in ("hold", "guide") if figure in former.not_given]
    return message(
        "former.needs" if former.guide_block_mm is None else "former.needs, block",
        hold=_own(former.hold_mm),
        guide=_own(former.guide_mm),
        generic=message("former.generic figures", figures=listed(figures)) if figures else NOTHING,
    )


def former_facts(solved: SolvedRun, units: Units = MM) -> list[tuple[str, str]]:
    """Return former, springback and marks of a run, each with its label; of each former, where there are several."""
    used = solved.formers_used
    facts: list[tuple[str, str]] = []
    for former in used:
        who = bends_words(solved, former, units)
        for label, fact in (
            (words(units, "schedule.former"), former_words(former, units)),
            (words(units, "schedule.springback"), springback_words(former, units)),
            (words(units, "schedule.marks"), mark_words(former, units)),
        ):
            facts.append((label, f"{who}: {fact}" if len(used) > 1 else fact))
    return facts


def bends_words(solved: SolvedRun, former: Former, units: Units = MM) -> str:
    """Return which bends are made round a former: "bend 2", "bends 1 and 3"."""
    numbers = [b.number for b in solved.table.bends if solved.former_of(b) == former]
    return words(units, "bends", bends=counts(numbers))


def springback_words(former: Former, units: Units = MM) -> str:
    """Return the law of springback in words."""
    spring = former.springback
    parts: list[Message] = []
    if spring.fixed_deg:
        template = "spring.degree" if spring.fixed_deg == 1.0 else "spring.degrees"
        parts.append(message(template, fixed=Number(round(spring.fixed_deg, 2))))
    if spring.per_degree:
        parts.append(message("spring.share", share=Number(spring.per_degree * 100.0, ".4g")))
    generic = message("spring.generic") if "springback" in former.not_given else NOTHING
    if not parts:
        return words(units, "spring.none", generic=generic)
    return words(units, "spring.further", parts=listed(parts), generic=generic)


def mark_words(former: Former, units: Units = MM) -> str:
    """Return where the former's mark stands against the beginning of the bend."""
    past = _own(abs(former.mark_mm))
    if former.mark_at == "square":
        return words(units, "mark.square", past=_own(former.mark_mm))
    if not former.mark_mm:
        return words(units, "mark.at")
    return words(units, "mark.past" if former.mark_mm > 0.0 else "mark.short", past=past)


def verdict_words(report: Report, units: Units = MM) -> str:
    """Return the verdict in a line: "PASS: clear as drawn; former not measured", or "FAIL: 2 things are wrong"."""
    errors = sum(f.severity == "error" for f in report.findings)
    warnings = sum(f.severity == "warning" for f in report.findings)
    look = message("verdict.look", n=Count(warnings)) if warnings else NOTHING
    if errors:
        return words(units, "verdict.fail", n=Count(errors), look=look)
    former = NOTHING if report.former_measured else message("verdict.former not measured")
    return words(units, "verdict.pass", former=former, look=look)


def point_words(point: Vec3, units: Units = MM) -> str:
    """Return a point in the room to a tenth of a millimetre: "x 860.2, y 120, z -95"."""
    x, y, z = (Size(round(value, 1)) for value in point)
    return words(units, "point", x=x, y=y, z=z)


def units_words(units: Units) -> str:
    """Return in a sentence what lengths and angles are in."""
    return words(units, "units.mm" if units.name == "mm" else "units.in")
