"""The page for a phone and the pack for paper, put into the folder."""

from pathlib import Path

from pipemodel.geometry.shapes import MeshFile
from pipemodel.handover.answer import Answer
from pipemodel.handover.names import JOB_STEM

ROOM_CHORD_MM = 0.5
"""How far a flat of a round thing in the room may stand off it on the page."""


def write_html(answer: Answer, folder: Path) -> tuple[str, ...]:
    """Write the page, a single file."""
    from pipemodel.handover.web.page import page_html
    from pipemodel.solids.extent import job_extent
    from pipemodel.solids.room_mesh import room_mesh

    extent = job_extent(answer.schedule)
    things = [thing for thing in answer.schedule.job.things if not isinstance(thing.shape, MeshFile)]
    room = [(thing, room_mesh(thing.shape, ROOM_CHORD_MM, extent)) for thing in things]
    page = page_html(answer.schedule, answer.plans, answer.report, room)
    (folder / f"{JOB_STEM}.html").write_bytes(page.encode("utf-8"))
    return ()


def write_pdf(answer: Answer, folder: Path) -> tuple[str, ...]:
    """Write the pack of sheets."""
    from pipemodel.handover.pack.document import write_pack

    write_pack(answer, folder / f"{JOB_STEM}.pdf")
    return ()
