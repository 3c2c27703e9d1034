"""What the checks found, as a text to read: the verdict first, then why, then the least distances."""

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Distance, Finding, Report
from pipemodel.geometry.vectors import Vec3
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.figures import tidy
from pipemodel.handover.plain import shown, wrapped
from pipemodel.handover.text import LONGEST_NAME, WIDTH, finished, heading, notes_block

NEAREST_SHOWN = 12
"""How many least distances a person is shown for each run; the JSON has them all."""
_TITLES = {"error": "WRONG", "warning": "LOOK AT", "note": "NOTE"}


def check_text(schedule: Schedule, report: Report, ascii: bool = False, width: int = WIDTH) -> str:
    """Return what the checks of a solved job found, for people to read.

    Args:
        schedule: the solved job.
        report: what `checks.table.run_checks` found in it.
        ascii: write nothing but ASCII.
        width: columns to a line.
    """
    lines = [*heading(schedule.job.name, width), "", verdict_words(report)]
    for severity in _TITLES:
        for finding in (f for f in report.findings if f.severity == severity):
            lines += ["", *_finding_lines(finding, width)]
    if report.distances:
        lines += ["", *_distance_lines(schedule, report, width)]
    lines += notes_block("Notes", schedule.notes, width)
    lines += notes_block("Cautions", CAUTIONS, width)
    return finished(lines, ascii)


def verdict_words(report: Report) -> str:
    """Return the verdict in a line: "PASS", or "FAIL: 2 things are wrong"."""
    errors = sum(f.severity == "error" for f in report.findings)
    warnings = sum(f.severity == "warning" for f in report.findings)
    words = "PASS" if not errors else f"FAIL: {_counted(errors, 'thing is', 'things are')} wrong"
    return words + (f"; {_counted(warnings, 'thing', 'things')} to look at" if warnings else "")


def point_words(point: Vec3) -> str:
    """Return a point in the room to a tenth of a millimetre: "x 860.2, y 120, z -95"."""
    return ", ".join(f"{axis} {tidy(round(value, 1))}" for axis, value in zip("xyz", point, strict=True))


def _counted(n: int, one: str, many: str) -> str:
    return f"{n} {one if n == 1 else many}"


def _finding_lines(finding: Finding, width: int) -> list[str]:
    lines = wrapped(shown(finding.message), width, f"{_TITLES[finding.severity]:<8}{finding.code}  ", " " * 8)
    where = []
    if finding.at_mm is not None:
        where.append(f"{tidy(round(finding.at_mm, 1))} along the run")
    if finding.point is not None:
        where.append(f"at {point_words(finding.point)}")
    return lines + (wrapped(", ".join(where), width, " " * 8) if where else [])


def _distance_lines(schedule: Schedule, report: Report, width: int) -> list[str]:
    asked = {thing.name: schedule.job.clearance_to(thing) for thing in schedule.job.things}
    lines = wrapped("Least distances, from the outside of the tube; nearest first", width)
    for solved in schedule.runs:
        rows = sorted((d for d in report.distances if d.run == solved.name), key=lambda d: d.distance_mm)
        if not rows:
            continue
        lines += ["", *wrapped(shown(solved.name, LONGEST_NAME), width, "RUN ")]
        lines += ["  Distance    Asked  Along the run  To", "  --------  -------  -------------  --------------------"]
        for row in rows[:NEAREST_SHOWN]:
            lines += _distance_row(row, asked.get(row.against, schedule.job.clearance_mm), width)
        if len(rows) > NEAREST_SHOWN:
            lines.append(f"  and {len(rows) - NEAREST_SHOWN} more, all further off")
    return lines


def _distance_row(row: Distance, asked: float, width: int) -> list[str]:
    begin = f"  {row.distance_mm + 0.0:>8.1f}  {asked:>7.1f}  {row.at_mm + 0.0:>13.1f}  "
    return wrapped(shown(row.against, LONGEST_NAME), width, begin)
