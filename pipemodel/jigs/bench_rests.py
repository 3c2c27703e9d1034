"""Rests for the bender's bench: what holds a piece already bent at its turn before the next pull, and an end stop.

Once the bender stands on its bench and the tube lies in it, the nearest leg already bent has one height over the bench
at one distance from its bend: a post of that length with a printed cap under it sets the roll, and holds it while both
hands pull. Where the held side is straight still, a block at the tube's end sets the mark.
"""

from dataclasses import dataclass
from math import asin, cos, degrees, sin, tan

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.vectors import Vec3, along
from pipemodel.jigs.towers import LEAST_POST_MM, MOST_POST_MM
from pipemodel.job.jig import JigSettings
from pipemodel.pulls.bender_frame import sides_of
from pipemodel.pulls.limits import FlatTube
from pipemodel.pulls.plan import Pull, plan_pulls
from pipemodel.pulls.stance import seen

CAP_FLOOR_MM, CAP_DEEP_MM = 6.0, 10.0
"""Plastic under the tube in a cap, and how much of the tube lies in it."""
NEAREST_MM, FARTHEST_MM = 60.0, 400.0
"""A rest nearer to its bend sets the turn too coarsely; one farther off is in the way (common practice, no source)."""
STEEPEST_DEG = 70.0
"""A leg steeper than this lies in no cap: a level held against it does."""
LEAST_ASIDE_MM = 30.0
"""A rest nearer to the plane straight over the tube would let it roll by a degree unseen."""
HEIGHT_MM = 0.5
"""How true a post is cut and set."""
STEP_MM = 0.05


@dataclass(frozen=True)
class Rest:
    """One rest: before pull `pull`, under the leg beyond bend `bend`.

    `from_bend_mm` is along that leg from where the bend ends; `along_mm` and `aside_mm` say where the post stands on
    the bench, from where the pull's bend begins: to the right, towards the free end, and away from whoever pulls.
    `height_mm` is of the tube's axis over the bench, `post_mm` what the post is cut to. `finds_deg` is the turn that
    half a millimetre of height makes.
    """

    pull: int
    bend: int
    from_bend_mm: float
    along_mm: float
    aside_mm: float
    height_mm: float
    post_mm: float
    finds_deg: float


@dataclass(frozen=True)
class EndStop:
    """A block against the tube's end before a pull, so far from where the bend begins, towards the stop."""

    pull: int
    end: str
    from_bend_mm: float


@dataclass(frozen=True)
class BenchRests:
    """Rests and end stops of a run's pulls, and the pulls that have a leg bent already and no rest for it."""

    rests: tuple[Rest, ...]
    stops: tuple[EndStop, ...]
    without: tuple[int, ...]


def bench_rests(solved: SolvedRun, settings: JigSettings) -> BenchRests | None:
    """Return the rests for the bench, None where the job does not say how far the bench lies below the tube."""
    if settings.bench_mm is None:
        return None
    rests: list[Rest] = []
    stops: list[EndStop] = []
    without: list[int] = []
    for pull in plan_pulls(solved).pulls:
        kept, free = sides_of(solved.table.bends, FlatTube.of(solved), pull)
        if not kept.bent:
            stops.append(EndStop(pull.number, pull.held, kept.length))
        if not pull.made:
            continue
        side = kept if kept.bent else free
        leg = side.pieces[2]
        assert isinstance(leg, Straight)
        rest = _rest(solved, pull, leg, settings.bench_mm, towards_start=(side is kept) == (pull.held == "start"))
        if rest:
            rests.append(rest)
        else:
            without.append(pull.number)
    return BenchRests(tuple(rests), tuple(stops), tuple(without))


def _rest(solved: SolvedRun, pull: Pull, leg: Straight, bench: float, towards_start: bool) -> Rest | None:
    """Return the rest under a leg: where its post is a whole mm long, as far from the bend as may be."""
    radius, bend_radius = solved.tube.outside_mm / 2.0, solved.table.bends[pull.bend - 1].radius_mm

    def seen_from_tube(p: Vec3) -> Vec3:
        """From where the bend begins: to the right, away from whoever pulls, and up."""
        return seen(solved.run.stance, (p[0], p[1] - bend_radius, p[2]))

    slope = asin(max(-1.0, min(1.0, seen(solved.run.stance, leg.direction)[2])))
    low, high = NEAREST_MM, min(FARTHEST_MM, leg.length - CAP_DEEP_MM)
    if abs(degrees(slope)) > STEEPEST_DEG or high < low:
        return None
    cap = CAP_FLOOR_MM + radius / cos(slope) + CAP_DEEP_MM / 2.0 * tan(abs(slope))
    at = np.arange(high, low - 1e-9, -STEP_MM)
    posts = bench + seen_from_tube(leg.start)[2] + at * sin(slope) - cap
    aside = seen_from_tube(leg.start)[1] + at * seen(solved.run.stance, leg.direction)[1]
    serves = (posts >= LEAST_POST_MM) & (posts <= MOST_POST_MM) & (np.abs(aside) >= LEAST_ASIDE_MM)
    if not serves.any():
        return None
    off = np.where(serves, np.abs(posts - np.round(posts)), np.inf)
    # Of those that come out whole, the farthest.
    best = int(np.flatnonzero(off <= off.min() + 0.02)[0])
    near = max(b for b in pull.made if b < pull.bend) if towards_start else min(b for b in pull.made if b > pull.bend)
    x, y, up = seen_from_tube(along(leg.start, leg.direction, float(at[best])))
    post = float(np.round(posts[best]))
    return Rest(pull.number, near, float(at[best]), x, y, bench + up, post, degrees(asin(HEIGHT_MM / abs(y))))
