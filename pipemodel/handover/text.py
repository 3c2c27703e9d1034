"""The schedule as a text to bend by: 80 columns, one block per run, cautions at the foot."""

from pipemodel.bending.plan import Plan, Pull
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.figures import RunFigures, deg, mm, run_figures, tidy, turn_words
from pipemodel.handover.plain import columns, shown, to_ascii, wrapped
from pipemodel.trade.model import Former, Tube

WIDTH = 80
LONGEST_NAME = 200
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
    lines = heading(schedule.job.name, width)
    lines += ["", *wrapped("All in mm and degrees. Marks are measured from the start end of the straight tube. "
                           "Turns are as seen from the start end, looking along the tube.", width)]  # fmt: skip
    for solved, plan in zip(schedule.runs, plans, strict=True):
        lines += ["", *_run_block(solved, plan, width)]
    lines += notes_block("Notes", schedule.notes, width)
    lines += notes_block("Cautions", CAUTIONS, width)
    return finished(lines, ascii)


def heading(name: str, width: int) -> list[str]:
    """Return a title with a rule under it."""
    title = wrapped(shown(name, LONGEST_NAME), width)
    return [*title, "=" * max(columns(line) for line in title)]


def notes_block(title: str, notes: tuple[str, ...], width: int) -> list[str]:
    """Return a titled list of notes, or nothing where there are none."""
    if not notes:
        return []
    return ["", title, *(line for note in notes for line in wrapped(shown(note), width, "  - "))]


def finished(lines: list[str], ascii: bool) -> str:
    """Join lines into the text that is printed, in plain ASCII if asked for."""
    text = "\n".join(line.rstrip() for line in lines) + "\n"
    return to_ascii(text) if ascii else text


def tube_words(tube: Tube) -> str:
    """Return a tube in words: "15 x 0.7 copper, half hard (EN 1057)"."""
    words = tube.name if tube.name else f"{tidy(tube.outside_mm)} x {tidy(tube.wall_mm)}"
    more = [word for word in (tube.material, tube.temper) if word and word.lower() not in words.lower()]
    words = ", ".join([words, *more])
    return f"{words} ({tube.standard})" if tube.standard and tube.standard not in words else words


def former_words(former: Former) -> str:
    """Return a former in words: its name, its finished radius, and what it needs on either side of a bend."""
    words = f"{former.name}: radius {tidy(former.radius_mm)} to the centreline"
    if former.hold_mm or former.guide_mm:
        words += f"; holds {tidy(former.hold_mm)}, guides {tidy(former.guide_mm)}"
    if former.max_angle_deg < 180.0:
        words += f"; up to {deg(former.max_angle_deg)} degrees"
    return words + ("; generic, measure your own" if former.generic else "")


def springback_words(former: Former) -> str:
    """Return the law of springback in words."""
    spring = former.springback
    parts = [f"{tidy(spring.fixed_deg)} degree{'' if spring.fixed_deg == 1.0 else 's'}"] if spring.fixed_deg else []
    parts += [f"{spring.per_degree * 100.0:.4g} % of the angle"] if spring.per_degree else []
    return "pull further by " + " and ".join(parts) if parts else "none given: pull to the angle itself"


def mark_words(former: Former) -> str:
    """Return where the former's mark stands against the beginning of the bend."""
    if not former.mark_mm:
        return "at the beginning of each bend"
    side = "after" if former.mark_mm > 0.0 else "before"
    return f"{tidy(abs(former.mark_mm))} {side} the beginning of each bend"


def _run_block(solved: SolvedRun, plan: Plan, width: int) -> list[str]:
    figures = run_figures(solved)
    lines = wrapped(shown(solved.name, LONGEST_NAME), width, "RUN ")
    lines += _labelled("Tube", tube_words(solved.tube), width)
    lines += _labelled("Cut length", f"{mm(figures.cut_length)} mm", width)
    if figures.bends:
        lines += _labelled("Former", former_words(solved.former), width)
        lines += _labelled("Springback", springback_words(solved.former), width)
        lines += _labelled("Marks", mark_words(solved.former), width)
        lines += ["", *_BENDS_HEAD, *_bend_rows(figures, solved), ""]
        lines += _labelled("Straight after", f"{mm(figures.straight_after)} mm", width, _LABEL + 2)
        lines += ["", *_plan_block(plan, width)]
    else:
        lines += _labelled("Bends", "none: a straight piece", width)
    lines += [line for note in solved.notes for line in wrapped(shown(note), width, "  Note: ")]
    return lines


def _labelled(label: str, text: str, width: int, room: int = _LABEL) -> list[str]:
    return wrapped(shown(text), width, f"  {label:<{room}}")


def _at_point(figure: str, width: int) -> str:
    """Set a figure in a column so that the decimal points stand under each other."""
    return (figure if "." in figure else figure + "  ").rjust(width)


def _bend_rows(figures: RunFigures, solved: SolvedRun) -> list[str]:
    return [
        f"  {row.bend.number:>4}  {_at_point(mm(row.mark), 7)}  {_at_point(mm(row.straight_before), 8)}"
        f"  {_at_point(mm(row.arc), 6)}  {_at_point(deg(row.bend.angle_deg), 6)}"
        f"  {_at_point(deg(solved.pull_deg(row.bend)), 7)}  {turn_words(row.bend.turn_deg, row.bend.number == 1)}"
        for row in figures.bends
    ]


def _plan_block(plan: Plan, width: int) -> list[str]:
    if not plan.possible:
        whys = (line for why in plan.why_not for line in wrapped(shown(why), width, "    - "))
        return ["  CANNOT BE PULLED as it stands:", *whys]
    if plan.in_number_order:
        return wrapped("Pull the bends in number order, the start side of the tube held in the stop.", width, "  ")
    lines = wrapped(
        "Pull in this order, each bend at the mark given here, which is for the side that is held:", width, "  "
    )
    lines += ["", *_PULLS_HEAD]
    for pull in plan.pulls:
        row = (
            f"  {pull.number:>4}  {pull.bend:>4}  {pull.held:<7}  {_at_point(mm(pull.mark_mm), 7)}"
            f"  {_at_point(deg(pull.pull_deg), 7)}  "
        )
        lines += wrapped(_before_pulling(pull), width, row)
    return lines


def _before_pulling(pull: Pull) -> str:
    words = ["other end into the stop"] if pull.turn_round else []
    words += [f"turn the tube {turn_words(pull.roll_deg)}"] if abs(pull.roll_deg) >= 0.05 else []
    return "; ".join(words) if words else "-"
