"""The sheets of the pack that flow: what is on the job sheet, on each run's schedule sheet, and on the pull cards."""

from collections.abc import Sequence
from html import escape
from typing import Any

from pipemodel.bending.plan import Plan, Pull
from pipemodel.bending.schedule import SolvedRun
from pipemodel.handover.answer import Answer
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.drawing.pdf import POINT_MM, draw_on
from pipemodel.handover.drawing.sheet import Role, Sheet
from pipemodel.handover.drawing.tape_line import tape_line
from pipemodel.handover.figures import deg, mm, run_figures, tidy, turn_words
from pipemodel.handover.identity import identity
from pipemodel.handover.pack.fonts import BOLD, PLAIN
from pipemodel.handover.plain import shown

LONGEST = 200
"""Names longer than this are cut on paper; the job file has them whole."""


class Styles:
    """Paragraph styles and table looks of the pack."""

    def __init__(self) -> None:
        from reportlab.lib.styles import ParagraphStyle

        self.body = ParagraphStyle("body", fontName=PLAIN, fontSize=10, leading=13.5)
        self.title = ParagraphStyle("title", fontName=BOLD, fontSize=18, leading=22, spaceAfter=4)
        self.head = ParagraphStyle("head", fontName=BOLD, fontSize=13, leading=17, spaceBefore=8, spaceAfter=3)
        self.big = ParagraphStyle("big", fontName=BOLD, fontSize=14, leading=18)

    def words(self, text: str, style: str = "body") -> Any:
        """Return a paragraph of harmless text."""
        from reportlab.platypus import Paragraph

        return Paragraph(escape(shown(text, LONGEST * 4)), getattr(self, style))

    def table(self, rows: Sequence[Sequence[Any]], widths: Sequence[float], numbers: Sequence[int] = ()) -> Any:
        """Return a ruled table, first row as its head, repeated on every page; widths in mm."""
        from reportlab.lib import colors
        from reportlab.platypus import Table, TableStyle

        table = Table([list(r) for r in rows], colWidths=[w * POINT_MM for w in widths], repeatRows=1, hAlign="LEFT")
        look: list[tuple[Any, ...]] = [
            ("FONT", (0, 0), (-1, -1), PLAIN, 10),
            ("FONT", (0, 0), (-1, 0), BOLD, 9),
            ("LINEBELOW", (0, 0), (-1, 0), 1.0, colors.black),
            ("LINEBELOW", (0, 1), (-1, -1), 0.4, colors.grey),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("TOPPADDING", (0, 0), (-1, -1), 3),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        ]
        look += [("ALIGN", (c, 0), (c, -1), "RIGHT") for c in numbers]
        table.setStyle(TableStyle(look))
        return table


def drawn(sheet: Sheet, fonts: tuple[str, str]) -> Any:
    """Return a sheet as something that flows with the text, at full size."""
    from reportlab.platypus import Flowable

    class Drawn(Flowable):  # type: ignore[misc]
        """A drawing in the flow."""

        def wrap(self, *_: float) -> tuple[float, float]:
            return sheet.width * POINT_MM, sheet.height * POINT_MM

        def draw(self) -> None:
            draw_on(self.canv, sheet, 0.0, 0.0, fonts)

    return Drawn()


def job_sheet(answer: Answer, styles: Styles, width: float, fonts: tuple[str, str]) -> list[Any]:
    """The first sheet: what the job is, whether it passes, what to cut, and the cautions."""
    from reportlab.platypus import Spacer

    schedule, report = answer.schedule, answer.report
    verdict = "Passes every check." if report.verdict == "pass" else "DOES NOT PASS: see the findings below."
    flow = [
        styles.words(shown(schedule.job.name, LONGEST), "title"),
        drawn(identity_code(identity(schedule)), fonts),
        styles.words(verdict, "big"),
        styles.words("All lengths in mm, angles in degrees. Marks are measured from the start end.", "body"),
        styles.words("Cut list", "head"),
    ]
    rows: list[list[Any]] = [["run", "tube", "bends", "cut"]]
    for solved in schedule.runs:
        figures = run_figures(solved)
        rows.append(
            [
                styles.words(shown(solved.name, LONGEST)),
                styles.words(solved.tube.name),
                len(figures.bends),
                mm(figures.cut_length),
            ]
        )
    flow.append(styles.table(rows, (width - 100.0, 60.0, 18.0, 22.0), numbers=(2, 3)))
    flow.append(styles.words("Findings", "head"))
    told = [f for f in report.findings if f.severity != "note"]
    if told:
        lines: list[list[Any]] = [["", "code", "what"]]
        lines += [[f.severity, f.code, styles.words(f.message)] for f in told]
        flow.append(styles.table(lines, (20.0, 16.0, width - 36.0)))
    else:
        flow.append(styles.words("Nothing stands in the way of any run, as far as it was checked."))
    flow += [styles.words(f"Note: {f.message}") for f in report.findings if f.severity == "note"]
    flow.append(styles.words("Before you start", "head"))
    flow += [styles.words(f"\u2022 {caution}") for caution in CAUTIONS]
    flow.append(Spacer(1, 6))
    return flow


