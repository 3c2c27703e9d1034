"""The schedule as a text to bend by: 80 columns, one block per run, cautions at the foot."""

from pipemodel.documents.text.parts import write_group, write_listing, write_parts
from pipemodel.lists.all_lists import on_text_page
from pipemodel.lists.run_block import run_block
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.cautions import CAUTIONS
from pipemodel.wording.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.wording.units import Units, in_units


def schedule_text(results: Results, ascii: bool = False, width: int = WIDTH) -> str:
    """Return the schedule of a solved job for people to read; lists that are of a run stand under it.

    Args:
        results: the job; its checks are not asked for.
        ascii: write nothing but ASCII.
        width: columns to a line; the tables need 80.
    """
    schedule, units = results.schedule, results.paperwork.units
    page = TextPage(ascii, width)
    page.heading(schedule.job.name)
    page.raw("")
    page.text(
        f"{units.said} Marks are measured from the start end of the straight tube. "
        "Clockwise and anticlockwise are as seen from the start end, looking along the tube."
    )
    listings = on_text_page(results, "schedule")
    for piece in results.runs:
        write_run(page, piece, units)
        longest = schedule.job.stock.longest_mm(piece.solved.tube)
        if piece.solved.cut_length_mm > longest:
            page.raw("")
            page.text(
                f"Longer than any stock, {units.length(longest)}: cut and bend it in the pieces of the cut list "
                "(pipemodel cut), each with its own marks.",
                "  ",
            )
        for group in (group for one in listings for group in one.content.to_read):
            if group.run and group.name == piece.name:
                write_group(page, group, units, follows_name=False)
    for listing in listings:
        if not all(group.run and group.name for group in listing.content.to_read):
            write_listing(page, listing, units)
    page.notes("Notes", (in_units(note, units) for note in schedule.notes))
    page.notes("Cautions", CAUTIONS)
    return page.finished()


def write_run(page: TextPage, piece: Piece, units: Units) -> None:
    """Write the schedule of one piece: what to cut, the pulls in order and what the hands do, the bends as drawn."""
    page.raw("")
    page.text(piece.name, "RUN ", longest=LONGEST_NAME)
    write_parts(page, run_block(piece), units)
