"""Room files: things described once and shared by jobs, read, placed, and held against each other."""

import os
from collections.abc import Container, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

from pydantic import TypeAdapter, ValidationError

from pipemodel.geometry.placing import Placing
from pipemodel.job.build_openings import build_openings
from pipemodel.job.build_room import build_things
from pipemodel.job.build_sleeves import with_sleeves
from pipemodel.job.faults import Faults, places_with
from pipemodel.job.key_meant import unknown_key
from pipemodel.job.messages import faults_of
from pipemodel.job.model import Fault, JobError, Opening, Place, Thing
from pipemodel.job.model_place import ModelPlace
from pipemodel.job.names import name_fault
from pipemodel.job.own_file import OwnFileError, OwnFiles
from pipemodel.job.parameters import resolve
from pipemodel.job.placed_points import put_placed
from pipemodel.job.quantities import shown
from pipemodel.job.room_file_forms import (
    FILE_KEY,
    MOST_FILES,
    Levels,
    ModelForm,
    Openings,
    PlacedFileForm,
    RoomFileForm,
    RoomForm,
)
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlPath, YamlSpot, read_tree
from pipemodel.messages.values import Count, Name, Number, message

if TYPE_CHECKING:
    from pipemodel.job.building.place_forms import TermFrame

MOST_BYTES = 20_000_000
"""How much the room files of one job may hold together; ten thousand boxes take about one and a half."""


class Room(NamedTuple):
    """The things of a job's room, the names of those that are at fault themselves, and the openings of room files."""

    things: tuple[Thing, ...]
    lost: Container[str]
    model_place: "ModelPlace | None" = None
    """How it stands in the building model that it was made of, the first where it was of several."""
    levels: Mapping[str, float] = MappingProxyType({})
    """Heights (z) by name, of its room files; of one name in two of them, the first counts."""
    openings: tuple[Opening, ...] = ()


class _AnyBut(Container[str]):
    """All the names that a file may hold that could not be read: any but those that were."""

    def __init__(self, read: Container[str]) -> None:
        self._read = read

    def __contains__(self, name: object) -> bool:
        return name not in self._read


def build_room(form: RoomForm, faults: Faults, path: Path, files: OwnFiles, broken: Container[YamlPath]) -> Room:
    """Return the room of a job, that of its room files included; what is at fault is left out and noted.

    Args:
        form: the form of the job's room.
        faults: where what is wrong is noted.
        path: the job's file.
        files: the user's own.
        broken: paths of what did not fit the form.
    """
    reader = Reader(files)
    reader.unread = ("room",) in broken or ("room", FILE_KEY) in broken
    things = reader.things(form, faults, path, (path.resolve(),))
    kept = {thing.name: thing for thing in reversed(things)}
    for thing in things:
        if (first := kept[thing.name]) is not thing:
            _note_clash(thing, first, faults, path)
    # A file that stands in several places is named once.
    faults.found[:] = dict.fromkeys(faults.found)
    lost = _AnyBut(kept.keys()) if reader.unread else set(reader.lost) - kept.keys()
    whole = tuple(reversed(kept.values()))
    return Room(whole, lost, next(iter(reader.models), None), reader.levels, tuple(reader.openings))


def _note_clash(thing: Thing, first: Thing, faults: Faults, path: Path) -> None:
    name, file = Name(shown(thing.name)), Name(shown(str(first.place.file or path)), quoted=False)
    if thing.place == first.place:
        said = message("fault.room file twice", thing=name)
    else:
        said = message("room.thing twice", thing=name, file=file, line=Count(first.place.line))
    faults.found.append(Fault(said, thing.place))


@dataclass
class _Taken:
    """How many room files were read so far, and how much they hold."""

    files: int = 0
    bytes: int = 0


