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
    from pipemodel.job.model import JobError
    from pipemodel.messages.say import say
    from pipemodel.messages.units import units_for
    from pipemodel.messages.values import SaidError, bare, message
    from pipemodel.output.refused import refused
    from pipemodel.wording.safe_text import shown

    if isinstance(error, JobError):
        return [shown(line) for line in error.lines(language)]
    if isinstance(error, SaidError):
        said = error.said
    elif isinstance(error, MemoryError):
        said = message("missing.memory")
    elif isinstance(error, OSError):
        file = bare(str(error.filename)) if error.filename else message("refused.answer")
        said = message("refused.file", file=file, why=refused(error))
    else:
        return None
    return [f"pipemodel: {shown(say(said, units_for('mm', language or 'en')))}"]
