"""The way of a run, from what is written to its corners.

Bare points are corners already. Moves and features are compiled by `pipemodel.job.routing`, whose forms are
loaded only for a job that uses them.
"""

from collections.abc import Sequence, Set
from typing import TYPE_CHECKING

from pydantic import ValidationError

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.end_forms import ClipsForm
from pipemodel.job.faults import Faults
from pipemodel.job.forms import CornerForm, RunForm
from pipemodel.job.messages import faults_of
from pipemodel.job.model import Route, Thing
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.trade.model import Former, Tube

if TYPE_CHECKING:
    from pipemodel.job.routing.forms import RouteItem


SAY_WHERE = "{!r} is the fitter's; say on which side you stand, such as `seen from: south`"
"""Of a heading that the job does not tell."""


def way_fault(form: RunForm) -> str | None:
    """Return what is wrong with the way a run is written: as bare points, or as a start and a route."""
    if (form.points is None) == (form.route is None):
        has = "this has neither" if form.points is None else "this has both"
        return f"a run is either points: [[x, y, z], ...], or a start and a route: [...]; {has}"
    if form.route is not None and form.start is None:
        return "a route needs its start: [x, y, z]"
    if form.points is not None and (form.start is not None or form.heading is not None):
        return "start and heading go with a route; points begin with the start"
    return None


def read_items(form: RunForm, path: YamlPath, faults: Faults) -> "Sequence[RouteItem] | None":
    """Return the moves and features of a run; none for bare points, None with the faults noted if any is wrong."""
    if form.route is None:
        return ()
    from pipemodel.job.schema import ROUTE, route_items

    try:
        return route_items().validate_python(form.route)
    except ValidationError as error:
        faults.found += faults_of(error, ROUTE, faults.spot.at((*path, "route")))
        return None


def build_route(
    form: RunForm,
    items: "Sequence[RouteItem]",
    path: YamlPath,
    faults: Faults,
    tube: Tube,
    former: Former,
    things: Sequence[Thing],
    lost: Set[str],
    own: Sequence[Former | None],
    seen_from: Vec3 | None,
    clips: ClipsForm | None,
) -> Route | None:
    """Return the route of a run, or None with what is wrong noted.

    Args:
        form: the run's form.
        items: its moves and features, from `read_items`.
        path: where the run stands in the file.
        faults: where what is wrong is noted.
        tube: what is bent.
        former: what it is bent round.
        things: what is in the room.
        lost: names of things with faults of their own; a run that names one is left out.
        own: the former of its own that each of its points or items has, None for the run's.
        seen_from: towards where the fitter stands, None if the job does not say.
        clips: how the run is clipped: the wall it lies on.
    """
    if form.points is not None:
        corners = tuple(point.at if isinstance(point, CornerForm) else point for point in form.points)
        return Route(corners, places=faults.spot.items((*path, "points")), formers=tuple(own) if any(own) else ())
    if any(name in lost for item in items for name in item.things):
        return None
    from pipemodel.job.routing.compile import compile_route
    from pipemodel.job.routing.directions import Stand
    from pipemodel.job.routing.faults import ItemError, RouteError
    from pipemodel.job.routing.walls import wall_of

    assert form.start is not None
    where = (*path, "route")
    stand = Stand(seen_from, wall_of(form.start, [] if clips is None else clips.face, things))
    heading = form.heading
    if isinstance(heading, str):
        try:
            heading = stand.named(heading)
        except ItemError as error:
            faults.at((*path, "heading"), str(error))
            return None
        if heading is None:
            faults.at((*path, "heading"), SAY_WHERE.format(form.heading))
            return None
    try:
        return compile_route(form.start, heading, items, faults.spot.items(where), tube, former, things, own, stand)
    except RouteError as error:
        for index, message in error.faults:
            faults.at((*where, index), message)
        return None
