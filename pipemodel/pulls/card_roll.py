"""How the tube is rolled in the bender before a pull, in words."""

from pipemodel.geometry.vectors import Vec3, rotate
from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.values import NOTHING, Angle, Count, Message, Word, message
from pipemodel.pulls.plan import Pull
from pipemodel.pulls.stance import Stance, seen, way_of

ALONG: Vec3 = (1.0, 0.0, 0.0)
INSIDE: Vec3 = (0.0, -1.0, 0.0)
"""Which way the inside of a bend faces in the bender's frame while it is pulled."""


def roll_in_bender(pull: Pull, last: Pull | None, stance: Stance = "flat") -> Message:
    """Return how the tube is rolled before a pull: "a quarter turn, its top away from you"."""
    inside = seen(stance, INSIDE)
    if last is None:
        return message("card.any side up", bend=Count(pull.bend), faces=Word(way_of(inside)))
    bend, by = Count(last.bend), pull.roll_deg
    if stance == "flat" and pull.turn_round:
        inside = rotate(inside, (0.0, 0.0, 1.0), 180.0)
    roll = rounded_deg(abs(by))
    # Clockwise seen from the start end; with that end to the left, the top then comes towards the fitter.
    away = (by < 0.0) == (pull.held == "start")
    faces = Word(way_of(rotate(inside, ALONG, -roll if away else roll)))
    if roll == 0.0:
        return message("card.same side up", bend=bend, faces=faces)
    if roll == 180.0:
        return message("card.roll half", bend=bend, faces=faces)
    side = Word("away from you" if away else "towards you")
    then = message("card.then faces", bend=bend, faces=faces) if roll == 90.0 else NOTHING
    return message("card.roll", turn=_share_of_turn(roll), side=side, faces=then)


def _share_of_turn(roll: float) -> Message:
    if roll == 45.0:
        return message("turn.eighth")
    if roll == 90.0:
        return message("turn.quarter")
    return message("turn.three eighths") if roll == 135.0 else message("degrees", angle=Angle(roll))
