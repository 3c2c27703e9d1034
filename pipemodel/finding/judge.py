"""A way as the checks judge it: solved like any run, measured exactly, its pulls planned, its clips placed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import ceil

from pipemodel.bending.closure import NotClosedError
from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.schedule import Schedule, SolvedRun, solve_run
from pipemodel.checks.building_rules import building_rules
from pipemodel.checks.clash import clash
from pipemodel.checks.contacts import TOUCH_MM
from pipemodel.checks.fit_values import fits_of
from pipemodel.checks.flat_faces import flat_faces_named, parts_over
from pipemodel.checks.joints import joins
from pipemodel.checks.reach import out_of_reach
from pipemodel.checks.supports import plan_clips
from pipemodel.cutting.whole import must_split
from pipemodel.finding.alongside import asked_beside, beside_mm
from pipemodel.finding.getting_in import gets_in
from pipemodel.finding.new_cuts import MayCut, with_cuts
from pipemodel.finding.room import clip_stands
from pipemodel.finding.values import NearThing, Way
from pipemodel.geometry.distance import Surroundings, self_distances, tube_distance
from pipemodel.geometry.shapes.face import SQUARE
from pipemodel.geometry.vectors import Vec3, dot
from pipemodel.job.find import NewCut
from pipemodel.job.model import Job, Run, Thing
from pipemodel.pulls.plan import plan_pulls

HAIR = 1e-9
MOST_NAMED = 5
"""So much of what a way comes near to is kept."""


@dataclass
class Judge:
    """Judges the ways of a run among the runs that are there already; counts those clear that cannot be pulled."""

    job: Job
    run: Run
    others: Sequence[SolvedRun]
    may_cut: Mapping[str, MayCut] = field(default_factory=dict)
    unpullable: int = 0

    def way(self, corners: Sequence[Vec3]) -> Way | None:
        """Return a way through corners, (n, 3), with all that is known of it; None where they cannot be bent."""
        solved = self._bent(corners)
        return None if solved is None else self.of(solved)

    def _bent(self, corners: Sequence[Vec3]) -> SolvedRun | None:
        route = self.run.route
        found = replace(route, corners=tuple(corners), places=(route.place_of(0),) * len(corners))
        try:
            return solve_run(replace(self.run, route=found))
        except (UnbendableError, NotClosedError):
            return None

    def possible(self, corners: Sequence[Vec3]) -> Way | None:
        """Return a way through corners that is clear, breaks no rule and can be pulled; None of any other."""
        solved = self._bent(corners)
        if solved is None:
            return None
        # What is quickly asked comes first.
        solved = self._far_enough(solved)
        if solved is None:
            return None
        if not plan_pulls(solved).possible:
            self.unpullable += 1
            return None
        way = self.of(solved)
        return way if way.possible else None

    def _far_enough(self, solved: SolvedRun) -> SolvedRun | None:
        """Return a run, with the new cuts it needs, if it is as far from everything as asked for.

        What its ends join is left out.
        """
        line, outside = [solved.centreline], [solved.tube.outside_mm]
        own = self_distances(line, outside)[0]
        apart = self.job.clearance_mm + 2.0 * solved.run.insulation_mm
        if own is not None and own.distance < apart - TOUCH_MM:
            return None
        asked = self._asked
        new: list[NewCut] = []
        for number, nearest in self._around.within(line, outside, max(asked, default=0.0))[0].items():
            name = self._things[number].name
            if joins(solved, name) or nearest.distance >= asked[number] - TOUCH_MM:
                continue
            needed = self.may_cut[name].needed(solved) if name in self.may_cut else None
            if not needed:
                return None
            new += needed
        find = solved.run.route.find
        if not new or find is None:
            return solved
        names = {one.thing for one in new}
        cut = [thing for thing in with_cuts(self._things, new) if thing.name in names]
        room = [self.job.clearance_to(thing) + solved.run.insulation_mm for thing in cut]
        near = Surroundings([thing.shape for thing in cut]).within(line, outside, max(room))[0]
        if any(nearest.distance < room[number] - TOUCH_MM for number, nearest in near.items()):
            return None
        route = replace(solved.run.route, find=find._replace(cuts=tuple(new)))
        return replace(solved, run=replace(solved.run, route=route))

    @cached_property
    def _things(self) -> tuple[Thing, ...]:
        return self.job.things_for(self.run.name)

    @cached_property
    def _around(self) -> Surroundings:
        return Surroundings([thing.shape for thing in self._things])

    @cached_property
    def _asked(self) -> list[float]:
        return [self.job.clearance_to(thing) + self.run.insulation_mm for thing in self._things]

    def of(self, solved: SolvedRun) -> Way:
        """Return a run as a way, judged."""
        alone = self._alone(solved)
        findings, distances = clash(alone, moves=False)
        asked = alone.job.asked_of(solved.run)
        near = [NearThing(one.against, one.distance_mm, asked[one.against]) for one in distances]
        errors = [one for one in findings if one.severity == "error"]
        for other in self.others:
            required = self.job.clearance_mm + solved.run.insulation_mm + other.run.insulation_mm
            apart = tube_distance(
                solved.centreline, solved.tube.outside_mm, other.centreline, other.tube.outside_mm
            ).distance
            near.append(NearThing(other.name, apart, required))
            if apart < required:
                two = replace(self.job, things=(), runs=(solved.run, other.run))
                # What the two are to themselves was asked above, or is not asked here.
                errors += [
                    one for one in clash(Schedule(two, (solved, other)), moves=False)[0] if one.code in ("C101", "C102")
                ]
        clips = plan_clips(solved, alone.job.things)
        fits = fits_of(alone) if self.job.measured is None else ()
        return Way(
            solved,
            plan_pulls(solved),
            tuple(sorted(near, key=lambda one: (one.spare_mm, one.against))[:MOST_NAMED]),
            tuple(dict.fromkeys(one.against or solved.name for one in errors)),
            # Holes that are there already are nobody's; those that are not allowed are closed to the search.
            sum(one.severity == "error" and one.run == solved.name for one in building_rules(alone)),
            None if clips is None else len(clips.clips),
            0 if clips is None else len(clips.unsupported),
            self._joints(solved),
            fits[0].chance.value if fits else None,
            None,
            self._along_faces(solved),
            self._beside(solved),
        )

    def with_way_in(self, way: Way) -> Way:
        """Return a way with whether it can be brought in, and what of it no hand reaches.

        Both are asked of the few ways that are listed, for they take long.
        """
        if way.gets_in is not None or way.out_of_reach is not None:
            return way
        alone = self._alone(way.solved)
        return replace(way, gets_in=gets_in(alone, self.others), out_of_reach=out_of_reach(alone))

    def _alone(self, solved: SolvedRun) -> Schedule:
        """Return the job with this run alone, and all cut that it needs."""
        find = solved.run.route.find
        things = with_cuts(self.job.things, find.cuts if find is not None else ())
        return Schedule(replace(self.job, runs=(solved.run,), things=things), (solved,))

    def _joints(self, solved: SolvedRun) -> int:
        """Return how many joints a run needs at the least: it is cut into no fewer pieces than it is stock long."""
        longest = self.job.stock.longest_mm(solved.tube)
        return max(ceil(solved.cut_length_mm / longest - HAIR) - 1, 0) if must_split(solved, longest) else 0

    def _beside(self, solved: SolvedRun) -> float | None:
        """Return how much of a run lies beside the one that is asked for, if that is there."""
        asked = asked_beside(solved.run, self.others)
        return None if asked is None else beside_mm(solved, *asked)

    def _along_faces(self, solved: SolvedRun) -> float:
        """Return how much of a run lies along the faces it is to be clipped to, at the standoff of its clips."""
        rule = solved.run.clips
        if rule is None:
            return 0.0
        low, high = clip_stands(solved.run)
        faces = flat_faces_named(self.job.things, rule.faces)
        total = 0.0
        for leg in solved.centreline.straights:
            over = [
                b - a
                for face in faces
                if abs(dot(leg.direction, face.normal)) <= SQUARE and low <= face.height_of(leg.start) <= high
                for a, b in parts_over(face, leg, rule.edge_mm)
            ]
            total += max(over, default=0.0)
        return total
