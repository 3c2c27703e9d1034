"""What is said of an error that is the input's or the machine's."""

from pipemodel.messages.units import Language


def interrupted(language: Language | None) -> str:
    """Return what is said when the user breaks off."""
    from pipemodel.messages.say import say
    from pipemodel.messages.units import units_for
    from pipemodel.messages.values import message

    return say(message("said.interrupted"), units_for("mm", language or "en"))


def lines_of(error: Exception, language: Language | None = None) -> list[str] | None:
    """Return what to tell of an error that is the input's or the machine's, None for one that is our own.

    Faults of a file are said in a language; in that of the job, as far as it could be read, if it is left out.
    """
    from pipemodel.documents.unavailable import UnavailableError
    from pipemodel.job.model import JobError
    from pipemodel.models.missing import ModelsMissingError
    from pipemodel.output.folder import FolderError
    from pipemodel.output.history_file import HistoryError
    from pipemodel.solids.missing import LibraryMissingError
    from pipemodel.wording.safe_text import shown

    if isinstance(error, JobError):
        return [shown(line) for line in error.lines(language)]
    if isinstance(error, FolderError | HistoryError | UnavailableError | LibraryMissingError | ModelsMissingError):
        return [f"pipemodel: {shown(str(error))}"]
    if isinstance(error, MemoryError):
        return [
            "pipemodel: the job needs more memory than this machine gives; leave out what is far off, take meshes with "
            "fewer triangles, or divide the job"
        ]
    if isinstance(error, OSError):
        return [f"pipemodel: {shown(str(error.filename or 'the answer'))}: {error.strerror or error}"]
    return None
