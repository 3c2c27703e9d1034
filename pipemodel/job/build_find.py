"""A way to be found, from its form to its ends and directions."""

from pipemodel.geometry.centreline import around
from pipemodel.geometry.vectors import Vec3, along, angle_deg, distance, sub
from pipemodel.job.build_routes import Site, direction_of, stand_of
from pipemodel.job.end_forms import ClipsForm
from pipemodel.job.faults import Faults
from pipemodel.job.find import CutKind, Find
from pipemodel.job.find_forms import FindVoidForm
from pipemodel.job.forms import RunForm
from pipemodel.job.model import Route
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Number, message

FAR_MM = 1e5
"""How long the end legs of a way that is not found yet are taken to be, so that its ends go into any fitting.

Ends farther apart are a mistake, such as a point in another unit; the search would not end in any useful time.
"""
STRAIGHT_DEG = 1e-6
OPPOSITE_DEG = 179.999


def route_to_find(
    form: RunForm, path: YamlPath, site: Site, seen_from: Vec3 | None, clips: ClipsForm | None
) -> Route | None:
    """Return the route of a run whose way is to be found: its ends and directions; None with what is wrong noted.

    The arguments are those of `build_route`.
    """
    faults = site.faults
    asked = form.find
    assert asked is not None
    here = (*path, "find")
    stand = stand_of(form, asked.from_, path, site, seen_from, clips)
    if stand is None:
        return None
    heading = direction_of(asked.heading, stand, (*here, "heading"), faults)
    arriving = direction_of(asked.arriving, stand, (*here, "arriving"), faults)
    if heading is None or arriving is None:
        return None
    if distance(asked.from_, asked.to) < 1.0:
        faults.at((*here, "to"), message("fault.one point"))
        return None
    if (apart := distance(asked.from_, asked.to)) > FAR_MM:
        far, farthest = Number(apart / 1000.0, ".0f"), Number(FAR_MM / 1000.0, ".0f")
        faults.at((*here, "to"), message("fault.far apart", apart=far, farthest=farthest))
        return None
    void = None if asked.within is None else _void(asked.within, (*here, "within"), faults)
    if asked.within is not None and void is None:
        return None
    behind = angle_deg(heading, sub(asked.to, asked.from_)) > OPPOSITE_DEG
    if behind and angle_deg(heading, arriving) < STRAIGHT_DEG:
        faults.at((*here, "heading"), message("fault.finish behind"))
        return None
    kinds: tuple[tuple[CutKind, str | None], ...] = (("hole", asked.holes), ("notch", asked.notches))
    found = Find(
        asked.from_,
        heading,
        asked.to,
        arriving,
        void,
        frozenset(kind for kind, may in kinds if may is not None),
        place=faults.key_place(here),
        start_place=faults.place((*here, "from")),
        finish_place=faults.place((*here, "to")),
    )
    corners = (asked.from_, along(asked.from_, heading, FAR_MM), along(asked.to, arriving, -FAR_MM), asked.to)
    return Route(corners, places=(found.place,) * 4, find=found)


def _void(form: FindVoidForm, path: YamlPath, faults: Faults) -> tuple[Vec3, Vec3] | None:
    void = around([form.from_, form.to])
    if any(b - a < 1e-6 for a, b in zip(*void, strict=True)):
        faults.at(path, message("fault.void size"))
        return None
    return void
