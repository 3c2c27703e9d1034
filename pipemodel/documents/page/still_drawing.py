"""A run in its room as a drawing of plain lines: it stands in where the 3D view cannot be, and on paper.

A parallel projection, from the side that shows bends and ends furthest apart. The room is drawn as its edges, seen
through; the tube over it, nearer parts over farther ones.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from html import escape
from math import ceil, cos, hypot, radians, sin
from typing import TypeAlias

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.documents.page.room import RoomPart
from pipemodel.geometry.centreline import Arc, Piece
from pipemodel.geometry.vectors import Vec3, cross, dot
from pipemodel.solids.extent import gap_mm, run_extent
from pipemodel.wording.safe_text import shown

WIDTH = 640.0
TALLEST = 720.0
MARGIN = 60.0
FONT = 19.0
LONGEST_NAME = 28
REACH_MM = 1000.0
"""What is farther than this from the run is not drawn with it."""
_SIDES = tuple((side, height) for height in (26.0, 40.0) for side in (-35.0, 35.0, -55.0, 55.0, -20.0, 20.0))
Point: TypeAlias = tuple[float, float]
Placing: TypeAlias = Callable[[Vec3], Point]


@dataclass(frozen=True)
class _Eye:
    """From where it is seen: unit vectors to the right, up and towards the eye."""

    right: Vec3
    up: Vec3
    back: Vec3

    @classmethod
    def at(cls, side_deg: float, height_deg: float) -> "_Eye":
        """Stand `side_deg` from south, and look down by `height_deg`."""
        a, h = radians(side_deg), radians(height_deg)
        back = (-sin(a) * cos(h), -cos(a) * cos(h), sin(h))
        right = (cos(a), -sin(a), 0.0)
        return cls(right, cross(back, right), back)

    def flat(self, p: Vec3) -> Point:
        return dot(p, self.right), -dot(p, self.up)


def stand_in(solved: SolvedRun, room: Sequence[RoomPart], clashes: Sequence[Finding]) -> str:
    """Return the drawing of a run in its place as SVG.

    Args:
        solved: the run.
        room: what stands in the room; only what is near the run is drawn.
        clashes: findings of this run that have a point in the room.
    """
    extent = run_extent(solved)
    room = [part for part in room if gap_mm(*part.block, extent) <= REACH_MM]
    pieces = solved.centreline.pieces
    keys = [arc.point_at(arc.length / 2.0) for arc in solved.centreline.arcs]
    keys += [solved.centreline.start, solved.centreline.finish]
    eye = max((_Eye.at(*side) for side in _SIDES), key=lambda e: round(_apart([e.flat(p) for p in keys]), 6))
    line = [eye.flat(p) for piece in pieces for p in _points(piece)]
    left, top = (min(p[i] for p in line) for i in (0, 1))
    wide, tall = (max(p[i] for p in line) - low for i, low in ((0, left), (1, top)))
    k = min((WIDTH - 2 * MARGIN) / max(wide, 1.0), (TALLEST - 2 * MARGIN) / max(tall, 1.0))
    height = ceil(tall * k + 2 * MARGIN)
    x0, y0 = (WIDTH - wide * k) / 2.0 - left * k, MARGIN - top * k

    def on(p: Vec3) -> Point:
        x, y = eye.flat(p)
        return x0 + x * k, y0 + y * k

    words = _Words(float(height))
    body = [_room(room, on)]
    thick = max(4.0, solved.tube.outside_mm * k)
    for piece in sorted(pieces, key=lambda piece: dot(_middle(piece), eye.back)):
        path = "M" + "L".join(_xy(on(p)) for p in _points(piece))
        body += [
            _stroke(path, "#fff", thick + 7.0),
            _stroke(path, "#14181c", thick + 2.0),
            _stroke(path, "#cd7033", thick),
        ]
    for number, arc in enumerate(solved.centreline.arcs, 1):
        body.append(_number(number, on(arc.point_at(arc.length / 2.0)), on(arc.centre), thick, words))
    for finding in clashes:
        if finding.point is not None:
            body.append(_clash(on(finding.point), shown(finding.against or finding.check, LONGEST_NAME), words))
    for name, piece, sign in (("start", pieces[0], -1.0), ("finish", pieces[-1], 1.0)):
        end = piece.start if sign < 0.0 else piece.finish
        body.append(words.beside(name, on(end), 12.0 + thick / 2.0, bold=True, must=True))
    for part in room:
        spots = [on(p) for p in part.anchors]
        body.append(words.first_free(shown(part.name, LONGEST_NAME), spots))
    title = escape(f"{shown(solved.name, 80)} in its place, seen from {_from(eye)} and above")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height}" width="{WIDTH:g}" height="{height}" '
        f'role="img" font-family="DejaVu Sans, Arial, sans-serif" font-size="{FONT:g}"><title>{title}</title>'
        f'<rect width="{WIDTH:g}" height="{height}" fill="#fff"/>{"".join(body)}</svg>'
    )


class _Words:
    """Words put where they cover no others; boxes are (left, top, right, bottom)."""

    def __init__(self, height: float) -> None:
        self._height = height
        self._taken: list[tuple[float, float, float, float]] = []

    def take(self, x: float, y: float, wide: float, tall: float) -> bool:
        """Take a place by its middle, if it is free and on the drawing."""
        box = (x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)
        if box[0] < 0 or box[1] < 0 or box[2] > WIDTH or box[3] > self._height:
            return False
        if any(box[0] < t[2] and t[0] < box[2] and box[1] < t[3] and t[1] < box[3] for t in self._taken):
            return False
        self._taken.append(box)
        return True

    def beside(self, text: str, p: Point, far: float, bold: bool = False, must: bool = False, sign: str = "") -> str:
        """Write beside a point, on the first free side of it; `must` writes even where none is free."""
        wide, tall = _wide(text + sign), FONT * 1.3
        spots = [(p[0], p[1] - far - 6), (p[0], p[1] + far + 6)]
        spots += [(p[0] + far + wide / 2, p[1]), (p[0] - far - wide / 2, p[1])]
        spot = next((s for s in spots if self.take(*s, wide, tall)), spots[0] if must else None)
        return "" if spot is None else _word(sign + text, spot, bold)

    def first_free(self, text: str, spots: Iterable[Point]) -> str:
        """Write at the first spot that is free, or nowhere."""
        spot = next((s for s in spots if self.take(*s, _wide(text), FONT * 1.2)), None)
        return "" if spot is None else _word(text, spot, False, "#48525c")


def _room(room: Sequence[RoomPart], on: Placing) -> str:
    path = "".join(
        f"M{_xy(on(_vec(a)))}L{_xy(on(_vec(b)))}" for part in room for a, b in part.edges.tolist() if not part.endless
    )
    walls = "".join(
        f"M{_xy(on(_vec(a)))}L{_xy(on(_vec(b)))}" for part in room for a, b in part.edges.tolist() if part.endless
    )
    return _stroke(path, "#75808a", 1.2) + _stroke(walls, "#75808a", 1.2, ' stroke-dasharray="9 6"')


def _number(number: int, p: Point, centre: Point, thick: float, words: _Words) -> str:
    """A bend's number in a box, on the outside of the bend."""
    dx, dy = p[0] - centre[0], p[1] - centre[1]
    n = hypot(dx, dy)
    ux, uy = (dx / n, dy / n) if n > 1e-6 else (0.0, -1.0)
    wide = _wide(str(number)) + 8.0
    for far in (22.0, 46.0, 70.0):
        spot = (p[0] + ux * (far + thick / 2.0), p[1] + uy * (far + thick / 2.0))
        if words.take(*spot, wide, 28.0):
            break
    lead = _stroke(f"M{_xy(p)}L{_xy(spot)}", "#14181c", 1.2)
    box = f'<rect x="{_n(spot[0] - wide / 2)}" y="{_n(spot[1] - 13)}" width="{_n(wide)}" height="26" fill="#fff" '
    return f'{lead}{box}stroke="#14181c" stroke-width="2"/>{_word(str(number), spot, True)}'


