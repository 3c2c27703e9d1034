"""Templates, angle cards and wraps as drawn at full size: laid on the piece and round the tube, and measured."""

import re
from dataclasses import dataclass, field
from math import pi

import numpy as np

from follower.figures import length
from follower.full_size import seen
from follower.shape import half_turn

BLACK = (0.0, 0.0, 0.0)
LETTER_MM = 2.5
"""About how wide a letter of the words on a template is."""


@dataclass
class Laid:
    """A template measured: straights as drawn, angles signed to the left, radii of walls and axis, what is written.

    `said` is (angle, radius) by bend; `whole` the leg a cut tail says it has, at the first and the last end, or None.
    """

    straights: list = field(default_factory=list)
    angles: list = field(default_factory=list)
    radii: list = field(default_factory=list)
    bends: list = field(default_factory=list)
    said: dict = field(default_factory=dict)
    whole: tuple = (None, None)


def lay(template, outside, unit="mm"):
    """Lay the pages together, and measure what is then seen."""
    begin = min(template.pages)
    first = template.pages[begin]
    lines = [line for line in first.lines if not line.closed and (line.width > 0.15)]
    for place, page in template.pages.items():
        others = [line for line in page.lines if not line.closed and (line.width > 0.15)]
        for a, b in zip(lines, others, strict=True):
            assert np.allclose(a.points, b.points + template.shifts[place], atol=0.02)
    for line in lines:
        whole = [
            seen(page, line._replace(points=line.points - template.shifts[p])) for p, page in template.pages.items()
        ]
        there = np.concatenate([s + template.shifts[p] for s, p in zip(whole, template.pages, strict=True)])
        for point in line.points:
            assert np.hypot(*(there - point).T).min() < 1.0, "every line is on some page"
    walls = [line.points for line in lines if line.width > 0.4 and line.colour == BLACK]
    chain = _chain([line.points for line in lines if line.dashed])
    text = [(w.text, w.at) for w in first.words]
    names = {int(m[1]): (at, m) for t, at in text if (m := re.fullmatch(r"bend (\d+): ([\d.]+)\u00b0, R (.+)", t))}
    arcs = [part for part in chain if len(part) > 2]
    order = sorted(names)
    assert len(arcs) == len(order)

    def apart(parts):
        return sum(_reach(names[n], part[len(part) // 2]) for n, part in zip(order, parts, strict=True))

    if apart(arcs[::-1]) < apart(arcs):
        chain, arcs = [part[::-1] for part in chain[::-1]], [part[::-1] for part in arcs[::-1]]
    laid = Laid(bends=order)
    laid.said = {n: (float(m[2]), length(m[3], unit).mm) for n, (_, m) in names.items()}
    for part in chain:
        if len(part) == 2:
            laid.straights.append(float(np.hypot(*(part[1] - part[0]))))
            _beside(part, walls, outside)
        else:
            centre, radius, off = circle(part)
            assert off < 0.02
            laid.angles.append(_sweep(part, centre))
            mine = [circle(w) for w in walls if len(w) > 2]
            laid.radii.append(sorted([radius, *(r for c, r, _ in mine if np.hypot(*(c - centre)) < 0.05)]))
    across = [line.points.mean(axis=0) for line in lines if line.colour != BLACK]
    ends = [p for part in arcs for p in (part[0], part[-1])]
    assert len(across) == len(ends)
    assert all(min(np.hypot(*(a - e)) for a in across) < 0.05 for e in ends), "strokes where bends begin and end"
    cut = [(at, m) for t, at in text if (m := re.fullmatch(r"cut short: leg (.+)", t))]
    whole = [None, None]
    tips = (chain[0][0], chain[-1][-1])
    for word in cut:
        k = int(_reach(word, tips[1]) < _reach(word, tips[0]))
        assert whole[k] is None
        whole[k] = length(word[1][1], unit).mm
    laid.whole = tuple(whole)
    return laid


def circle(points):
    """Fit a circle to points: centre, radius, and how far the worst of them lies off it."""
    a = np.column_stack([2 * points, np.ones(len(points))])
    x, y, c = np.linalg.lstsq(a, (points**2).sum(axis=1), rcond=None)[0]
    radius = (c + x * x + y * y) ** 0.5
    return np.array([x, y]), float(radius), float(abs(np.hypot(*(points - [x, y]).T) - radius).max())


def _sweep(points, centre):
    ways = np.unwrap(np.arctan2(*(points - centre).T[::-1]))
    return float(np.degrees(ways[-1] - ways[0]))


def _chain(parts):
    """Put the lengths of the axis in order, end to end."""
    ends = [p for part in parts for p in (part[0], part[-1])]
    loose = [p for p in ends if sum(np.hypot(*(p - q)) < 0.02 for q in ends) == 1]
    assert len(loose) == 2, "one line from end to end"
    at, left, out = loose[0], list(parts), []
    while left:
        k = next(i for i, part in enumerate(left) if min(np.hypot(*(part[j] - at)) for j in (0, -1)) < 0.02)
        part = left.pop(k)
        part = part if np.hypot(*(part[0] - at)) < 0.02 else part[::-1]
        out.append(part)
        at = part[-1]
    return out


def _beside(part, walls, outside):
    """Both walls of a straight run beside it, half the outside diameter off, as long as it."""
    way = (part[1] - part[0]) / np.hypot(*(part[1] - part[0]))
    aside = np.array([-way[1], way[0]]) * outside / 2
    for side in (aside, -aside):
        assert any(
            len(w) == 2 and min(abs(w - part - side).max(), abs(w[::-1] - part - side).max()) < 0.02 for w in walls
        )


def _reach(word, point):
    """How far words are from a point: from the nearest place of their line."""
    at, found = word
    x = np.clip(point[0], at[0], at[0] + LETTER_MM * len(found[0]))
    return float(np.hypot(x - point[0], at[1] + 1.5 - point[1]))


def _inside(words, box):
    low, high = box.min(axis=0), box.max(axis=0)
    return [w for w in words if (w.at >= low).all() and (w.at <= high).all()]


def _outlines(page):
    return [line.points for line in page.lines if line.closed and not line.filled and line.width > 0.4]


def angle_cards(page):
    """Return (angle written, angle between the long edges, how far the card's corner is cut off) of each card."""
    out = []
    for box in _outlines(page):
        written = [m for w in _inside(page.words, box) if (m := re.fullmatch(r"([\d.]+)\u00b0", w.text))]
        if not written:
            continue
        (written,) = written
        sides = np.diff([*box, box[0]], axis=0)
        ways = sides / np.hypot(*sides.T)[:, None]
        # Long edges meet at an angle; corner and far end are cut alike.
        k = int(abs(ways[1] @ ways[3]) < abs(ways[0] @ ways[2]))
        a, b, c, d = np.roll(box, -k, axis=0)
        one, two = (b - a), (c - d)
        t, _ = np.linalg.solve(np.array([one, -two]).T, d - a)
        corner = a + t * one
        edges = sorted(((np.hypot(*(p - corner)), p) for p in (a, b)), key=lambda e: e[0])
        other = sorted(((np.hypot(*(p - corner)), p) for p in (c, d)), key=lambda e: e[0])
        u, v = edges[1][1] - corner, other[1][1] - corner
        between = np.degrees(np.arccos(u @ v / np.hypot(*u) / np.hypot(*v)))
        out.append((float(written[1]), float(between), float(min(edges[0][0], other[0][0]))))
    return out


def wraps(page, run, outside, unit="mm"):
    """Lay the strips of a run on a page round the tube.

    Returns:
        (bend, figure written, where the line across stands along the tube, degrees of the line along clockwise round
        the tube as seen from its start end, from the line that the paper's edge follows), and how many figures of
        rulers stand where they say.
    """
    marks, figures = [], 0
    for box in _outlines(page):
        low, high = box.min(axis=0), box.max(axis=0)
        if abs(high[1] - low[1] - pi * outside) > 0.05 or not np.allclose(
            np.sort(np.ptp(box, axis=0)), np.sort(high - low)
        ):
            continue
        heads = [
            (w, m)
            for w in page.words
            if (m := re.fullmatch(rf"{re.escape(run)}, bends? ([\d, ]+)|left edge (.+) from the start end", w.text))
        ]
        heads = [m for w, m in heads if abs(w.at[0] - low[0]) < 0.5 and 0 < w.at[1] - high[1] < 8]
        if not any(m[1] for m in heads):
            continue
        (head,) = (m for m in heads if m[1])
        (begins,) = (m for m in heads if m[2])
        edge = length(begins[2], unit).mm
        blue = [
            line.points for line in page.lines if line.colour != BLACK and line.width > 0.4 and len(line.points) == 2
        ]
        blue = [b for b in blue if (b >= low - 0.05).all() and (b <= high + 0.05).all()]
        across = [b for b in blue if abs(b[0, 0] - b[1, 0]) < 0.01]
        along = [b for b in blue if abs(b[0, 1] - b[1, 1]) < 0.01]
        assert all(abs(np.ptp(b[:, 1]) - pi * outside) < 0.05 for b in across)
        numbers = []
        for words in _inside(page.words, box):
            if not (found := re.fullmatch(r"(\d+): (.+)", words.text)):
                tick = words.at[0] - low[0] - 0.6
                assert abs(length(words.text, unit).mm - edge - tick) < (0.3 if unit == "mm" else 1.0), words
                figures += 1
                continue
            line = min(across, key=lambda b: abs(words.at[0] - 1.2 - b[0, 0]))
            x = line[0, 0]
            spans = [b for b in along if b[:, 0].min() <= x + 0.01 and b[:, 0].max() >= x - 0.01]
            side = min(spans, key=lambda b: min(abs(words.at[1] - 1.0 - b[0, 1]), abs(words.at[1] + 4.0 - b[0, 1])))
            # Printed side out and start to the left, up the paper is anticlockwise as seen from the start.
            round_ = half_turn(-(side[0, 1] - low[1]) / (pi * outside) * 360.0)
            marks.append((int(found[1]), length(found[2], unit).mm, edge + x - low[0], round_))
            numbers.append(int(found[1]))
        assert sorted(numbers) == sorted(int(n) for n in head[1].split(","))
        assert len(across) == len(numbers)
    return marks, figures
