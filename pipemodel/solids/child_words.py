"""Why a child process gave no answer, as messages."""

from pipemodel.messages.values import NOTHING, Message, Name, Number, bare, message
from pipemodel.processes.child import ChildDiedError, ChildError, ChildFailedError, ChildLimits, ChildSlowError


def child_said(error: ChildError) -> Message:
    """Return why a child gave no answer, in words that end a sentence."""
    if isinstance(error, ChildSlowError):
        return message("child.slow", seconds=Number(error.seconds))
    if isinstance(error, ChildDiedError) and error.signal:
        return message("child.stopped", signal=bare(error.signal_name))
    if isinstance(error, ChildDiedError):
        return message("child.ended", code=Number(error.code))
    return message("child.failed", reason=bare(error.reason))


def why_unread(error: ChildError, limits: ChildLimits, file: str = "") -> Message:
    """Return why a child that was to read a file could not; without a name it is a model, part of which may do."""
    named = message("file.named", file=Name(file)) if file else message("model.it")
    if isinstance(error, ChildSlowError):
        fewer = NOTHING if file else message("model.fewer")
        return message("child.read slow", what=named, seconds=Number(limits.seconds), fewer=fewer)
    if isinstance(error, ChildFailedError) and error.kind == "MemoryError":
        return message("child.read memory", what=named, gb=Number(limits.memory_bytes / 1e9))
    if isinstance(error, ChildDiedError):
        return message("child.read died", what=named, how=child_said(error))
    return message("child.read failed", what=named, how=child_said(error))
