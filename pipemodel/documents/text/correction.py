"""What to do after readings, as a text to read: the verdict, what was bent, and the cards of what is left."""

from collections.abc import Sequence

from pipemodel.correction.values import Correction
from pipemodel.documents.text.parts import write_parts
from pipemodel.lists.blocks import Cards, Subheading
from pipemodel.messages.say import capital, say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, Word, message
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id
from pipemodel.wording.text_page import TextPage


def correction_text(correction: Correction, units: Units, ascii: bool = False) -> str:
    """Return what to do after readings, for people to read."""
    page = TextPage(ascii, units.language)
    run = Name(correction.run, quoted=False)
    page.heading(words(units, "correct.title", run=run, after=Count(correction.after)))
    page.raw("", words(units, "correct.verdict", verdict=Word(correction.verdict)))
    page.raw("")
    for said in correction.said:
        page.text(capital(say(said, units)), "  - ")
    if correction.plan.pulls and correction.verdict in ("go on", "change", "pull on"):
        page.raw("")
        parts = (Subheading(message("correct.to do")), Cards(correction.cards))
        write_parts(page, parts, units, at_once=True)
    return page.finished()


def readings_form(cards: Sequence[Card], units: Units) -> str:
    """Return a file of readings to fill in: each check by its name, with what is measured beside it."""
    lines = [f"# {words(units, 'correct.fill in')}"]
    for card in cards:
        lines += [f"- after: {card.pull.number}", "  readings:"]
        for place, measure in enumerate(card.measures):
            lines.append(f"    {check_id(card.pull.number, place)}:   # {' '.join(say(measure.said, units).split())}")
    return "\n".join(lines) + "\n"
