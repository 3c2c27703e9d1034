"""The drawings of a job: one of the whole room, one of each run by itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import count

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.datums import datums, places_to_set_out
from pipemodel.checks.penetrations import penetrations
from pipemodel.checks.supports import clip_plans
from pipemodel.drawing.bay_section import Bay, bay_sheet, bays
from pipemodel.drawing.general import MOST_DIMENSIONED, GeneralPlan, draw_general, plan_general
from pipemodel.drawing.in_place import in_place, view_in_place
from pipemodel.drawing.interrupted import interrupted
from pipemodel.drawing.joist_view import MOST_SHEETS, AlikeJoists, alike_joists, joist_sheet
from pipemodel.drawing.layout import SHEETS
from pipemodel.drawing.paper import Paper
from pipemodel.drawing.projection import Seen, Views, key_points, section, take_views, turned_views
from pipemodel.drawing.setting_out import SettingOut, draw_setting_out, plan_setting_out
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import near_solids, room_bounds, room_solids, run_solids
from pipemodel.drawing.standing import where_stands
from pipemodel.drawing.storey_plan import has_storey, storey_plan
from pipemodel.drawing.title_block import Titled, Titles
from pipemodel.geometry.vectors import EAST, Vec3
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.job.drawing_fields import NOTHING_GIVEN, DrawingFields
from pipemodel.job.model import Opening
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.pulls.plan import Plan, plan_pulls
from pipemodel.solids.near import far_words
from pipemodel.ways_in.moves_in_words import Step
from pipemodel.ways_in.values import WayIn


@dataclass(frozen=True)
class Drawings:
    """Draws a solved job on sheets of any size; what is seen from each side is worked out once.

    `given` is what the title blocks say besides, `sheets` what there is to draw on (`layout.SHEETS`).
    """

    schedule: Schedule
    units: Units = MM
    given: DrawingFields = NOTHING_GIVEN
    sheets: Sequence[FlatPoint] = SHEETS

    def of_job(self, size: FlatPoint | None = None) -> Sheet:
        """Draw all runs in their room on a sheet of some width and height, mm, or the one that they fill best."""
        return self._job_sheets(self._general(self._sizes(size), 1), self._titled(1))[0]

    def to_set_out(self, size: FlatPoint | None = None) -> Sheet:
        """Draw where everything of the job is, measured from faces of the room; `size` as for `of_job`."""
        return self._sheets_to_set_out(self._setting_out(self._sizes(size), 1), self._titled(2))[0]

    def of_runs(self, size: FlatPoint | None = None) -> list[Sheet]:
        """Draw each run by itself, in the order of the job."""
        titled, sheets = self._titled(3), list[Sheet]()
        for run, views in zip(self.schedule.runs, self._alone, strict=True):
            made = plan_general([run], views, self._sizes(size), 1, self.units, plan=self._plan(run))
            sheets += map(interrupted, draw_general(made, [titled(run.name, self.schedule.job.name)], self.units))
        return sheets

    def for_fitter(self, paper: FlatPoint, wrong: Sequence[tuple[str, Vec3]]) -> list[Sheet]:
        """Draw what the fitter's pack has: the job and where all is, on more sheets where one shows little, and bays.

        Args:
            paper: width and height of the pack's sheets, mm, upright; of many runs there is more to read than goes on
                one, and they are drawn on a larger sheet.
            wrong: what is wrong, each by a name, at a point of the room.
        """
        few = len(self.schedule.runs) <= MOST_DIMENSIONED
        sizes = (paper[::-1], paper) if few else self.sheets[2:3]
        general, setting_out = self._general(sizes, 2), self._setting_out(sizes, 2)
        titled = self._titled(1, len(general.fits) + len(setting_out.fits) + self._of_building)
        sheets = self._job_sheets(general, titled) + self._sheets_to_set_out(setting_out, titled)
        return sheets + [sheet for _, sheet in self._building(wrong, titled, sizes if few else self.sheets[:3])]

    def of_run_in_place(self, number: int, clashes: Sequence[tuple[str, Vec3]]) -> Sheet:
        """Draw a run, counted from 0, in its place among what is near it; see `in_place`."""
        run = self.schedule.runs[number]
        view = view_in_place(self.schedule, [run])
        return in_place(run, view, near_solids(self.schedule, run), clashes, self.units)

    def of_building(self, wrong: Sequence[tuple[str, Vec3]], figures: bool = False) -> list[tuple[str, Sheet]]:
        """Draw the storey, the bays and the joists that the runs go through, each with a name for its file.

        Args:
            wrong: what is wrong, each by a name, at a point of the room.
            figures: for a page, with no frames.
        """
        return self._building(wrong, None if figures else self._titled(3 + len(self.schedule.runs)))

    def _building(
        self, wrong: Sequence[tuple[str, Vec3]], titled: Titled | None, of_storey: Sequence[FlatPoint] = ()
    ) -> list[tuple[str, Sheet]]:
        sizes = self.sheets[:1], self.sheets[:2], of_storey or self.sheets[:3]
        flat, either, large = (Paper(sizes, titled) for sizes in sizes)
        sheets: list[tuple[str, Sheet]] = []
        if has_storey(self.schedule):
            sheets.append(("plan", storey_plan(self.schedule, wrong, large, self.units)))
        for n, bay in enumerate(self._bays, 1):
            sheets.append((f"bay-{n}", bay_sheet(bay, either, self.units)))
        for n, joists in enumerate(self._joists, 1):
            sheets.append((f"joists-{n}", joist_sheet(joists, self.schedule.job.rules, flat, self.units)))
        return [(name, interrupted(sheet)) for name, sheet in sheets]

    def of_way_in(
        self, run: SolvedRun, way: WayIn, steps: Sequence[Step], opening: Opening | None
    ) -> tuple[Sheet, ...]:
        """Draw a way in as rows of frames; see `way_in_sheets`."""
        from pipemodel.drawing.frames import way_in_sheets

        there = run_solids([one for one in self.schedule.runs if one.name in way.past])
        stands = where_stands(self.schedule)
        return tuple(way_in_sheets(run, way, steps, opening, room_solids(self.schedule), there, stands, self.units))

    def way_seen_from(self, run: SolvedRun, way: WayIn, opening: Opening | None) -> View:
        """Return from where a way in is shown, on paper and on the screen."""
        from pipemodel.drawing.frames import seen_from

        return seen_from(run, way, opening, where_stands(self.schedule))

    def _sizes(self, size: FlatPoint | None) -> Sequence[FlatPoint]:
        return (size,) if size else self.sheets

    @property
    def _of_building(self) -> int:
        """How many sheets there are of storey, bays and joists."""
        return has_storey(self.schedule) + len(self._bays) + len(self._joists)

    def _titled(self, first: int, sheets: int = 0) -> Titled:
        """Return what numbers sheets from a first one on, of so many, or of all: the job's own, the runs', these."""
        numbers, of = count(first), sheets or 2 + len(self.schedule.runs) + self._of_building

        def titled(title: str, drawn: str = "", note: str = "") -> Titles:
            return Titles(title, drawn or self.schedule.job.name, self.given, next(numbers), of, note)

        return titled

    def _general(self, sizes: Sequence[FlatPoint], most: int) -> GeneralPlan:
        job, runs = self.schedule.job, self.schedule.runs
        bounds = [*room_bounds(self.schedule), *(p for opening in job.openings for p in opening.corners)]
        plan = self._plan(runs[0]) if len(runs) == 1 else None
        return plan_general(runs, self._room, sizes, most, self.units, bounds, plan, job.openings)

    def _job_sheets(self, made: GeneralPlan, titled: Titled) -> list[Sheet]:
        far, of_job = " ".join(far_words(self.schedule, self.units)), words(self.units, "drawing.of job")
        titles = [titled(self.schedule.job.name, of_job, far) for _ in made.fits]
        return [interrupted(sheet) for sheet in draw_general(made, titles, self.units)]

    def _setting_out(self, sizes: Sequence[FlatPoint], most: int) -> SettingOut:
        clips = [[clip.point for clip in plan.clips] if plan is not None else [] for plan in clip_plans(self.schedule)]
        places = list(places_to_set_out(self.schedule, clips, penetrations(self.schedule)))
        return plan_setting_out(
            self.schedule, places, self._set_out_in, room_bounds(self.schedule), sizes, most, self.units
        )

    def _sheets_to_set_out(self, made: SettingOut, titled: Titled) -> list[Sheet]:
        said = words(self.units, "drawing.setting out")
        titles = [titled(self.schedule.job.name, said) for _ in made.fits]
        return [interrupted(sheet) for sheet in draw_setting_out(made, titles, self.units)]

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
    def _room(self) -> Views:
        runs = self.schedule.runs
        return take_views(
            [*run_solids(runs), *room_solids(self.schedule)], key_points(runs), where_stands(self.schedule)
        )

    @cached_property
    def _set_out_in(self) -> tuple[Seen, Seen]:
        """Elevation and plan along the ways that everything is measured in."""
        runs, east = self.schedule.runs, datums(self.schedule)[0].axis
        if east == EAST:
            return self._room.front, self._room.plan
        views, solids = (
            turned_views(east, where_stands(self.schedule)),
            [*run_solids(runs), *room_solids(self.schedule)],
        )
        front, plan = (section(view, solids, key_points(runs)[0]) for view in views)
        return front, plan

    @cached_property
    def _alone(self) -> list[Views]:
        stands = where_stands(self.schedule)
        return [take_views(run_solids([run]), key_points([run]), stands) for run in self.schedule.runs]
