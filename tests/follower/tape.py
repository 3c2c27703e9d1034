"""Reader of the tape line as the page draws it: marks where they are drawn, words, clock hands and hatching."""

import re
from dataclasses import dataclass, field
from math import atan2, degrees, hypot

from follower.figures import length, turned

_FIGURE = r"-?(?:\d+\.?\d*|\.\d+)"


@dataclass
class TapeRead:
    """A tape line: figures as written, and what is drawn, in mm along the tube by its own scale.

    `figures` and `drawn` are marks by bend; `pulls` are (pull, bend, what is turned); `hands` the clock hands by bend,
    degrees clockwise from straight up; `hatched` where bends lie, from and to.
    """

    cut: float = 0.0
    start_left: bool = False
    figures: dict = field(default_factory=dict)
    drawn: dict = field(default_factory=dict)
    pulls: list = field(default_factory=list)
    hands: dict = field(default_factory=dict)
    hatched: list = field(default_factory=list)


def tape(svg, unit="mm"):
    """Read a tape line from its SVG element."""
    texts, circles, strokes = [], [], []
    for item in svg.iter():
        tag = str(item.tag).rsplit("}", 1)[-1]
        if tag == "text":
            texts.append((float(item.get("x")), float(item.get("y")), "".join(item.itertext())))
        elif tag == "circle":
            circles.append((float(item.get("cx")), float(item.get("cy")), float(item.get("r"))))
        elif tag == "path":
            strokes += list(_strokes(item.get("d")))
    read = TapeRead()
    boxes = [points for points, closed in strokes if closed and len(points) == 4]
    tube = max(boxes, key=_width)
    left, right = _span(tube)
    cut = next(text for _, _, text in texts if text.startswith("cut "))
    read.cut = length(cut.removeprefix("cut "), unit).mm
    read.start_left = next(x for x, _, text in texts if text == "start") < (left + right) / 2

    def along(x):
        return (x - left) / (right - left) * read.cut

    read.hatched = sorted(tuple(map(along, _span(box))) for box in boxes if box is not tube)
    # A mark crosses the tube, 6 mm high as it is drawn; its line may go on aside to where its number has room.
    uprights = [points for points, _ in strokes if max(abs(a[1] - b[1]) for a in points for b in points) >= 8.0]
    for x, y, text in texts:
        below = [t for a, b, t in texts if abs(a - x) < 0.02 and 2.0 < b - y < 5.0]
        if not text.isdigit() or len(below) != 1:
            continue
        bend = int(text)
        read.figures[bend] = length(below[0], unit).mm
        led = [p for p in uprights if abs(p[-1][0] - x) < 0.02 and 0.0 < p[-1][1] - y < 6.0]
        assert len(led) == 1, text
        assert abs(led[0][0][0] - led[0][1][0]) < 0.02, "straight across the tube"
        read.drawn[bend] = along(led[0][0][0])
    at = {bend: left + mm / read.cut * (right - left) for bend, mm in read.drawn.items()}
    for cx, cy, r in circles:
        led = [p for p, _ in strokes if hypot(p[-1][0] - cx, p[-1][1] - cy + r) < 0.05 and p[0][1] < cy - r - 0.1]
        assert len(led) == 1, "a line from the mark to its clock"
        bend = min(at, key=lambda n: abs(at[n] - led[0][0][0]))
        assert abs(at[bend] - led[0][0][0]) < 0.05
        beside = [(abs(x - cx), text) for x, y, text in texts if text.startswith("pull ") and 0 < y - cy - r < 4.0]
        number, _, words = min(beside)[1].removeprefix("pull ").partition(": ")
        read.pulls.append((int(number), bend, turned(words or "first pull")))
        spokes = [p for p, closed in strokes if not closed and len(p) == 2 and hypot(p[0][0] - cx, p[0][1] - cy) < 0.02]
        hands = [degrees(atan2(p[1][0] - cx, cy - p[1][1])) for p in spokes if abs(hypot(*_step(p)) - r) < 0.05]
        other = [hand for hand in hands if abs(hand) > 0.01]
        assert len(hands) == 1 + len(other) <= 2, "straight up, and the hand"
        read.hands[bend] = other[0] if other else 0.0
    read.pulls.sort()
    return read


def _strokes(d):
    """Take a path apart into strokes: (points, closed). Arcs are passed over."""
    tokens = re.findall(rf"[mMlzA]|{_FIGURE}", d)
    points, at, i = [], (0.0, 0.0), 0
    while i < len(tokens):
        kind, i = tokens[i], i + 1
        numbers = []
        while i < len(tokens) and tokens[i] not in "mMlzA":
            numbers.append(float(tokens[i]))
            i += 1
        if kind in "mM":
            if len(points) > 1:
                yield points, False
            x, y = at if kind == "m" else (0.0, 0.0)
            points = [(x + numbers[0], y + numbers[1])]
            numbers = numbers[2:]
        if kind in "mMl":
            # The page tells each point from the one before.
            for dx, dy in zip(numbers[::2], numbers[1::2], strict=True):
                points.append((points[-1][0] + dx, points[-1][1] + dy))
            at = points[-1]
        if kind == "z":
            at = points[0]
            yield points, True
            points = []
        if kind == "A":
            points = []
    if len(points) > 1:
        yield points, False


def _span(points):
    xs = [x for x, _ in points]
    return min(xs), max(xs)


def _width(points):
    low, high = _span(points)
    return high - low


def _step(points):
    return points[1][0] - points[0][0], points[1][1] - points[0][1]
