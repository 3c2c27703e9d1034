"""The parts of a list as the page's template takes them: plain values, each with the kind of part it is."""

from collections.abc import Iterator, Sequence
from typing import Any

from pipemodel.drawing.svg import to_svg
from pipemodel.lists.blocks import Bullets, Cards, Facts, Listing, Paragraph, Part, Picture, Remark, Subheading
from pipemodel.lists.table import CellValue, Column, Kind, Lines, Table, TooNear, as_text, say
from pipemodel.messages.say import capital, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, message

SIGNS = {"error": message("page.error"), "warning": message("page.warning"), "note": message("page.note")}
_LOOKS = {"error": "fail", "warning": "look", "note": "quiet"}
_FIGURES = (Kind.TAPED, Kind.ROUNDED, Kind.PLAY, Kind.ANGLE)


def listing_view(listing: Listing, units: Units) -> dict[str, Any]:
    """Return a list with its groups, for the template."""
    title, more = say(listing.kind.title, units), say(listing.kind.more, units)
    return {
        "key": listing.key,
        "short": capital(listing.kind.named(units)),
        "title": title,
        "more": f"{capital(more)}." if more else "",
        "groups": [
            {"name": name, "parts": parts_view(group.parts, units, name, title)}
            for group in listing.content.to_read
            for name in (say(group.name, units),)
        ],
    }


def parts_view(parts: Sequence[Part], units: Units, name: str, title: str) -> list[dict[str, Any]]:
    """Return parts for the template; `name` and `title` say what tables are of to those who hear the page."""
    return list(_views(parts, units, name, title))


def _views(parts: Sequence[Part], units: Units, name: str, title: str) -> Iterator[dict[str, Any]]:
    remarks = [_remark(part, units) for part in parts if isinstance(part, Remark)]
    if remarks:
        yield {"kind": "remarks", "items": remarks}
    for part in parts:
        if isinstance(part, Table):
            if part.rows:
                yield _table(part.for_people, units, f"{title} ({name})" if name else title)
        elif isinstance(part, Facts):
            yield {"kind": "facts", "rows": [(say(label, units), say(fact, units)) for label, fact in part.rows]}
        elif isinstance(part, Subheading):
            title = say(part.text, units).rstrip(".:")
            yield {"kind": "subheading", "text": title, "more": say(part.more, units)}
        elif isinstance(part, Bullets):
            yield {"kind": "bullets", "items": [say(item, units) for item in part.items], "notes": part.notes}
        elif isinstance(part, Paragraph):
            yield {"kind": "paragraph", "text": say(part.text, units), "look": part.look}
        elif isinstance(part, Picture):
            yield {"kind": "picture", "svg": to_svg(part.sheet), "caption": say(part.caption, units)}
        else:
            # Cards are the steps of the walk.
            assert isinstance(part, Remark | Cards)


def _remark(part: Remark, units: Units) -> dict[str, str]:
    said = {"text": say(part.text, units), "where": say(part.where, units)}
    return {"sign": say(SIGNS[part.severity], units), "look": _LOOKS[part.severity], "code": part.code, **said}


def _table(table: Table, units: Units, of: str) -> dict[str, Any]:
    rows = table.rows if table.most is None else table.rows[: table.most]
    more = len(table.rows) - len(rows)
    return {
        "kind": "table",
        "of": of,
        "heads": [
            {"text": " ".join(line.strip() for line in column.to_read(units)), "figure": column.kind in _FIGURES}
            for column in table.columns
        ],
        "rows": [
            [_cell(value, column, units) for value, column in zip(row, table.columns, strict=True)] for row in rows
        ],
        "more": more and f"{capital(words(units, 'check.more', n=Count(more)))}.",
    }


def _cell(value: CellValue, column: Column, units: Units) -> dict[str, Any]:
    items = value.items if isinstance(value, Lines) else ()
    return {
        "text": as_text(value, column.kind, units),
        "named": [(say(figure, units), name) for figure, name in items],
        "figure": column.kind in _FIGURES,
        "strong": column.strong,
        "bend": column.kind is Kind.BEND,
        "too_near": isinstance(value, TooNear),
        "words": column.is_text,
    }
