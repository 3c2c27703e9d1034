"""Drawings made smaller for the page: looks that repeat become one rule each, and figures lose what nobody sees."""

import re

_ELEMENT = re.compile(r"<(?:polyline|polygon|path|circle|rect|text)\b[^<>]*>")
_LOOK = re.compile(
    r' (fill|stroke|stroke-width|stroke-linecap|stroke-linejoin|stroke-dasharray|text-anchor|font-size|font-weight)="'
    r'([\w#. -]*)"'
)
_FIGURE = re.compile(r"(\d\.\d\d)\d+")
"""A hundredth of a drawing's mm is a small part of a pixel on any screen."""


class Looks:
    """The looks of a page's drawings, each a rule of its own by which any number of lines are drawn."""

    def __init__(self) -> None:
        self._names: dict[str, str] = {}

    def compact(self, svg: str) -> str:
        """Return a drawing of ours, with its looks by name and its figures to hundredths."""
        return _ELEMENT.sub(lambda match: self._element(match[0]), svg)

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
        return _FIGURE.sub(r"\1", element)


def _with_unit(name: str, value: str) -> str:
    return f"{value}px" if name == "font-size" else value
