"""Where a run is connected to a thing or another run: there it touches, and is bare of insulation, and must be so.

Along the run from a connected end, what lies in the thing and a little beyond its surface is not judged against that
thing: twice the distance asked for and the tube's diameter, enough to leave the surface at 30 degrees or more.
"""

from collections.abc import Iterator

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.contacts import TOUCH_MM, Zone
from pipemodel.checks.findings import Finding
from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.geometry.contact import near_places
from pipemodel.geometry.distance.obstacle import MeasuredObstacle
from pipemodel.geometry.vectors import along, scale
from pipemodel.messages.values import Length, Name, Word, message

CHECK = "clash"
REACHES_MM = 5.0
"""An end this near to what it joins counts as there. Common practice, no source."""
_STUB_MM = 0.01


def joins(solved: SolvedRun, name: str) -> bool:
    """Tell whether an end of a run is connected to something."""
    return any(end.joined_to(name) for end in (solved.run.ends.start, solved.run.ends.finish))


def judged_part(solved: SolvedRun, name: str, obstacle: MeasuredObstacle, required: float) -> tuple[float, float]:
    """Return from where to where along a run it is judged against something it may be connected to; mm."""
    ends, line = solved.run.ends, solved.centreline
    low, high = 0.0, line.length
    if not joins(solved, name):
        return low, high
    beyond = 2.0 * max(required, 0.0) + solved.tube.outside_mm
    within = near_places(line, obstacle.field, 0.0, obstacle.slow)
    if ends.start.joined_to(name):
        leaves = within[0][1] if within and within[0][0] <= TOUCH_MM else 0.0
        low = max(leaves, ends.start.depth_mm) + beyond
    if ends.finish.joined_to(name):
        enters = within[-1][0] if within and within[-1][1] >= line.length - TOUCH_MM else line.length
        high = min(enters, line.length - ends.finish.depth_mm) - beyond
    return low, high


def zones_of(solved: SolvedRun, low: float, high: float, bare_mm: float, insulation_mm: float) -> list[Zone]:
    """Return a part of a run by what is asked for: with its own insulation round it, and without at bare ends.

    Args:
        solved: the run.
        low: where the part begins along the run.
        high: where it ends.
        bare_mm: what is asked for besides the run's own insulation.
        insulation_mm: how much of that is the insulation of the other run.
    """
    thick = solved.run.insulation_mm
    return [
        Zone(a, b, bare_mm + (thick if lagged else 0.0), insulation_mm + (thick if lagged else 0.0))
        for a, b, lagged in lagged_parts(solved, low, high)
    ]


def lagged_parts(solved: SolvedRun, low: float, high: float) -> Iterator[tuple[float, float, bool]]:
    """Yield a part of a run cut where its insulation begins and ends, and whether there is insulation round it."""
    ends, whole = solved.run.ends, solved.centreline.length
    bare = (ends.start.bare_mm, whole - ends.finish.bare_mm) if solved.run.insulation_mm else (0.0, whole)
    if bare[0] >= bare[1]:
        bare = (whole, whole)
    for a, b, lagged in ((0.0, bare[0], False), (*bare, True), (bare[1], whole, False)):
        a, b = max(a, low), min(b, high)
        if b - a > _STUB_MM:
            yield a, b, lagged


def not_reached(solved: SolvedRun, name: str, obstacle: MeasuredObstacle) -> Iterator[Finding]:
    """Yield a finding for each end of a run that is to be connected to something and ends short of it."""
    ends, line = solved.run.ends, solved.centreline
    facing = line.direction_at(line.length)
    for end, ending, at, way in (
        ("start", ends.start, 0.0, scale(line.direction_at(0.0), -1.0)),
        ("finish", ends.finish, line.length, facing),
    ):
        if not ending.joined_to(name):
            continue
        stub = Centreline((Straight(along(line.point_at(at), way, -_STUB_MM), way, _STUB_MM),))
        gap = obstacle.measure(stub, solved.tube.outside_mm).distance
        fitting = ending.fitting
        reach = max(REACHES_MM, (fitting.centre_to_stop_mm or 0.0) if fitting else 0.0)
        if gap > reach:
            said = message(
                "clash.not reached", run=Name(solved.name), end=Word(end), other=Name(name), gap=Length(gap, ".1f")
            )
            yield Finding("C107", CHECK, "warning", said, solved.name, name, gap, 0.0, at, line.point_at(at))
