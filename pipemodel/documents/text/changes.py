"""What changed against an earlier pack, as a text to read."""

from pipemodel.documents.text.parts import write_parts
from pipemodel.lists.changes import changes_in
from pipemodel.messages.units import MM
from pipemodel.results.record import Record
from pipemodel.wording.text_page import TextPage


def changes_text(record: Record) -> str:
    """Return the changes of a record as lines of text, one each."""
    page = TextPage()
    page.heading(f"What changed: {record['job']}")
    for group in changes_in(record).to_read:
        write_parts(page, group.parts, MM, indent="")
    return page.finished()
