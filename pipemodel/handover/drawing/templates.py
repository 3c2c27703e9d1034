"""Full-size templates: a planar stretch of a run 1:1, an angle card, and the strip that wraps round the tube."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, cos, pi, radians, sin, tan

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Arc, Piece
from pipemodel.geometry.vectors import Vec3, cross, dot, sub
from pipemodel.handover.drawing.sheet import Point, Role, Sheet

FLAT_DEG = 0.1
"""Turns nearer than this to 0 or 180 leave the next bend in the same plane."""
TAIL_MM = 150.0
"""An end leg longer than this is cut short on a template, with its true length written on it."""
SIDE_MM = 30.0
"""How far a side line runs either way of its mark on the wrap."""


@dataclass(frozen=True)
class Stretch:
    """Consecutive bends in one plane: numbers of the first and the last."""

    first: int
    last: int


def planar_stretches(solved: SolvedRun) -> list[Stretch]:
    """Split a run at the bends that leave the plane of the one before; every bend is in one stretch."""
    stretches: list[Stretch] = []
    for bend in solved.table.bends:
        aside = min(abs(bend.turn_deg), 180.0 - abs(bend.turn_deg))
        if bend.number > 1 and aside <= FLAT_DEG:
            stretches[-1] = Stretch(stretches[-1].first, bend.number)
        else:
            stretches.append(Stretch(bend.number, bend.number))
    return stretches


def template(solved: SolvedRun, stretch: Stretch) -> Sheet:
    """Draw a planar stretch full size: both walls, centreline, bend starts and angles.

    The sheet is as large as the stretch; `tiles` cuts it into pages.
    """
    pieces = solved.centreline.pieces[2 * (stretch.first - 1) : 2 * stretch.last + 1]
    first_arc = pieces[1]
    assert isinstance(first_arc, Arc)
    origin, x_axis, y_axis = first_arc.start, first_arc.direction, cross(first_arc.axis, first_arc.direction)

    def flat(p: Vec3) -> Point:
        d = sub(p, origin)
        return (dot(d, x_axis), dot(d, y_axis))

    half = solved.tube.outside_mm / 2.0
    strokes: list[tuple[list[Point], Role]] = []
    words: list[tuple[str, Point, float]] = []
    for i, piece in enumerate(pieces):
        begin, end = 0.0, piece.length
        if i == 0 and end > TAIL_MM:
            begin = end - TAIL_MM
        if i == len(pieces) - 1 and end > TAIL_MM:
            end = TAIL_MM
        for side, role in ((half, Role.OUTLINE), (-half, Role.OUTLINE), (0.0, Role.CENTRE)):
            strokes.append(([flat(p) for p in _offset(piece, begin, end, side, first_arc.axis)], role))
        if (begin, end) != (0.0, piece.length):
            at = begin if i == 0 else end
            strokes.append(([flat(p) for p in _across(piece, at, half + 4.0, first_arc.axis)], Role.DIMENSION))
            place = flat(piece.point_at((begin + end) / 2.0))
            words.append((f"cut short: this leg is {piece.length:.1f}", (place[0], place[1] + half + 3.0), 3.0))
        if isinstance(piece, Arc):
            number = stretch.first + i // 2
            for at in (0.0, piece.length):
                strokes.append(([flat(p) for p in _across(piece, at, half + 5.0, first_arc.axis)], Role.MARK))
            middle = flat(piece.point_at(piece.length / 2.0))
            centre = flat(piece.centre)
            away = (middle[0] - centre[0], middle[1] - centre[1])
            n = (away[0] ** 2 + away[1] ** 2) ** 0.5
            place = (middle[0] + away[0] / n * (half + 6.0), middle[1] + away[1] / n * (half + 6.0))
            words.append((f"bend {number}: {piece.angle_deg:.1f}\u00b0", place, 3.5))
    xs = [p[0] for points, _ in strokes for p in points]
    ys = [p[1] for points, _ in strokes for p in points]
    pad = 15.0
    left, low = min(xs) - pad, min(ys) - pad
    sheet = Sheet(
        max(xs) - left + pad, max(ys) - low + pad, f"{solved.name}, bends {stretch.first} to {stretch.last}, 1:1"
    )
    for points, role in strokes:
        sheet.line([(x - left, y - low) for x, y in points], role)
    for text, (x, y), height in words:
        sheet.words(text, (x - left, y - low), height, "centre")
    return sheet


def _offset(piece: Piece, begin: float, end: float, side: float, normal: Vec3) -> list[Vec3]:
    """Points of a piece moved sideways in the plane; an arc in chords that miss it by less than 0.01 mm."""
    steps = 1
    if isinstance(piece, Arc):
        steps = max(2, ceil((end - begin) / piece.radius / 0.035))
    points = []
    for k in range(steps + 1):
        s = begin + (end - begin) * k / steps
        left = cross(normal, piece.direction_at(s))
        p = piece.point_at(s)
        points.append((p[0] + left[0] * side, p[1] + left[1] * side, p[2] + left[2] * side))
    return points


def _across(piece: Piece, s: float, reach: float, normal: Vec3) -> list[Vec3]:
    return [_offset(piece, s, s, side, normal)[0] for side in (reach, -reach)]


def angle_card(solved: SolvedRun, angle_deg: float, leg: float = 60.0) -> Sheet:
    """Draw a card to cut out and lay inside a bend: its two long edges meet at the angle the legs should have.

    The corner is cut off where the bend's inside would touch it, so that only the legs are judged.
    """
    inside = radians(180.0 - angle_deg)
    throat = (solved.former.radius_mm - solved.tube.outside_mm / 2.0) * tan(radians(angle_deg) / 2.0) + 3.0
    far = throat + leg

    def at(s: float, second: bool) -> Point:
        return (s * cos(inside), s * sin(inside)) if second else (s, 0.0)

    shape = [at(throat, False), at(far, False), at(far, True), at(throat, True)]
    left, low = min(x for x, _ in shape) - 6.0, -12.0
    sheet = Sheet(far - left + 6.0, max(y for _, y in shape) - low + 6.0, f"Angle card {angle_deg:g}\u00b0")
    sheet.line([(x - left, y - low) for x, y in shape], Role.OUTLINE, closed=True)
    middle = (sum(x for x, _ in shape) / 4.0 - left, sum(y for _, y in shape) / 4.0 - low)
    sheet.words(f"bend {angle_deg:.1f}\u00b0", middle, 4.0, "centre")
    sheet.words("cut out, lay inside the bend: both legs lie along it", (far - left, 4.0), 2.0, "right")
    return sheet


def wrap_strips(solved: SolvedRun, length: float = 250.0) -> Iterator[Sheet]:
    """Draw the paper that wraps round the tube, in strips `length` mm long, printed side out, start to the left.

    A line across is a mark; a line along the tube is the side that becomes the inside of that bend. Seen from
    the start end a clockwise turn runs down the paper. The strip is as wide as the tube is round, plus a tab.
    """
    round_mm = pi * solved.tube.outside_mm
    tab = 6.0
    total = solved.cut_length_mm
    sides: list[tuple[float, float, int]] = []
    turned = 0.0
    for bend in solved.table.bends:
        turned += bend.turn_deg
        sides.append((solved.mark_mm(bend), (0.5 - turned / 360.0) % 1.0, bend.number))
    for k in range(ceil(total / length)):
        begin, end = k * length, min((k + 1) * length, total)
        if not any(mark - SIDE_MM < end and begin < mark + SIDE_MM for mark, _, _ in sides):
            continue  # nothing to carry over; the next strip is laid on by its own figures
        sheet = Sheet(end - begin + 24.0, round_mm + tab + 14.0, f"Wrap of {solved.name}, {begin:.0f} to {end:.0f}")
        x0, y0 = 12.0, tab + 6.0

        def place(s: float, around: float, x0: float = x0, y0: float = y0, begin: float = begin) -> Point:
            return (x0 + s - begin, y0 + around * round_mm)

        sheet.line([place(begin, 0), place(end, 0), place(end, 1), place(begin, 1)], Role.OUTLINE, closed=True)
        sheet.line([place(begin, 0), (x0, y0 - tab), (x0 + end - begin, y0 - tab), place(end, 0)], Role.PAPER)
        sheet.words("glue tab", (x0 + 2.0, y0 - tab + 1.5), 2.0)
        sheet.words(f"strip {k + 1}: {begin:.0f} to {end:.0f} from the start end", (x0, y0 + round_mm + 3.0), 2.5)
        tick = ceil(begin / 10.0) * 10.0
        while tick <= end:
            sheet.line([place(tick, 0), place(tick, 0.06 if tick % 50 else 0.12)], Role.PAPER)
            if tick % 50 == 0:
                sheet.words(f"{tick:.0f}", place(tick + 1.0, 0.03), 2.0)
            tick += 10.0
        for mark, around, number in sides:
            if begin <= mark <= end:
                sheet.line([place(mark, 0), place(mark, 1)], Role.MARK)
                sheet.words(
                    str(number),
                    (place(mark, around)[0] + 1.5, place(mark, around)[1] + 1.0),
                    3.5,
                    role=Role.MARK,
                    bold=True,
                )
            low, high = max(begin, mark - SIDE_MM), min(end, mark + SIDE_MM)
            if low < high:
                sheet.line([place(low, around), place(high, around)], Role.MARK)
        yield sheet


@dataclass(frozen=True)
class Tile:
    """One page of a sheet too large for it: where its lower left corner lies on the sheet, row and column."""

    left: float
    low: float
    row: int
    column: int


def tiles(sheet: Sheet, width: float, height: float, overlap: float = 10.0) -> list[Tile]:
    """Cover a sheet with pages of usable size `width` by `height` mm; pages with nothing on them are left out."""
    from pipemodel.handover.drawing.sheet import Circle, Line, Words

    step_x, step_y = width - overlap, height - overlap
    columns = max(1, ceil((sheet.width - overlap) / step_x))
    rows = max(1, ceil((sheet.height - overlap) / step_y))

    def touched(tile: Tile) -> bool:
        for item in sheet.primitives():
            if isinstance(item, Line):
                for a, b in zip(item.points, item.points[1:], strict=False):
                    if _crosses(a, b, tile.left, tile.low, tile.left + width, tile.low + height):
                        return True
            elif isinstance(item, Circle | Words):
                x, y = item.centre if isinstance(item, Circle) else item.at
                if tile.left <= x <= tile.left + width and tile.low <= y <= tile.low + height:
                    return True
        return False

    pages = [Tile(c * step_x, r * step_y, r + 1, c + 1) for r in range(rows) for c in range(columns)]
    return [page for page in pages if touched(page)]


def _crosses(a: Point, b: Point, left: float, low: float, right: float, high: float) -> bool:
    """Whether the stroke a to b enters the rectangle (Liang and Barsky's clipping)."""
    t0, t1 = 0.0, 1.0
    dx, dy = b[0] - a[0], b[1] - a[1]
    for p, q in ((-dx, a[0] - left), (dx, right - a[0]), (-dy, a[1] - low), (dy, high - a[1])):
        if p == 0.0:
            if q < 0.0:
                return False
        elif p < 0.0:
            t0 = max(t0, q / p)
        else:
            t1 = min(t1, q / p)
    return t0 <= t1
