"""The drawings of a job: one of the whole room, one of each run by itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import count

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.datums import places_to_set_out
from pipemodel.checks.penetrations import penetrations
from pipemodel.checks.supports import clip_plans
from pipemodel.drawing.bay_section import Bay, bay_sheet, bays
from pipemodel.drawing.general import general_drawing
from pipemodel.drawing.in_place import in_place, view_in_place
from pipemodel.drawing.joist_view import MOST_SHEETS, AlikeJoists, alike_joists, joist_sheet
from pipemodel.drawing.paper import A3, A4, Paper
from pipemodel.drawing.projection import Solid, Views, key_points, take_views
from pipemodel.drawing.setting_out import setting_out_drawing
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import room_bounds, room_solids, run_solids
from pipemodel.drawing.standing import where_stands
from pipemodel.drawing.storey_plan import has_storey, storey_plan
from pipemodel.drawing.title_block import Titles
from pipemodel.geometry.vectors import Vec3
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.job.drawing_fields import NOTHING_GIVEN, DrawingFields
from pipemodel.job.model import Opening
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.pulls.plan import Plan, plan_pulls
from pipemodel.solids.extent import gap_mm, run_extent
from pipemodel.solids.near import far_words, near_things
from pipemodel.ways_in.moves_in_words import Step
from pipemodel.ways_in.values import WayIn

REACH_MM = 1000.0
"""What is farther than this from a run is not drawn in its place with it."""


@dataclass(frozen=True)
class Drawings:
    """Draws a solved job on sheets of any size; what is seen from each side is worked out once.

    `given` is what the title blocks say besides.
    """

    schedule: Schedule
    units: Units = MM
    given: DrawingFields = NOTHING_GIVEN

    def of_job(self, size: FlatPoint | None = None) -> Sheet:
        """Draw all runs in their room on a sheet of some width and height, mm, or the one that they fill best."""
        job = self.schedule.job
        far = " ".join(far_words(self.schedule, self.units))
        titles = Titles(job.name, words(self.units, "drawing.of job"), self.given, 1, self._sheets, far)
        runs = self.schedule.runs
        bounds = [*room_bounds(self.schedule), *(p for opening in job.openings for p in opening.corners)]
        plan = self._plan(runs[0]) if len(runs) == 1 else None
        return general_drawing(runs, self._room, titles, size, self.units, bounds, plan, job.openings)

    def to_set_out(self, size: FlatPoint | None = None) -> Sheet:
        """Draw where everything of the job is, measured from faces of the room."""
        titles = Titles(self.schedule.job.name, words(self.units, "drawing.setting out"), self.given, 2, self._sheets)
        views = self._room
        bounds = room_bounds(self.schedule)
        clips = [[clip.point for clip in plan.clips] if plan is not None else [] for plan in clip_plans(self.schedule)]
        places = list(places_to_set_out(self.schedule, clips, list(penetrations(self.schedule))))
        return setting_out_drawing(self.schedule, places, views.front, views.plan, bounds, titles, size, self.units)

    def of_runs(self, size: FlatPoint | None = None) -> list[Sheet]:
        """Draw each run by itself, in the order of the job."""
        runs, first = self.schedule.runs, 3
        titles = [
            Titles(run.name, self.schedule.job.name, self.given, number, self._sheets)
            for number, run in enumerate(runs, first)
        ]
        return [
            general_drawing([run], views, title, size, self.units, plan=self._plan(run))
            for run, views, title in zip(self.schedule.runs, self._alone, titles, strict=True)
        ]

    def of_run_in_place(self, number: int, clashes: Sequence[tuple[str, Vec3]]) -> Sheet:
        """Draw a run, counted from 0, in its place among what is near it; see `in_place`."""
        run = self.schedule.runs[number]
        extent = run_extent(run)
        near = {name for name, ends in self._bounds.items() if not ends or gap_mm(ends[0], ends[1], extent) <= REACH_MM}
        view = view_in_place(self.schedule, [run])
        return in_place(run, view, [solid for solid in self._things if solid.thing in near], clashes, self.units)

    def of_building(self, wrong: Sequence[tuple[str, Vec3]], figures: bool = False) -> list[tuple[str, Sheet]]:
        """Draw the storey, the bays and the joists that the runs go through, each with a name for its file.

        Args:
            wrong: what is wrong, each by a name, at a point of the room.
            figures: for a page, with no frames.
        """
        job, numbers = self.schedule.job, count(3 + len(self.schedule.runs))

        def titled(title: str) -> Titles:
            return Titles(title, job.name, self.given, next(numbers), self._sheets)

        papers = [Paper()] if figures else [Paper(A4, titled), Paper(A3, titled)]
        paper = papers[0]
        sheets: list[tuple[str, Sheet]] = []
        if has_storey(self.schedule):
            sheets.append(("plan", storey_plan(self.schedule, wrong, papers, self.units)))
        for n, bay in enumerate(self._bays, 1):
            sheets.append((f"bay-{n}", bay_sheet(bay, paper, self.units)))
        for n, joists in enumerate(self._joists, 1):
            sheets.append((f"joists-{n}", joist_sheet(joists, job.rules, paper, self.units)))
        return sheets

    def of_way_in(
        self, run: SolvedRun, way: WayIn, steps: Sequence[Step], opening: Opening | None
    ) -> tuple[Sheet, ...]:
        """Draw a way in as rows of frames; see `way_in_sheets`."""
        from pipemodel.drawing.frames import way_in_sheets

        there = run_solids([one for one in self.schedule.runs if one.name in way.past])
        stands = where_stands(self.schedule)
        return tuple(way_in_sheets(run, way, steps, opening, self._things, there, stands, self.units))

    def way_seen_from(self, run: SolvedRun, way: WayIn, opening: Opening | None) -> View:
        """Return from where a way in is shown, on paper and on the screen."""
        from pipemodel.drawing.frames import seen_from

        return seen_from(run, way, opening, where_stands(self.schedule))

    @property
    def _sheets(self) -> int:
        """How many sheets there are: the job's own, one for each run, and those of storey, bays and joists."""
        building = has_storey(self.schedule) + len(self._bays) + len(self._joists)
        return 2 + len(self.schedule.runs) + building

    @cached_property
    def _bays(self) -> list[Bay]:
        return bays(self.schedule)

    @cached_property
    def _joists(self) -> list[AlikeJoists]:
        return alike_joists(self.schedule)[:MOST_SHEETS]

    def _plan(self, run: SolvedRun) -> Plan | None:
        """Return how a run is pulled in one piece, None where it is jointed."""
        whole = run.cut_length_mm <= self.schedule.job.stock.longest_mm(run.tube)
        return plan_pulls(run) if whole else None

    @cached_property
    def _bounds(self) -> dict[str, tuple[Vec3, ...]]:
        return {thing.name: thing.shape.bounds() for thing in near_things(self.schedule)}

    @cached_property
    def _things(self) -> list[Solid]:
        return room_solids(self.schedule)

    @cached_property
    def _room(self) -> Views:
        runs = self.schedule.runs
        return take_views([*run_solids(runs), *self._things], key_points(runs), where_stands(self.schedule))

    @cached_property
    def _alone(self) -> list[Views]:
        stands = where_stands(self.schedule)
        return [take_views(run_solids([run]), key_points([run]), stands) for run in self.schedule.runs]
