"""The schedule as a text to bend by: 80 columns, one block per run, cautions at the foot."""

from pipemodel.bending.plan import Plan, Pull
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.figures import RunFigures, deg, mm, run_figures, turn_words
from pipemodel.handover.text_clips import write_clips
from pipemodel.handover.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.handover.words import former_words, mark_words, springback_words, tube_words

_LABEL = 14
_BENDS_HEAD = (
    "  Bend     Mark  Straight   Bend    Angle     Pull  Turn the tube",
    "                   before  takes                to  before the bend",
    "  ----  -------  --------  ------  ------  -------  ----------------------",
)
_PULLS_HEAD = (
    "  Pull  Bend  Held by     Mark  Pull to  Before pulling",
    "  ----  ----  -------  -------  -------  ---------------------------------",
)


def schedule_text(schedule: Schedule, plans: tuple[Plan, ...], ascii: bool = False, width: int = WIDTH) -> str:
    """Return the schedule of a solved job for people to read.

    Args:
        schedule: the solved job.
        plans: its plans of pulls, one per run.
        ascii: write nothing but ASCII.
        width: columns to a line; the tables need 80.
    """
    page = TextPage(ascii, width)
    page.heading(schedule.job.name)
    page.raw("")
    page.text(
        "All in mm and degrees. Marks are measured from the start end of the straight tube. "
        "Turns are as seen from the start end, looking along the tube."
    )
    for solved, plan in zip(schedule.runs, plans, strict=True):
        page.raw("")
        _write_run(page, solved, plan)
        write_clips(page, solved, schedule.job.things)
    page.notes("Notes", schedule.notes)
    page.notes("Cautions", CAUTIONS)
    return page.finished()


def _write_run(page: TextPage, solved: SolvedRun, plan: Plan) -> None:
    figures = run_figures(solved)
    page.text(solved.name, "RUN ", longest=LONGEST_NAME)
    _label(page, "Tube", tube_words(solved.tube))
    _label(page, "Cut length", f"{mm(figures.cut_length)} mm{_of_it(solved, figures)}")
    if figures.bends:
        _label(page, "Former", former_words(solved.former))
        _label(page, "Springback", springback_words(solved.former))
        _label(page, "Marks", mark_words(solved.former))
        page.raw("", *_BENDS_HEAD, *_bend_rows(figures, solved, plan), "")
        _label(page, "Straight after", f"{mm(figures.straight_after)} mm")
        page.raw("")
        _write_plan(page, plan)
    else:
        _label(page, "Bends", "none: a straight piece")
    if solved.notes:
        page.raw("")
    for note in solved.notes:
        page.text(note, "  Note: ")


def _of_it(solved: SolvedRun, figures: RunFigures) -> str:
    ends = solved.run.ends
    parts = [f"{mm(ends.in_fittings_mm)} goes into the fittings"] if ends.in_fittings_mm else []
    parts += [f"{mm(figures.trim)} is trimmed off the finish after bending"] if figures.trim else []
    return f", of which {' and '.join(parts)}" if parts else ""


def _label(page: TextPage, label: str, text: str) -> None:
    page.text(text, f"  {label:<{_LABEL}}  ")


def _at_point(figure: str, width: int) -> str:
    """Set a figure in a column so that the decimal points stand under each other."""
    return (figure if "." in figure else figure + "  ").rjust(width)


def _bend_rows(figures: RunFigures, solved: SolvedRun, plan: Plan) -> list[str]:
    # One mark for each bend, the one it is pulled by: a second for the other way of holding would only mislead.
    planned = {pull.bend: pull.mark_mm for pull in plan.pulls}
    return [
        f"  {row.bend.number:>4}  {_at_point(mm(planned.get(row.bend.number, row.mark)), 7)}"
        f"  {_at_point(mm(row.straight_before), 8)}  {_at_point(mm(row.arc), 6)}"
        f"  {_at_point(deg(row.bend.angle_deg), 6)}  {_at_point(deg(solved.pull_deg(row.bend)), 7)}"
        f"  {turn_words(row.bend.turn_deg, row.bend.number == 1)}"
        for row in figures.bends
    ]


def _write_plan(page: TextPage, plan: Plan) -> None:
    if not plan.possible:
        page.raw("  CANNOT BE PULLED as it stands:")
        for why in plan.why_not:
            page.text(why, "    - ")
    elif plan.in_number_order:
        page.text("Pull the bends in number order, the start side of the tube held in the stop.", "  ")
    else:
        page.text("Pull in this order, the side that is named held in the stop:", "  ")
        page.raw("", *_PULLS_HEAD)
        for pull in plan.pulls:
            page.text(
                _before_pulling(pull),
                f"  {pull.number:>4}  {pull.bend:>4}  {pull.held:<7}  {_at_point(mm(pull.mark_mm), 7)}"
                f"  {_at_point(deg(pull.pull_deg), 7)}  ",
            )


def _before_pulling(pull: Pull) -> str:
    words = ["other end into the stop"] if pull.turn_round else []
    words += [f"turn the tube {turn_words(pull.roll_deg)}"] if abs(pull.roll_deg) >= 0.05 else []
    return "; ".join(words) if words else "-"
