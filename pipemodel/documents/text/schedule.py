"""The schedule as a text to bend by: 80 columns, one block per run, cautions at the foot."""

from collections.abc import Sequence

from pipemodel.documents.text.clips import write_clips
from pipemodel.documents.text.pulls import write_hands
from pipemodel.pulls.plan import Plan
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.cautions import CAUTIONS
from pipemodel.wording.phrases import former_facts, tube_words
from pipemodel.wording.rounding import RunText
from pipemodel.wording.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.wording.units import Units, in_units

_LABEL = 14


def schedule_text(results: Results, ascii: bool = False, width: int = WIDTH) -> str:
    """Return the schedule of a solved job for people to read.

    Args:
        results: the job; its checks are not asked for.
        ascii: write nothing but ASCII.
        width: columns to a line; the tables need 80.
    """
    schedule, units = results.schedule, results.paperwork.units
    page = TextPage(ascii, width)
    page.heading(schedule.job.name)
    page.raw("")
    page.text(
        f"{units.said} Marks are measured from the start end of the straight tube. "
        "Clockwise and anticlockwise are as seen from the start end, looking along the tube."
    )
    for piece, clips in zip(results.runs, results.clips, strict=True):
        solved = piece.solved
        page.raw("")
        write_run(page, piece, units)
        longest = schedule.job.stock.longest_mm(solved.tube)
        if solved.cut_length_mm > longest:
            page.raw("")
            page.text(
                f"Longer than any stock, {units.length(longest)}: cut and bend it in the pieces of the cut list "
                "(pipemodel cut), each with its own marks.",
                "  ",
            )
        write_clips(page, clips, units)
    page.notes("Notes", (in_units(note, units) for note in schedule.notes))
    page.notes("Cautions", CAUTIONS)
    return page.finished()


def write_run(page: TextPage, piece: Piece, units: Units) -> None:
    """Write the schedule of one piece: what to cut, the table of bends, the pulls in order and what the hands do."""
    solved, said = piece.solved, piece.figures
    page.text(solved.name, "RUN ", longest=LONGEST_NAME)
    _label(page, "Tube", tube_words(solved.tube))
    _label(page, "Cut length", f"{said.cut_length} {units.name}{_of_it(said)}")
    if said.bends:
        for label, words in former_facts(solved, units):
            _label(page, label, words)
        page.raw("")
        _write_plan(page, piece.plan, said, units)
        write_hands(page, piece.cards, units)
        page.raw("")
        page.text(
            "The bends as drawn, from the start end. The turn of the plane is how the finished piece lies; in the "
            "bender the tube turns as the list of pulls says.",
            "  ",
        )
        page.raw("", *_bend_rows(said, units), "")
        _label(page, "Straight after", f"{said.straight_after} {units.name}")
    else:
        _label(page, "Bends", "none: a straight piece")
    if solved.notes:
        page.raw("")
    for note in solved.notes:
        page.text(in_units(note, units), "  Note: ")


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
    wide = (max(units.column, 8), units.column if units.fine_mm else 6)
    heads = (("Straight", "Bend "), ("before", "takes"))
    lines = [
        f"  {bend:>4}  {_right(head, wide)}  {angle:>6}  {plane}".rstrip()
        for bend, head, angle, plane in (
            ("Bend", heads[0], "Angle", "Turn of the plane"),
            ("", heads[1], "", "since the bend before"),
        )
    ]
    lines.append(f"  ----  {'  '.join('-' * w for w in wide)}  ------  {'-' * 22}")
    for row in said.bends:
        lengths = (row.straight_before, row.arc)
        shorts = [length.short if units.fine_mm else _at_point(length.short, 0) for length in lengths]
        lines.append(f"  {row.bend.number:>4}  {_right(shorts, wide)}  {_at_point(row.angle, 6)}  {row.plane}")
        if units.fine_mm:
            lines.append(f"        {_right([f'({length.decimal})' for length in lengths], wide)}")
    return lines


def _right(texts: Sequence[str], widths: Sequence[int]) -> str:
    return "  ".join(text.rjust(width) for text, width in zip(texts, widths, strict=True))


def _write_plan(page: TextPage, plan: Plan, said: RunText, units: Units) -> None:
    if not plan.possible:
        page.raw("  CANNOT BE PULLED as it stands:")
        for why in plan.why_not:
            page.text(in_units(why, units), "    - ")
        return
    page.text("Pull in this order, the side that is named held in the stop:", "  ")
    wide = units.wide_column
    page.raw("", f"  Pull  Bend  Held by  {'Mark':>{wide}}  Pull to  Turn the tube before it")
    page.raw(f"  ----  ----  -------  {'-' * wide}  -------  {'-' * (40 - wide)}")
    for row in said.pulls:
        mark = str(row.mark) if units.fine_mm else _at_point(row.mark.short, 7)
        page.text(
            row.turn,
            f"  {row.pull.number:>4}  {row.pull.bend:>4}  {row.pull.held:<7}  {mark:>{wide}}"
            f"  {_at_point(row.pull_to, 7)}  ",
        )