def run_sheet(solved: SolvedRun, plan: Plan, styles: Styles, width: float, fonts: tuple[str, str]) -> list[Any]:
    """A run's own sheet: the tape line, the table of bends, and a card for each pull."""
    from reportlab.platypus import KeepTogether

    figures = run_figures(solved)
    order = {pull.bend: pull.number for pull in plan.pulls}
    former = solved.former
    flow = [
        styles.words(f"Run: {shown(solved.name, LONGEST)}", "title"),
        styles.words(f"{solved.tube.name}. {former.name}, radius {tidy(former.radius_mm)}."),
        styles.words(f"Cut {mm(figures.cut_length)}", "big"),
        drawn(tape_line(solved, width), fonts),
    ]
    rows: list[list[Any]] = [["bend", "mark", "straight\nbefore", "angle", "pull to", "turn", "pulled"]]
    for row in figures.bends:
        bend = row.bend
        rows.append(
            [
                bend.number,
                mm(row.mark),
                mm(row.straight_before),
                deg(bend.angle_deg),
                deg(solved.pull_deg(bend)),
                styles.words(turn_words(bend.turn_deg, bend.number == 1)),
                order.get(bend.number, "-"),
            ]
        )
    flow.append(styles.table(rows, (14.0, 20.0, 20.0, 16.0, 18.0, width - 104.0, 16.0), numbers=(1, 2, 3, 4, 6)))
    flow.append(styles.words(f"Straight after the last bend: {mm(figures.straight_after)}."))
    if plan.why_not:
        flow.append(styles.words("Cannot be bent as drawn", "head"))
        flow += [styles.words(f"\u2022 {why}") for why in plan.why_not]
    if plan.pulls:
        flow.append(styles.words("Pulls, in order", "head"))
    flow += [KeepTogether(_pull_card(solved, pull, styles, width)) for pull in plan.pulls]
    flow += [styles.words(note) for note in solved.notes]
    return flow


def _pull_card(solved: SolvedRun, pull: Pull, styles: Styles, width: float) -> list[Any]:
    rows = [[f"Pull {pull.number}", f"bend {pull.bend}", "\u25a1 pulled   \u25a1 checked"]]
    rows.append(["mark", f"{mm(pull.mark_mm)} from the start end", ""])
    if pull.turn_round:
        rows.append(["turn round", "the other end goes into the stop", ""])
    if pull.number > 1:
        way = "clockwise" if pull.roll_deg > 0 else "anticlockwise"
        same = "same side up as before"
        over = "right over"
        roll = same if abs(pull.roll_deg) < 0.05 else over if abs(pull.roll_deg) > 179.95 else way
        amount = "" if roll == same else f"{deg(abs(pull.roll_deg))}\u00b0 "
        rows.append(["turn", f"{amount}{roll}" + ("" if roll == same else ", seen from the start end"), ""])
    rows.append(["in the stop", f"the {pull.held} side; guide in, free leg level with the former", ""])
    rows.append(["pull to", f"{deg(pull.pull_deg)}\u00b0, springs back to {deg(pull.angle_deg)}\u00b0", ""])
    return [styles.table(rows, (30.0, width - 90.0, 60.0))]


def identity_code(text: str, side: float = 26.0) -> Sheet:
    """A QR code of which job this is, so that a sheet can be matched to its pack; not a link."""
    from reportlab.graphics.barcode.qr import QrCodeWidget

    code = QrCodeWidget(text, barLevel="M").qr
    code.make()
    quiet = 4  # light modules round a code, ISO/IEC 18004
    step = side / (code.getModuleCount() + 2 * quiet)
    sheet = Sheet(side, side, "QR code of the job's identity")
    for row, modules in enumerate(code.modules):
        for column, dark in enumerate(modules):
            if dark:
                x, y = (column + quiet) * step, side - (row + 1 + quiet) * step
                square = [(x, y), (x + step, y), (x + step, y + step), (x, y + step)]
                sheet.line(square, Role.DIMENSION, closed=True, filled=True)
    return sheet
