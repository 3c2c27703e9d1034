"""What the checks found, as a text to read: the verdict first, then why, then the least distances."""

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Distance, Finding, Report, Severity
from pipemodel.messages.say import say, words
from pipemodel.messages.values import Count, Message, Name, message
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import point_words, verdict_words
from pipemodel.wording.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.wording.units import MM, Units

NEAREST_SHOWN = 12
"""How many least distances a person is shown for each run; the JSON has them all."""
_TITLES: dict[Severity, Message] = {
    "error": message("check.error"),
    "warning": message("check.warning"),
    "note": message("check.note"),
}


def check_text(schedule: Schedule, report: Report, ascii: bool = False, width: int = WIDTH, units: Units = MM) -> str:
    """Return what the checks of a solved job found, for people to read.

    Args:
        schedule: the solved job.
        report: what `checks.table.run_checks` found in it.
        ascii: write nothing but ASCII.
        width: columns to a line.
        units: what lengths are read in, and in which language.
    """
    page = TextPage(ascii, width, units.language)
    page.heading(schedule.job.name)
    page.raw("", verdict_words(report, units))
    for severity in _TITLES:
        for finding in (f for f in report.findings if f.severity == severity):
            _write_finding(page, finding, units)
    if report.distances:
        _write_distances(page, schedule, report, units)
    page.notes(words(units, "paper.notes"), (say(note, units) for note in schedule.notes))
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def _write_finding(page: TextPage, finding: Finding, units: Units) -> None:
    page.raw("")
    page.text(say(finding.said, units), f"{say(_TITLES[finding.severity], units):<8}{finding.code}  ", " " * 8)
    where = []
    if finding.at_mm is not None:
        at = units.reading(finding.at_mm).removesuffix(units.figure(".0"))
        where.append(words(units, "check.along", at=Name(at, quoted=False)))
    if finding.point is not None:
        point = Name(point_words(finding.point, units), quoted=False)
        where.append(words(units, "check.at", point=point))
    if where:
        page.text(", ".join(where), " " * 8)


def _write_distances(page: TextPage, schedule: Schedule, report: Report, units: Units) -> None:
    page.raw("", words(units, "check.distances", unit=Name(units.unit, quoted=False)))
    near, asked_for = words(units, "check.head distance"), words(units, "check.head asked")
    along, to = words(units, "check.head along"), words(units, "check.head to")
    by_run: dict[str, list[Distance]] = {}
    asked_of: dict[float, dict[str, float]] = {}
    for distance in report.distances:
        by_run.setdefault(distance.run, []).append(distance)
    for solved in schedule.runs:
        rows = sorted(by_run.get(solved.name, ()), key=lambda d: d.distance_mm)
        if not rows:
            continue
        # Of runs with equal insulation the same is asked.
        thick = solved.run.insulation_mm
        asked = asked_of[thick] = asked_of[thick] if thick in asked_of else schedule.job.asked_of(solved.run)
        joined = schedule.job.joined_to(solved.run)
        page.raw("")
        page.text(solved.name, words(units, "paper.run"), longest=LONGEST_NAME)
        page.raw(f"  {near:>8}  {asked_for:>7}  {along:>13}  {to}")
        page.raw("  --------  -------  -------------  --------------------")
        for row in rows[:NEAREST_SHOWN]:
            _write_distance(page, row, None if row.against in joined else asked[row.against], units)
        if len(rows) > NEAREST_SHOWN:
            page.raw("  " + words(units, "check.more", n=Count(len(rows) - NEAREST_SHOWN)))


def _write_distance(page: TextPage, row: Distance, asked: float | None, units: Units) -> None:
    """Write how near a run is to something; `asked` is None where the two are connected."""
    near, along = units.reading(row.distance_mm), units.reading(row.at_mm)
    wanted = words(units, "check.joined") if asked is None else units.reading(asked)
    page.text(row.against, f"  {near:>8}  {wanted:>7}  {along:>13}  ", longest=LONGEST_NAME)
