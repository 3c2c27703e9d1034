"""A piece that runs into itself once it is bent as drawn: no order of pulls helps, and which leg to lengthen does."""

from pipemodel.pulls.hindrance import Hindrance, leg_name, place_name
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
    way_out = "spread its legs"
    if options:
        more, leg = min(options)
        way_out = f"{leg_name(leg, tube.bends)} {more:.0f} mm longer keeps it clear"
    return Hindrance(
        "itself",
        f"bent as drawn, the {place_name(tube, high)} goes {touch.depth_mm:.1f} mm into the tube's own "
        f"{place_name(tube, low)}, whatever the order of pulls; {way_out}",
        has=-touch.depth_mm,
        needs=0.0,
        at_mm=high,
    )


def _least(piece: PieceToBend, leg: int) -> float | None:
    """Return the least lengthening of a leg that keeps the finished piece clear of itself, None when none does."""
    return least_lengthening(lambda more: Clearance(piece.lengthened(leg, more), None).finished() is None)
