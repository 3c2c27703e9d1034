"""What a choice between several runs may weigh of their ways in; nothing is weighed here."""

from dataclasses import dataclass

from pipemodel.geometry.centreline import Centreline
from pipemodel.ways_in.motions import Piece, hand_motions
from pipemodel.ways_in.values import WayIn


@dataclass(frozen=True)
class WayFacts:
    """Of a run's way in: whether there is one, how near it comes to anything, and how much handling it is.

    `spare_mm` is the least clearance beyond the margin asked for, None where no way was found. `motions` and `turns`
    count what the hands do, `turns` those motions that are no slides; `joints` are those it takes to get in, 0 for a
    run that goes in as one piece.
    """

    found: bool
    impossible: bool
    least_mm: float | None
    spare_mm: float | None
    motions: int
    turns: int
    joints: int = 0


def facts_of(line: Centreline, way: WayIn, joints: int = 0) -> WayFacts:
    """Return the facts of a way in.

    Args:
        line: the run's axis in its place.
        way: what was found.
        joints: how many it takes to get in.
    """
    motions = hand_motions(Piece(line), way) if way.found else ()
    turns = sum(motion.kind != "slide" for motion in motions)
    spare = None if way.least_mm is None else way.least_mm - way.margin_mm
    return WayFacts(way.found, way.impossible, way.least_mm, spare, len(motions), turns, joints)
