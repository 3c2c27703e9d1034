"""The page for a phone and the packs for paper, put into the folder."""

from pathlib import Path

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
    return _pack(results, folder / f"{JOB_STEM}.pdf", "FITTER")


def write_templates(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write every template, for those that the fitter's pack leaves out."""
    return _pack(results, folder / f"{JOB_STEM}-templates.pdf", "TEMPLATES")


def write_design(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the designer's pack."""
    return _pack(results, folder / f"{JOB_STEM}-design.pdf", "DESIGNER")


def _pack(results: Results, path: Path, reader: str) -> tuple[str, ...]:
    from pipemodel.documents.pack.document import PackReader, write_pack

    write_pack(results, path, PackReader[reader])
    return ()
