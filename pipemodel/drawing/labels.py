"""Labels: words beside what they name, on the first side that is free, with a line to it where they have to go far."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from heapq import merge
from math import cos, hypot, pi, sin
from operator import itemgetter
from typing import NamedTuple

from pipemodel.drawing.clipping import ClipWindow, clip
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.placing import Choice, Placer, box_of
from pipemodel.drawing.primitives import WHITE, Align, Circle, FlatPoint, Ink, Line, Role, Text

LEADER_FROM_MM = 5.0
"""A label further than this from what it names gets a line to it."""
REACH_MM = 11.5
"""So far a label goes where it may be left out."""
ANYWHERE_MM = 250.0
DOT_MM = 0.45
ALIGNS: tuple[Align, ...] = ("left", "centre", "right")
UNDER = 1.36
"""From one line of a label to the next, by the height of its first."""
FROM_WORDS_MM = 0.3
"""A line to a label ends so far from its words."""
_REACHES = (2.5, 4.0, 6.0, 8.5, REACH_MM, 15.0, 19.0, 24.0, 30.0, 37.0, 46.0, 57.0, 71.0, 88.0, 110.0, 140.0, 175.0)
_ANGLES = sorted(
    (1.5 * step + 3.2 * turn / around, reach, (turn + 1) // 2 * (2.0 * pi / around) * (1 if turn % 2 else -1))
    for step, reach in enumerate(_REACHES)
    for around in (8 if reach <= REACH_MM else 16,)
    for turn in range(around)
)
_WAYS = [(by_itself, reach, cos(angle), sin(angle)) for by_itself, reach, angle in _ANGLES]
"""Places for a label about its spot: how bad each is by itself, how far off, and which way round: cosine and sine."""


class Label(NamedTuple):
    """What is written: a line, and smaller ones under it; in a ring, if asked, filled in a role's colour.

    A ring on `Role.PAPER` is white within. `ink` is given where the words, or the ring's line, have another colour than
    their role's.
    """

    text: str
    height: float
    role: Role = Role.DIMENSION
    bold: bool = False
    under: str = ""
    ring: Role | None = None
    ink: Ink | None = None

    @property
    def ring_mm(self) -> float:
        """The ring's radius."""
        return 1.08 * self.height

    def drawn(self, at: FlatPoint, way: FlatPoint, align: Align | None = None) -> Choice:
        """Return what is drawn with its near edge at a place, `way` being the unit vector from what it names.

        Words are set to the side that lies away from what they name, if `align` does not say how.
        """
        (x, y), (dx, dy) = at, way
        if self.ring is not None:
            x, y = x + dx * (self.ring_mm - 1.5), y + dy * (self.ring_mm - 1.5)
            words = Text(self.text, (x, y - self.height / 2.0), self.height, "centre", bold=self.bold)
            ground = WHITE if self.ring is Role.PAPER else None
            area = Circle((x, y), self.ring_mm, self.ring, filled=True, ink=ground)
            return area, Circle((x, y), self.ring_mm, Role.ROOM, ink=self.ink), words
        align = align or ("left" if dx > 0.3 else "right" if dx < -0.3 else "centre")
        small, step = 0.86 * self.height, UNDER * self.height
        lines = self.under.split("\n") if self.under else []
        if not self.text:
            y += step  # the first of them takes its place
        y += (1.0 + dy) / 2.0 * step * (len(lines) - (not self.text)) - self.height / 2.0
        first = Text(self.text, (x, y), self.height, align, role=self.role, bold=self.bold, ink=self.ink)
        more = (
            Text(line, (x, y - step * n), small, align, role=self.role, ink=self.ink) for n, line in enumerate(lines, 1)
        )
        return tuple(words for words in (first, *more) if words.text)


class LabelSpot(NamedTuple):
    """What a label may point to: where, the unit vector to the side that is best for it, and how thick it is there."""

    at: FlatPoint
    way: FlatPoint
    half: float = 0.0


def put_label(
    panel: Panel, label: Label, spots: Sequence[LabelSpot], reach: float = REACH_MM, leader_from: float = LEADER_FROM_MM
) -> bool:
    """Write a label near the best of some spots; return False where no place within reach is free.

    Args:
        panel: the view it is written in.
        label: what is written.
        spots: what it may point to.
        reach: how far it may go, mm.
        leader_from: from how far on it gets a line, mm; from 0 on the line ends in a dot.
    """
    drawn = placed(panel.placer, label, spots, reach, leader_from)
    panel.sheet.items.extend(drawn)
    return bool(drawn)


def placed(placer: Placer, label: Label, spots: Sequence[LabelSpot], reach: float, leader_from: float) -> Choice:
    """Take the best place for a label, and return what is drawn there; nothing where none is free. See `put_label`."""
    ways = [_places(label, spot, reach, leader_from) for spot in spots]
    found = placer.place_with_leader(ways[0] if len(ways) == 1 else merge(*ways, key=itemgetter(0)))
    if found is None and label.ring is None and reach > REACH_MM:
        # It must not be left out: its words may also lie across the line to it.
        ways = [_places(label, spot, reach, leader_from, align) for spot in spots for align in ALIGNS]
        found = placer.place_with_leader(merge(*ways, key=itemgetter(0)))
    # The line lies under the words, whose ring it may run up to.
    drawn = tuple(sorted(found or (), key=lambda it: not isinstance(it, Line)))
    if leader_from == 0.0 and drawn and isinstance(drawn[0], Line):
        drawn = (*drawn, Circle(drawn[0].points[0], DOT_MM, label.role, filled=True, ink=label.ink))
    return drawn


def _places(
    label: Label, spot: LabelSpot, reach: float, leader_from: float, align: Align | None = None
) -> Iterator[tuple[float, Choice, Callable[[], Choice]]]:
    (x, y), way, half = spot
    for by_itself, far, c, s in _WAYS:
        if far > reach:
            continue
        dx, dy = way[0] * c - way[1] * s, way[0] * s + way[1] * c
        at = (x + dx * (half + far), y + dy * (half + far))
        drawn = label.drawn(at, (dx, dy), align)
        if far > leader_from:
            start = (x + dx * half, y + dy * half)
            yield by_itself, drawn, partial(_leader, label, drawn, start, at, (dx, dy), leader_from)
        else:
            yield by_itself, drawn, lambda: ()


def _leader(
    label: Label, drawn: Choice, start: FlatPoint, at: FlatPoint, way: FlatPoint, leader_from: float
) -> tuple[Line]:
    # Up to the near edge of the words, below whose baseline letters reach as well, or under the edge of a ring.
    short = 0.8 if label.ring is not None else 0.4
    ends = (start, (at[0] - way[0] * short, at[1] - way[1] * short))
    if label.ring is None:
        ends = (start, short_of(ends, [item for item in drawn if isinstance(item, Text)]))
    return (Line(ends, Role.PAPER, ink=label.ink if leader_from == 0.0 else None),)


def short_of(ends: tuple[FlatPoint, FlatPoint], words: Sequence[Text]) -> FlatPoint:
    """Return where a line must end that comes to some words, so as to touch none of their lines."""
    (x, y), (u, v) = ends
    share = 1.0
    for item in words:
        corners = box_of(item, FROM_WORDS_MM)
        box = ClipWindow(corners[0][0], corners[0][1], corners[2][0], corners[2][1])
        cut = clip((x, y), (u, v), box)
        if cut is not None:
            whole = hypot(u - x, v - y) or 1.0
            share = min(share, hypot(cut[0][0] - x, cut[0][1] - y) / whole)
    return (x + (u - x) * share, y + (v - y) * share)
