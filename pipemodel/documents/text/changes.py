"""What changed against an earlier pack, as a text to read."""

from pipemodel.documents.text.parts import write_parts
from pipemodel.lists.changes import changes_in
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name
from pipemodel.results.changes_values import Changes
from pipemodel.wording.text_page import TextPage


def changes_text(changes: Changes, units: Units = MM) -> str:
    """Return changes as lines of text, one each."""
    page = TextPage(language=units.language)
    page.heading(words(units, "changes.title", job=Name(changes.job, quoted=False)))
    for group in changes_in(changes).to_read:
        write_parts(page, group.parts, units, indent="")
    return page.finished()
