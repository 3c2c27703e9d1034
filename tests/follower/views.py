"""Reader of the general drawing: views by the names they bear, laid over the tube that the corners mean.

What a name means is settled here: x is east, y north, z up; looking from the south, east is to the right.
"""

import re
from typing import NamedTuple

import numpy as np

from follower.shape import axis_through
from follower.svg import BLUE, Circle, Line, Words

_EAST, _NORTH, _UP = np.eye(3)
_ASIDE = 2**-0.5


def _isometric(right, eye):
    right = np.asarray(right, float) * _ASIDE
    return right, np.cross(np.asarray(eye, float) / 3**0.5, right)


LOOKS = {
    "from the south": (_EAST, _UP),
    "from the north": (-_EAST, _UP),
    "from the west": (-_NORTH, _UP),
    "from the east": (_NORTH, _UP),
    "plan, from above": (_EAST, _NORTH),
    "plan, from above, north at the bottom": (-_EAST, -_NORTH),
    "plan, from above, east at the bottom": (_NORTH, -_EAST),
    "plan, from above, west at the bottom": (-_NORTH, _EAST),
    "isometric, from the south-east": _isometric((1, 1, 0), (1, -1, 1)),
    "isometric, from the south-west": _isometric((1, -1, 0), (-1, -1, 1)),
    "isometric, from the north-east": _isometric((-1, 1, 0), (1, 1, 1)),
    "isometric, from the north-west": _isometric((-1, -1, 0), (-1, 1, 1)),
}
"""What points right and what points up in each view."""
TUBE = {("#000000", 0.35, ""), ("#000000", 0.25, "2 0.8")}
"""Lines of a tube: seen, and hidden."""


class View(NamedTuple):
    """A view as drawn: its name, n of 1:n, what it leaves out, the tubes' lines, and where they came to lie."""

    name: str
    scale: float
    without: str
    strokes: list
    shift: np.ndarray

    @property
    def eye(self):
        """The way towards the eye, of length 1."""
        return np.cross(*LOOKS[self.name])

    def at(self, points):
        """Return where points (n, 3) of the room are drawn."""
        return np.atleast_2d(points) @ np.array(LOOKS[self.name]).T / self.scale + self.shift


class Detail(NamedTuple):
    """A detail: its n of 1:n, the circle in a view that it shows larger, its frame's corners, and what is in it."""

    scale: float
    circle: Circle
    frame: np.ndarray
    items: list


def parted(sheet):
    """Return a drawing without its details, and these."""
    kept, found = list(sheet.items), []
    for title in sheet.of(Words):
        if not (match := re.fullmatch(r"([A-Z]) \(1:(\d+)\)", title.text)):
            continue
        frames = [i.points for i in sheet.of(Line) if i.closed and not i.area and len(i.points) == 4]
        frame = min(frames, key=lambda p: np.hypot(*([p[:, 0].min(), p[:, 1].max()] - title.at)))
        low, high = frame.min(axis=0) - 1e-3, frame.max(axis=0) + 1e-3
        items = [
            i for i in kept if i is not title and (low <= (where := _spread(i))[0]).all() and (where[1] <= high).all()
        ]
        letter = next(w for w in sheet.of(Words) if w.text == match[1] and w.colour != "" and not _is_grid(w, sheet))
        rings = [c for c in sheet.of(Circle) if not c.area]
        circle = min(rings, key=lambda c: abs(np.hypot(*(c.centre - letter.at)) - c.radius))
        kept = [
            i for i in kept if i is not title and i is not letter and i is not circle and all(i is not o for o in items)
        ]
        found.append(Detail(float(match[2]), circle, frame, items))
    return sheet._replace(items=kept), found


def _spread(item):
    if isinstance(item, Line):
        return item.points.min(axis=0), item.points.max(axis=0)
    at = item.centre if isinstance(item, Circle) else item.at
    return at, at


def _is_grid(words, sheet):
    """Whether a letter is one of those in the margins that places on a large sheet are named by."""
    x, y = words.at
    return x < 20.0 or y < 10.0 or x > sheet.width - 10.0 or y > sheet.height - 10.0


def scale_of(sheet):
    """Return the scale in the title block, which stands lower than that of any view: a match of 1:n."""
    found = [(w.at[1], m) for w in sheet.of(Words) if (m := re.fullmatch(r"1:(\d+)", w.text))]
    return min(found, key=lambda one: one[0])[1]


