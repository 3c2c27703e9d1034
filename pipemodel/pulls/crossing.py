"""A piece that runs into itself once it is bent as drawn: no order of pulls helps, and which leg to lengthen does."""

from pipemodel.messages.values import Length, message
from pipemodel.pulls.hindrance import Hindrance, leg_called, place_called
from pipemodel.pulls.lengthening import least_lengthening
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.order import Touch
from pipemodel.pulls.piece import PieceToBend


def crossing_hindrance(piece: PieceToBend, touch: Touch) -> Hindrance:
    """Return what is wrong with a piece whose finished shape has that touch, and which leg to make longer."""
    assert touch.other_flat_mm is not None
    low, high = sorted((touch.flat_mm, touch.other_flat_mm))
    tube = piece.tube
    legs = [i for i in range(1, tube.bends) if low <= tube.finishes[i - 1] and tube.starts[i] <= high]
    options = [(more, leg) for leg in legs if (more := _least(piece, leg)) is not None]
    way_out = message("pull.spread legs")
    if options:
        more, leg = min(options)
        way_out = message("pull.longer keeps clear", leg=leg_called(leg, tube.bends), more=Length(more, ".0f"))
    return Hindrance(
        "itself",
        message(
            "pull.crosses itself",
            place=place_called(tube, high),
            deep=Length(touch.depth_mm, ".1f"),
            other=place_called(tube, low),
            way_out=way_out,
        ),
        has=-touch.depth_mm,
        needs=0.0,
        at_mm=high,
    )


def _least(piece: PieceToBend, leg: int) -> float | None:
    """Return the least lengthening of a leg that keeps the finished piece clear of itself, None when none does."""
    return least_lengthening(lambda more: Clearance(piece.lengthened(leg, more), None).finished() is None)
