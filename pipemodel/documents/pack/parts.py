"""The parts of a list as things that flow over the sheets of the pack."""

from collections.abc import Iterator, Sequence
from typing import Any

from pipemodel.documents.pack.styles import BOX, LONGEST, LONGEST_TEXT, Styles
from pipemodel.drawing.pdf import POINT_MM
from pipemodel.drawing.pdf_fonts import BOLD, PLAIN, legible
from pipemodel.lists.blocks import Bullets, Cards, Facts, Listing, Paragraph, Part, Picture, Remark, Subheading
from pipemodel.lists.table import CellValue, Column, Kind, Lines, Table, as_text, say
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Word

MOST_ROWS = 100
"""A list with more rows than this is shortened on paper; the record has it whole."""
SIZE = 9.0
PADDING_MM = 3.0


def listing_flow(listing: Listing, styles: Styles, units: Units, title: str = "title") -> list[Any]:
    """Return a list with its title; `title` is the style of that."""
    title_words = f"{say(listing.kind.title, units)} {say(listing.kind.more, units)}".rstrip()
    flow: list[Any] = [styles.words(title_words, title)]
    whole = len(listing.content.table.rows) <= MOST_ROWS
    for group in listing.content.to_read:
        if group.name:
            flow.append(styles.name(say(group.name, units), "head" if group.run else "label"))
        flow += parts_flow(group.parts, styles, units, whole)
    return flow


def parts_flow(parts: Sequence[Part], styles: Styles, units: Units, whole: bool = True) -> list[Any]:
    """Return parts one below the other; the cards of pulls are not among them: each goes with its drawing.

    Args:
        parts: what is shown.
        styles: how it looks.
        units: what lengths are read in.
        whole: whether tables are shown with all of their rows.
    """
    remarks = [part for part in parts if isinstance(part, Remark)]
    flow = [_remarks(remarks, styles, units)] if remarks else []
    for part in parts:
        flow += _flow(part, styles, units, whole)
    return flow


def _flow(part: Part, styles: Styles, units: Units, whole: bool) -> Iterator[Any]:
    if isinstance(part, Table):
        rows = part.rows if whole or part.most is None else part.rows[: part.most]
        if rows:
            yield _table(Table(part.columns, rows).for_people, styles, units)
        if len(rows) < len(part.rows):
            yield styles.words(words(units, "pack.more rows", n=Count(len(part.rows) - len(rows))))
    elif isinstance(part, Facts):
        yield styles.facts([(say(label, units), say(fact, units)) for label, fact in part.rows])
    elif isinstance(part, Subheading):
        yield styles.words(say(part.text, units).rstrip(".:"), "head")
        if part.more:
            yield styles.words(say(part.more, units), "small")
    elif isinstance(part, Bullets):
        yield from styles.listed((say(item, units) for item in part.items), "small" if part.notes else "body")
    elif isinstance(part, Paragraph):
        looks = {"plain": "body", "aside": "small", "wrong": "wrong"}
        yield styles.words(say(part.text, units), looks[part.look])
    elif isinstance(part, Picture):
        yield styles.drawn(part.sheet)
    else:
        assert isinstance(part, Remark | Cards)


def _remarks(remarks: Sequence[Remark], styles: Styles, units: Units) -> Any:
    rows: list[list[Any]] = [["", words(units, "pack.code"), words(units, "pack.found")]]
    for remark in remarks:
        where = say(remark.where, units)
        said = [styles.words(say(remark.text, units))] + ([styles.words(where, "small")] if where else [])
        rows.append([words(units, "word", word=Word(remark.severity)), remark.code, said])
    widths = [18.0, 15.0, styles.width - 33.0]
    if not styles.codes:
        rows, widths = [[row[0], row[2]] for row in rows], [18.0, styles.width - 18.0]
    return styles.table(rows, widths, size=SIZE)


def _table(table: Table, styles: Styles, units: Units) -> Any:
    heads = ["\n".join(line.strip() for line in column.to_read(units)) for column in table.columns]
    texts = [
        [_text(value, column, units) for value, column in zip(row, table.columns, strict=True)] for row in table.rows
    ]
    widths = _widths(table.columns, [heads, *texts], styles.width)
    rows: list[list[Any]] = [heads]
    for row in texts:
        rows.append([_cell(text, column, styles) for text, column in zip(row, table.columns, strict=True)])
    numbers = [i for i, column in enumerate(table.columns) if not column.is_text]
    return styles.table(rows, widths, numbers=numbers, size=SIZE + 1 if any(c.strong for c in table.columns) else SIZE)


def _text(value: CellValue, column: Column, units: Units) -> str:
    if isinstance(value, Lines):
        return "\n".join(legible(f"{BOX} {say(figure, units)}  {name}", LONGEST) for figure, name in value.items)
    text = as_text(value, column.kind, units)
    if column.kind is Kind.ANGLE and isinstance(value, float):
        text += "\u00b0"
    # A text of its own is a name, and cut if it is very long.
    return legible(f"{BOX} {text}" if column.tick else text, LONGEST if isinstance(value, str) else LONGEST_TEXT)


def _cell(text: str, column: Column, styles: Styles) -> Any:
    if column.strong and not column.is_text:
        return styles.words(text, "figure" if len(text) < len("12 1/16 (12.06)") else "figure_small")
    if not column.is_text:
        return text
    return [styles.words(line, "cell") for line in text.split("\n")]


def _widths(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: float) -> list[float]:
    """Share the width of a sheet among columns, mm: figures get what they need, words what is left by their length."""
    needs = [max(_wide(row[i], columns[i].strong or row is rows[0]) for row in rows) for i in range(len(columns))]
    needs = [need + PADDING_MM for need in needs]
    words = [i for i, column in enumerate(columns) if column.is_text]
    left = max(width - sum(need for i, need in enumerate(needs) if i not in words), 10.0 * len(words))
    asked = sum(needs[i] for i in words)
    if asked > left:
        # A short column keeps what it needs; the long ones share the rest.
        short = [i for i in words if needs[i] <= left / len(words)]
        shared = (left - sum(needs[i] for i in short)) / max(sum(needs[i] for i in words if i not in short), 1.0)
        for i in words:
            needs[i] = needs[i] if i in short else needs[i] * shared
    elif words:
        needs[words[-1]] += left - asked
    return needs


def _wide(text: str, bold: bool) -> float:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return max(float(stringWidth(line, BOLD if bold else PLAIN, SIZE + 1)) for line in text.split("\n")) / POINT_MM
