"""The library that reads building models, which not everybody has."""

from pipemodel.messages.values import SaidError, message


class ModelsMissingError(SaidError, ImportError):
    """The library that reads building models is not there; the message says how to have it."""

    def __init__(self) -> None:
        super().__init__(message("missing.models"))
