"""The schedule as a text to bend by: 80 columns, one block per run, cautions at the foot."""

from collections.abc import Sequence

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.documents.text.clips import write_clips
from pipemodel.documents.text.pulls import write_hands
from pipemodel.messages.say import say, words
from pipemodel.messages.values import Message, Name, Tape, Word, listed, message
from pipemodel.pulls.plan import Plan
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import former_facts, tube_words, units_words
from pipemodel.wording.rounding import RunText, run_text
from pipemodel.wording.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.wording.units import MM, Units

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
        units: what lengths are read in, and in which language.
    """
    page = TextPage(ascii, width, units.language)
    page.heading(schedule.job.name)
    page.raw("")
    page.text(words(units, "schedule.head", measured_in=Name(units_words(units), quoted=False)))
    for solved, plan in zip(schedule.runs, plans, strict=True):
        page.raw("")
        write_run(page, solved, plan, units)
        longest = schedule.job.stock.longest_mm(solved.tube)
        if solved.cut_length_mm > longest:
            page.raw("")
            page.text(words(units, "schedule.longer than stock", longest=Tape(longest, unit=False)), "  ")
        write_clips(page, solved, schedule.job.things, units)
    page.notes(words(units, "paper.notes"), (say(note, units) for note in schedule.notes))
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def write_run(page: TextPage, solved: SolvedRun, plan: Plan, units: Units) -> None:
    """Write the schedule of one piece: what to cut, the table of bends, the pulls in order and what the hands do."""
    said = run_text(solved, plan, units)
    page.text(solved.name, words(units, "paper.run"), longest=LONGEST_NAME)
    _label(page, words(units, "schedule.tube"), tube_words(solved.tube, units))
    _label(page, words(units, "schedule.cut length"), _cut_length(said, units))
    if said.bends:
        for label, fact in former_facts(solved, units):
            _label(page, label, fact)
        page.raw("")
        _write_plan(page, plan, said, units)
        write_hands(page, solved, plan, units)
        page.raw("")
        page.text(words(units, "schedule.as drawn"), "  ")
        page.raw("", *_bend_rows(said, units), "")
        _label(page, words(units, "schedule.straight after"), f"{said.straight_after} {units.unit}")
    else:
        _label(page, words(units, "schedule.bends"), words(units, "schedule.no bends"))
    if solved.notes:
        page.raw("")
    for note in solved.notes:
        page.text(say(note, units), f"  {words(units, 'schedule.note')}")


def _cut_length(said: RunText, units: Units) -> str:
    length = Name(f"{said.cut_length} {units.unit}", quoted=False)
    parts: list[Message] = []
    if said.in_fittings:
        parts.append(message("schedule.in fittings", length=Name(str(said.in_fittings), quoted=False)))
    if said.trim:
        parts.append(message("schedule.trim", length=Name(str(said.trim), quoted=False)))
    return words(units, "schedule.of which", length=length, parts=listed(parts)) if parts else length.text


def _label(page: TextPage, label: str, text: str) -> None:
    page.text(text, f"  {label:<{_LABEL}}  ")


def _at_point(figure: str, width: int) -> str:
    """Set a figure in a column so that the decimal points, or commas, stand under each other."""
    return (figure if "." in figure or "," in figure else figure + "  ").rjust(width)


def _bend_rows(said: RunText, units: Units) -> list[str]:
    # A row is two lines where decimals stand beside fractions, for all to go on a page of 80 columns.
    wide = (max(units.column, 8), units.column if units.fine_mm else 6)
    head = words(units, "schedule.head bend")
    number = max(len(head), 4)
    first = (words(units, "schedule.head straight"), words(units, "schedule.head takes bend"))
    second = (words(units, "schedule.head before"), words(units, "schedule.head takes"))
    angle, plane = words(units, "schedule.head angle"), words(units, "schedule.head plane")
    lines = [
        f"  {head:>{number}}  {_right(first, wide)}  {angle:>6}  {plane}",
        f"  {'':>{number}}  {_right(second, wide)}  {'':>6}  {words(units, 'schedule.head since')}",
        f"  {'-' * number}  {'  '.join('-' * w for w in wide)}  ------  {'-' * 22}",
    ]
    for row in said.bends:
        lengths = (row.straight_before, row.arc)
        shorts = [length.short if units.fine_mm else _at_point(length.short, 0) for length in lengths]
        lines.append(f"  {row.bend.number:>{number}}  {_right(shorts, wide)}  {_at_point(row.angle, 6)}  {row.plane}")
        if units.fine_mm:
            lines.append(f"  {'':>{number}}  {_right([f'({length.decimal})' for length in lengths], wide)}")
    return lines


def _right(texts: Sequence[str], widths: Sequence[int]) -> str:
    return "  ".join(text.rjust(width) for text, width in zip(texts, widths, strict=True))


def _write_plan(page: TextPage, plan: Plan, said: RunText, units: Units) -> None:
    if not plan.possible:
        page.raw("  " + words(units, "schedule.cannot"))
        for why in plan.why_not:
            page.text(say(why, units), "    - ")
        return
    page.text(words(units, "schedule.in this order"), "  ")
    wide = units.wide_column
    pull, bend = words(units, "schedule.head pull"), words(units, "schedule.head bend")
    held, mark = words(units, "schedule.head held"), words(units, "schedule.head mark")
    pull_to, turn = words(units, "schedule.head pull to"), words(units, "schedule.head turn")
    numbers, to = max(len(bend), 4), max(len(pull_to), 7)
    page.raw("", f"  {pull:>4}  {bend:>{numbers}}  {held:<7}  {mark:>{wide}}  {pull_to:>{to}}  {turn}")
    page.raw(f"  ----  {'-' * numbers}  -------  {'-' * wide}  {'-' * to}  {'-' * (40 - wide)}")
    for row in said.pulls:
        mark = str(row.mark) if units.fine_mm else _at_point(row.mark.short, 7)
        held = say(message("word", word=Word(row.pull.held)), units)
        page.text(
            row.turn,
            f"  {row.pull.number:>4}  {row.pull.bend:>{numbers}}  {held:<7}  {mark:>{wide}}"
            f"  {_at_point(row.pull_to, to)}  ",
        )
