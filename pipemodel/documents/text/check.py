"""What the checks found, as a text to read: the verdict first, then why, then the least distances."""

from pipemodel.documents.text.parts import write_listing
from pipemodel.lists.all_lists import on_text_page
from pipemodel.messages.say import say, words
from pipemodel.results.results import Results
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import verdict_words
from pipemodel.wording.text_page import TextPage


def check_text(results: Results, ascii: bool = False) -> str:
    """Return what the checks of a solved job found, for people to read.

    Args:
        results: the job.
        ascii: write nothing but ASCII.
    """
    units = results.paper_options.reading
    page = TextPage(ascii, units.language)
    page.heading(results.schedule.job.name)
    page.raw("", verdict_words(results.report, units))
    for listing in on_text_page(results, "check"):
        # What was found follows the verdict at once.
        write_listing(page, listing, units, titled=listing.key != "findings")
    page.notes(words(units, "paper.notes"), (say(note, units) for note in results.schedule.notes))
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()
