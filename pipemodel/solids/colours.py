"""The colours of runs, easy to tell apart in daylight on a bench.

They are strong, and warm or cold in turn; the shapes of the room are pale, so that tube always stands out.
"""

from pipemodel.geometry.shapes.base import Colour

RUNS: tuple[Colour, ...] = (
    (0.78, 0.42, 0.16),
    (0.10, 0.40, 0.66),
    (0.18, 0.52, 0.28),
    (0.55, 0.22, 0.50),
    (0.70, 0.16, 0.18),
    (0.05, 0.48, 0.52),
)


def run_colour(number: int) -> Colour:
    """Return the colour of a job's run, counted from 0; after the last colour they start again."""
    return RUNS[number % len(RUNS)]
