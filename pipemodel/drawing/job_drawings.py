"""The drawings of a job: one of the whole room, one of each run by itself."""

from dataclasses import dataclass
from functools import cached_property

from pipemodel.bending.schedule import Schedule
from pipemodel.drawing.general import A3, Titles, general_drawing
from pipemodel.drawing.primitives import Point
from pipemodel.drawing.projection import Views, key_points, take_views
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import room_bounds, room_solids, run_solids
from pipemodel.wording.units import MM, Units


@dataclass(frozen=True)
class Drawings:
    """Draws a solved job on sheets of any size; what is seen from each side is worked out once.

    `state` tells which state of the job it is, for the title blocks.
    """

    schedule: Schedule
    units: Units = MM
    state: str = ""

    def of_job(self, size: Point = A3) -> Sheet:
        """Draw all runs in their room on a sheet of some width and height, mm."""
        job = self.schedule.job
        titles = Titles(job.name, "plan, elevations and isometric", self.state)
        return general_drawing(self.schedule.runs, self._room, titles, size, self.units, room_bounds(self.schedule))

    def of_runs(self, size: Point = A3) -> list[Sheet]:
        """Draw each run by itself, in the order of the job."""
        titles = [Titles(run.name, self.schedule.job.name, self.state) for run in self.schedule.runs]
        return [
            general_drawing([run], views, title, size, self.units)
            for run, views, title in zip(self.schedule.runs, self._alone, titles, strict=True)
        ]

    @cached_property
    def _room(self) -> Views:
        runs = self.schedule.runs
        return take_views([*run_solids(runs), *room_solids(self.schedule)], key_points(runs))

    @cached_property
    def _alone(self) -> list[Views]:
        return [take_views(run_solids([run]), key_points([run])) for run in self.schedule.runs]
