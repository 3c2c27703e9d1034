"""The filled form to the job: sizes found, files found, names checked, every run a list of corners.

What builds a part of it, here and in the files beside, takes the form of the part, the path at which that stands, and
`faults`, where what is wrong is noted; what is at fault is left out.
"""

import pathlib
from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pipemodel.job.build_bender import Benders
from pipemodel.job.build_beside import beside_each_other
from pipemodel.job.build_ends import at_tube_ends, build_clips, build_ends, check_joins
from pipemodel.job.build_jig import build_jig
from pipemodel.job.build_openings import build_bring_in, build_openings, build_reach, check_openings, check_outside
from pipemodel.job.build_routes import Site, build_route, building_order, item_paths, read_items, way_fault
from pipemodel.job.build_rules import build_rules, check_kinds, check_may_cut
from pipemodel.job.build_sleeves import for_others, wall_of
from pipemodel.job.build_tools import Tools
from pipemodel.job.build_zones import check_zones
from pipemodel.job.faults import Faults
from pipemodel.job.forms import CornerForm, HandsForm, JobForm, RunForm
from pipemodel.job.learned import Histories
from pipemodel.job.model import BEGINNING, WORST_HANDS, Fault, Hands, Job, Opening, Run, Stock, Temperatures
from pipemodel.job.names import file_key, name_fault, same_names
from pipemodel.job.own_file import OwnFiles
from pipemodel.job.quantities import shown
from pipemodel.job.room_files import Room, build_room
from pipemodel.job.tool_forms import FormerChoice
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Message, Name, Number, Word, message
from pipemodel.trade.fittings import Ending
from pipemodel.trade.model import Former, Tube

if TYPE_CHECKING:
    from pipemodel.job.measured import MeasuredRoom
    from pipemodel.job.routing.forms import RouteItem


def build_job(
    form: JobForm,
    faults: Faults,
    path: pathlib.Path,
    parameters: Mapping[str, float],
    allow_outside: bool,
    broken: Set[YamlPath] = frozenset(),
    measured: "MeasuredRoom | None" = None,
) -> Job:
    """Return the job of a form, filled from the file at `path`; whatever is at fault is left out of it and noted.

    Args:
        form: the filled form.
        faults: where what is wrong is noted.
        path: the job's file; mesh files go from its folder.
        parameters: the values of the parameters.
        allow_outside: whether mesh files may lie outside the job's folder.
        broken: paths of what did not fit the form, of which nothing more is said.
        measured: the points measured with a tape, found already.
    """
    if fault := name_fault("job", form.job):
        faults.at(("job",), fault)
    _check_names("thing", "room", faults)
    _check_names("run", "runs", faults)
    files = OwnFiles(path.parent, allow_outside)
    room = build_room(form.room, faults, path, files, broken)
    room = room._replace(things=for_others(room.things, faults.spot.names(("runs",))))
    histories = Histories(faults, files)
    tools = Tools(faults, files, histories, form.learned)
    benders = Benders(faults, files)
    runs = _Runs(form, faults, tools, benders, room, broken).build()
    if not form.runs and not any(path[0] == "runs" for path in broken):
        faults.at(("runs",), message("fault.needs runs"))
    openings, runs = _brought_in(form, room, runs, faults, broken)
    hands, learned = _hands(form.hands, faults, histories)
    jig = build_jig(form.jig, runs, faults)
    rules = build_rules(form.rules, faults.spot.names(("runs",)), faults, files)
    check_kinds(room.things, rules, faults)
    runs = beside_each_other(runs, form.runs, form.clearance, faults)
    if len(rules) == len(form.rules):
        check_may_cut(runs, rules, faults)
    check_zones(room.things, runs, faults.spot.names(("runs",)), faults)
    stock = Stock(form.stock.length, _offcuts(form, tools, runs), "stock" not in form.model_fields_set)
    return Job(
        name=form.job,
        runs=runs,
        things=room.things,
        model_place=room.model_place,
        clearance_mm=form.clearance,
        notes=(*tools.notes, *filter(None, [learned])),
        path=path,
        parameters=parameters,
        kerf_mm=form.kerf,
        stock=stock,
        jig=jig,
        units=form.units,
        language=form.language,
        revision=form.revision,
        drawing=form.drawing.fields(),
        rules=rules,
        choose=form.choose,
        seen_from=form.seen_from,
        hands=hands,
        hands_learned=learned,
        measured=measured,
        openings=openings,
        reach=build_reach(form.reach, openings, len(openings) < len(form.openings) or bool(broken), faults),
    )


