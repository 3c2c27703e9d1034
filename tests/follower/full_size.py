"""Reader of the pack's full-size pages: what each draws, and the pages laid on each other by their crosses.

Places are mm from the lower left corner of the paper; words are where their left end stands.
"""

import re
from collections import defaultdict
from functools import cache
from typing import NamedTuple

import numpy as np
from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72.0


class Line(NamedTuple):
    """A line or an area: points (n, 2), whether closed, whether filled, its width and colour, whether dashed."""

    points: np.ndarray
    closed: bool
    filled: bool
    width: float
    colour: tuple
    dashed: bool


class Words(NamedTuple):
    """Words, where their left end stands, and how far they are turned, degrees."""

    text: str
    at: np.ndarray
    angle: float


class Page(NamedTuple):
    """A page: lines, words, and the window (left, low, right, high) that clips its template, None where none does."""

    lines: list
    words: list
    window: tuple | None

    @property
    def title(self):
        """What it says at its foot that it is."""
        return next(w.text for w in self.words if ", full size" in w.text)


@cache
def full_size(path):
    """Return the full-size pages of a pack, in order."""
    reader = PdfReader(path)
    # They are the last of a pack.
    out = []
    for page in reversed(reader.pages):
        found = _page(reader, page)
        if not any("must be 100 mm long" in words.text for words in found.words):
            break
        out.insert(0, found)
    return out


def _page(reader, page):
    state, stack, lines, here, window = (np.eye(3), 1.0, (0, 0, 0), False), [], [], [], None
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        if operator == b"q":
            stack.append(state)
        elif operator == b"Q":
            state = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = map(float, operands)
            state = (np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ state[0], *state[1:])
        elif operator == b"w":
            state = (state[0], float(operands[0]) * abs(np.linalg.det(state[0])) ** 0.5 * MM, *state[2:])
        elif operator == b"RG":
            state = (*state[:2], tuple(round(float(x), 2) for x in operands), state[3])
        elif operator == b"d":
            state = (*state[:3], bool(len(operands[0])))
        elif operator in (b"m", b"re"):
            values = [float(x) for x in operands]
            x, y = values[:2]
            closed = operator == b"re"
            box = [[x, y], [x + values[-2], y], [x + values[-2], y + values[-1]], [x, y + values[-1]]]
            here.append([box if closed else [[x, y]], closed])
        elif operator in (b"l", b"c"):
            here[-1][0].append([float(x) for x in operands[-2:]])
        elif operator == b"h":
            here[-1][1] = True
        elif operator == b"W*":
            flat = _placed(here[-1][0], state[0])
            window = (*flat.min(axis=0), *flat.max(axis=0))
        elif operator in (b"S", b"s", b"f", b"f*", b"B", b"B*", b"b", b"n"):
            for points, closed in here if operator != b"n" else ():
                filled = operator in (b"f", b"f*", b"B", b"B*", b"b")
                closed = closed or operator in (b"s", b"b")
                lines.append(Line(_placed(points, state[0]), closed, filled, *state[1:]))
            here = []
    words = []

    def note(text, cm, tm, *_):
        if text.strip():
            a, b, c, d, e, f = cm
            outer = np.array([[a, b, 0], [c, d, 0], [e, f, 1]])
            a, b, c, d, e, f = tm
            both = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ outer
            words.append(Words(text.strip(), both[2, :2] * MM, float(np.degrees(np.arctan2(both[0, 1], both[0, 0])))))

    page.extract_text(visitor_text=note)
    return Page(lines, words, window)


def _placed(points, matrix):
    return (np.column_stack([points, np.ones(len(points))]) @ matrix)[:, :2] * MM


def bars(page):
    """Return how long the lying and the standing bar are: ten boxes of 2 mm in a row."""
    boxes = [line.points for line in page.lines if line.closed and len(line.points) == 4]
    out = []
    for axis in (0, 1):
        mine = [b for b in boxes if abs(np.ptp(b[:, 1 - axis]) - 2.0) < 0.05 and np.ptp(b[:, axis]) > 5.0]
        rows = defaultdict(list)
        for b in mine:
            rows[round(float(b[:, 1 - axis].min()), 1)].append(b)
        row = max(rows.values(), key=len)
        assert len({round(float(b[:, axis].min()), 1) for b in row}) == 10
        out.append(float(max(b[:, axis].max() for b in row) - min(b[:, axis].min() for b in row)))
    return out


