"""The drawings of the pulls as files: one for each piece, its pulls one below the other."""

import textwrap
from collections.abc import Sequence
from html import escape

from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.svg import to_svg
from pipemodel.messages.say import words
from pipemodel.messages.values import Name, Word
from pipemodel.output.file_names import Folder, run_stems
from pipemodel.results.results import Results
from pipemodel.wording.cautions import SHORT_CAUTION
from pipemodel.wording.safe_text import shown

GAP_MM = 6.0
"""White between two pulls."""
FOOT_MM = 2.0
"""Height of the letters at the foot."""


def write_card_files(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write RUN-pulls.svg for each run that can be pulled, RUN-pulls-1.svg and so on for pieces of a jointed one."""
    from pipemodel.drawing.pull_drawing import pull_sheet

    units, stems = results.paper_options.reading, run_stems(results.schedule)
    pieces = results.pieces
    for number, piece in enumerate(pieces):
        said = words(
            units,
            "pull drawing.files foot",
            run=Name(piece.solved.name, quoted=False),
            unit=Word(units.name),
            caution=SHORT_CAUTION,
        )
        sheets = [pull_sheet(piece.solved, card, units) for card in piece.cards]
        if not sheets:
            continue
        stem = stems[results.schedule.runs[piece.run].name]
        before = sum(other.run == piece.run for other in pieces[:number])
        of_many = sum(other.run == piece.run for other in pieces) > 1
        name = f"{stem}-pulls-{before + 1}.svg" if of_many else f"{stem}-pulls.svg"
        foot = foot_strip(said, sheets[0].width)
        (folder / name).write_bytes(below_each_other(piece.solved.name, [*sheets, foot]).encode("utf-8"))
    return ()


def foot_strip(text: str, width: float) -> Sheet:
    """Return a strip with lines of text to stand under the drawings."""
    lines = textwrap.wrap(shown(text), int(width / (FOOT_MM * 0.7)))
    sheet = Sheet(width, 2.0 * FOOT_MM * (len(lines) + 0.5))
    for number, line in enumerate(lines):
        sheet.words(line, (2.0, sheet.height - 2.0 * FOOT_MM * (number + 1)), FOOT_MM)
    return sheet


def below_each_other(name: str, sheets: Sequence[Sheet]) -> str:
    """Return sheets as one SVG document, one below the other; one unit is one mm."""
    wide = max(sheet.width for sheet in sheets)
    high = sum(sheet.height for sheet in sheets) + GAP_MM * (len(sheets) - 1)
    parts, y = [], 0.0
    for sheet in sheets:
        drawn = to_svg(sheet, unit="")
        parts.append(f'<g transform="translate(0 {y:g})">{drawn}</g>')
        y += sheet.height + GAP_MM
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{high:g}mm" '
        f'viewBox="0 0 {wide:g} {high:g}"><title>{escape(shown(name))}</title>{"".join(parts)}</svg>'
    )
