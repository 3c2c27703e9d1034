"""The things of the room, from their forms to shapes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes import MeshFile, Shape
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, rotate, scale
from pipemodel.job.beside_forms import RepeatForm, SourceForm
from pipemodel.job.build_holes import with_holes
from pipemodel.job.build_sleeves import bores_of, run_places
from pipemodel.job.building.fixtures import CableForm
from pipemodel.job.building.parts import TermPart
from pipemodel.job.building.place_forms import TermFrame
from pipemodel.job.building.rows import JoistsForm, StudsForm
from pipemodel.job.building.services import BeamForm
from pipemodel.job.building.walls import FloorForm, WallForm
from pipemodel.job.building.zones import AccessForm, SwingForm
from pipemodel.job.faults import Faults
from pipemodel.job.form import Form
from pipemodel.job.model import Source, Thing
from pipemodel.job.own_file import OwnFileError, OwnFiles
from pipemodel.job.quantities import shown
from pipemodel.job.room_forms import MESH_ENDINGS, TERMS, MeshForm, Term, ThingForm, TurnForm
from pipemodel.messages.values import Name, bare, message

MM_PER_FILE_UNIT = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
TERM_KINDS = {
    JoistsForm: "joist",
    StudsForm: "stud",
    BeamForm: "beam",
    WallForm: "wall",
    FloorForm: "floor",
    CableForm: "cable",
}
"""What a building term is to the rules of building, where nobody says otherwise."""
_WHY = {SwingForm: "swing of a door", AccessForm: "access"}
"""Why a term is kept free, where nobody says otherwise."""
_AXIS = {"x": EAST, "y": NORTH, "z": UP}


def build_things(room: Mapping[str, ThingForm], faults: Faults, folder: Path, files: OwnFiles) -> tuple[Thing, ...]:
    """Return the things of a room in a file of some folder; those at fault are left out and noted."""
    things: list[Thing] = []
    for name, form in room.items():
        if form.sleeve is not None:
            continue
        path = ("room", name)
        found = list(_things(name, form, path, faults, folder, files))
        named = run_places(form, path, faults)
        found = [replace(thing, run_places=named) for thing in found] if named else found
        things += found if form.repeat is None else _repeated(name, found, form.repeat)
    return tuple(things)


def _things(
    name: str, form: ThingForm, path: tuple[str, ...], faults: Faults, folder: Path, files: OwnFiles
) -> Iterator[Thing]:
    if (term := form.term) is not None:
        yield from _parts(name, term, form, path, faults)
        return
    if form.mesh is not None:
        shape: Shape | None = _mesh(form.mesh, (*path, "mesh"), faults, folder, files)
    else:
        shape = getattr(form, form.given[0]).shape()
    if shape is not None:
        shape = with_holes(shape, form.holes, path, faults)
    if shape is not None:
        place = faults.key_place(path)
        thing = Thing(name, shape, form.clearance, place, form.is_ or "", _source(form.source))
        yield _with_role(thing, form)
        yield from bores_of(thing, form.holes)


def _repeated(name: str, things: Sequence[Thing], repeat: RepeatForm) -> Iterator[Thing]:
    """Yield things again and again, with a number after the name that they have in common."""
    for k in range(repeat.number):
        placing, own = Placing(scale(repeat.by, float(k))), f"{name} {k + 1}"
        for thing in things:
            yield replace(
                thing,
                name=own + thing.name.removeprefix(name),
                shape=thing.shape.placed(placing),
                moved=None,
                of=own if thing.frame is not None else name,
                frame=thing.frame and thing.frame.then(placing),
                sleeve=thing.sleeve and thing.sleeve._replace(through=own + thing.sleeve.through.removeprefix(name)),
            )


def _parts(name: str, term: Term, form: ThingForm, path: tuple[str, ...], faults: Faults) -> Iterator[Thing]:
    """Yield the things that a building term stands for; one with a fault in a hole is left out and noted."""
    key = next(key for key in TERMS if getattr(form, key) is term)
    layers: list[tuple[Thing, TermPart]] = []
    for part in term.parts():
        places = [(*path, key, *_within(term, cut)) for cut in part.cut]
        shape = with_holes(part.shape, part.holes, path, faults, places)
        if shape is not None:
            called = f"{name} {part.suffix}".rstrip()
            frame = TermFrame(term) if isinstance(term, WallForm | JoistsForm) else None
            kind = form.is_ or next((kind for of, kind in TERM_KINDS.items() if isinstance(term, of)), "")
            place = faults.key_place(path)
            thing = Thing(called, shape, form.clearance, place, kind, _source(form.source), name, frame)
            yield _with_role(thing, form)
            layers.append((thing, part))
            if not isinstance(term, WallForm):
                yield from bores_of(thing, part.holes)
    if isinstance(term, WallForm) and layers:
        thing, part = layers[-1]
        through = [[layer for layer, own in layers if any(cut is one for one in own.cut)] for cut in part.cut]
        yield from bores_of(thing, part.holes, through)


def _within(term: Term, cut: Form) -> tuple[str | int, ...]:
    """Return where in a term the form of a hole stands."""
    lists = ((key, getattr(term, key, [])) for key in ("openings", "chases", "holes", "notches"))
    return next(((key, n) for key, forms in lists for n, one in enumerate(forms) if one is cut), ())


def _with_role(thing: Thing, form: ThingForm) -> Thing:
    """Return a thing with what it is to the runs, where it is no solid."""
    if form.role == "solid":
        return thing
    why = form.keep_free or next((why for term, why in _WHY.items() if isinstance(form.term, term)), "")
    return replace(thing, role=form.role, why=why, runs=None if form.runs is None else frozenset(form.runs))


def _source(form: SourceForm | None) -> Source | None:
    return None if form is None else Source(form.guid, form.class_, form.storey, tuple(form.systems), form.name)


def rotation_of(turns: list[TurnForm]) -> tuple[Vec3, Vec3, Vec3]:
    """Return the rows of the rotation matrix of turns made one after the other about the room's axes."""
    columns = [EAST, NORTH, UP]
    for turn in turns:
        columns = [rotate(column, _AXIS[turn.about], turn.by) for column in columns]
    x, y, z = zip(*columns, strict=True)
    return (x, y, z)


def _mesh(form: MeshForm, path: tuple[str, ...], faults: Faults, folder: Path, files: OwnFiles) -> MeshFile | None:
    place = (*path, "file")
    ending = form.file.rsplit(".", 1)[-1].lower() if "." in form.file else ""
    if ending not in MESH_ENDINGS:
        endings = bare(", ".join(MESH_ENDINGS))
        faults.at(place, message("file.ending", file=Name(shown(form.file)), endings=endings))
        return None
    try:
        file = files.there(form.file, folder)
    except OwnFileError as error:
        faults.at(place, error.messages[0])
        return None
    rotation = rotation_of(form.turn)
    return MeshFile(str(file), rotation, form.at, MM_PER_FILE_UNIT[form.unit], form.part or "")
