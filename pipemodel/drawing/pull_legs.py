"""Long legs between bends drawn short, so that the bends and the former can be seen beside each other."""

from collections.abc import Collection, Sequence

from pipemodel.bending.bends import Bend
from pipemodel.pulls.limits import FlatTube

LONGEST_RADII = 3.0
"""A leg longer than so many radii of the former is drawn shorter, with a break."""


def with_short_legs(bends: Sequence[Bend], tube: FlatTube, there: Collection[int]) -> tuple[tuple[Bend, ...], FlatTube]:
    """Return bends and flat tube with no leg between two bends `there` longer than can be drawn.

    Args:
        bends: the bends of the run.
        tube: its flat tube.
        there: the numbers of the bends made, and of the one to be pulled; bends in between are moved along.
    """
    shift, last = 0.0, None
    moved: list[Bend] = []
    for bend in bends:
        if bend.number in there:
            longest = LONGEST_RADII * bend.radius_mm
            if last is not None:
                shift += max(bend.start_mm - last - longest, 0.0)
            last = bend.finish_mm
        moved.append(bend._replace(start_mm=bend.start_mm - shift))
    starts, finishes = tuple(b.start_mm for b in moved), tuple(b.finish_mm for b in moved)
    return tuple(moved), FlatTube(starts, finishes, tube.length - shift)
