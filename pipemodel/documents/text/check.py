"""What the checks found, as a text to read: the verdict first, then why, then the least distances."""

from pipemodel.checks.findings import Distance, Finding
from pipemodel.results.results import Results
from pipemodel.wording.cautions import CAUTIONS
from pipemodel.wording.phrases import point_words, verdict_words
from pipemodel.wording.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.wording.units import Units, in_units

NEAREST_SHOWN = 12
"""How many least distances a person is shown for each run; the JSON has them all."""
_TITLES = {"error": "WRONG", "warning": "LOOK AT", "note": "NOTE"}


def check_text(results: Results, ascii: bool = False, width: int = WIDTH) -> str:
    """Return what the checks of a solved job found, for people to read.

    Args:
        results: the job.
        ascii: write nothing but ASCII.
        width: columns to a line.
    """
    schedule, report, units = results.schedule, results.report, results.paperwork.units
    page = TextPage(ascii, width)
    page.heading(schedule.job.name)
    page.raw("", verdict_words(report))
    for severity in _TITLES:
        for finding in (f for f in report.findings if f.severity == severity):
            _write_finding(page, finding, units)
    if report.distances:
        _write_distances(page, results)
    page.notes("Notes", (in_units(note, units) for note in schedule.notes))
    page.notes("Cautions", CAUTIONS)
    return page.finished()


def _write_finding(page: TextPage, finding: Finding, units: Units) -> None:
    page.raw("")
    page.text(in_units(finding.message, units), f"{_TITLES[finding.severity]:<8}{finding.code}  ", " " * 8)
    where = []
    if finding.at_mm is not None:
        where.append(f"{units.reading(finding.at_mm).removesuffix('.0')} along the run")
    if finding.point is not None:
        where.append(f"at {point_words(finding.point, units)}")
    if where:
        page.text(", ".join(where), " " * 8)


def _write_distances(page: TextPage, results: Results) -> None:
    schedule, units = results.schedule, results.paperwork.units
    page.raw("", f"Least distances in {units.name}, from the outside of the tube; nearest first")
    by_run: dict[str, list[Distance]] = {}
    for distance in results.report.distances:
        by_run.setdefault(distance.run, []).append(distance)
    for solved, asked in zip(schedule.runs, results.asked_mm, strict=True):
        rows = sorted(by_run.get(solved.name, ()), key=lambda d: d.distance_mm)
        if not rows:
            continue
        joined = schedule.job.joined_to(solved.run)
        page.raw("")
        page.text(solved.name, "RUN ", longest=LONGEST_NAME)
        page.raw("  Distance    Asked  Along the run  To", "  --------  -------  -------------  --------------------")
        for row in rows[:NEAREST_SHOWN]:
            _write_distance(page, row, None if row.against in joined else asked[row.against], units)
        if len(rows) > NEAREST_SHOWN:
            page.raw(f"  and {len(rows) - NEAREST_SHOWN} more, all further off")


def _write_distance(page: TextPage, row: Distance, asked: float | None, units: Units) -> None:
    """Write how near a run is to something; `asked` is None where the two are connected."""
    near, along = units.reading(row.distance_mm), units.reading(row.at_mm)
    wanted = "joined" if asked is None else units.reading(asked)
    page.text(row.against, f"  {near:>8}  {wanted:>7}  {along:>13}  ", longest=LONGEST_NAME)
