"""The parts of a list as lines on a page of text."""

from collections.abc import Callable, Sequence
from itertools import zip_longest

from pipemodel.lists.blocks import Bullets, Cards, Facts, Group, Listing, Paragraph, Part, Picture, Remark, Subheading
from pipemodel.lists.table import CellValue, Column, Kind, Stretch, Table, as_text, say, taped
from pipemodel.messages.say import capital, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, message
from pipemodel.pulls.cards import Card
from pipemodel.wording.safe_text import columns, shown, to_ascii, wrapped
from pipemodel.wording.text_page import LONGEST_NAME, TextPage

LABEL = 14
INDENT = "  "
LONGEST_CELL = 3 * LONGEST_NAME
RULED = 74
"""How far the rule under a table's head goes at most."""
_LETTERS = {Kind.ANGLE: 6, Kind.ROUNDED: 7, Kind.PLAY: 7}
_WIDEST_TEXT, _NARROWEST_TEXT, _LAST_TEXT = 28, 8, 20
_SEVERITIES = {"error": message("check.error"), "warning": message("check.warning"), "note": message("check.note")}


def write_listing(page: TextPage, listing: Listing, units: Units, titled: bool = True) -> None:
    """Write a list with its title and all that it says."""
    if titled:
        page.raw("")
        page.text(f"{say(listing.kind.title, units)} {say(listing.kind.more, units)}".rstrip())
    for group in listing.content.to_read:
        if group.name:
            page.raw("")
            page.text(say(group.name, units), words(units, "paper.run") if group.run else "", longest=LONGEST_NAME)
        write_group(page, group, units)


def write_group(page: TextPage, group: Group, units: Units, follows_name: bool = True) -> None:
    """Write the parts of a group; under its name the first of them follows at once."""
    write_parts(page, group.parts, units, INDENT if group.name else "", follows_name and bool(group.name))


def write_parts(
    page: TextPage, parts: Sequence[Part], units: Units, indent: str = INDENT, at_once: bool = True
) -> None:
    """Write parts one below the other, a blank line between them.

    Args:
        page: where they are written.
        parts: what is written; asides are left out.
        units: what lengths are read in, and in which language.
        indent: what every line begins with.
        at_once: whether the first follows what is above it without a blank line.
    """
    for part in parts:
        aside = isinstance(part, Paragraph) and part.look == "aside"
        if aside or isinstance(part, Picture) or (isinstance(part, Table) and not part.rows):
            continue
        if not at_once:
            page.raw("")
        # What does not go is followed by its reasons.
        at_once = isinstance(part, Paragraph) and part.look == "wrong"
        _write(page, part, units, indent)


def _write(page: TextPage, part: Part, units: Units, indent: str) -> None:
    if isinstance(part, Table):
        _write_table(page, part.for_people, units, indent)
    elif isinstance(part, Facts):
        for label, fact in part.rows:
            page.text(say(fact, units), f"{indent}{say(label, units):<{LABEL}}  ")
    elif isinstance(part, Subheading):
        page.text(f"{say(part.text, units)} {say(part.more, units)}".rstrip(), indent)
    elif isinstance(part, Bullets):
        for item in part.items:
            page.text(say(item, units), f"{indent}{words(units, 'schedule.note')}" if part.notes else f"{indent}  - ")
    elif isinstance(part, Remark):
        page.text(say(part.text, units), f"{say(_SEVERITIES[part.severity], units):<8}{part.code}  ", " " * 8)
        if where := say(part.where, units):
            page.text(where, " " * 8)
    elif isinstance(part, Cards):
        _write_cards(page, part.cards, units)
    elif isinstance(part, Paragraph):
        page.text(say(part.text, units), indent)


def _write_cards(page: TextPage, cards: Sequence[Card], units: Units) -> None:
    """Write the card of each pull: numbered steps, then the measures to take, each with a box to tick."""
    upright = bool(cards) and cards[0].stance == "upright"
    page.text(words(units, "hands.title upright" if upright else "hands.title"), INDENT)
    for card in cards:
        pull = words(units, "hands.pull", pull=Count(card.pull.number), bend=Count(card.pull.bend))
        page.raw("", f"  {pull}")
        for number, step in enumerate(card.to_do, 1):
            page.text(say(step, units), f"    {number}   ")
        for measure in card.to_check:
            page.text(say(measure, units), f"    [ ] {words(units, 'hands.then')}", " " * 8)


