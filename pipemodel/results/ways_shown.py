"""The ways in of a job as every paper shows them: each with its run, the opening it goes through and its words."""

from dataclasses import dataclass

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Opening
from pipemodel.ways_in.moves_in_words import InWords
from pipemodel.ways_in.sprung_words import way_in_words
from pipemodel.ways_in.values import WayIn


@dataclass(frozen=True)
class WayShown:
    """A run's way in; `words` is None where no way was found."""

    solved: SolvedRun
    way: WayIn
    opening: Opening | None
    words: InWords | None


def ways_shown(schedule: Schedule, ways: tuple[WayIn, ...]) -> tuple[WayShown, ...]:
    """Return the ways in of a job with what is shown of them."""
    runs = {solved.name: solved for solved in schedule.runs}
    openings = {opening.name: opening for opening in schedule.job.openings}
    walls = _walls(schedule)
    out = []
    for way in ways:
        solved, opening = runs[way.run], openings.get(way.opening or "")
        words = way_in_words(solved.centreline, way, opening, walls) if way.found else None
        out.append(WayShown(solved, way, opening, words))
    return tuple(out)


def _walls(schedule: Schedule) -> dict[str, Vec3]:
    """The upright faces without end that a piece may turn towards, by name."""
    facing = {thing.name: thing.shape.facing for thing in schedule.job.things}
    return {name: way for name, way in facing.items() if way is not None and abs(way[2]) < 0.5}
