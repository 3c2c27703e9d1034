"""The parts of a bender in the words of those who use one."""

from pipemodel.messages.values import Message, Name, message

KNOWN = frozenset(
    {
        "bench",
        "block",
        "far leg",
        "far plate",
        "fixed handle",
        "floor",
        "former",
        "frame",
        "handle",
        "lower rim",
        "near leg",
        "near plate",
        "post",
        "right leg",
        "roller",
        "stop",
        "stop bracket",
        "upper rim",
        "vice",
    }
)
"""The parts of our own benders, by their names in trade/data/benders.yaml; each has its words in every language."""


def part_called(name: str) -> Message:
    """Return a part of a bender as people call it: "the lever's handle"; one that a user named, by that name."""
    if name in KNOWN:
        return message(f"bender part.{name}")
    return message("bender part.own", part=Name(name, quoted=False))
