"""Drawings made smaller for the page: looks that repeat become one rule each, and lines are given as steps."""

import re
from functools import partial
from math import hypot

_ELEMENT = re.compile(r"<(?:polyline|polygon|path|circle|rect|text)\b[^<>]*>")
_LOOK = re.compile(
    r' (fill|stroke|stroke-width|stroke-linecap|stroke-linejoin|stroke-dasharray|text-anchor|font-size|font-weight)="'
    r'([\w#. -]*)"'
)
_LINE = re.compile(r'<(polyline|polygon) (class="\w+" )?points="([\d.,\s-]+)"/>')
_NEXT = re.compile(r'(<path class="(\w+)" d="[^"]*)"/><path class="\2" d="')
_FIGURE = re.compile(r"\d+\.\d{3,}")
STEP = 0.05
"""Half of this, a fortieth of a drawing's mm, is a small part of a pixel on any screen."""
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
        before = ""
        while svg != before:
            before, svg = svg, _NEXT.sub(lambda m: m[1] if m[2] in hollow else m[0], svg)
        return svg

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
    steps = "".join(
        _short(b - a, step)
        for last, here in zip(points, points[1:], strict=False)
        for a, b in zip(last, here, strict=True)
    )
    first = _short(points[0][0], step) + _short(points[0][1], step)
    return f'<path {line[2] or ""}d="M{first}l{steps}{"z" if line[1] == "polygon" else ""}"/>'


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
