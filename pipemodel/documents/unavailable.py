"""What cannot be written on this machine, and how that is said."""

from pipemodel.messages.values import SaidError


class UnavailableError(SaidError, RuntimeError):
    """A document that cannot be written on this machine; the message names what is missing."""


class LeftOut(str):
    """A line about a part of a document that could not be written on this machine; the rest of it was."""