def views(sheet, tubes):
    """Read the views of a drawing; `tubes` are (corner points, radius, outside) of what must be in every one."""
    title = scale_of(sheet)
    found, here = [], None
    for item in sheet.items:
        if isinstance(item, Words) and item.text in LOOKS:
            here = (item, [])
            found.append(here)
        elif here and isinstance(item, Line) and not item.closed and (item.stroke, item.width, item.dashes) in TUBE:
            here[1].append((item.points, not item.dashes))
    skin = np.concatenate([_skin(*tube) for tube in tubes])
    out = []
    for name, strokes in found:
        notes = [w.text for w in sheet.of(Words) if abs(w.at[0] - name.at[0]) < 0.01 and 0 < name.at[1] - w.at[1] < 4]
        own = next((m for note in notes if (m := re.match(r"1:(\d+)", note))), title)
        without = next((note.split("without ")[1] for note in notes if "without " in note), "")
        drawn = np.concatenate([points for points, _ in strokes])
        solid = np.concatenate([points for points, full in strokes if full])
        assert np.allclose(np.ptp(solid, axis=0), np.ptp(drawn, axis=0), atol=0.1), "nothing hides the outermost lines"
        assert drawn[:, 0].min() > name.at[0] - 1.0
        assert drawn[:, 1].max() < name.at[1], "a view lies under its name"
        flat = skin @ np.array(LOOKS[name.text]).T / float(own[1])
        size, drawn_size = np.ptp(flat, axis=0), np.ptp(drawn, axis=0)
        assert np.allclose(size, drawn_size, atol=0.1), (name.text, size, drawn_size)
        out.append(
            View(
                name.text,
                float(own[1]),
                without,
                [points for points, _ in strokes],
                drawn.min(axis=0) - flat.min(axis=0),
            )
        )
    return out


def _skin(points, radius, outside):
    places, ways, _ = axis_through(points, radius)
    rings = []
    for k in range(48):
        aside = np.cross(ways, [0.31, -0.52, 0.79])
        aside /= np.linalg.norm(aside, axis=1)[:, None]
        other = np.cross(ways, aside)
        a = k * np.pi / 24
        rings.append(places + outside / 2 * (np.cos(a) * aside + np.sin(a) * other))
    return np.concatenate(rings)


def table(sheet):
    """Return the rows of the table of corners, by their heads."""
    words = sheet.of(Words)
    head = next(w for w in words if w.text == "corner")
    heads = sorted((w for w in words if abs(w.at[1] - head.at[1]) < 0.01), key=lambda w: w.at[0])
    rows = {}
    for w in words:
        if (
            w.at[1] < head.at[1] - 1.0
            and abs(w.at[0] - head.at[0]) < 0.01
            and re.match(r"start$|bend \d|finish$", w.text)
        ):
            cells = {}
            for cell in (c for c in words if abs(c.at[1] - w.at[1]) < 0.01):
                over = min(heads, key=lambda h: abs(h.at[0] - cell.at[0]) + 99 * (h.anchor != cell.anchor))
                if abs(over.at[0] - cell.at[0]) < 0.01:
                    cells[over.text] = cell.text
            rows[w.text] = cells
    return rows


def measures(sheet):
    """Return what is dimensioned: (figure, length of the line between its two arrows, mm on paper)."""
    lines = [
        i.points
        for i in sheet.of(Line)
        if len(i.points) == 2 and (i.width, i.stroke, i.dashes) == (0.18, "#000000", "")
    ]
    tips = [i.points[0] for i in sheet.of(Line) if i.closed and i.area == "#000000" and len(i.points) == 3]
    figures = [w for w in sheet.of(Words) if w.anchor == "middle" and re.match(r"[\d /]+$|\d+\.5$", w.text)]
    for a, b in lines:
        if all(any(np.hypot(*(tip - end)) < 0.01 for tip in tips) for end in (a, b)):
            near = [w for w in figures if np.hypot(*(w.at - (a + b) / 2)) < 1.0]
            if near:
                yield near[0].text, float(np.hypot(*(b - a)))


def labels(sheet, first):
    """Return (name, place) of what is written in the views: bends as their numbers, and ends."""
    for w in sheet.of(Words):
        if w.colour == BLUE and (number := re.match(r"(\d+)(?:: [\d.]+\u00b0)?$", w.text)):
            yield int(number[1]), w
        elif (name := re.match(r"(start|finish)(?: \(|$)", w.text)) and (w.at[0], w.anchor) != first:
            yield name[1], w