def _write_table(page: TextPage, table: Table, units: Units, indent: str) -> None:
    order = _order(table.columns)
    heads = [table.columns[i] for i in order]
    # Where there are several lengths in inches, their decimals stand below the fractions, for all to go on the page.
    below = bool(units.fine_mm) and sum(column.kind is Kind.TAPED for column in heads) > 1
    rows = table.rows if table.most is None else table.rows[: table.most]
    texts = [[_cell(row[i], table.columns[i], units, below) for i in order] for row in rows]
    widths = [
        _width(column, [cells[k] for cells in texts], units, below, last=k == len(heads) - 1)
        for k, column in enumerate(heads)
    ]
    if heads[-1].is_text:
        _narrow(heads, widths, page.width - len(indent) - _LAST_TEXT)
        used = len(indent) + sum(widths[:-1]) + 2 * (len(widths) - 1)
        widths[-1] = max(min(widths[-1], RULED - used), _NARROWEST_TEXT)
    titles = [_titles(column, units) for column in heads]
    for line in zip_longest(*titles, fillvalue=""):
        page.raw(indent + _in_columns(line, heads, widths))
    page.raw(indent + "  ".join("-" * width for width in widths))
    for cells in texts:
        _write_row(page, cells, heads, widths, indent)
    if len(rows) < len(table.rows):
        page.raw(indent + words(units, "check.more", n=Count(len(table.rows) - len(rows))))


def _write_row(
    page: TextPage, cells: Sequence[str], heads: Sequence[Column], widths: Sequence[int], indent: str
) -> None:
    used = len(indent) + sum(widths[:-1]) + 2 * (len(widths) - 1)
    room = [*widths[:-1], max(page.width - used, _NARROWEST_TEXT) if heads[-1].is_text else widths[-1]]
    safe: Callable[[str], str] = to_ascii if page.ascii else str
    broken = [
        [line for one in text.split("\n") for line in wrapped(safe(shown(one, LONGEST_CELL)), wide)]
        if column.is_text
        else text.split("\n")
        for text, column, wide in zip(cells, heads, room, strict=True)
    ]
    for line in zip_longest(*broken, fillvalue=""):
        page.raw(indent + _in_columns(line, heads, widths))


def _narrow(heads: Sequence[Column], widths: list[int], room: int) -> None:
    """Make columns of words before the last one narrower, for all of them to go into some letters."""
    text = [i for i, column in enumerate(heads[:-1]) if column.is_text]
    over = sum(widths[:-1]) + 2 * (len(widths) - 1) - room
    while over > 0 and (i := max(text, key=lambda i: widths[i], default=None)) is not None:
        if widths[i] <= _NARROWEST_TEXT:
            break
        widths[i] -= 1
        over -= 1


def _order(heads: Sequence[Column]) -> list[int]:
    """Put the last column of words at the end, where it has room to be broken."""
    text = [i for i, column in enumerate(heads) if column.is_text]
    last = text[-1:]
    return [*(i for i in range(len(heads)) if i not in last), *last]


def _cell(value: CellValue, column: Column, units: Units, below: bool) -> str:
    if isinstance(value, float | Stretch) and column.kind is Kind.TAPED:
        length = taped(value, units)
        if below:
            return f"{length.short}\n({length.decimal})"
        return str(length) if units.fine_mm else _at_point(length.short)
    text = as_text(value, column.kind, units)
    return _at_point(text) if isinstance(value, float) and column.kind is Kind.ANGLE else text


def _at_point(figure: str) -> str:
    """Make a figure as wide as one with a decimal, so that the points, or commas, stand under each other."""
    return figure if "." in figure or "," in figure else figure + "  "


def _width(column: Column, texts: Sequence[str], units: Units, below: bool, last: bool) -> int:
    least = max(column.letters, _LETTERS.get(column.kind, 0), *map(len, _titles(column, units)))
    if column.kind is Kind.TAPED:
        wide = units.column if below else units.wide_column
        return max(least, wide if units.fine_mm or not column.letters else 0)
    longest = max((columns(line) for text in texts for line in text.split("\n")), default=0)
    if not column.is_text:
        return max(least, longest)
    return max(least, longest if last else min(longest, _WIDEST_TEXT)) if not (last and column.letters) else least


def _titles(column: Column, units: Units) -> list[str]:
    first, *more = column.to_read(units)
    return [capital(first), *more]


def _in_columns(texts: Sequence[str], heads: Sequence[Column], widths: Sequence[int]) -> str:
    set_ = [
        text + " " * (width - columns(text)) if column.is_text else text.rjust(width)
        for text, column, width in zip(texts, heads, widths, strict=True)
    ]
    return "  ".join(set_).rstrip()
