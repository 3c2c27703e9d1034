"""What is wrong with one item of a run, in the fitter's words."""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches

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


def nearest(name: str, known: Iterable[str]) -> str:
    """Return " (did you mean ...?)" with the nearest known name, or the known names when none is near."""
    names = list(known)
    close = get_close_matches(name, names, n=1, cutoff=0.5)
    if close:
        return f"; did you mean {close[0]!r}?"
    if not names:
        return "; there is none yet"
    shown = ", ".join(repr(n) for n in names[:6])
    return f"; there is {shown}" + (", ..." if len(names) > 6 else "")
