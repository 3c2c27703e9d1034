"""Tube, former, law of springback, verdict and points in words, the same on every paper."""

from pipemodel.bending.angle_words import deg
from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.findings import Report
from pipemodel.geometry.vectors import Vec3
from pipemodel.trade.model import GREATEST_PULL_DEG, Former, Tube
from pipemodel.wording.rounding import tidy
from pipemodel.wording.units import MM, Units


def tube_words(tube: Tube) -> str:
    """Return a tube in words: "15 x 0.7 copper, half hard (EN 1057)"."""
    words = tube.name if tube.name else f"{tidy(tube.outside_mm)} x {tidy(tube.wall_mm)}"
    more = [word for word in (tube.material, tube.temper) if word and word.lower() not in words.lower()]
    words = ", ".join([words, *more])
    return f"{words} ({tube.standard})" if tube.standard and tube.standard not in words else words


def former_words(former: Former, units: Units = MM) -> str:
    """Return a former in words: its name, its finished radius, and what it needs on either side of a bend."""
    words = f"{former.name}: radius {units.tidy(former.radius_mm)} to the centreline"
    if former.hold_mm or former.guide_mm:
        least = "at least " if former.guide_block_mm is not None else ""
        words += f"; holds {units.tidy(former.hold_mm)}, guides {least}{units.tidy(former.guide_mm)}"
        generic = [figure for figure in ("hold", "guide") if figure in former.not_given]
        words += f" (generic {' and '.join(generic)})" if generic else ""
    if former.guide_block_mm is not None:
        guides = ", ".join(
            f"{units.tidy(round(former.guide_needed_mm(angle), 1))} at {angle:g}" for angle in (30.0, 45.0, 90.0)
        )
        words += f" (block of {units.tidy(former.guide_block_mm)}: {guides} degrees)"
    if former.guide_travel_mm:
        words += f" and {units.tidy(former.guide_travel_mm)} more as it travels in a pull of 90"
    if former.max_angle_deg < GREATEST_PULL_DEG:
        words += f"; up to {deg(former.max_angle_deg)} degrees"
    return words + ("; generic, measure your own" if former.generic else "")


def former_facts(solved: SolvedRun, units: Units = MM) -> list[tuple[str, str]]:
    """Return former, springback and marks of a run, each with its label; of each former, where there are several."""
    used = solved.formers_used
    facts: list[tuple[str, str]] = []
    for former in used:
        who = f"{bends_words(solved, former)}: " if len(used) > 1 else ""
        facts += [
            ("Former", who + former_words(former, units)),
            ("Springback", who + springback_words(former)),
            ("Marks", who + mark_words(former, units)),
        ]
    return facts


def bends_words(solved: SolvedRun, former: Former) -> str:
    """Return which bends are made round a former: "bend 2", "bends 1 and 3"."""
    numbers = [str(b.number) for b in solved.table.bends if solved.former_of(b) == former]
    many = f"bends {', '.join(numbers[:-1])} and {numbers[-1]}"
    return many if len(numbers) > 1 else f"bend {numbers[0]}"


def springback_words(former: Former) -> str:
    """Return the law of springback in words."""
    spring = former.springback
    parts = [f"{tidy(spring.fixed_deg)} degree{'' if spring.fixed_deg == 1.0 else 's'}"] if spring.fixed_deg else []
    parts += [f"{spring.per_degree * 100.0:.4g} % of the angle"] if spring.per_degree else []
    words = "pull further by " + " and ".join(parts) if parts else "none given: pull to the angle itself"
    return words + (" (generic)" if "springback" in former.not_given else "")


def mark_words(former: Former, units: Units = MM) -> str:
    """Return where the former's mark stands against the beginning of the bend."""
    if former.mark_at == "square":
        past = f"{units.tidy(former.mark_mm)} past where the bend begins"
        return f"where a square against the former's rim meets the tube, {past}"
    if not former.mark_mm:
        return "where the bend begins, coming from the side that is held"
    side = "past" if former.mark_mm > 0.0 else "short of"
    return f"{units.tidy(abs(former.mark_mm))} {side} where the bend begins, coming from the side that is held"


def verdict_words(report: Report) -> str:
    """Return the verdict in a line: "PASS", or "FAIL: 2 things are wrong"."""
    errors = sum(f.severity == "error" for f in report.findings)
    warnings = sum(f.severity == "warning" for f in report.findings)
    words = "PASS" if not errors else f"FAIL: {_counted(errors, 'thing is', 'things are')} wrong"
    return words + (f"; {_counted(warnings, 'thing', 'things')} to look at" if warnings else "")


def point_words(point: Vec3, units: Units = MM) -> str:
    """Return a point in the room to a tenth of a millimetre: "x 860.2, y 120, z -95"."""
    return ", ".join(f"{axis} {units.tidy(round(value, 1))}" for axis, value in zip("xyz", point, strict=True))


def _counted(n: int, one: str, many: str) -> str:
    return f"{n} {one if n == 1 else many}"
