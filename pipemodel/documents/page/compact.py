"""Drawings made smaller for the page: looks that repeat become one rule each, and lines are given as steps."""

import re
from collections.abc import Sequence
from functools import partial
from itertools import accumulate, pairwise
from math import hypot

_ELEMENT = re.compile(r"<(?:polyline|polygon|path|circle|rect|text)\b[^<>]*>")
_LOOK = re.compile(
    r' (fill|stroke|stroke-width|stroke-linecap|stroke-linejoin|stroke-dasharray|text-anchor|font-size|font-weight)="'
    r'([\w#. -]*)"'
)
_LINE = re.compile(r'<(polyline|polygon) (class="\w+" )?points="([\d.,\s-]+)"/>')
_ALIKE = re.compile(r'<path class="(\w+)" d="([^"]*)"/>(?:<path class="\1" d="[^"]*"/>)+')
_DRAWN = re.compile(r' d="m([^"z]*)(z?)"')
_NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")
_FIGURE = re.compile(r"\d+\.\d{3,}")
STEP = 0.05
"""Half of this, a fortieth of a drawing's mm, is a small part of a pixel on any screen."""
STRAIGHT = 0.6
"""A corner so many steps or less from the straight between its neighbours is left out."""
FINE = 0.01
"""For drawings that one measures along, such as the tape line."""


SIDES, ROUND = 16, 1.5
"""The sides of the discs that fill a bend, and how far from round they may be, in steps."""


class Looks:
    """The looks of a page's drawings, each a rule of its own by which any number of lines are drawn."""

    def __init__(self) -> None:
        self._names: dict[str, str] = {}

    def compact(self, svg: str, step: float = STEP) -> str:
        """Return a drawing of ours, with its looks by name, its lines in steps and its other figures to hundredths."""
        svg = _LINE.sub(partial(_path, step), _ELEMENT.sub(lambda match: self._element(match[0]), svg))
        hollow = {name for look, name in self._names.items() if "fill:none" in look}
        # Lines of one look that follow each other are one path; filled ones would make holes in each other.
        return _ALIKE.sub(lambda m: _united(step, m) if m[1] in hollow else m[0], svg)

    @property
    def css(self) -> str:
        """The rules that the names stand for."""
        return "".join(f".{name}{{{look}}}" for look, name in self._names.items())

    def _element(self, element: str) -> str:
        look = "".join(f"{name}:{_with_unit(name, value)};" for name, value in _LOOK.findall(element))
        if look:
            name = self._names.setdefault(look, f"d{len(self._names)}")
            head, rest = _LOOK.sub("", element).split(maxsplit=1)
            element = f'{head} class="{name}" {rest}'
        return _FIGURE.sub(lambda figure: f"{float(figure[0]):.2f}", element)


def _with_unit(name: str, value: str) -> str:
    return f"{value}px" if name == "font-size" else value


def _path(step: float, line: re.Match[str]) -> str:
    """Return a line as a path: where it begins, and each point from the one before; mm in steps."""
    points = [tuple(round(float(x) / step) for x in pair.split(",")) for pair in line[3].split()]
    if line[1] == "polygon" and len(points) == SIDES and (circle := _circle(points, step)):
        return f"<circle {line[2] or ''}{circle}/>"
    if step == STEP:
        points = _without_straights(points)
    if line[1] == "polyline" and len(points) == 1:
        points *= 2
    return f'<path {line[2] or ""}d="m{_figures(points[0], points, step)}{"z" if line[1] == "polygon" else ""}"/>'


def _figures(start: Sequence[int], points: Sequence[Sequence[int]], step: float) -> str:
    """Write a place and how each point lies from the one before, with no more between figures than parts them."""
    steps = [*start, *(b - a for one, other in pairwise(points) for a, b in zip(one, other, strict=True))]
    out = [_short(figure, step).strip() for figure in steps]
    apart = [other[0] != "-" and not (other[0] == "." and "." in one) for one, other in pairwise(out)]
    return out[0] + "".join(" " * gap + text for gap, text in zip(apart, out[1:], strict=True))


def _united(step: float, alike: re.Match[str]) -> str:
    """Return lines of one look as one path, each begun from where the one before it ended."""
    end: tuple[int, ...] | None = None
    out = ""
    for figures, shut in _DRAWN.findall(alike[0]):
        steps = [round(float(figure) / step) for figure in _NUMBER.findall(figures)]
        points = list(zip(accumulate(steps[::2]), accumulate(steps[1::2]), strict=True))
        first = points[0]
        if set(points) == {end}:
            continue  # no more than a dot where a line has ended
        out += "m" + _figures([a - b for a, b in zip(first, end or (0, 0), strict=True)], points, step) + shut
        end = first if shut else points[-1]
    return f'<path class="{alike[1]}" d="{out}"/>'


def _without_straights(points: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Return a line without the corners that are as good as straight (Douglas and Peucker 1973)."""
    keep, todo = {0, len(points) - 1}, [(0, len(points) - 1)]
    while todo:
        low, high = todo.pop()
        (ax, ay), (bx, by) = points[low], points[high]
        size = hypot(bx - ax, by - ay)
        worst, at = STRAIGHT, 0
        for k in range(low + 1, high):
            x, y = points[k][0] - ax, points[k][1] - ay
            ahead = (x * (bx - ax) + y * (by - ay)) / size if size else -1.0
            off = hypot(x, y) if ahead < 0.0 else hypot(points[k][0] - bx, points[k][1] - by)
            if 0.0 <= ahead <= size:
                off = abs(x * (by - ay) - y * (bx - ax)) / size
            if off > worst:
                worst, at = off, k
        if at:
            keep.add(at)
            todo += [(low, at), (at, high)]
    out = [points[k] for k in sorted(keep)]
    return [p for k, p in enumerate(out) if not k or p != out[k - 1]]


def _circle(points: list[tuple[int, ...]], step: float) -> str:
    """Return how a regular outline is written as the circle it stands for; nothing for any other."""
    x, y = (sum(axis) / len(points) for axis in zip(*points, strict=True))
    off = [hypot(px - x, py - y) for px, py in points]
    if max(off) - min(off) > ROUND:
        return ""
    cx, cy, r = (_short(round(value), step).strip() for value in (x, y, sum(off) / len(off)))
    return f'cx="{cx}" cy="{cy}" r="{r}"'


def _short(steps: int, step: float) -> str:
    """Write a number of steps in mm, with its sign or a blank before it, and no more figures than it has."""
    text = f"{abs(steps) * step:.2f}".rstrip("0").rstrip(".").removeprefix("0") or "0"
    return ("-" if steps < 0 else " ") + text
