"""Benders: what stands in the way of the piece while it is pulled, as simple shapes in the former's own frame.

The frame is fixed in docs/bending.md: origin at the centre of the former, x along the straight tube from the
stop towards the free end, y from the centre to the tube, z up. The tube's axis lies at y = radius and z = 0, the
bend begins at x = 0, and the free end swings clockwise seen from above.

The figures of our own are in data/benders.yaml. Anyone's own file has the same form: a mapping of names to
benders, where `like` starts from another one and changes what is written, part by part.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache
from typing import Literal, TypeAlias

from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.geometry.vectors import UP, Vec3, distance

PartShape: TypeAlias = Box | Cylinder | HalfSpace
Stance: TypeAlias = Literal["flat", "upright"]
"""How a bender stands when it is used: its plane flat on a bench, or upright in front of whoever pulls."""

_GROUPS = ("body", "lever", "guide", "room")
_PLAIN_KEYS = ("like", "radius", "source", *_GROUPS)
_SHAPE_KEYS = {"box": ("from", "to"), "cylinder": ("from", "to", "diameter")}
_REACH_MM = 1e5


@dataclass(frozen=True)
class BenderPart:
    """One part of a bender, or of the place where it is used."""

    name: str
    shape: PartShape


@dataclass(frozen=True)
class Bender:
    """A bender and the place where it is used.

    `body` stands still, `lever` swings with the pull, `guide` lies on the free tube and moves with it, `room` is
    the bench, vice or floor. `radius_mm` is the radius of the former that the shapes were measured with.
    """

    name: str
    radius_mm: float
    body: tuple[BenderPart, ...] = ()
    lever: tuple[BenderPart, ...] = ()
    guide: tuple[BenderPart, ...] = ()
    room: tuple[BenderPart, ...] = ()
    generic: bool = False
    source: str = ""

    def used(self, stance: Stance) -> "Bender":
        """Return it as it stands when it is used; upright, what is written as `below` lies below the tube, along y.

        All other parts are written in the bender's own frame and stay as they are.
        """
        if stance == "flat":
            return self
        return replace(self, room=tuple(replace(part, shape=_stood_up(part.shape)) for part in self.room))


def _stood_up(shape: PartShape) -> PartShape:
    return HalfSpace((0.0, shape.point[2], 0.0), (0.0, 1.0, 0.0)) if isinstance(shape, HalfSpace) else shape


class BenderError(ValueError):
    """A bender that cannot be read: every fault, each with the path of keys that leads to it."""

    def __init__(self, faults: list[tuple[tuple[str, ...], str]]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{': '.join(path)}: {message}" if path else message for path, message in faults))


@cache
def generic_benders() -> Mapping[str, Bender]:
    """Return the benders of common practice, by name."""
    from importlib.resources import files

    import yaml

    text = (files("pipemodel.trade") / "data" / "benders.yaml").read_text(encoding="utf-8")
    return read_benders(yaml.safe_load(text), {}, generic=True)


def bender_named(name: str, own: Mapping[str, Bender] | None = None) -> Bender:
    """Return the bender of that name, of the user's own first.

    Raises:
        BenderError: if there is none; it names the nearest ones.
    """
    known = {**generic_benders(), **(own or {})}
    if name in known:
        return known[name]
    near = get_close_matches(name, known, 3, 0.4) or sorted(known)
    raise BenderError([((), f"no bender is called {name!r}; there is {', '.join(near)}")])


def read_benders(data: object, known: Mapping[str, Bender], generic: bool = False) -> dict[str, Bender]:
    """Read a mapping of names to benders, as a file of them holds.

    Raises:
        BenderError: with every fault found.
    """
    if not isinstance(data, Mapping):
        raise BenderError([((), "a file of benders holds names, each with a bender below it")])
    benders: dict[str, Bender] = {}
    faults: list[tuple[tuple[str, ...], str]] = []
    for name, entry in data.items():
        try:
            benders[str(name)] = read_bender(entry, str(name), {**known, **benders}, generic)
        except BenderError as error:
            faults += [((str(name), *path), message) for path, message in error.faults]
    if faults:
        raise BenderError(faults)
    return benders


def read_bender(data: object, name: str, known: Mapping[str, Bender], generic: bool = False) -> Bender:
    """Read one bender from a mapping of keys; `known` are the ones that `like` may name.

    Raises:
        BenderError: with every fault found.
    """
    if not isinstance(data, Mapping):
        raise BenderError([((), "a bender is a mapping: like, radius, body, lever, guide, room")])
    faults: list[tuple[tuple[str, ...], str]] = []
    for key in data:
        if key not in _PLAIN_KEYS:
            near = get_close_matches(str(key), _PLAIN_KEYS, 1)
            faults.append(((str(key),), f"unknown key{f'; did you mean {near[0]!r}?' if near else ''}"))
    base = Bender(name, 0.0)
    if "like" in data:
        if str(data["like"]) in known:
            base = known[str(data["like"])]
        else:
            near = get_close_matches(str(data["like"]), known, 3, 0.4) or sorted(known)
            faults.append((("like",), f"no bender is called {data['like']!r}; there is {', '.join(near)}"))
    radius = _number(data.get("radius", base.radius_mm), ("radius",), faults)
    if radius is not None and radius <= 0.0 and "like" not in data:
        faults.append((("radius",), "a bender needs the radius of its former, above 0"))
    elif radius is not None and radius <= 0.0 and "radius" in data:
        faults.append((("radius",), "must be above 0"))
    groups = {g: _group(data.get(g, {}), (g,), getattr(base, g), faults) for g in _GROUPS}
    if faults:
        raise BenderError(faults)
    return Bender(name, radius or 0.0, generic=generic, source=str(data.get("source", base.source)), **groups)


def _group(
    data: object, path: tuple[str, ...], base: tuple[BenderPart, ...], faults: list[tuple[tuple[str, ...], str]]
) -> tuple[BenderPart, ...]:
    """Read the parts of a group over those of `base`: a part of the same name replaces it, `none` takes it out."""
    if not isinstance(data, Mapping):
        faults.append((path, "holds names of parts, each with a shape"))
        return ()
    parts = {part.name: part for part in base}
    for name, entry in data.items():
        if entry is None or entry == "none":
            parts.pop(str(name), None)
            continue
        shape = _shape(entry, (*path, str(name)), faults)
        if shape is not None:
            parts[str(name)] = BenderPart(str(name), shape)
    return tuple(parts.values())


def _shape(data: object, path: tuple[str, ...], faults: list[tuple[tuple[str, ...], str]]) -> PartShape | None:
    if not isinstance(data, Mapping) or len(data) != 1 or next(iter(data)) not in ("box", "cylinder", "below"):
        faults.append((path, "a part is one of box, cylinder, below (everything below that height)"))
        return None
    kind, inner = next(iter(data.items()))
    if kind == "below":
        height = _number(inner, (*path, kind), faults)
        return None if height is None else HalfSpace((0.0, 0.0, height), UP)
    if not isinstance(inner, Mapping) or set(inner) != set(_SHAPE_KEYS[kind]):
        faults.append(((*path, kind), f"needs {', '.join(_SHAPE_KEYS[kind])}, and nothing else"))
        return None
    a, b = (_point(inner[k], (*path, kind, k), faults) for k in ("from", "to"))
    diameter = _number(inner["diameter"], (*path, kind, "diameter"), faults) if kind == "cylinder" else 1.0
    if a is None or b is None or diameter is None:
        return None
    if kind == "box":
        low, high = _corners(a, b)
        if min(h - g for g, h in zip(low, high, strict=True)) <= 0.0:
            faults.append(((*path, kind), "has no thickness one way: from and to must differ in x, y and z"))
            return None
        return Box(low, high)
    if distance(a, b) <= 0.0 or diameter <= 0.0:
        faults.append(((*path, kind), "needs a length and a diameter above 0"))
        return None
    return Cylinder(a, b, diameter)


def _corners(a: Vec3, b: Vec3) -> tuple[Vec3, Vec3]:
    low = (min(a[0], b[0]), min(a[1], b[1]), min(a[2], b[2]))
    return low, (max(a[0], b[0]), max(a[1], b[1]), max(a[2], b[2]))


def _point(data: object, path: tuple[str, ...], faults: list[tuple[tuple[str, ...], str]]) -> Vec3 | None:
    if not isinstance(data, list | tuple) or len(data) != 3:
        faults.append((path, "a point is three numbers, [x, y, z]"))
        return None
    x, y, z = (_number(value, path, faults) for value in data)
    return None if x is None or y is None or z is None else (x, y, z)


def _number(data: object, path: tuple[str, ...], faults: list[tuple[tuple[str, ...], str]]) -> float | None:
    if isinstance(data, bool) or not isinstance(data, int | float) or data != data:
        faults.append((path, f"{data!r} is not a number of mm"))
        return None
    if abs(data) > _REACH_MM:
        faults.append((path, "is out of a bender's reach"))
        return None
    return float(data)
