"""The parts of a bender in the words of those who use one."""

from pipemodel.messages.values import Message, Name, message

KNOWN = {
    "bench": message("bender part.bench"),
    "block": message("bender part.block"),
    "far leg": message("bender part.far leg"),
    "far plate": message("bender part.far plate"),
    "fixed handle": message("bender part.fixed handle"),
    "floor": message("bender part.floor"),
    "former": message("bender part.former"),
    "frame": message("bender part.frame"),
    "handle": message("bender part.handle"),
    "lower rim": message("bender part.lower rim"),
    "near leg": message("bender part.near leg"),
    "near plate": message("bender part.near plate"),
    "post": message("bender part.post"),
    "right leg": message("bender part.right leg"),
    "roller": message("bender part.roller"),
    "stop": message("bender part.stop"),
    "stop bracket": message("bender part.stop bracket"),
    "upper rim": message("bender part.upper rim"),
    "vice": message("bender part.vice"),
}
"""The parts of our own benders, by their names in trade/data/benders.yaml."""


def part_called(name: str) -> Message:
    """Return a part of a bender as people call it: "the roller of the lever"; one that a user named, by that name."""
    return KNOWN.get(name) or message("bender part.own", part=Name(name, quoted=False))
