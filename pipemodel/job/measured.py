"""Points measured with a tape: found before the rest of the job is filled in, so that it may use them by name."""

import re
from collections.abc import Iterator, Mapping
from math import atan2, degrees, dist, radians, tan
from typing import Any, NamedTuple, get_args

from pydantic import ValidationError

from pipemodel.adjustment.adjust import NoRestError, adjust
from pipemodel.adjustment.first_places import APART_MM, NoPlaceError, NotTiedError, TwoSidesError, first_places
from pipemodel.adjustment.linear import UndeterminedError
from pipemodel.adjustment.readings import Adjusted, TapeReading, WantedPoint
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.expressions import RESERVED, none_called
from pipemodel.job.faults import Faults
from pipemodel.job.measured_forms import NAME_PATTERN, MeasuredForm, ReadingForm, SoughtForm
from pipemodel.job.quantities import shown
from pipemodel.job.routing.directions import COMPASS, RELATIVE
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Count, Length, Name, bare, listed, message
from pipemodel.trade.fittings import MeasuredTo

SECTION = "measured"
OWN_WORDS = RESERVED | COMPASS.keys() | set(RELATIVE) | set(get_args(MeasuredTo))
"""Names that no point may have, since they mean something where a point may stand."""
POINT_KEYS = frozenset({"at", "from", "to", "start", "corner"})
"""Keys under which a job names a point."""


class Wall(NamedTuple):
    """A wall between two measured points, and how far it is off square to another.

    `off_deg` is how much the angle between the two walls is more than 90, `off_mm` what that makes over `long_mm`, the
    wall's length; None where it is not to be square to any.
    """

    name: str
    long_mm: float
    square_to: str = ""
    off_deg: float | None = None
    off_mm: float | None = None


class MeasuredRoom(NamedTuple):
    """What was measured: the points with their covariance, what became of the readings, and the walls."""

    adjusted: Adjusted
    sought: tuple[str, ...]
    """The names of the points that were found; the others were given."""
    walls: tuple[Wall, ...]
    tape_mm: float
    """Standard deviation of one reading, where it names none of its own."""

    @property
    def values(self) -> dict[str, float]:
        """The coordinates by the names that expressions use: `A.x`, mm."""
        return {
            f"{name}.{axis}": at
            for name, place in self.adjusted.places.items()
            for axis, at in zip("xyz", place, strict=True)
        }


def read_measured(
    values: Mapping[str, Any], faults: Faults, places: Mapping[str, Vec3] | None = None
) -> MeasuredRoom | None:
    """Return what the section of measured things comes to; None where it is missing or at fault.

    What does not fit its form is left for the form of the whole job to name.

    Args:
        values: the section, its expressions worked out.
        faults: where what is wrong is noted.
        places: where the points are; None to find them by their readings.
    """
    try:
        form = MeasuredForm.model_validate(values)
    except ValidationError:
        return None
    before = len(faults.found)
    _check_names(form, faults)
    if len(faults.found) > before:
        return None
    fixed: dict[str, Vec3] = {n: p for n, p in form.points.items() if not isinstance(p, SoughtForm)}
    wanted = [_wanted(name, p) for name, p in form.points.items() if isinstance(p, SoughtForm)]
    readings = [_reading(r, form.tape) for r in form.readings]
    adjusted = _found(fixed, wanted, readings, faults) if places is None else Adjusted(dict(places))
    if adjusted is None:
        return None
    walls = _walls(form, adjusted, faults)
    return MeasuredRoom(adjusted, tuple(p.name for p in wanted), walls, form.tape)


def put_points(node: Any, named: Mapping[str, Any], path: YamlPath) -> Iterator[YamlPath]:
    """Put [x, y, z] in place of the names of measured points, wherever in a tree of values a point may stand.

    Args:
        node: the tree, changed in place as this is gone through.
        named: where the points are, by their names.
        path: where the tree stands in the file.

    Yields:
        Where a point was put.
    """
    under = path[-1] if path and isinstance(node, list) else ""
    for key, value in list(node.items()) if isinstance(node, dict) else list(enumerate(node)):
        place = key if isinstance(node, dict) else under
        if isinstance(value, dict | list):
            yield from put_points(value, named, (*path, key))
        elif isinstance(value, str) and value in named and (place == "points" or place in POINT_KEYS):
            node[key] = list(named[value])
            yield (*path, key)


def _wanted(name: str, form: SoughtForm) -> WantedPoint:
    side = None if form.side is None else COMPASS[form.side]
    return WantedPoint(name, (form.x, form.y, form.z), side)


