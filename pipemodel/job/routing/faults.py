"""What is wrong with one item of a run, in the fitter's words."""

from collections.abc import Sequence

from pipemodel.messages.values import Message


class ItemError(ValueError):
    """One item that cannot be done as written; the message says what would be right."""


class PlaceError(ItemError):
    """An item that cannot be done from where the run has come to; idle once an earlier leg has lost its place."""


class RouteError(ValueError):
    """A run that cannot be compiled; `said` holds (index of the item, what is wrong) for every item at fault."""

    def __init__(self, said: Sequence[tuple[int, str | Message]]) -> None:
        super().__init__("; ".join(str(message) for _, message in said))
        self.said = tuple(said)
