"""The way of a run, from what is written to its corners.

Bare points are corners already. Moves and features are compiled by `pipemodel.job.routing`, whose forms are
loaded only for a job that uses them.
"""

from collections.abc import Container, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Literal, NamedTuple

from pydantic import ValidationError

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.end_forms import ClipsForm
from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.forms import CornerForm, RunForm
from pipemodel.job.messages import faults_of
from pipemodel.job.model import Route, Run, Thing, said_of
from pipemodel.job.quantities import shown
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Message, Name, listed, message
from pipemodel.trade.model import Former, Tube

if TYPE_CHECKING:
    from pipemodel.job.routing.directions import Standpoint
    from pipemodel.job.routing.forms import RouteItem


HOW_WRITTEN = message("fault.how written")
WAY_KEYS = ("start", "heading", "beside", "route")
"""The keys of a run that draw its way."""


class Site(NamedTuple):
    """Where runs are built: the things of the room, heights (z) by name, and where what is wrong is noted.

    `lost` are the names of things that are in the file and at fault themselves, and a run that names one is left out.
    `runs` are the names of all runs whose forms could be read.
    """

    things: Sequence[Thing]
    lost: Container[str]
    levels: Mapping[str, float]
    runs: Container[str]
    faults: Faults


def way_fault(form: RunForm) -> Message | None:
    """Return what is wrong with the way a run is written: as points, as a start and a route, or beside another run."""
    ways = [
        name
        for name, given in (
            ("points", form.points),
            ("start", form.start),
            ("beside", form.beside),
            ("find", form.find),
        )
        if given is not None
    ]
    whole = form.points is not None or form.find is not None
    if len(ways) > 1 or (whole and form.route is not None):
        both = listed([Name(way, quoted=False) for way in (ways if len(ways) > 1 else [*ways, "route"])])
        return message("fault.written twice", how=HOW_WRITTEN, both=both)
    if not ways and form.route is None:
        return message("fault.not written", how=HOW_WRITTEN)
    if not ways and not _begins_beside(form):
        return message("fault.needs start")
    if form.start is not None and form.route is None:
        return message("fault.start alone", how=HOW_WRITTEN)
    if form.heading is not None and form.start is None:
        return message("fault.heading with")
    return None


def _begins_beside(form: RunForm) -> bool:
    """Whether the first item of a route is another run to lie beside, where it then starts."""
    return form.route is not None and isinstance(form.route[0], dict) and "beside" in form.route[0]


def read_items(form: RunForm, path: YamlPath, faults: Faults) -> "Sequence[RouteItem] | None":
    """Return the moves and features of a run; none for bare points, None with the faults noted if any is wrong.

    What a run lies beside from its start on is the first of them.
    """
    if form.route is None and form.beside is None:
        return ()
    from pipemodel.job.routing.forms import RouteItem
    from pipemodel.job.schema import BESIDE, ROUTE, beside_another, route_items

    items: list[RouteItem] = []
    sound = True
    if form.beside is not None:
        try:
            items.append(RouteItem.model_validate({"beside": beside_another().validate_python(form.beside)}))
        except ValidationError as error:
            faults.found += faults_of(error, BESIDE, faults.spot.at((*path, "beside")))
            sound = False
    if form.route is not None:
        try:
            items += route_items().validate_python(form.route)
        except ValidationError as error:
            faults.found += faults_of(error, ROUTE, faults.spot.at((*path, "route")))
            sound = False
    return items if sound else None


def item_paths(form: RunForm, items: "Sequence[RouteItem]", path: YamlPath) -> list[YamlPath]:
    """Return where each of a run's moves and features stands."""
    first: list[YamlPath] = [(*path, "beside")] if items and form.beside is not None else []
    return [*first, *((*path, "route", i) for i in range(len(items) - len(first)))]


def runs_named(items: "Sequence[RouteItem]") -> list[str]:
    """Return the names of the runs that others are laid beside in some items."""
    return [item.beside.run for item in items if item.beside is not None]


def runs_measured(items: "Sequence[RouteItem]", runs: Container[str], things: Container[str]) -> list[str]:
    """Return the names of the runs that items measure to, pass over or come clear of as they do of things."""
    return [name for item in items for name in item.things if name in runs and name not in things]


def itself_or(how: Literal["goes by", "lies beside"], name: str, other: str) -> Message:
    """Return which run it is that a run cannot go by: itself, or one that in turn goes by it."""
    if other == name:
        return message("fault.only itself")
    run = Name(shown(other))
    return message("fault.goes by", run=run) if how == "goes by" else message("fault.lies beside", run=run)


def building_order(
    forms: Mapping[str, RunForm],
    items: "Mapping[str, Sequence[RouteItem] | None]",
    things: Container[str],
    faults: Faults,
) -> list[str]:
    """Return the names of the runs so that each comes after those that its way names; with what cannot be noted.

    Args:
        forms: the runs' forms, by name.
        items: their moves and features; None where these are at fault.
        things: the names of the things in the room, which come before runs of the same name.
        faults: where what is wrong is noted.
    """
    order: list[str] = []
    below: list[str] = []

    def visit(name: str) -> None:
        if name in order:
            return
        below.append(name)
        own = items[name] or ()
        for item, path in zip(own, item_paths(forms[name], own, ("runs", name)), strict=True):
            for other in runs_measured([item], forms, things):
                if other in below:
                    faults.at(path, message("fault.measures in a ring", which=itself_or("goes by", name, other)))
                else:
                    visit(other)
            if item.beside is None:
                continue
            other = item.beside.run
            if other in below:
                faults.at(path, message("fault.beside in a ring", which=itself_or("lies beside", name, other)))
            elif other in forms:
                visit(other)
            elif other not in faults.spot.names(("runs",)):
                faults.at(path, none_called("run", other, forms))
        order.append(below.pop())

    for name in forms:
        visit(name)
    return order


