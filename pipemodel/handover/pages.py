"""The page for a phone and the pack for paper, put into the folder."""

from pipemodel.handover.answer import Answer
from pipemodel.handover.names import JOB_STEM, Folder


def write_html(answer: Answer, folder: Folder) -> tuple[str, ...]:
    """Write the page, a single file."""
    from pipemodel.handover.web.page import page_html

    (folder / f"{JOB_STEM}.html").write_bytes(page_html(answer).encode("utf-8"))
    return ()


def write_pdf(answer: Answer, folder: Folder) -> tuple[str, ...]:
    """Write the pack of sheets."""
    from pipemodel.handover.pack.document import write_pack

    write_pack(answer, folder / f"{JOB_STEM}.pdf")
    return ()
