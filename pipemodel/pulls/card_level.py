"""How the tube beyond a bend already made must stand in the bender before a pull."""

from dataclasses import dataclass
from math import asin, degrees

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.values import Angle, Message, Word, message
from pipemodel.pulls.bender_frame import sides_of
from pipemodel.pulls.card_mark import NEAR_DEG
from pipemodel.pulls.hindrance import leg_called
from pipemodel.pulls.limits import FlatTube
from pipemodel.pulls.plan import Pull
from pipemodel.pulls.stance import Stance, level_way, seen


@dataclass(frozen=True)
class Level:
    """How the tube beyond a bend already made must stand in the bender before the pull, in degrees above level."""

    bend: int
    leg: Message
    above_level_deg: float
    stands: Message


def level_before(solved: SolvedRun, pull: Pull, stance: Stance) -> Level | None:
    """Say how the nearest leg already bent has to stand: on the held side, or on the free one."""
    if not pull.made:
        return None
    bends = solved.table.bends
    kept, free = sides_of(bends, FlatTube.of(solved), pull)
    side = kept if kept.bent else free
    legs = [piece for piece in side.pieces[2:] if isinstance(piece, Straight)]
    # Where bends touch, or nearly, no eye sees the straight between them.
    seen_at = next((k for k, leg in enumerate(legs) if leg.length >= solved.tube.outside_mm), 0)
    beyond, towards_start = legs[seen_at], (side is kept) == (pull.held == "start")
    outwards = sorted(pull.made, reverse=True) if towards_start else sorted(pull.made)
    near = [b for b in outwards if (b < pull.bend) == towards_start][seen_at]
    out = seen(stance, beyond.direction)
    above = degrees(asin(max(-1.0, min(1.0, out[2]))))
    return Level(near, leg_called(near - 1 if towards_start else near, len(bends)), above, stands(out, above))


def stands(direction: Vec3, above: float) -> Message:
    """Return in words how a leg stands whose direction is given as whoever pulls sees it; `above` level in degrees."""
    if above >= 90.0 - NEAR_DEG:
        return message("card.plumb up")
    if above <= NEAR_DEG - 90.0:
        return message("card.plumb down")
    way = level_way(direction)
    pointing = Word("towards you" if way == "you" else way)
    if abs(above) <= NEAR_DEG:
        return message("card.level", way=pointing)
    return message("card.points above" if above > 0.0 else "card.points below", way=pointing, angle=Angle(abs(above)))