class Reader:
    """Reads room files one within the other, all together within limits.

    Args:
        files: the user's own.
        taken: what was read so far, by readers before this one.
    """

    def __init__(self, files: OwnFiles, taken: _Taken | None = None) -> None:
        self.files = files
        self.unread = False
        self.lost: list[str] = []
        self.models: list[ModelPlace] = []
        self.levels: dict[str, float] = {}
        self.openings: list[Opening] = []
        self._taken = taken or _Taken()

    def frames(self, form: RoomForm, path: Path, chain: tuple[Path, ...]) -> dict[str, "TermFrame"]:
        """Return the walls and joists of a room and of the files that it names, by name; faults are left for later.

        Args:
            form: the form of the room.
            path: the file it is in, as it is shown.
            chain: the whole paths of the files that name each other down to this one.
        """
        nowhere = Faults(YamlSpot(Place(), Place()))
        reader = Reader(self.files, self._taken)
        things = reader.things(form, nowhere, path, chain)
        return {thing.of: thing.frame for thing in things if thing.frame is not None}

    def things(self, form: RoomForm, faults: Faults, path: Path, chain: tuple[Path, ...]) -> list[Thing]:
        """Return the things of the room in a file, its own before those of the files that it names.

        Args:
            form: the form of that room.
            faults: where what is wrong in that file is noted.
            path: the file, as it is shown.
            chain: the whole paths of the files that name each other down to this one.
        """
        things = list(build_things(form.things, faults, path.parent, self.files))
        made = {thing.place for thing in things}
        sleeves = {name for name, thing in form.things.items() if thing.sleeve is not None}
        names = (name for name in faults.spot.names(("room",)) if name != FILE_KEY and name not in sleeves)
        self.lost += [name for name in names if faults.key_place(("room", name)) not in made]
        listed = bool(faults.spot.items(("room", FILE_KEY)))
        for i, placed in enumerate(form.files):
            where: YamlPath = ("room", FILE_KEY, i) if listed else ("room", FILE_KEY)
            things += self._of_file(placed, where, faults, path, chain)
        return with_sleeves(things, form.things, self.lost, faults)

    def _of_file(
        self, form: PlacedFileForm, where: YamlPath, faults: Faults, path: Path, chain: tuple[Path, ...]
    ) -> list[Thing]:
        at = (*where, FILE_KEY)
        try:
            whole, text = self._text(form.file, path, chain)
        except OwnFileError as error:
            self.unread = True
            faults.at(at, error.messages[0])
            return []
        except JobError as error:
            self.unread = True
            fault = error.faults[0]
            faults.found.append(replace(fault, place=fault.place._replace(file=_beside(path, form.file))))
            return []
        before, models, known = len(self.lost), len(self.models), len(self.openings)
        levels, self.levels = dict(self.levels), {}
        things = self._things_of(text, Path(_beside(path, form.file)), faults, (*chain, whole))
        placing = Placing(form.at, form.turned)
        self._raise_levels(levels, form.at[2])
        things = [
            replace(
                thing,
                shape=thing.shape.placed(placing),
                frame=thing.frame and thing.frame.then(placing),
                # Of a file with a name of its own there may be several.
                moved=None if thing.moved is None or form.called else (*thing.moved, placing),
                own=thing.own or thing.shape,
            )
            for thing in things
        ]
        self.models[models:] = [model.then(placing) for model in self.models[models:]]
        self.openings[known:] = [_placed(opening, placing, form.called) for opening in self.openings[known:]]
        if form.called is None:
            return things
        self.lost[before:] = [f"{form.called} {name}" for name in self.lost[before:]]
        things = [
            replace(
                thing,
                name=f"{form.called} {thing.name}",
                of=f"{form.called} {thing.of}" if thing.of else "",
                sleeve=thing.sleeve and thing.sleeve._replace(through=f"{form.called} {thing.sleeve.through}"),
            )
            for thing in things
        ]
        wrong = next((said for thing in things if (said := name_fault("thing", thing.name))), None)
        if wrong is not None:
            faults.at((*where, "called"), wrong)
        return things

    def _text(self, file: str, path: Path, chain: tuple[Path, ...]) -> tuple[Path, str]:
        named = Name(shown(file))
        whole = self.files.there(file, path.parent)
        if whole in chain:
            ring = " -> ".join(shown(one.name) for one in (*chain[chain.index(whole) :], whole))
            raise OwnFileError([message("room.file in itself", file=named, ring=Name(ring, quoted=False))])
        self._taken.files += 1
        self._taken.bytes += whole.stat().st_size
        if self._taken.files > MOST_FILES:
            raise OwnFileError([message("room.files", most=Count(MOST_FILES))])
        if self._taken.bytes > MOST_BYTES:
            raise OwnFileError([message("room.files large", file=named, most=Number(MOST_BYTES / 1e6))])
        return whole, read_text(whole, MOST_BYTES)

    def _things_of(self, text: str, path: Path, faults: Faults, chain: tuple[Path, ...]) -> list[Thing]:
        """Return the things of a room file from its text; what is wrong is noted at its own lines."""
        tree = read_tree(text, str(path))
        own = Faults(tree.spot, list(tree.faults))
        things: list[Thing] = []
        if not tree.complete or not isinstance(tree.values, dict):
            self.unread = True
            if tree.complete:
                own.found.append(Fault(message("room.file lacks"), tree.spot.place))
        else:
            _, resolving, spoilt, *_ = resolve(tree, {})
            misplaced, unplaced = put_placed(tree.values, tree.spot, lambda form: self.frames(form, path, chain))
            resolving += misplaced
            spoilt |= {fault.place for fault in tree.faults} | places_with(tree.spot, unplaced)
            report = Faults(tree.spot)
            things = self._in_form(tree.values, report, path, chain)
            own.found += [*resolving, *(fault for fault in report.found if fault.place not in spoilt)]
        faults.found += own.found
        return things

    def _in_form(self, values: dict[str, Any], faults: Faults, path: Path, chain: tuple[Path, ...]) -> list[Thing]:
        known = list(RoomFileForm.model_fields)
        for key in values:
            if key not in known:
                faults.at_key((key,), unknown_key(key, known))
        if "room" not in values:
            faults.found.append(Fault(message("room.file lacks"), Place(file=str(path))))
            self.unread = True
            return []
        room = values["room"] or {}
        if (model := self._take("model", values.get("model"), ModelForm, faults)) is not None:
            self.models.append(model.place())
        self.levels = (self._take("levels", values.get("levels"), Levels, faults) or {}) | self.levels
        spot = faults.spot.at(("room",))
        try:
            form = RoomForm.model_validate(room)
        except ValidationError as error:
            faults.found += faults_of(error, ("room",), spot)
            misfits = {detail["loc"][:1] for detail in error.errors(include_url=False, include_context=False)}
            self.unread |= () in misfits or (FILE_KEY,) in misfits
            left = {k: v for k, v in room.items() if (k,) not in misfits} if isinstance(room, dict) else {}
            form = RoomForm.model_validate(left)
        for name in form.things:
            if fault := name_fault("thing", name):
                faults.at_key(("room", name), fault)
        self.openings += build_openings(self._take("openings", values.get("openings"), Openings, faults) or {}, faults)
        return self.things(form, faults, path, chain)

    def _take(self, key: str, values: Any, form: Any, faults: Faults) -> Any:
        """Return what a room file says under a key; None, with what is wrong noted, where it says nothing sound."""
        if values is None:
            return None
        try:
            return TypeAdapter(form).validate_python(values)
        except ValidationError as error:
            faults.found += faults_of(error, (key,), faults.spot.at((key,)))
            return None

    def _raise_levels(self, before: dict[str, float], by_mm: float) -> None:
        """Put the levels of a file in its place, after those that were known before."""
        self.levels = {name: level + by_mm for name, level in self.levels.items()} | before


def _placed(opening: Opening, placing: Placing, called: str | None) -> Opening:
    """Return an opening of a room file in its place, with what stands before the file's names."""
    return replace(
        opening,
        name=opening.name if called is None else f"{called} {opening.name}",
        corners=tuple(map(placing.point, opening.corners)),
        outside=placing.point(opening.outside),
    )


def _beside(path: Path, file: str) -> str:
    """Return how a file named in another is shown: from where that one is."""
    return os.path.normpath(path.parent / file)
