"""How far apart clips may stand, by service, size of tube and direction."""

from dataclasses import dataclass

from pipemodel.messages.values import Message, Name, Number, bare, listed, message
from pipemodel.trade.model import Tube
from pipemodel.trade.rows import read_rows
from pipemodel.trade.tube_table import SAME_MM


@dataclass(frozen=True)
class ClipSpacing:
    """The greatest distances between supports, and from a fitting to the nearest one; mm."""

    service: str
    outside_mm: float
    horizontal_mm: float
    vertical_mm: float
    near_fitting_mm: float
    source: str = ""


def all_spacings() -> tuple[ClipSpacing, ...]:
    """Return every row of the table, in the order of its file."""
    return tuple(
        ClipSpacing(
            row["service"],
            float(row["outside_mm"]),
            float(row["horizontal_mm"]),
            float(row["vertical_mm"]),
            float(row["near_fitting_mm"]),
            row["source"],
        )
        for row in read_rows("clips.csv")
    )


def services() -> tuple[str, ...]:
    """Return the services that have spacings: water, gas, ..."""
    return tuple(dict.fromkeys(row.service for row in all_spacings()))


def no_spacings(service: str) -> Message:
    """Return that a service has no spacings, and which have."""
    return message("clips.none", service=Name(service), there=listed([bare(one) for one in services()], ","))


def find_spacing(service: str, tube: Tube) -> ClipSpacing:
    """Return the row for a service and a tube: the greatest size in it that is not above the tube's.

    A thinner tube sags more, so the row below is the safe one for a size between two rows.

    Raises:
        LookupError: if the service has no row, or none at or below the tube's size; says what there is.
    """
    rows = [row for row in all_spacings() if row.service == service]
    if not rows:
        raise LookupError(no_spacings(service))
    fitting = [row for row in rows if row.outside_mm <= tube.outside_mm + SAME_MM]
    if not fitting:
        least = min(row.outside_mm for row in rows)
        outside = Number(tube.outside_mm)
        raise LookupError(message("clips.thin", service=bare(service), outside=outside, least=Number(least)))
    return max(fitting, key=lambda row: row.outside_mm)


EDGE_MM = 20.0
"""A screw nearer to the edge of a board, a beam or a wall than this may split it. Common practice, no source."""


@dataclass(frozen=True)
class ClipRule:
    """How a run is to be clipped, and to what; mm.

    `faces` names the things in the room whose faces take the clips. `standoff_mm` is the distance at which the clip
    holds the tube's axis off the face, None to take any within a clip's reach. `off_bend_mm` is the least distance
    along the tube from a bend, or from a fitting's mouth, to the middle of a clip, `edge_mm` the least from the edge of
    a face to where the clip is fixed.
    """

    faces: tuple[str, ...]
    spacing: ClipSpacing
    off_bend_mm: float
    standoff_mm: float | None = None
    edge_mm: float = EDGE_MM
