"""A library of the system that something compiled cannot do without."""

from typing import Literal

from pipemodel.messages.values import SaidError, Word, bare, message

NEEDS = message("missing.needs")


class LibraryMissingError(SaidError, ImportError):
    """A compiled library that cannot be loaded on this machine; the message says for what, and what would help."""

    def __init__(self, what: Literal["meshes", "step", "kernel"], reason: str) -> None:
        super().__init__(message("missing.library", what=Word(what), reason=bare(reason), needs=NEEDS))