def _reading(form: ReadingForm, tape_mm: float) -> TapeReading:
    sd = form.within or tape_mm
    if form.points is not None:
        return TapeReading("distance", tuple(form.points), form.reads, sd)
    assert form.to is not None, "seen to when the form was filled"
    if form.wall is not None:
        return TapeReading("square off", (*form.wall, form.to), form.reads + (form.tube or 0.0) / 2.0, sd)
    assert form.above is not None, "seen to when the form was filled"
    return TapeReading("level", (form.above, form.to), form.reads, sd)


def _check_names(form: MeasuredForm, faults: Faults) -> None:
    known = list(form.points)
    for name in known:
        if not re.match(NAME_PATTERN, name) or name in OWN_WORDS:
            faults.at_key((SECTION, "points", name), message("measured.no name", name=Name(shown(name))))
    for i, reading in enumerate(form.readings):
        for key in ("points", "wall", "above", "to"):
            given = getattr(reading, key)
            for k, name in enumerate([given] if isinstance(given, str) else given or []):
                _known_point(name, known, (SECTION, "readings", i, key, k), faults)
    for name, wall in form.walls.items():
        for k, point in enumerate(wall.through):
            _known_point(point, known, (SECTION, "walls", name, "through", k), faults)
        if wall.square_to is not None and (wall.square_to not in form.walls or wall.square_to == name):
            others = [n for n in form.walls if n != name]
            faults.at((SECTION, "walls", name, "square_to"), none_called("other wall", wall.square_to, others))


def _known_point(name: str, known: list[str], path: tuple[str | int, ...], faults: Faults) -> None:
    if name not in known:
        faults.at(path, none_called("measured point", name, known))


def _found(
    fixed: dict[str, Vec3], wanted: list[WantedPoint], readings: list[TapeReading], faults: Faults
) -> Adjusted | None:
    try:
        return adjust(first_places(fixed, wanted, readings), wanted, readings)
    except NotTiedError as loose:
        for point in loose.points:
            n, own = len(point.free), sum(point.name in r.points for r in readings)
            axes = listed([bare("xyz"[axis]) for axis in point.free])
            said = message("measured.not tied", point=bare(point.name), axes=axes, n=Count(n), own=Count(own))
            faults.at_key((SECTION, "points", point.name), said)
    except TwoSidesError as two:
        at = listed([bare(f"[{', '.join(f'{v:.0f}' for v in p)}]") for p in two.places], "or")
        apart = [max(p[axis] for p in two.places) - min(p[axis] for p in two.places) for axis in range(3)]
        ways: tuple[str, ...] = (("east", "west"), ("north", "south"), ("up", "down"))[apart.index(max(apart))]
        if len(two.places) > 2 and apart[2] < APART_MM:
            ways = ("north east", "north west", "south east", "south west")
        side = listed([bare(way) for way in ways], "or")
        said = message("measured.two places", point=bare(two.point.name), at=at, side=side)
        faults.at_key((SECTION, "points", two.point.name), said)
    except NoPlaceError as none:
        _no_place(none, readings, faults)
    except UndeterminedError as open_:
        name, axis = [(p.name, axis) for p in wanted for axis in p.free][open_.unknown]
        said = message("measured.open", axis=bare("xyz"[axis]), point=bare(name))
        faults.at_key((SECTION, "points", name), said)
    except NoRestError:
        faults.at((SECTION, "readings"), message("measured.no rest"))
    return None


def _no_place(none: NoPlaceError, readings: list[TapeReading], faults: Faults) -> None:
    longest = max(none.readings, key=lambda r: r.mm)
    read = listed([bare(f"{'-'.join(r.points)} {r.mm:g}") for r in none.readings], ",")
    said = message("measured.no place", point=bare(none.point.name), read=read, off=Length(none.misses_mm, ".0f"))
    faults.at((SECTION, "readings", readings.index(longest)), said)


def _walls(form: MeasuredForm, adjusted: Adjusted, faults: Faults) -> tuple[Wall, ...]:
    ways: dict[str, tuple[float, float]] = {}
    found: list[Wall] = []
    for name, wall in form.walls.items():
        a, b = (adjusted.places[point] for point in wall.through)
        ways[name] = (b[0] - a[0], b[1] - a[1])
        if dist(a[:2], b[:2]) < 1.0:
            faults.at((SECTION, "walls", name), message("measured.wall", wall=bare(name)))
            return ()
    for name, wall in form.walls.items():
        long = dist((0.0, 0.0), ways[name])
        if wall.square_to is None:
            found.append(Wall(name, long))
            continue
        off = _off_square(ways[name], ways[wall.square_to])
        found.append(Wall(name, long, wall.square_to, off, long * tan(radians(abs(off)))))
    return tuple(found)


def _off_square(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return by how many degrees two directions in plan, either way along, are from square to each other."""
    cross = one[0] * other[1] - one[1] * other[0]
    dot = one[0] * other[0] + one[1] * other[1]
    return abs(degrees(atan2(dot, abs(cross)))) if dot else 0.0
