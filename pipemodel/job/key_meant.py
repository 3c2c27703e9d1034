"""Which key was meant by one that is not known: by another word for it, by where else it stands, or by its letters."""

from collections.abc import Sequence

from pipemodel.job.expressions import nearest_said
from pipemodel.job.quantities import shown
from pipemodel.job.schema import schema_at
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Message, Name, bare, listed, message

_OTHER_WORDS = {
    "angle": "winkel, degrees",
    "at": "position, location",
    "by": "relative, delta",
    "centres": "spacing, axis, between centres",
    "clearance": "abstand",
    "clips": "supports, brackets, schellen",
    "corner": "to, point, through",
    "diameter": "dia, od, outside, durchmesser",
    "down": "unten, runter",
    "east": "ost, osten",
    "face": "wall",
    "facing": "direction, looking",
    "fall": "slope, gradient, gefälle",
    "finish": "end, ende",
    "former": "bend radius, die, matrize, biegematrize",
    "from": "start, von",
    "go": "straight, ahead",
    "heading": "direction",
    "height": "höhe",
    "holes": "bohrungen",
    "in": "rein",
    "insulation": "lagging, dämmung",
    "job": "name, title, project, auftrag",
    "left": "links",
    "length": "länge, lengths",
    "north": "nord, norden",
    "number": "count, quantity, anzahl",
    "out": "raus",
    "outside": "diameter, dia, od, size, durchmesser",
    "pass over": "crossover, bridge",
    "points": "corners, vertices, path, punkte",
    "radius": "bend radius, centreline radius",
    "right": "rechts",
    "room": "obstacles, walls, things, raum",
    "route": "moves, steps, way, weg",
    "runs": "pipes, tubes, leitungen",
    "set": "offset, jog, versatz, etage",
    "south": "süd, süden",
    "start": "from, begin, origin, anfang",
    "thickness": "depth, dicke",
    "thing": "over, obstacle",
    "to": "side, direction, end, finish, nach",
    "to centre": "distance, length, go, by, länge",
    "tube": "pipe, rohr",
    "turn": "bend, bogen",
    "up": "hoch, oben",
    "wall": "thickness",
    "west": "westen",
    "width": "breite",
}
"""What people write for a key, by the key."""
_MOST_PLACES = 3
CHOICES = ("form", "name", "own", "[key]")
"""Steps of a path that stand in no file: which of several forms was read."""


def unknown_key(key: str | int, known: Sequence[str], path: YamlPath | None = None) -> Message:
    """Return that a key is unknown, and which one was meant or which there are.

    Args:
        key: the key.
        known: the keys that may stand there.
        path: where in the form of a job the keys stand; None for another file.
    """
    path = path and tuple(step for step in path if step not in CHOICES)
    said = " ".join(str(key).casefold().replace("_", " ").split())
    if meant := next((one for one in known if said in (one, *_OTHER_WORDS.get(one, "").split(", "))), None):
        mend = message("fault.did you mean", name=Name(meant))
    elif path is not None and (beside := _beside(said, path)):
        mend = message("fault.stands beside", name=Name(beside))
    elif path is not None and 0 < len(under := [one for one in known if said in keys_at((*path, one))]) <= _MOST_PLACES:
        mend = message("fault.stands in", names=listed([Name(one) for one in under], "or"))
    else:
        here = message("fault.keys here", keys=bare(", ".join(known)))
        mend = nearest_said(str(key), list(known), here if known else message("fault.leave out"))
    return message("fault.unknown key", key=Name(shown(key)), mend=mend)


def keys_at(path: YamlPath, without: str | int = "") -> list[str]:
    """Return the keys that may stand at a path in the form of a job, in the order of the form.

    Where several forms may stand there, those that have the key which did not fit are not the one that was meant.
    """
    nodes = [node for node in schema_at(path) if without not in node.get("properties", {})]
    return list(dict.fromkeys(key for node in nodes for key in node.get("properties", {})))


def _beside(key: str, path: YamlPath) -> str:
    """Return the key beside which another stands, where it was written below that; "" where it stands elsewhere."""
    for i in range(len(path) - 1, -1, -1):
        if keys := keys_at(path[:i]):
            return str(path[i]) if key in keys else ""
    return ""
