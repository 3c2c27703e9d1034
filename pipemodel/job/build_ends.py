"""What a run ends in and how it is clipped, from the forms to what the rest of the program works with."""

from dataclasses import replace

from pipemodel.job.build_routes import Site
from pipemodel.job.end_forms import ClipsForm, EndForm, EndsForm
from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.model import Fault, Route, said_of
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Length, Message, Name, Tape, Word, message
from pipemodel.trade.clips import ClipRule, ClipSpacing, find_spacing
from pipemodel.trade.fittings import Ending, Ends, FittingError, Within, find_fitting, tube_ends
from pipemodel.trade.model import Tube

NEAR_FITTING_MM = 300.0
"""Where the spacing is the job's own: water-mist system installation guide, table 2."""
OFF_BEND_DIAMETERS = 1.5
"""Common practice, no source: a clip's body and a finger's width of straight tube beside it."""


def build_ends(form: EndsForm | None, trim_mm: float, tube: Tube, path: YamlPath, faults: Faults) -> Ends:
    """Return the ends of a run; one at fault is taken to be plain and noted. `trim_mm` is left on at the finish."""
    if form is None:
        return Ends(trim_mm=trim_mm)
    start = _ending(form.start, tube, (*path, "start"), faults)
    finish = _ending(form.finish, tube, (*path, "finish"), faults)
    if form.start is not None and form.start.within is not None:
        faults.at((*path, "start", "within"), message("room.start within"))
    if form.finish is not None and form.finish.within is not None:
        asked = form.finish.within
        finish = replace(finish, within=Within(asked.sideways, asked.along, assumed=False))
    return Ends(start, finish, trim_mm)


def at_tube_ends(route: Route, ends: Ends, path: YamlPath, faults: Faults) -> Route:
    """Return a route whose first and last points are the tube's own ends, with a note where they moved.

    Args:
        route: the route as dimensioned.
        ends: what each end goes into, and what its dimension is given to.
        path: where the ends are written.
        faults: where an end leg too short for its fitting is noted.
    """
    try:
        corners = tube_ends(route.corners, ends, route.joined)
    except FittingError as error:
        faults.at(path, said_of(error))
        return route
    notes = [_note(name, ending) for name, ending in (("start", ends.start), ("finish", ends.finish)) if ending.fitting]
    if ends.trim_mm:
        notes.append(message("ends.trim", trim=Tape(ends.trim_mm, exact=True)))
    return replace(route, corners=corners, notes=(*route.notes, *notes)) if notes else route


def build_clips(form: ClipsForm | None, tube: Tube, path: YamlPath, site: Site) -> ClipRule | None:
    """Return how a run of a tube is clipped, None if nobody asks or something in it is at fault.

    The form stands at `path`, of the run or of the job.
    """
    if form is None:
        return None
    known = [_clippable(name, (*path, "face"), site) for name in form.face]
    spacing = _spacing(form, tube, path, site.faults)
    if spacing is None or not all(known):
        return None
    off_bend = OFF_BEND_DIAMETERS * tube.outside_mm if form.off_bend is None else form.off_bend
    return ClipRule(tuple(form.face), spacing, off_bend, form.standoff, form.edge)


def check_joins(form: EndsForm, run: str, path: YamlPath, site: Site) -> None:
    """Note each end of a run, by its name, that joins what is neither in the room nor another run."""
    runs = site.faults.spot.names(("runs",))
    known = [*(thing.name for thing in site.things), *(name for name in runs if name != run)]
    for name, end in (("start", form.start), ("finish", form.finish)):
        if end is None or end.joins is None or end.joins in known or end.joins in site.lost:
            continue
        itself = end.joins == run
        said = message("fault.itself", what=Word("join")) if itself else none_called("to join", end.joins, known)
        site.faults.at((*path, name, "joins"), said)


def _clippable(name: str, path: YamlPath, site: Site) -> bool:
    """Tell whether a thing is there and has a flat face, and note what is wrong if not."""
    shape = next((thing.shape for thing in site.things if thing.name == name), None)
    if shape is not None and any(face.radius is None for face in shape.flat_faces()):
        return True
    if shape is not None:
        site.faults.once(path, message("room.no face for clip", thing=Name(name)))
    elif name not in site.lost:
        site.faults.once(path, none_called("thing", name, [thing.name for thing in site.things]))
    return False


def _ending(form: EndForm | None, tube: Tube, path: YamlPath, faults: Faults) -> Ending:
    if form is None:
        return Ending()
    joins, bare = form.joins or "", form.bare or 0.0
    if form.fitting == "plain":
        return Ending(joins=joins, bare_mm=bare)
    try:
        fitting = find_fitting(form.fitting, tube, form.depth, form.centre_to_stop)
        ending = Ending(fitting, form.to or "mouth", joins, max(bare, fitting.depth_mm))
        if ending.to == "centre":
            _ = ending.beyond_mm
    except FittingError as error:
        faults.at(path, said_of(error))
        return Ending()
    return ending


def _note(name: str, ending: Ending) -> Message:
    fitting = ending.fitting
    assert fitting is not None
    goes_in = message(
        "ends.goes in",
        end=Word(name),
        depth=Tape(fitting.depth_mm, exact=True),
        fitting=Word(fitting.kind),
        source=Word(fitting.source),
    )
    if ending.to == "end":
        return goes_in
    beyond = ending.beyond_mm
    template = "ends.ends beyond" if beyond > 0.0 else "ends.ends short"
    return message(template, goes_in=goes_in, beyond=Length(abs(beyond)), point=Word(ending.to))


def _spacing(form: ClipsForm, tube: Tube, path: YamlPath, faults: Faults) -> ClipSpacing | None:
    if form.spacing is not None:
        spacing = ClipSpacing(
            form.service,
            tube.outside_mm,
            form.spacing.level,
            form.spacing.upright,
            NEAR_FITTING_MM,
            "spacings of the job; near a fitting: water-mist guide, table 2",
        )
    else:
        try:
            spacing = find_spacing(form.service, tube)
        except LookupError as error:
            faults.once(path, message("fault.clips own", why=Fault(said_of(error)).value))
            return None
    return spacing if form.near_fitting is None else replace(spacing, near_fitting_mm=form.near_fitting)
