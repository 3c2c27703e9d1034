"""From where the pictures of a pull are seen, and where the piece knots there: crosses or hides itself."""

from collections.abc import Sequence
from itertools import chain
from math import hypot
from typing import NamedTuple

from pipemodel.geometry.vectors import Vec3, distance
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.pulls.stance import Stance, in_bender

END_ON = 0.25
"""A straight of which less than this share is seen hides its own length."""
COVERED = 0.8
"""Two axes nearer to one another in a picture than this share of the outside diameter cover one another."""
NEAR_DIAMETERS, FAR_DIAMETERS = 3.0, 8.0
"""Places no further apart than so many diameters in space, and than so many along the tube, lie beside one another."""

FIRST: dict[Stance, tuple[float, float]] = {"flat": (18.0, 40.0), "upright": (30.0, 16.0)}
"""Degrees to the right of straight before whoever pulls, and down: the first view."""
OTHERS: dict[Stance, dict[str, tuple[float, float]]] = {
    "flat": {
        "from the left": (-50.0, 30.0),
        "from the right": (65.0, 30.0),
        "from above": (0.0, 80.0),
        "from the front": (0.0, 12.0),
    },
    "upright": {
        "from the left": (-50.0, 25.0),
        "from the right": (65.0, 25.0),
        "from above": (0.0, 60.0),
        "from the front": (0.0, 0.0),
    },
}


def eye(stance: Stance, aside_deg: float, above_deg: float, title: str = "") -> View:
    """Return a view of the bender's frame, seen from so far to the right and so far down by whoever pulls."""
    view = View.standing(aside_deg, above_deg)
    return View(title or view.title, in_bender(stance, view.toward_eye), in_bender(stance, view.up))


def first_eye(stance: Stance) -> View:
    """Return the view that every picture of a pull has."""
    return eye(stance, *FIRST[stance])


class TubePlace(NamedTuple):
    """A place on the axis of what is drawn: how far along the tube, and where; `straight` numbers its straight."""

    along: float
    at: Vec3
    straight: int | None


def knots(places: Sequence[TubePlace], view: View, outside: float) -> int:
    """Return at how many places the tube lies behind or before another part of itself, or is seen end on.

    Args:
        places: places on the axis of what is drawn, half an outside diameter apart or less.
        view: from where it is seen.
        outside: the tube's outside diameter.
    """
    flat = [view.flat(place.at) for place in places]
    hidden: set[int] = set()
    cells: dict[tuple[int, int], list[int]] = {}
    for i, (x, y) in enumerate(flat):
        column, row = int(x // outside), int(y // outside)
        near = (cells.get((column + dx, row + dy), ()) for dx in (-1, 0, 1) for dy in (-1, 0, 1))
        for j in chain(*near):
            if hypot(flat[j][0] - x, flat[j][1] - y) < COVERED * outside and _apart(places[i], places[j], outside):
                hidden |= {i, j}
        cells.setdefault((column, row), []).append(i)
    return len(hidden | _end_on(places, flat, outside))


def _apart(one: TubePlace, other: TubePlace, outside: float) -> bool:
    if one.straight is not None and one.straight == other.straight:
        return False
    if abs(one.along - other.along) > FAR_DIAMETERS * outside:
        return True
    return distance(one.at, other.at) > NEAR_DIAMETERS * outside


def _end_on(places: Sequence[TubePlace], flat: Sequence[FlatPoint], outside: float) -> set[int]:
    straights: dict[int, list[int]] = {}
    for i, place in enumerate(places):
        if place.straight is not None:
            straights.setdefault(place.straight, []).append(i)
    out: set[int] = set()
    for mine in straights.values():
        a, b = mine[0], mine[-1]
        long = distance(places[a].at, places[b].at)
        seen = hypot(flat[b][0] - flat[a][0], flat[b][1] - flat[a][1])
        if long > NEAR_DIAMETERS * outside and seen < END_ON * long:
            out |= set(mine)
    return out


def second_eye(moments: Sequence[Sequence[TubePlace]], stance: Stance, outside: float) -> View | None:
    """Return another view for moments at which the piece knots in the first: the one in which it knots least.

    None where there is no such moment, or every other view is as bad.
    """
    first = sum(knots(places, first_eye(stance), outside) for places in moments)
    others = [eye(stance, *from_, title) for title, from_ in OTHERS[stance].items()]
    counts = [sum(knots(places, view, outside) for places in moments) for view in others]
    least = min(counts)
    return others[counts.index(least)] if least < first else None
