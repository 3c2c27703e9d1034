"""The ways found for a run in one view of the room: the best as a tube, the others as lines of their own kind."""

from collections.abc import Sequence

import numpy as np

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.drawing.in_place import LETTER_MM, begun, view_in_place
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import axis_of
from pipemodel.drawing.primitives import Role
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.solids import near_solids
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Name, Word
from pipemodel.wording.safe_text import shown

LINES = (Role.WAY_DASHED, Role.WAY_DOTTED)
"""How the ways after the best are drawn, in turn."""
_SPOTS = 60


def ways_picture(schedule: Schedule, ways: Sequence[SolvedRun], units: Units = MM) -> Sheet:
    """Draw the ways of one run among what stands near them.

    Args:
        schedule: the job, the best way in its place.
        ways: the ways, the best first.
        units: units and language of the reader.
    """
    best = ways[0]
    view = view_in_place(schedule, ways)
    title = words(units, "drawing.ways", run=Name(shown(best.name, 80), quoted=False), view=Word(view.title))
    picture = begun(best, ways, view, near_solids(schedule, best), title)
    panel, half = picture.panel, picture.half
    for number, way in enumerate(ways[1:]):
        for axis in axis_of(panel, way.centreline):
            panel.line(axis, LINES[number % len(LINES)])
    if len(ways) > 1:
        for number, way in enumerate(ways, 1):
            spot = LabelSpot(panel.at(_by_itself(way, [one for one in ways if one is not way])), (0.0, 1.0), half)
            put_label(panel, Label(str(number), LETTER_MM, bold=True, ring=Role.PAPER), [spot], ANYWHERE_MM)
    return picture.finished(units)


def _by_itself(way: SolvedRun, others: Sequence[SolvedRun]) -> Vec3:
    """Return the point of a way that is farthest from all others."""
    own = _spots(way)
    off = np.min([np.linalg.norm(own[:, None] - _spots(other)[None], axis=2).min(axis=1) for other in others], axis=0)
    x, y, z = own[int(np.argmax(off))].tolist()
    return (x, y, z)


def _spots(way: SolvedRun) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    line = way.centreline
    return np.array([line.point_at(float(s)) for s in np.linspace(0.0, line.length, _SPOTS)])
