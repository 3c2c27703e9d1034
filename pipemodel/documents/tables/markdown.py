"""The lists of a job as Markdown (tables as GitHub's flavour has them), harmless whatever the names."""

import re

from pipemodel.lists.all_lists import listings
from pipemodel.lists.table import Table, as_text
from pipemodel.messages.say import capital, say, words
from pipemodel.messages.units import Units
from pipemodel.results.identity import identity
from pipemodel.results.results import Results
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words, verdict_words
from pipemodel.wording.safe_text import shown

LONGEST = 2000
_SPECIAL = re.compile(r"([\\`*_{}\[\]()#+!|~$:@^=]|(?<=www)\.)")
_HTML = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}


def markdown(results: Results) -> str:
    """Return the lists of a job as Markdown text."""
    units = results.paper_options.reading
    head = [
        identity(results.schedule),
        results.paper_options.state,
        verdict_words(results.report, units),
        units_words(units),
    ]
    lines = [f"# {plain(results.schedule.job.name)}", "", *(f"{plain(text)}  " for text in head if text), ""]
    for listing in listings(results):
        table = listing.content.table.in_words
        if table.rows:
            lines += [f"## {plain(capital(listing.kind.named(units)))}", "", *_rows(table, units), ""]
    notes = (say(note, units) for note in results.schedule.notes)
    lines += [
        f"## {words(units, 'paper.before')}",
        "",
        *(f"- {plain(text)}" for text in (*caution_lines(units), *notes)),
    ]
    return "\n".join(lines) + "\n"


def plain(text: str) -> str:
    """Return text that Markdown shows as it stands: no markup, no links, on one line."""
    safe = "".join(_HTML.get(c, c) for c in _SPECIAL.sub(r"\\\1", shown(text, LONGEST)))
    return f"\\{safe}" if safe.startswith(("-", "+", "=")) else safe


def _rows(table: Table, units: Units) -> list[str]:
    heads = [plain(column.titled(units)) for column in table.columns]
    rules = ["---" if column.is_text else "--:" for column in table.columns]
    lines = [_line(heads), _line(rules)]
    for row in table.rows:
        cells = zip(row, table.columns, strict=True)
        lines.append(_line([plain(as_text(value, column.kind, units)) for value, column in cells]))
    return lines


def _line(cells: list[str]) -> str:
    return f"| {' | '.join(cells)} |"
