"""A route of moves and features, compiled to corners."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.expressions import none_called
from pipemodel.job.fall import Fall
from pipemodel.job.forms import CornerForm
from pipemodel.job.model import Fault, Place, Route, Thing, said_of
from pipemodel.job.routing.beside import Followed, lie_beside
from pipemodel.job.routing.directions import COMPASS, NOT_SAID, Standpoint, bearing_vector
from pipemodel.job.routing.falling import is_level
from pipemodel.job.routing.faults import ItemError, PlaceError, RouteError
from pipemodel.job.routing.follow import follow
from pipemodel.job.routing.forms import BendForm, FollowForm, GoForm, PassoverForm, RouteItem, SetForm
from pipemodel.job.routing.legs import Edge, LegStretch, Measured, Past, ToCentreOf, ToFace, ToLevel
from pipemodel.job.routing.passover import Passover
from pipemodel.job.routing.pen import RoutePen
from pipemodel.job.routing.sets import advance_of, aside, set_angle
from pipemodel.messages.values import Count, Name, Number, message
from pipemodel.trade.model import Former, Tube

_TAPE: dict[str, tuple[Edge, Edge]] = {
    "to centre": ("centre", "centre"),
    "to back": ("centre", "back"),
    "to inside": ("centre", "inside"),
    "from back": ("back", "centre"),
    "from inside": ("inside", "centre"),
    "back to back": ("back", "back"),
    "inside to inside": ("inside", "inside"),
}
"""What a measure with a tape goes from and to."""


def compile_route(
    start: Vec3,
    heading: Vec3 | None,
    items: Sequence[RouteItem],
    places: Sequence[Place],
    tube: Tube,
    former: Former,
    things: Sequence[Thing],
    own: Sequence[Former | None] = (),
    stand: Standpoint = NOT_SAID,
    beside: Mapping[str, Followed] = MappingProxyType({}),
    levels: Mapping[str, float] = MappingProxyType({}),
    fall: Fall | None = None,
) -> Route:
    """Return the corners of a run written as moves and features.

    Args:
        start: the centre of the tube's start end, mm.
        heading: which way the tube sets out (a unit vector), or None when the first item says so.
        items: the moves and features, in order.
        places: where in the file each item is written.
        tube: the tube; its outside counts where people measure to it.
        former: the former; its finished radius counts.
        things: the room, by whose names items may measure.
        own: the former of its own that each item has, None for the run's; empty where none has its own.
        stand: where the fitter and the wall are, from which left, right, in and out are counted.
        beside: the runs that items lie beside, by name.
        levels: heights (z) by name.
        fall: how the run falls, None for not at all.

    Raises:
        RouteError: with every item at fault.
    """
    room = {thing.name: thing for thing in things}
    faults = [
        (i, none_called("thing", name, room))
        for i, item in enumerate(items)
        for name in item.things
        if name not in room
    ]
    if faults:
        raise RouteError(faults)
    run_fall = None if fall is None else fall.over(None)
    try:
        pen = RoutePen(start, heading, tube, former, stand, run_fall)
    except ItemError as error:
        raise RouteError([(0, message("fault.the heading", why=Fault(said_of(error)).value))]) from None
    try:
        for i, item in enumerate(items):
            pen.item, pen.own = i, own[i] if own else None
            pen.fall = run_fall if item.own_fall is None else item.own_fall.over(run_fall)
            try:
                _draw(pen, item, room, beside, levels)
            except PlaceError as error:
                pen.fault(i, error)
        if all(at != pen.item for at, _ in pen.faults):
            pen.finish()
    except ItemError as error:
        pen.fault(pen.item, error)
    if pen.faults:
        raise RouteError(pen.faults)
    unused = [
        message("item.former not used", item=Count(i + 1), former=unneeded.called)
        for i, unneeded in enumerate(own)
        if unneeded is not None and i not in pen.used
    ]
    return Route(
        tuple(pen.corners),
        frozenset(pen.joined),
        tuple(places[owner] for owner in pen.owners),
        (*pen.notes, *unused),
        tuple(pen.formers) if any(pen.formers) else (),
        falls=tuple(pen.falls) if any(pen.falls) else (),
        legs=tuple(pen.legs),
    )


def _draw(
    pen: RoutePen,
    item: RouteItem,
    room: dict[str, Thing],
    beside: Mapping[str, Followed],
    levels: Mapping[str, float],
) -> None:
    if item.go is not None:
        pen.go(_stretch(item.go, room, levels))
    elif item.turn is not None:
        _turn(pen, item.turn)
    elif item.corner is not None:
        pen.to_corner(_point(item.corner))
    elif item.by is not None:
        pen.by(_point(item.by))
    elif item.set is not None:
        _set(pen, item.set, room)
    elif item.pass_over is not None:
        _pass_over(pen, item.pass_over, room)
    elif item.follow is not None:
        _follow(pen, item.follow, room)
    elif item.beside is not None:
        lie_beside(pen, item.beside, beside[item.beside.run])
    else:
        _head(pen, item.chosen)
        pen.go(_stretch(item.chosen_form, room, levels))


def _point(choice: CornerForm | Vec3) -> Vec3:
    return choice.at if isinstance(choice, CornerForm) else choice


def _head(pen: RoutePen, name: str) -> None:
    """Turn to a named direction, unless the tube heads that way already."""
    direction = _named(pen, name)
    if not pen.heads(direction):
        pen.turn(direction)


def _named(pen: RoutePen, name: str) -> Vec3:
    # The first item may say which way the run sets out: so far only the room, the fitter and the wall can tell.
    way = COMPASS.get(name) or pen.stand.named(name)
    if way is None and pen.heading is None and name in ("left", "right"):
        raise ItemError(message("route.no heading for", name=Name(name)))
    return pen.facing.named(name) if way is None else way


def _stretch(form: GoForm, room: dict[str, Thing], levels: Mapping[str, float]) -> LegStretch:
    if form.to_level is not None:
        level = form.to_level
        if isinstance(level, str) and level not in levels:
            raise ItemError(none_called("level", level, levels))
        z, called = (
            (levels[level], message("fault.level named", name=Name(level)))
            if isinstance(level, str)
            else (level, message("fault.level at", z=Number(level)))
        )
        return ToLevel(z, called, form.gap, form.standoff)
    if form.to_face_of is not None:
        return ToFace(room[form.to_face_of], form.gap, form.standoff)
    if form.past is not None:
        return Past(room[form.past], form.gap, form.standoff)
    if form.to_centre_of is not None:
        return ToCentreOf(room[form.to_centre_of])
    key = form.chosen
    mm: float = form.chosen_form
    return Measured(mm, *_TAPE[key])


def _turn(pen: RoutePen, form: BendForm) -> None:
    if form.back is not None:
        pen.turn_back(pen.facing.side(form.back), form.apart)
    elif form.bearing is not None:
        pen.turn(bearing_vector(form.bearing, form.rise or 0.0))
    elif form.to is not None and form.angle is not None:
        pen.turn_by(form.to, form.angle)
    elif form.to is not None:
        pen.turn(_named(pen, form.to))


def _set(pen: RoutePen, form: SetForm, room: dict[str, Thing]) -> None:
    if form.clear is not None:
        side = pen.side(form.to[0][0])
        pen.set_clear(room[form.clear], form.gap or 0.0, side, form.angle or 0.0)
        return
    sides = [(name, form.offset if mm is None else mm) for name, mm in form.to]
    if form.rise:
        if abs(pen.ahead[2]) > 1.0 - 1e-9:
            raise ItemError(message("fault.rise upright"))
        sides.append(("up" if form.rise > 0.0 else "down", abs(form.rise)))
    named = [(name, mm or 0.0) for name, mm in sides]
    moved = aside(pen.flat, named)
    if not is_level(moved.side):
        moved = aside(pen.facing, named)
    angle = form.angle if form.angle is not None else set_angle(moved.offset, form.length or 0.0)
    advance = advance_of(moved.offset, angle)
    to_first = form.first_bend or 0.0
    if form.centre is not None:
        to_first = form.centre - advance / 2.0
    elif form.last_bend is not None:
        to_first = form.last_bend - advance
    pen.set_aside(moved.side, moved.offset, angle, to_first)


def _pass_over(pen: RoutePen, form: PassoverForm, room: dict[str, Thing]) -> None:
    if form.to is None and abs(pen.ahead[2]) > 0.5:
        raise ItemError(message("fault.steep side"))
    side = pen.facing.side(form.to or "up")
    former = pen.own or pen.former
    over = Passover(room[form.thing], form.gap, form.bends, form.angle, side, former, form.flat, form.offset or 0.0)
    pen.pass_over(over)


def _follow(pen: RoutePen, form: FollowForm, room: dict[str, Thing]) -> None:
    looking = None if form.side is None else _named(pen, form.side)
    turn = None if form.turn is None else _named(pen, form.turn)
    follow(pen, room[form.face], form.standoff, looking, turn, form.angle)
    if form.for_ is not None:
        pen.go(Measured(form.for_))
