"""Turns and rolls as a fitter reads them."""

from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.values import Angle, Message, Word, message


def way_round(degrees: float) -> Word:
    """Return which way so many degrees go, as seen from the start end looking along the tube."""
    return Word("clockwise" if degrees > 0.0 else "anticlockwise")


def plane_turn(turn: float, first: bool = False) -> Message:
    """Return the turn of a bend's plane since the bend before, for whoever draws the run.

    It says how the finished piece lies, and not what hands do: see `roll_turn`.
    """
    if first:
        return message("turn.first bend")
    size = rounded_deg(abs(turn))
    if size == 0.0:
        return message("turn.same way")
    return message("turn.other way") if size == 180.0 else message("turn.by", size=Angle(size), way=way_round(turn))


def roll_turn(roll: float, end_for_end: bool = False, first: bool = False) -> Message:
    """Return what the hands turn between two pulls, as seen from the start end looking along the tube.

    Args:
        roll: how far the tube rolls clockwise, in degrees.
        end_for_end: whether the other end goes into the stop first, the same side staying up.
        first: whether it is the first pull, before which nothing is turned.
    """
    if first:
        return message("roll.first pull")
    size = rounded_deg(abs(roll))
    said = message("turn.by", size=Angle(size), way=way_round(roll))
    if size == 0.0:
        said = message("roll.same side")
    elif size == 180.0:
        said = message("roll.half")
    return message("roll.end for end", roll=said) if end_for_end else said
