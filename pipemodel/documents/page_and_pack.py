"""The page for a phone and the packs for paper, put into the folder."""

from pipemodel.messages.say import words
from pipemodel.messages.values import Count, Name, Number
from pipemodel.output.file_names import JOB_STEM, Folder
from pipemodel.results.results import Results

LARGE_BYTES = 5_000_000
"""A page larger than this is slow on a phone, and may not open at all."""


def write_html(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the page, a single file; returns a warning if it is large."""
    from pipemodel.documents.page.page import page_html

    name, page = f"{JOB_STEM}.html", page_html(results).encode("utf-8")
    (folder / name).write_bytes(page)
    if len(page) <= LARGE_BYTES:
        return ()
    size, n = Number(len(page) / 1e6, ".1f"), Count(len(results.schedule.runs))
    return (words(results.paper_options.reading, "screen.large", file=Name(name, quoted=False), size=size, n=n),)


def write_pdf(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the fitter's pack."""
    from pipemodel.documents.pack.document import write_pack

    write_pack(results, folder / f"{JOB_STEM}.pdf")
    return ()


def write_design(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the designer's pack."""
    from pipemodel.documents.pack.document import write_design_pack

    write_design_pack(results, folder / f"{JOB_STEM}-design.pdf")
    return ()
