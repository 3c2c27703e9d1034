"""The colours of solids, one per run and one per kind of thing, told apart in daylight on a bench.

Runs are strong and warm or cold in turn, the room is pale, so that tube always stands out before it.
"""

from typing import TypeAlias

from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile, Shape

Colour: TypeAlias = tuple[float, float, float]
"""Red, green and blue as a screen takes them (sRGB), 0 to 1."""

RUNS: tuple[Colour, ...] = (
    (0.78, 0.42, 0.16),
    (0.10, 0.40, 0.66),
    (0.18, 0.52, 0.28),
    (0.55, 0.22, 0.50),
    (0.70, 0.16, 0.18),
    (0.05, 0.48, 0.52),
)
THINGS: dict[type, Colour] = {
    Box: (0.80, 0.74, 0.62),
    Cylinder: (0.62, 0.66, 0.70),
    HalfSpace: (0.88, 0.87, 0.84),
    Extrusion: (0.74, 0.70, 0.64),
    Mesh: (0.70, 0.72, 0.66),
    MeshFile: (0.70, 0.72, 0.66),
}


def run_colour(number: int) -> Colour:
    """Return the colour of a job's run, counted from 0; after the last colour they start again."""
    return RUNS[number % len(RUNS)]


def thing_colour(shape: Shape) -> Colour:
    """Return the colour of a thing in the room, by the kind of its shape."""
    return THINGS[type(shape)]