def _brought_in(
    form: JobForm, room: Room, runs: tuple[Run, ...], faults: Faults, broken: Set[YamlPath]
) -> tuple[tuple[Opening, ...], tuple[Run, ...]]:
    """Return the openings of a job and its room files, and the runs with what is asked of bringing them in."""
    own = build_openings(form.openings, faults)
    found = {opening.name: opening for opening in reversed((*own, *room.openings))}
    for opening in (*own, *room.openings):
        if found[opening.name] is not opening:
            twice = message("fault.named twice", name=Name(opening.name))
            faults.found.append(Fault(twice, opening.place or BEGINNING))
    check_openings(list(found.values()), room.things, faults)
    openings = tuple(reversed(found.values()))
    lost = len(own) < len(form.openings) or any(path[0] in ("openings", "room") for path in broken)
    asked: list[Run] = []
    for run in runs:
        mine = form.runs[run.name].bring_in
        said = build_bring_in(form.bring_in, mine, run.name, openings, lost, run.tube, faults)
        asked.append(replace(run, bring_in=said))
    check_outside(openings, asked, faults)
    return openings, tuple(asked)


def _hands(form: HandsForm | None, faults: Faults, histories: Histories) -> tuple[Hands | None, Message | None]:
    """Return how well a person bends and what that rests on, with what no hand does noted as a fault."""
    if form is None:
        return None, None
    if form.by is not None and form.file is None:
        faults.at(("hands", "by"), message("hands.by"))
    for name, value, limit, unit in (
        ("mark", form.mark, WORST_HANDS.mark_mm, "mm"),
        ("angle", form.angle, WORST_HANDS.angle_deg, "degrees"),
        ("turn", form.turn, WORST_HANDS.turn_deg, "degrees"),
    ):
        if value > limit:
            faults.at(
                ("hands", name), message("hands.worst", value=Number(value), unit=Word(unit), limit=Number(limit))
            )
    given = Hands(form.mark, form.angle, form.turn)
    if form.file is None or not (found := histories.hands(form.file, form.by, ("hands", "file"))):
        return given, None
    of_file, said = found
    written = [name in form.model_fields_set for name in ("mark", "angle", "turn")]
    return Hands(*(one if own else other for own, one, other in zip(written, given, of_file, strict=True))), said


def _offcuts(form: JobForm, tools: Tools, runs: tuple[Run, ...]) -> tuple[tuple[Tube, tuple[float, ...]], ...]:
    """Return the offcuts by size of tube; a plain list is of the job's tube."""
    given = form.stock.offcuts
    path: YamlPath = ("stock", "offcuts")
    if isinstance(given, dict):
        found = [(tools.tube(size, (*path, size)), tuple(lengths)) for size, lengths in given.items()]
        return tuple((tube, lengths) for tube, lengths in found if tube is not None)
    if not given:
        return ()
    tubes = dict.fromkeys(run.tube for run in runs)
    if form.tube is not None:
        tube = tools.tube(form.tube, ("tube",))
        return () if tube is None else ((tube, tuple(given)),)
    if len(tubes) > 1:
        tools.faults.at(path, message("fault.offcuts by size"))
        return ()
    return tuple((tube, tuple(given)) for tube in tubes)


