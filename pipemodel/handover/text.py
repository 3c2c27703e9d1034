"""The schedule as a text to bend by: 80 columns, one block per run, cautions at the foot."""

from collections.abc import Sequence

from pipemodel.bending.plan import Plan, Pull
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.figures import RunText, deg, run_text, turn_words
from pipemodel.handover.text_clips import write_clips
from pipemodel.handover.text_hands import write_hands
from pipemodel.handover.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.handover.units import MM, Units
from pipemodel.handover.words import former_words, mark_words, springback_words, tube_words

_LABEL = 14


def schedule_text(
    schedule: Schedule, plans: tuple[Plan, ...], ascii: bool = False, width: int = WIDTH, units: Units = MM
) -> str:
    """Return the schedule of a solved job for people to read.

    Args:
        schedule: the solved job.
        plans: its plans of pulls, one per run.
        ascii: write nothing but ASCII.
        width: columns to a line; the tables need 80.
        units: what lengths are read in.
    """
    page = TextPage(ascii, width)
    page.heading(schedule.job.name)
    page.raw("")
    page.text(
        f"{units.said} Marks are measured from the start end of the straight tube. "
        "Turns are as seen from the start end, looking along the tube."
    )
    for solved, plan in zip(schedule.runs, plans, strict=True):
        page.raw("")
        write_run(page, solved, plan, units)
        longest = schedule.job.stock.longest_mm(solved.tube)
        if solved.cut_length_mm > longest:
            page.raw("")
            page.text(
                f"Longer than any stock, {units.length(longest)}: cut and bend it in the pieces of the cut list "
                "(pipemodel cut), each with its own marks.",
                "  ",
            )
        write_clips(page, solved, schedule.job.things, units)
    page.notes("Notes", schedule.notes)
    page.notes("Cautions", CAUTIONS)
    return page.finished()


def write_run(page: TextPage, solved: SolvedRun, plan: Plan, units: Units) -> None:
    """Write the schedule of one piece: what to cut, the table of bends, the pulls in order and what the hands do."""
    said = run_text(solved, plan, units)
    page.text(solved.name, "RUN ", longest=LONGEST_NAME)
    _label(page, "Tube", tube_words(solved.tube))
    _label(page, "Cut length", f"{said.cut_length} {units.name}{_of_it(said)}")
    if said.bends:
        _label(page, "Former", former_words(solved.former, units))
        _label(page, "Springback", springback_words(solved.former))
        _label(page, "Marks", mark_words(solved.former, units))
        page.raw("", *_bend_rows(said, units), "")
        _label(page, "Straight after", f"{said.straight_after} {units.name}")
        page.raw("")
        _write_plan(page, plan, units)
        write_hands(page, solved, plan, units)
    else:
        _label(page, "Bends", "none: a straight piece")
    if solved.notes:
        page.raw("")
    for note in solved.notes:
        page.text(note, "  Note: ")


def _of_it(said: RunText) -> str:
    parts = [f"{said.in_fittings} goes into the fittings"] if said.in_fittings else []
    parts += [f"{said.trim} is trimmed off the finish after bending"] if said.trim else []
    return f", of which {' and '.join(parts)}" if parts else ""


def _label(page: TextPage, label: str, text: str) -> None:
    page.text(text, f"  {label:<{_LABEL}}  ")


def _at_point(figure: str, width: int) -> str:
    """Set a figure in a column so that the decimal points stand under each other."""
    return (figure if "." in figure else figure + "  ").rjust(width)


def _bend_rows(said: RunText, units: Units) -> list[str]:
    # A row is two lines where decimals stand beside fractions, for all to go on a page of 80 columns.
    wide = (units.column, max(units.column, 8), units.column if units.fine_mm else 6)
    heads = (("Mark", "Straight", "Bend "), ("", "before", "takes"))
    lines = [
        f"  {bend:>4}  {_right(head, wide)}  {angle:>6}  {pull:>7}  {turn}".rstrip()
        for bend, head, angle, pull, turn in (
            ("Bend", heads[0], "Angle", "Pull", "Turn the tube"),
            ("", heads[1], "", "to", "before the bend"),
        )
    ]
    lines.append(f"  ----  {'  '.join('-' * w for w in wide)}  ------  -------  {'-' * 22}")
    for row in said.bends:
        lengths = (row.mark, row.straight_before, row.arc)
        shorts = [length.short if units.fine_mm else _at_point(length.short, 0) for length in lengths]
        lines.append(
            f"  {row.bend.number:>4}  {_right(shorts, wide)}  {_at_point(row.angle, 6)}  {_at_point(row.pull, 7)}"
            f"  {row.turn}"
        )
        if units.fine_mm:
            lines.append(f"        {_right([f'({length.decimal})' for length in lengths], wide)}")
    return lines


def _right(texts: Sequence[str], widths: Sequence[int]) -> str:
    return "  ".join(text.rjust(width) for text, width in zip(texts, widths, strict=True))


def _write_plan(page: TextPage, plan: Plan, units: Units) -> None:
    if not plan.possible:
        page.raw("  CANNOT BE PULLED as it stands:")
        for why in plan.why_not:
            page.text(why, "    - ")
    elif plan.in_number_order:
        page.text("Pull the bends in number order, the start side of the tube held in the stop.", "  ")
    else:
        page.text("Pull in this order, the side that is named held in the stop:", "  ")
        wide = units.wide_column
        page.raw("", f"  Pull  Bend  Held by  {'Mark':>{wide}}  Pull to  Before pulling")
        page.raw(f"  ----  ----  -------  {'-' * wide}  -------  {'-' * (40 - wide)}")
        for pull in plan.pulls:
            mark = units.length(pull.mark_mm) if units.fine_mm else _at_point(units.short(pull.mark_mm), 7)
            page.text(
                _before_pulling(pull),
                f"  {pull.number:>4}  {pull.bend:>4}  {pull.held:<7}  {mark:>{wide}}"
                f"  {_at_point(deg(pull.pull_deg), 7)}  ",
            )


def _before_pulling(pull: Pull) -> str:
    words = ["other end into the stop"] if pull.turn_round else []
    words += [f"turn the tube {turn_words(pull.roll_deg)}"] if abs(pull.roll_deg) >= 0.05 else []
    return "; ".join(words) if words else "-"
