"""The schedule as a text to bend by: 80 columns, one block per run, cautions at the foot."""

from pipemodel.documents.text.parts import write_group, write_listing, write_parts
from pipemodel.lists.all_lists import on_text_page
from pipemodel.lists.run_block import run_block
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name, Tape
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words
from pipemodel.wording.text_page import LONGEST_NAME, TextPage


def schedule_text(results: Results, ascii: bool = False) -> str:
    """Return the schedule of a solved job for people to read; lists that are of a run stand under it.

    Args:
        results: the job; its checks are not asked for.
        ascii: write nothing but ASCII.
    """
    schedule, units = results.schedule, results.paper_options.reading
    page = TextPage(ascii, units.language)
    page.heading(schedule.job.name)
    page.raw("")
    page.text(words(units, "schedule.head", measured_in=Name(units_words(units), quoted=False)))
    listings = on_text_page(results, "schedule")
    for piece in results.runs:
        write_run(page, piece, units)
        longest = schedule.job.stock.longest_mm(piece.solved.tube)
        if piece.solved.cut_length_mm > longest:
            page.raw("")
            page.text(words(units, "schedule.longer than stock", longest=Tape(longest, unit=False)), "  ")
        for group in (group for one in listings for group in one.content.to_read):
            if group.run and group.name == piece.name:
                write_group(page, group, units, follows_name=False)
    for listing in listings:
        if not all(group.run and group.name for group in listing.content.to_read):
            write_listing(page, listing, units)
    page.notes(words(units, "paper.notes"), (say(note, units) for note in schedule.notes))
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def write_run(page: TextPage, piece: Piece, units: Units) -> None:
    """Write the schedule of one piece: what to cut, the pulls in order and what the hands do, the bends as drawn."""
    page.raw("")
    page.text(piece.name, words(units, "paper.run"), longest=LONGEST_NAME)
    write_parts(page, run_block(piece), units)
