"""A changed run as its job would say it: which key takes which value, and the run drawn again from just that."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, radians, tan
from typing import TYPE_CHECKING

from pipemodel.bending.closure import NotClosedError
from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.schedule import SolvedRun, solve_run
from pipemodel.geometry.vectors import Vec3, add, distance, dot, scale, sub, unit
from pipemodel.job.model import Route
from pipemodel.messages.values import NOTHING, Count, Message, Name, bare, listed, message
from pipemodel.pulls.offsets import Offset, corner_places

if TYPE_CHECKING:
    from pipemodel.job.routing.drawn import Drawn

SAME_MM = 0.005
"""What moves by less is written as it was."""
CLOSE_MM = 0.2
"""A run drawn again from values to a tenth has every corner this near to where it is meant to be."""
_PASSES = 3
"""Backs and insides of a bend at another angle lie elsewhere, which takes a second look."""


@dataclass(frozen=True)
class Edit:
    """What to write into the job: the path of its key, the value in mm or degrees, and the line it stands in."""

    path: tuple[str | int, ...]
    value: float | Vec3 | tuple[Vec3, ...]
    line: int
    instead: tuple[str, ...] = ()
    """The keys of the run that go."""

    @property
    def said(self) -> Message:
        """The same in words."""
        key, text, line = self.path[-1], _text(self.value), Count(self.line)
        if key == "points":
            gone = listed([Name(key) for key in self.instead])
            return message("way.points", text=bare(text), instead=gone, line=line)
        match self.path:
            case "runs", _, "points", int(number), *_:
                return message("way.point", n=Count(number + 1), text=bare(text), line=line)
        return message("way.edit", text=bare(f"{key}: {text}"), line=line)


@dataclass(frozen=True)
class Wanted:
    """A run as it is meant to be: its corners, and the set or passover that is other than in the job, None for a leg.

    Lengths are rounded up to a tenth where it is a leg that must not be shorter.
    """

    run: SolvedRun
    one: Offset | None
    angle_deg: float
    offset_mm: float
    longer: bool

    @property
    def corners(self) -> tuple[Vec3, ...]:
        """Its corners."""
        return self.run.run.route.corners


def to_write(edits: Sequence[Edit]) -> Message:
    """Return what to write, in words."""
    return message("way.write", edits=listed([edit.said for edit in edits], ",")) if edits else NOTHING


def as_written(solved: SolvedRun, wanted: Wanted) -> tuple[SolvedRun, tuple[Edit, ...]] | None:
    """Return a changed run as it is drawn from what is to be written, and what that is; nothing where nobody wrote it.

    None where the job would draw something else: a passover that would not keep its gap.
    """
    route = solved.run.route
    if not route.places:
        return wanted.run, ()
    if route.drawn is not None:
        item = None if wanted.one is None else _item_of(solved, route.drawn, wanted.one)
        found = None
        if len(wanted.corners) == len(route.corners) and (wanted.one is None or item is not None):
            found = _by_keys(solved, route.drawn, wanted, item)
        if found is not None or (item is not None and route.drawn.items[item].pass_over is not None):
            return found
    elif len(wanted.corners) == len(set(route.places)):
        return _by_points(solved, wanted.corners)
    return _as_points(solved, wanted)


def _by_points(solved: SolvedRun, corners: Sequence[Vec3]) -> tuple[SolvedRun, tuple[Edit, ...]] | None:
    """Return a run with some of its points written otherwise."""
    route = solved.run.route
    moved = {k: _tidy(c) for k, c in enumerate(corners) if distance(c, route.corners[k]) > SAME_MM}
    again = replace(route, corners=tuple(moved.get(k, c) for k, c in enumerate(route.corners)))
    own = [former is not None for former in route.formers] or [False] * len(corners)
    path = ("runs", solved.name, "points")
    edits = [Edit((*path, k, *(["at"] if own[k] else [])), c, route.place_of(k).line) for k, c in moved.items()]
    return _led(solved, again, edits)


def _as_points(solved: SolvedRun, wanted: Wanted) -> tuple[SolvedRun, tuple[Edit, ...]] | None:
    """Return a run written as points in place of its moves; with nothing to write where points cannot say it."""
    route = solved.run.route
    if any(route.formers) or any(route.falls) or wanted.run.run.route.joined:
        return wanted.run, ()
    corners = tuple(_tidy(corner) for corner in wanted.corners)
    instead = route.drawn.keys if route.drawn is not None else ("points",) if route.find is None else ("find",)
    return _led(
        solved, Route(corners), [Edit(("runs", solved.name, "points"), corners, solved.run.place.line, instead)]
    )


def _by_keys(
    solved: SolvedRun, drawn: "Drawn", wanted: Wanted, item: int | None
) -> tuple[SolvedRun, tuple[Edit, ...]] | None:
    """Return a run with as few keys of its route written otherwise as draw what is meant."""
    keys = [] if item is None or wanted.one is None else _keys(drawn, item, wanted, wanted.one)
    for count in range(min(1, len(keys)), len(keys) + 1):
        found = _drawn_to(solved, drawn, {(item or 0, key): value for key, value in keys[:count]}, wanted)
        if found is not None:
            return found
    return None


def _keys(drawn: "Drawn", item: int, wanted: Wanted, one: Offset) -> list[tuple[str, float]]:
    """Return what a set or a passover may have to say, what matters most first."""
    written, offset = drawn.items[item], [("offset", round(wanted.offset_mm, 1))]
    turned = abs(wanted.angle_deg - one.angle_deg) > SAME_MM
    # Of three bends the one on top has the angle that a passover goes by.
    angle = [("angle", wanted.angle_deg * (2.0 if one.last - one.first == 2 else 1.0))] if turned else []
    if written.pass_over is not None:
        first = corner_places(wanted.run)[1][one.first - 1]
        flat = ceil(10.0 * distance(wanted.corners[first + 1], wanted.corners[first + 2]) - 1e-6) / 10.0
        return [*angle, *offset, *([("flat", flat)] if one.last - one.first == 3 else [])]
    moved = [] if written.set is None or turned else offset
    if written.set is not None and written.set.length is not None:
        advance = 0.0 if wanted.angle_deg >= 90.0 else wanted.offset_mm / tan(radians(wanted.angle_deg))
        return [*moved, ("length", round(advance, 3))]
    return [*angle, *moved]


def _item_of(solved: SolvedRun, drawn: "Drawn", one: Offset) -> int | None:
    """Return which item a set or a passover is written as; None for moves of several."""
    corners, at = corner_places(solved)
    route = solved.run.route
    places = {
        route.places[min(range(len(route.corners)), key=lambda k: distance(route.corners[k], corners[at[bend]]))]
        for bend in range(one.first - 1, one.last)
    }
    items = [i for i, place in enumerate(drawn.places) if place in places]
    return items[0] if len(items) == 1 and drawn.items[items[0]].chosen in ("set", "pass over", "follow") else None


def _drawn_to(
    solved: SolvedRun, drawn: "Drawn", values: dict[tuple[int, str], float], wanted: Wanted
) -> tuple[SolvedRun, tuple[Edit, ...]] | None:
    """Return the run that items with some values draw, each leg as long as it is meant to be, and what to write."""
    route = now = solved.run.route
    corners = wanted.corners
    moved = distance(corners[0], route.corners[0]) > SAME_MM
    if moved and "start" not in drawn.keys:
        return None
    start = _tidy(corners[0]) if moved else route.corners[0]
    for _ in range(_PASSES):
        values = values | _lengths(drawn, now, values, wanted)
        again = drawn.again(start, values)
        if again is None or len(again.corners) != len(corners):
            return None
        now = again
        if all(distance(one, other) <= CLOSE_MM for one, other in zip(now.corners, corners, strict=True)):
            edits = [Edit(drawn.path(*key), value, drawn.places[key[0]].line) for key, value in values.items()]
            first = [Edit(("runs", solved.name, "start"), start, solved.run.place.line)] if moved else []
            return _led(solved, now, [*first, *sorted(edits, key=lambda edit: edit.line)])
    return None


def _lengths(
    drawn: "Drawn", now: Route, values: dict[tuple[int, str], float], wanted: Wanted
) -> dict[tuple[int, str], float]:
    """Return what items say of their legs' lengths so that they are as meant; what rounding leaves goes to the next."""
    lengths: dict[tuple[int, str], float] = {}
    left: Vec3 = (0.0, 0.0, 0.0)
    for item, begin, end in now.legs:
        key = drawn.key_of_leg(item)
        way = sub(now.corners[end], now.corners[begin])
        more = distance(wanted.corners[end], wanted.corners[begin]) - distance(now.corners[end], now.corners[begin])
        if key is None or abs(more) <= SAME_MM or (item, key) in lengths:
            continue
        ahead = unit(way)
        exact = values.get((item, key), drawn.value(item, key)) + more + dot(left, ahead)
        said = ceil(10.0 * exact - 1e-6) / 10.0 if wanted.longer else round(exact, 1)
        left = add(left, scale(ahead, exact - said - dot(left, ahead)))
        lengths[item, key] = said
    return lengths


def _led(solved: SolvedRun, route: Route, edits: Sequence[Edit]) -> tuple[SolvedRun, tuple[Edit, ...]] | None:
    try:
        return solve_run(replace(solved.run, route=route)), tuple(edits)
    except (UnbendableError, NotClosedError):
        return None


def _tidy(point: Vec3) -> Vec3:
    x, y, z = (round(c, 3) + 0.0 for c in point)
    return x, y, z


def _text(value: float | Vec3 | tuple[Vec3, ...]) -> str:
    """Return a value as it is written in a job: numbers in mm or degrees, which need no unit there."""
    return f"[{', '.join(_text(one) for one in value)}]" if isinstance(value, tuple) else f"{round(value, 3):.10g}"
