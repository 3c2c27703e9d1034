"""Does a run clash: with a thing in the room, with another run, or with itself.

Distances run from the outside of the tube, flat ends and all, to the thing's surface. Below zero they say how
deep: how far the axis lies beyond the point where the tube just touches, and at a flat end how deep its rim
lies. To a half space that is exactly how far the tube must move. What is asked for is the clearance, and on top of
it the insulation round a run, which has to fit in between.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.clash_words import asked_of, clashes, move_of, zone_broken
from pipemodel.checks.contacts import (
    TOUCH_MM,
    Searched,
    Zone,
    contact_at,
    contacts_with,
    way_out,
    without_doubles,
)
from pipemodel.checks.findings import Contact, Distance, Finding
from pipemodel.checks.joints import joins, judged_part, lagged_parts, not_reached, zones_of
from pipemodel.checks.layers import in_layers, wall_in_layers
from pipemodel.checks.pair_distances import PairDistance, left_out, most_between_runs, to_runs, to_things, tubes_of
from pipemodel.checks.penetrations import penetrations
from pipemodel.checks.place_words import where_on
from pipemodel.checks.sleeves import in_sleeve
from pipemodel.geometry.centreline import cut_out
from pipemodel.geometry.distance import Nearest, self_distances, surroundings_of
from pipemodel.geometry.distance.obstacle import MeasuredObstacle, obstacle_of, obstacle_of_tube
from pipemodel.geometry.vectors import scale
from pipemodel.job.model import Thing
from pipemodel.messages.values import Length, Message, Name, Near, message

CHECK = "clash"
_CODES = {"void": "C109", "kept free": "C110"}


def clash(schedule: Schedule, moves: bool = True) -> tuple[tuple[Finding, ...], tuple[Distance, ...]]:
    """Measure every run of a solved job against every thing, every other run and itself.

    The mesh files in the room must have been read.

    Args:
        schedule: the job.
        moves: look for the move that clears each place; the dearest part, for whoever reads the findings' words.

    Returns:
        The findings, and the least distances: for each run to every thing and to every other run, but for those far off
        where there are very many.
    """
    findings: list[Finding] = []
    distances: list[Distance] = []
    things = to_things(schedule)
    runs = to_runs(schedule)
    judge = _Judge(schedule, moves)
    for number, solved in enumerate(schedule.runs):
        for row in (*judge.by_wall(solved, things[number]), *runs[number]):
            nearest = row.nearest
            distances.append(Distance(solved.name, row.against, nearest.distance, nearest.at, nearest.point))
            if row.once and nearest.distance + TOUCH_MM < max(row.required, 0.0):
                findings += judge.too_near(solved, row)
            if row.once and nearest.distance > 0.0:
                findings += judge.unconnected(solved, row)
    findings += _selves(schedule)
    findings += _notes(schedule)
    return tuple(findings), tuple(distances)


class _Judge:
    """Finds every place at which a run is too near to something, connected ends left out."""

    def __init__(self, schedule: Schedule, moves: bool) -> None:
        self.schedule, self.job = schedule, schedule.job
        self.searched = Searched() if moves else None
        self.obstacles: dict[str, MeasuredObstacle] = {}
        self.around = surroundings_of(tuple(thing.shape for thing in self.job.things))
        self.numbers = {thing.name: number for number, thing in enumerate(self.job.things)}
        chased = (parts for parts in in_layers(self.job.things) if len(parts) > 1)
        self.layers = {layer.name: parts for parts in chased for layer in parts}

    def by_wall(self, solved: SolvedRun, rows: Sequence[PairDistance]) -> Iterator[PairDistance]:
        """Yield what stands between a run and each thing, a wall with chases as one.

        It is as near as its nearest layer; one that is nearer than asked for is measured whole.
        """
        walls: dict[str, list[PairDistance]] = {}
        for row in rows:
            layers = self.layers.get(row.against)
            walls.setdefault(row.against if layers is None else layers[0].name, []).append(row)
        for name, of in walls.items():
            row = min(of, key=lambda one: one.nearest.distance)
            if name in self.layers:
                wall, nearest = self.layers[name][0], row.nearest
                if nearest.distance + TOUCH_MM < max(row.required, 0.0):
                    nearest = self._obstacle(wall).measure(solved.centreline, solved.tube.outside_mm)
                row = PairDistance(name, wall, row.required, nearest, True)
            yield row

    def too_near(self, solved: SolvedRun, row: PairDistance) -> list[Finding]:
        """Return a finding with every place, or none where a run only touches what it is connected to."""
        if isinstance(row.other, Thing):
            contacts = self._with_thing(solved, row.other, row.nearest)
        else:
            contacts = self._with_run(solved, row.other, row.nearest)
        if not contacts:
            return []
        worst = min(contacts, key=lambda c: c.distance_mm)
        other = row.other
        if isinstance(other, Thing) and other.role != "solid":
            code, said = _CODES[other.role], zone_broken(solved, other, worst, len(contacts))
        else:
            code = "C101" if worst.distance_mm < -TOUCH_MM else "C102"
            said = clashes(solved, row.against, contacts)
        return [_finding(code, said, solved, row.against, contacts, worst)]

    def unconnected(self, solved: SolvedRun, row: PairDistance) -> list[Finding]:
        """Return a finding for each end that is to join what it does not reach."""
        found: list[Finding] = []
        if joins(solved, row.against):
            found += not_reached(solved, row.against, self._obstacle(row.other))
        if isinstance(row.other, SolvedRun) and joins(row.other, solved.name):
            found += not_reached(row.other, solved.name, self._obstacle(solved))
        return found

    def _obstacle(self, other: Thing | SolvedRun) -> MeasuredObstacle:
        if isinstance(other, SolvedRun):
            return obstacle_of_tube(other.centreline, other.tube.outside_mm)
        if other.name not in self.obstacles:
            layers = self.layers.get(other.name)
            number = self.numbers[other.name]
            self.obstacles[other.name] = (
                obstacle_of(other.shape, number, self.around) if layers is None else wall_in_layers(layers)
            )
        return self.obstacles[other.name]

    def _with_thing(self, solved: SolvedRun, thing: Thing, nearest: Nearest) -> list[Contact]:
        obstacle, clearance = self._obstacle(thing), self.job.clearance_to(thing)
        low, high = judged_part(solved, thing.name, obstacle, clearance + solved.run.insulation_mm)
        zones = zones_of(solved, low, high, clearance, 0.0)
        solid = thing.shape.closed and thing.shape.facing is None
        whole = len(zones) == 1 and not joins(solved, thing.name) and _is_whole(solved, zones[0].low, zones[0].high)
        known, aside = nearest if whole else None, in_sleeve(solved, thing, self.job)
        contacts = contacts_with(solved, obstacle, zones, solid, self.searched, known, aside)
        return contacts if self.searched is None else [self._in_a_hole(solved, thing, one) for one in contacts]

    def _in_a_hole(self, solved: SolvedRun, thing: Thing, contact: Contact) -> Contact:
        """Return a contact with what a hole that is there and too small would have to be."""
        for hole in penetrations(self.schedule):
            small = hole.drawn_mm is not None and hole.drawn_mm < hole.least_mm
            near = abs(hole.at_mm - contact.at_mm) < hole.thick_mm
            if (hole.run, hole.thing) == (solved.name, thing.name) and small and near:
                return replace(contact, wider_mm=hole.least_mm)
        return contact

    def _with_run(self, solved: SolvedRun, other: SolvedRun, nearest: Nearest) -> list[Contact]:
        thick = other.run.insulation_mm
        most = self.job.clearance_mm + thick + solved.run.insulation_mm
        its_low, its_high = judged_part(other, solved.name, self._obstacle(solved), most)
        low, high = judged_part(solved, other.name, self._obstacle(other), most)
        contacts: list[Contact] = []
        for a, b, lagged in lagged_parts(other, its_low, its_high):
            whole = _is_whole(other, a, b)
            line = other.centreline if whole else cut_out(other.centreline, a, b)
            round_it = thick if lagged else 0.0
            zones = zones_of(solved, low, high, self.job.clearance_mm + round_it, round_it)
            whole = whole and len(zones) == 1 and _is_whole(solved, zones[0].low, zones[0].high)
            obstacle = obstacle_of_tube(line, other.tube.outside_mm)
            contacts += contacts_with(solved, obstacle, zones, False, self.searched, nearest if whole else None)
        return without_doubles(contacts)


def _is_whole(solved: SolvedRun, low: float, high: float) -> bool:
    return low <= 0.0 and high >= solved.centreline.length


def _selves(schedule: Schedule) -> list[Finding]:
    findings: list[Finding] = []
    for solved, nearest in zip(
        schedule.runs, self_distances(*tubes_of(schedule), most_between_runs(schedule)), strict=True
    ):
        thick = 2.0 * solved.run.insulation_mm
        required = schedule.job.clearance_mm + thick
        if nearest is None or nearest.distance + TOUCH_MM >= max(required, 0.0):
            continue
        contact = _self_contact(solved, nearest, required, thick)
        deep = nearest.distance < -TOUCH_MM
        said = message(
            "clash.overlap itself" if deep else "clash.near itself",
            run=Name(solved.name),
            near=Near(-nearest.distance) if deep else Near(nearest.distance, required),
            where=where_on(solved, nearest.at),
            asked=asked_of(contact),
            part=contact.part,
            move=move_of(contact.move or (0.0, 0.0, 0.0)),
        )
        findings.append(_finding("C103", said, solved, solved.name, [contact], contact))
    return findings


def _finding(
    code: str, said: Message, solved: SolvedRun, against: str, contacts: Sequence[Contact], worst: Contact
) -> Finding:
    at = worst.distance_mm, worst.required_mm, worst.at_mm, worst.point
    return Finding(code, CHECK, "error", said, solved.name, against, *at, contacts=tuple(contacts))


def _self_contact(solved: SolvedRun, nearest: Nearest, required: float, thick: float) -> Contact:
    """Return the place where a run is nearest to itself; only its own piece there is meant to be moved."""
    line = solved.centreline
    move = scale(way_out(line, nearest), max(required, 0.0) - nearest.distance)
    i, _ = line.locate(nearest.at)
    low, high = line.offsets[i : i + 2]
    return contact_at(solved, nearest, Zone(low, high, required, thick), move, (low, high))


def _notes(schedule: Schedule) -> list[Finding]:
    notes: list[tuple[str, Message, str | None]] = []
    for thing in schedule.job.things:
        shape = thing.shape
        if not shape.closed:
            notes.append(("C104", message("clash.open mesh", thing=Name(thing.name)), thing.name))
        if shape.flats_mm > 0.0:
            said = message("clash.flats", thing=Name(thing.name), off=Length(shape.flats_mm))
            notes.append(("C105", said, thing.name))
    notes += [(code, said, None) for code, said in left_out(schedule)]
    return [Finding(code, CHECK, "note", said, against=against) for code, said, against in notes]