def stand_of(
    form: RunForm, first: Vec3, path: YamlPath, site: Site, seen_from: Vec3 | None, clips: ClipsForm | None
) -> "Standpoint | None":
    """Return where fitter and wall are at a run that starts at `first`, None with the fault noted."""
    from pipemodel.job.routing.directions import Standpoint
    from pipemodel.job.routing.walls import wall_of

    wall = wall_of(first, [form.wall] if form.wall is not None else [] if clips is None else clips.face, site.things)
    if form.wall is not None and wall is None and form.wall not in site.lost:
        known = [thing.name for thing in site.things]
        no_face = message("room.no face before", thing=Name(form.wall))
        site.faults.at((*path, "wall"), no_face if form.wall in known else none_called("thing", form.wall, known))
        return None
    return Standpoint(seen_from, wall)


def direction_of(heading: Vec3 | str, stand: "Standpoint", path: YamlPath, faults: Faults) -> Vec3 | None:
    """Return the unit vector of a heading; None with the fault noted where nothing says what its word means."""
    from pipemodel.job.routing.faults import ItemError

    if not isinstance(heading, str):
        return heading
    try:
        found = stand.named(heading)
        if found is None:
            raise ItemError(message("fault.say where", way=Name(heading)))
    except ItemError as error:
        faults.at(path, said_of(error))
        return None
    return found


def build_route(
    form: RunForm,
    items: "Sequence[RouteItem]",
    path: YamlPath,
    site: Site,
    tube: Tube,
    former: Former,
    own: Sequence[Former | None],
    seen_from: Vec3 | None,
    clips: ClipsForm | None,
    others: Mapping[str, Run],
) -> Route | None:
    """Return the route of a run, or None with what is wrong noted.

    Args:
        form: the run's form.
        items: its moves and features, from `read_items`.
        path: where the run stands in the file.
        site: where it is built.
        tube: what is bent.
        former: what it is bent round.
        own: the former of its own that each of its points or items has, None for the run's.
        seen_from: towards where the fitter stands, None if the job does not say.
        clips: how the run is clipped: the wall it lies on.
        others: the runs that are known already, by name, of which its items name some; what one names and is missing
            here has faults of its own.
    """
    fall = None if form.fall is None else form.fall.over(None)
    if form.find is not None:
        from pipemodel.job.build_find import route_to_find

        if form.fall is not None:
            site.faults.at((*path, "fall"), message("fault.found falls"))
            return None
        return route_to_find(form, path, site, seen_from, clips)
    if form.points is not None:
        corners = tuple(point.at if isinstance(point, CornerForm) else point for point in form.points)
        falls = () if fall is None else (fall,) * (len(corners) - 1)
        written = site.faults.spot.items((*path, "points"))
        return Route(corners, places=written, formers=tuple(own) if any(own) else (), falls=falls)
    measured = runs_measured(items, site.runs, {thing.name for thing in site.things})
    if any(name in site.lost and name not in measured for item in items for name in item.things):
        return None
    if {*runs_named(items), *measured} - others.keys():
        return None
    from pipemodel.job.routing.beside import as_thing, corners_beside, followed
    from pipemodel.job.routing.compile import compile_route
    from pipemodel.job.routing.drawn import Drawn
    from pipemodel.job.routing.faults import ItemError, RouteError

    where = item_paths(form, items, path)
    for item, at in zip(items, where, strict=True):
        beside_it = [item.beside.run] if item.beside is not None else []
        for name in (*beside_it, *(name for name in item.things if name in measured)):
            if others[name].route.find is not None:
                site.faults.at(at, message("fault.not yet found", run=Name(shown(name))))
                return None
    beside = {name: followed(others[name]) for name in runs_named(items)}
    first = form.start if form.start is not None else beside[runs_named(items)[0]].corners[0]
    stand = stand_of(form, first, path, site, seen_from, clips)
    if stand is None:
        return None
    room = [*site.things, *(as_thing(others[name]) for name in dict.fromkeys(measured))]
    heading = None
    if (
        form.heading is not None
        and (heading := direction_of(form.heading, stand, (*path, "heading"), site.faults)) is None
    ):
        return None
    places = [site.faults.place(item) for item in where]
    try:
        start = form.start
        if start is None:
            assert items[0].beside is not None
            try:
                (start, *_) = corners_beside(items[0].beside, beside[items[0].beside.run], tube.outside_mm, stand, None)
            except ItemError as error:
                raise RouteError([(0, said_of(error))]) from None
        compiled = partial(
            compile_route,
            heading=heading,
            places=places,
            tube=tube,
            former=former,
            things=room,
            own=own,
            stand=stand,
            beside=beside,
            levels=site.levels,
            fall=fall,
        )
        keys = tuple(key for key in WAY_KEYS if getattr(form, key) is not None)
        drawn = Drawn(tuple(items), tuple(where), tuple(places), compiled, keys)
        return replace(compiled(start=start, items=items), drawn=drawn)
    except RouteError as error:
        for index, said in error.said:
            site.faults.at(where[index], said)
        return None
