"""What no check on a card shows for sure, said on the card: where to take care."""

from collections.abc import Sequence

from pipemodel.messages.values import NOTHING, Angle, Length, Message, Word, listed, message
from pipemodel.pulls.choice import Power

NO_WORDS = ("unseen.straight", "unseen.both ways", "unseen.flat")
"""Why a mistake needs no words here: no wrong piece comes of it, or it has words of its own."""


def unseen_words(power: Sequence[Power]) -> tuple[Message, ...]:
    """Return what is said to a fitter of the mistakes that the checks of a pull do not show for sure."""
    left = [one for one in power if one.why_not is not None and one.why_not.template not in NO_WORDS]
    if not left:
        return ()
    named = (
        _named([one for one in left if one.mistake == name]) for name in dict.fromkeys(one.mistake for one in left)
    )
    return (message("card.not shown", mistakes=listed(tuple(named))),)


def _named(ways: Sequence[Power]) -> Message:
    """Return a mistake in words: how large it is, and by how much it puts any place of the piece off, whichever way."""
    one = ways[0]
    out: Message | Length = NOTHING
    if one.mistake in ("angle", "twist"):
        out = message("degrees", angle=Angle(abs(one.out)))
    elif one.mistake == "mark":
        out = Length(abs(one.out), ".0f")
    moves = message("card.moves", most=Length(max(way.piece_mm or 0.0 for way in ways), ".0f", rounded="up"))
    return message("card.mistake", mistake=Word(one.mistake), out=out, moves=moves)
