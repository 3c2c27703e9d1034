"""Collecting faults on the way, each at the place of the value it names."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from pipemodel.job.model import Fault, Place
from pipemodel.job.yaml_tree import YamlPath, YamlSpot
from pipemodel.messages.values import Message

APART = {"room": 2, "runs": 3}
"""How far down a misfit spoils no more than itself: one thing of the room, one key of one run; else a section."""


@dataclass
class Faults:
    """The faults found so far in a tree whose places are known."""

    spot: YamlSpot
    found: list[Fault] = field(default_factory=list)

    def at(self, path: YamlPath, message: str | Message) -> None:
        """Note a fault of the value at a path; of a group of keys, at its name."""
        here = self.spot.at(path)
        self.found.append(Fault(message, here.key if isinstance(here.children, dict) else here.place))

    def once(self, path: YamlPath, message: str | Message) -> None:
        """Note a fault as `at` does, unless it is there already: for what several runs share."""
        before = len(self.found)
        self.at(path, message)
        if self.found[-1] in self.found[:before]:
            self.found.pop()

    def at_key(self, path: YamlPath, message: str | Message) -> None:
        """Note a fault of the key at the end of a path."""
        self.found.append(Fault(message, self.key_place(path)))

    def place(self, path: YamlPath) -> Place:
        """Return where the value at a path stands."""
        return self.spot.at(path).place

    def key_place(self, path: YamlPath) -> Place:
        """Return where the key at the end of a path stands."""
        return self.spot.at(path).key


def places_with(spot: YamlSpot, unfound: Iterable[YamlPath]) -> set[Place]:
    """Return the places of points whose place in the room is not known, and of what they are part of."""
    parts = (spot.at(path[:n]) for path in unfound for n in range(APART.get(str(path[0]), 1), len(path) + 1))
    return {place for part in parts for place in (part.key, part.place)}