def _clash(p: Point, name: str, words: _Words) -> str:
    x, y = p
    cross_ = f"M{_n(x - 10)} {_n(y - 10)}L{_n(x + 10)} {_n(y + 10)}M{_n(x - 10)} {_n(y + 10)}L{_n(x + 10)} {_n(y - 10)}"
    mark = _stroke(cross_, "#fff", 9.0) + _stroke(cross_, "#a11212", 5.0)
    return mark + words.beside(name, p, 16.0, bold=True, must=True, sign="\u2715 ")


def _points(piece: Piece) -> list[Vec3]:
    if isinstance(piece, Arc):
        steps = max(2, ceil(piece.angle_deg / 8.0))
        return [piece.point_at(piece.length * i / steps) for i in range(steps + 1)]
    return [piece.start, piece.finish]


def _middle(piece: Piece) -> Vec3:
    return piece.point_at(piece.length / 2.0)


def _apart(points: Sequence[Point]) -> float:
    return min(hypot(p[0] - q[0], p[1] - q[1]) for i, p in enumerate(points) for q in points[i + 1 :])


def _from(eye: _Eye) -> str:
    south, east = -eye.back[1], eye.back[0]
    return f"the {'south' if south > 0.0 else 'north'}-{'east' if east > 0.0 else 'west'}"


def _stroke(path: str, colour: str, width: float, more: str = "") -> str:
    if not path:
        return ""
    return f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{_n(width)}" stroke-linejoin="round"{more}/>'


def _word(text: str, p: Point, bold: bool, colour: str = "#14181c") -> str:
    look = ' font-weight="700"' if bold else ""
    halo = 'paint-order="stroke" stroke="#fff" stroke-width="4" stroke-linejoin="round"'
    at = f'x="{_n(p[0])}" y="{_n(p[1] + FONT * 0.36)}" text-anchor="middle" direction="ltr"'
    return f'<text {at} fill="{colour}" {halo}{look}>{escape(text)}</text>'


def _wide(text: str) -> float:
    return len(text) * FONT * 0.64 + 4.0


def _vec(row: Sequence[float]) -> Vec3:
    return row[0], row[1], row[2]


def _xy(p: Point) -> str:
    return f"{_n(p[0])} {_n(p[1])}"


def _n(x: float) -> str:
    return f"{x:.1f}".removesuffix(".0")