def crosses(page):
    """Return the middles of the crosses a page is cut along, by corner: (right or not, upper or not)."""
    left, low, right, high = page.window
    middle = np.array([(left + right) / 2, (low + high) / 2])
    strokes = [line.points for line in page.lines if len(line.points) == 2 and line.width < 0.2]
    level = [s for s in strokes if abs(s[0, 1] - s[1, 1]) < 0.01 and abs(np.ptp(s[:, 0]) - 10.0) < 0.05]
    upright = [s for s in strokes if abs(s[0, 0] - s[1, 0]) < 0.01 and abs(np.ptp(s[:, 1]) - 10.0) < 0.05]
    found = {}
    for a in level:
        for b in upright:
            if np.allclose(a.mean(axis=0), b.mean(axis=0), atol=0.02):
                at = a.mean(axis=0)
                found[(bool(at[0] > middle[0]), bool(at[1] > middle[1]))] = at
    assert len(found) == 4
    return found


class Template(NamedTuple):
    """A template as laid together: run, bends from and to, its pages by (row, column) and the shift of each to it."""

    run: str
    first: int
    last: int
    pages: dict
    shifts: dict


_HEAD = re.compile(
    r"(.+), bends? (\d+)(?: to (\d+))?, full size: (?:one sheet|sheet (\d+) of (\d+), row (\d+), column (\d+))"
)


def templates(pages):
    """Lay the pages of each template on each other: a page's crosses come on those of the page it says it joins."""
    sets = defaultdict(dict)
    of = {}
    for page in pages:
        head = _HEAD.fullmatch(page.title)
        if not head:
            continue
        key = (head[1], int(head[2]), int(head[3] or head[2]))
        place = (int(head[6] or 1), int(head[7] or 1))
        sets[key][place] = page
        if head[5]:
            of[key] = int(head[5])
            assert int(head[4]) == len(sets[key])
    out = []
    for key, laid in sets.items():
        assert len(laid) == of.get(key, 1)
        begin = min(laid)
        shifts, todo = {begin: np.zeros(2)}, [begin]
        while todo:
            place = todo.pop()
            for side, other in joins(laid[place]):
                assert (other[0] - place[0], other[1] - place[1]) == side, "the page named lies on that side"
                mine, theirs = crosses(laid[place]), crosses(laid[other])
                rows, columns = side
                pairs = [
                    ((columns > 0, k), (columns < 0, k)) if columns else ((k, rows > 0), (k, rows < 0))
                    for k in (False, True)
                ]
                by = [mine[a] - theirs[b] for a, b in pairs]
                assert np.allclose(by[0], by[1], atol=0.01)
                if other not in shifts:
                    shifts[other] = shifts[place] + by[0]
                    todo.append(other)
                assert np.allclose(shifts[other], shifts[place] + by[0], atol=0.02)
        out.append(Template(*key, laid, shifts))
    return out


def joins(page):
    """Return on which side ((rows, columns) up and right) a page says it joins which one."""
    left, low, right, high = page.window
    for words in page.words:
        found = re.fullmatch(r"joins row (\d+), column (\d+)", words.text)
        if found:
            standing = abs(abs(words.angle) - 90) < 1
            x, y = words.at
            side = (0, 1 if x > (left + right) / 2 else -1) if standing else (1 if y > (low + high) / 2 else -1, 0)
            yield side, (int(found[1]), int(found[2]))


def seen(page, line):
    """Return the points every half mm along a line that a page's window lets be seen."""
    parts = []
    for a, b in zip(line.points, line.points[1:], strict=False):
        n = max(2, int(np.hypot(*(b - a)) / 0.5))
        parts.append(a + (b - a) * np.linspace(0, 1, n)[:, None])
    points = np.concatenate(parts)
    left, low, right, high = page.window
    return points[(points > [left, low]).all(axis=1) & (points < [right, high]).all(axis=1)]