class _Runs:
    """Builds the runs, which share the job's tube and former unless they name their own."""

    def __init__(
        self,
        form: JobForm,
        faults: Faults,
        tools: Tools,
        benders: Benders,
        room: Room,
        broken: Set[YamlPath],
    ) -> None:
        self.form = form
        self.faults = faults
        self.tools = tools
        self.benders = benders
        self.site = Site(room.things, room.lost, {**room.levels, **form.levels}, form.runs, faults)
        self.broken = broken
        self.misfits = {path[1] for path in broken if path[0] == "runs" and len(path) > 1}

    def build(self) -> tuple[Run, ...]:
        # Looked up even if every run has its own, so that a slip is seen.
        finders: dict[str, Callable[[Any, YamlPath], object]] = {
            "tube": self.tools.tube,
            "former": self.tools.known_former,
            "bender": self.benders.bender,
        }
        for key, find in finders.items():
            if (choice := getattr(self.form, key)) is not None:
                find(choice, (key,))
        items = {name: read_items(form, ("runs", name), self.faults) for name, form in self.form.runs.items()}
        built: dict[str, Run] = {}
        ways: dict[str, Run] = {}
        for name in building_order(self.form.runs, items, {thing.name for thing in self.site.things}, self.faults):
            found = self._run(name, items[name], ways)
            if found is not None:
                built[name], ways[name] = found
        return tuple(built[name] for name in self.form.runs if name in built)

    def _said(self, name: str, key: str) -> tuple[Any, YamlPath]:
        """Return what a run says under a key, or the job where it says nothing; and where that stands."""
        own = getattr(self.form.runs[name], key)
        return (getattr(self.form, key), (key,)) if own is None else (own, ("runs", name, key))

    def _run(self, name: str, items: "Sequence[RouteItem] | None", ways: Mapping[str, Run]) -> tuple[Run, Run] | None:
        """Return a run, and the same with its way as written, before its ends go into their fittings."""
        form, path = self.form.runs[name], ("runs", name)
        tube = self._tube(name)
        former = self._former(name, tube) if tube else None
        if name in self.misfits:
            return None
        if fault := way_fault(form):
            self.faults.at(path, fault)
            return None
        if items is None or tube is None or former is None:
            return None
        own, sound = self._own_formers(path, form, items, tube, former)
        seen_from, _ = self._said(name, "seen_from")
        clips_form, clips_path = self._said(name, "clips")
        route = build_route(form, items, path, self.site, tube, former, own, seen_from, clips_form, ways)
        ends = build_ends(form.ends, form.trim, tube, (*path, "ends"), self.faults)
        if form.ends is not None:
            check_joins(form.ends, name, (*path, "ends"), self.site)
            ends = replace(ends, start=self._in_layers(ends.start), finish=self._in_layers(ends.finish))
        clips = build_clips(clips_form, tube, clips_path, self.site)
        stance, _ = self._said(name, "bender_stands")
        choice, where = self._said(name, "bender")
        bender = None if choice is None else self.benders.bender(choice, where)
        bender = bender.used(stance) if bender else None
        if route is None or not sound:
            return None
        place = self.faults.key_place(path)
        insulation, _ = self._said(name, "insulation")
        accurate = self._said(name, "plan")[0] == "for accuracy"
        given, _ = self._said(name, "temperature")
        warms = None if given is None else Temperatures(given.coldest, given.hottest)
        drawn = Run(name, tube, former, route, place, bender, ends, clips, insulation, warms, stance, accurate)
        return replace(drawn, route=at_tube_ends(route, ends, (*path, "ends"), self.faults)), drawn

    def _in_layers(self, end: Ending) -> Ending:
        """Return an end that joins a layer of a wall as one that joins the wall."""
        wall = next((wall_of(thing) for thing in self.site.things if thing.name == end.joins), end.joins)
        return replace(
            end, joins=wall, layers=tuple(one.name for one in self.site.things if wall and wall_of(one) == wall)
        )

    def _tube(self, name: str) -> Tube | None:
        choice, path = self._said(name, "tube")
        if choice is not None:
            return self.tools.tube(choice, path)
        if ("tube",) not in self.broken and ("runs", name, "tube") not in self.broken:
            self.faults.at(("runs", name), message("fault.run no tube", name=Name(shown(name))))
        return None

    def _former(self, name: str, tube: Tube) -> Former | None:
        choice, path = self._said(name, "former")
        if path == ("former",) and (path in self.broken or ("runs", name, "former") in self.broken):
            return None
        return self.tools.former(choice, tube, path)

    def _own_formers(
        self, path: YamlPath, form: RunForm, items: "Sequence[RouteItem]", tube: Tube, shared: Former
    ) -> tuple[list[Former | None], bool]:
        """Return the own former of each point or item, None for the run's; and whether none of them is at fault."""
        choices: list[tuple[YamlPath, FormerChoice | None]] = [
            ((*path, "points", i, "former"), point.former if isinstance(point, CornerForm) else None)
            for i, point in enumerate(form.points or ())
        ]
        for item, at in zip(items, item_paths(form, items, path), strict=True):
            key = () if at[-1] == "beside" else (item.chosen,)
            choices.append(((*at, *key, "former"), item.own_former))
        own: list[Former | None] = []
        sound = True
        for where, choice in choices:
            former = None if choice is None else self.tools.former(choice, tube, where, own=True)
            sound = sound and (choice is None or former is not None)
            # The run's own, written out again: there is nothing to change.
            own.append(None if former is not None and replace(former, name=shared.name) == shared else former)
        return own, sound


def _check_names(what: str, section: str, faults: Faults) -> None:
    names = faults.spot.names((section,))
    for name in names:
        if fault := name_fault(what, name):
            faults.at_key((section, name), fault)
    if what != "run":
        return
    for name, earlier in same_names(names):
        why = Word("capitals" if file_key(name) == file_key(earlier) else "same")
        said = message("name.same file", name=Name(shown(name)), earlier=Name(shown(earlier)), why=why)
        faults.at_key((section, name), said)
