"""Rendering in a process of its own: a graphics driver that stops the process cannot take the rest with it."""

from pipemodel.documents.unavailable import UnavailableError
from pipemodel.messages.values import Message, bare, message
from pipemodel.output.file_names import Folder
from pipemodel.processes.child import ChildDiedError, ChildError, ChildFailedError, ChildLimits, ChildSlowError, call
from pipemodel.results.results import Results
from pipemodel.solids.child_words import child_said
from pipemodel.solids.missing import NEEDS

LIMITS = ChildLimits(seconds=90.0, busy_seconds=300.0)
_DRIVER = message("picture.driver", needs=NEEDS)
_OF_DRIVER = ("ImportError", "OSError", "RuntimeError")
"""What comes out of the renderer where it finds no driver."""


def write_png(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write job.png.

    Raises:
        UnavailableError: if this machine cannot render, or not in the time that a picture may take.
    """
    (folder / "job.png").write_bytes(picture_png(results))
    return ()


def picture_png(results: Results) -> bytes:
    """Return the picture of a job as the bytes of a PNG.

    Raises:
        UnavailableError: if there is none; says why, and what is missing on this machine if that is why.
    """
    try:
        return call("pipemodel.documents.picture.draw:png", results, LIMITS)
    except ChildError as error:
        raise UnavailableError(message("picture.none", why=_why(error))) from error


def _why(error: ChildError) -> Message:
    if isinstance(error, ChildSlowError):
        return message("picture.slow", how=child_said(error))
    if isinstance(error, ChildDiedError):
        return message("picture.died", how=child_said(error), driver=_DRIVER)
    if isinstance(error, ChildFailedError) and error.kind in _OF_DRIVER:
        return message("picture.failed", reason=bare(error.reason), driver=_DRIVER)
    return child_said(error)
