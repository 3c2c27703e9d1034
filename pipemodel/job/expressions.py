"""The arithmetic inside `${...}`: numbers, units, parameters, + - * / ^, brackets and a few functions.

A reader of its own, of a dozen rules, so that nothing a job file holds can ever reach Python. Lengths are in
mm, angles in degrees.
"""

import math
import re
from collections.abc import Callable, Mapping
from typing import NamedTuple, TypeAlias

from pipemodel.geometry.vectors import cos_deg, sin_deg
from pipemodel.job.quantities import parse_length, shown

LONGEST = 300
"""Characters in one expression."""
DEEPEST = 30
"""Brackets and signs within each other."""
LARGEST = 1e15
"""No value on the way may be larger: nothing in a room comes near, and no power runs away."""


class ExpressionError(ValueError):
    """An expression that cannot be worked out; says why, and what would be right."""


class _Token(NamedTuple):
    kind: str
    text: str


_TOKEN = re.compile(
    r"\s*(?:(?P<length>(?:\d+\s+)?\d+/\d+\s*(?:in\b|inch\b|inches\b|[\"″])"
    r"|(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?\s*(?:mm\b|cm\b|m\b|in\b|inch\b|inches\b|[\"″]))"
    r"|(?P<number>(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?(?:\s*(?:deg\b|°))?)"
    r"|(?P<name>[^\W\d]\w*(?:\.[xyz]\b)?)"
    r"|(?P<sign>\*\*|[-+*/^(),]))",
)


def _tan(a: float) -> float:
    if cos_deg(a) == 0.0:
        raise ExpressionError(f"tan({a:g}) has no value")
    return sin_deg(a) / cos_deg(a)


def _root(a: float) -> float:
    if a < 0.0:
        raise ExpressionError(f"sqrt({a:g}) has no value: no root of a number below zero")
    return math.sqrt(a)


def _arc(function: Callable[[float], float], name: str) -> Callable[[float], float]:
    def of(a: float) -> float:
        if not -1.0 <= a <= 1.0:
            raise ExpressionError(f"{name}({a:g}) has no value: it takes -1 to 1")
        return math.degrees(function(a))

    return of


FUNCTIONS: dict[str, tuple[Callable[..., float], int, int]] = {
    "min": (min, 2, 20),
    "max": (max, 2, 20),
    "abs": (abs, 1, 1),
    "sqrt": (_root, 1, 1),
    "hypot": (math.hypot, 2, 3),
    "round": (lambda a: float(math.floor(a + 0.5)), 1, 1),
    "floor": (lambda a: float(math.floor(a)), 1, 1),
    "ceil": (lambda a: float(math.ceil(a)), 1, 1),
    "sin": (sin_deg, 1, 1),
    "cos": (cos_deg, 1, 1),
    "tan": (_tan, 1, 1),
    "asin": (_arc(math.asin, "asin"), 1, 1),
    "acos": (_arc(math.acos, "acos"), 1, 1),
    "atan": (lambda a: math.degrees(math.atan(a)), 1, 1),
    "atan2": (lambda a, b: math.degrees(math.atan2(a, b)), 2, 2),
}
"""Name of each function, what works it out (angles in degrees), and the fewest and most values it takes."""
CONSTANTS = {"pi": math.pi}
UNITS = frozenset({"mm", "cm", "m", "in", "inch", "inches", "deg"})
RESERVED = UNITS | FUNCTIONS.keys() | CONSTANTS.keys()
"""Names that no parameter may have."""

Values: TypeAlias = Mapping[str, float]


def evaluate(text: str, values: Values) -> float:
    """Work out an expression (what stands between `${` and `}`) with the values of the parameters.

    Raises:
        ExpressionError: with what is wrong and what would be right.
    """
    reader = _Reader(_tokens(text), text, values)
    value = reader.sum(0)
    if reader.at < len(reader.tokens):
        raise ExpressionError(f"{reader.tokens[reader.at].text!r} is not expected in {shown(text)!r}")
    return value + 0.0


def names_in(text: str) -> frozenset[str]:
    """Return the names of the parameters in an expression.

    Raises:
        ExpressionError: if a character in it belongs to no arithmetic.
    """
    return frozenset(t.text for t in _tokens(text) if t.kind == "name") - RESERVED


def nearest(name: str, known: list[str], else_say: str) -> str:
    """Return "did you mean ...?" with the nearest of the known names, or `else_say` when none is near."""
    from difflib import get_close_matches

    close = get_close_matches(name[:80], known, n=1)
    return f"did you mean {close[0]!r}?" if close else else_say


def _tokens(text: str) -> list[_Token]:
    if len(text) > LONGEST:
        raise ExpressionError(f"an expression of {len(text)} characters; at most {LONGEST} are read")
    tokens: list[_Token] = []
    at, end = 0, len(text.rstrip())
    while at < end:
        match = _TOKEN.match(text, at)
        if match is None:
            rest = text[at:].lstrip()
            raise ExpressionError(f"{shown(rest[0])!r} has no place in {shown(text)!r}; use + - * / ( ) and names")
        tokens.append(_Token(match.lastgroup or "", match[match.lastgroup or 0]))
        at = match.end()
    if not tokens:
        raise ExpressionError("nothing stands between '${' and '}'")
    return tokens


class _Reader:
    """Reads sums of products of signed powers, each rule a method; `depth` guards against endless brackets."""

    def __init__(self, tokens: list[_Token], text: str, values: Values) -> None:
        self.tokens = tokens
        self.text = text
        self.values = values
        self.at = 0

    def sum(self, depth: int) -> float:
        value = self.product(depth)
        while (sign := self._take("+", "-")) is not None:
            other = self.product(depth)
            value = self._sane(value + other if sign == "+" else value - other)
        return value

    def product(self, depth: int) -> float:
        value = self.signed(depth)
        while (sign := self._take("*", "/")) is not None:
            if sign == "/" and self._next().kind == "length":
                raise ExpressionError(f"{self._next().text!r} after '/' can be read two ways; put it in brackets")
            other = self.signed(depth)
            if sign == "/" and other == 0.0:
                raise ExpressionError(f"{shown(self.text)!r} divides by zero")
            value = self._sane(value * other if sign == "*" else value / other)
        return value

    def signed(self, depth: int) -> float:
        if depth > DEEPEST:
            raise ExpressionError(f"brackets and signs more than {DEEPEST} deep in {shown(self.text)!r}")
        sign = self._take("-", "+")
        if sign is None:
            return self.power(depth)
        value = self.signed(depth + 1)
        return -value if sign == "-" else value

    def power(self, depth: int) -> float:
        value = self.atom(depth)
        if self._take("^", "**") is None:
            return value
        exponent = self.signed(depth + 1)
        try:
            return self._sane(math.pow(value, exponent))
        except (ValueError, OverflowError):
            raise ExpressionError(f"{value:g} to the power {exponent:g} has no value here") from None

    def atom(self, depth: int) -> float:
        token = self._next()
        self.at += 1
        if token.kind == "number":
            return self._sane(float(token.text.rstrip("deg° \t\n")))
        if token.kind == "length":
            try:
                return parse_length(token.text)
            except ValueError as error:
                raise ExpressionError(str(error)) from None
        if token.text == "(":
            value = self.sum(depth + 1)
            self._close()
            return value
        if token.kind == "name":
            return self._called(token.text, depth) if self._take("(") else self._named(token.text)
        raise ExpressionError(f"a value is expected before {token.text!r} in {shown(self.text)!r}")

    def _called(self, name: str, depth: int) -> float:
        if name not in FUNCTIONS:
            known = list(FUNCTIONS)
            raise ExpressionError(f"there is no function {name!r}; {nearest(name, known, 'use ' + ', '.join(known))}")
        function, fewest, most = FUNCTIONS[name]
        given = [self.sum(depth + 1)]
        while self._take(","):
            given.append(self.sum(depth + 1))
        self._close()
        if not fewest <= len(given) <= most:
            takes = f"{fewest}" if fewest == most else f"{fewest} to {most}"
            raise ExpressionError(f"{name} takes {takes} values; this gives it {len(given)}")
        return self._sane(function(*given))

    def _named(self, name: str) -> float:
        if name in self.values:
            return self.values[name]
        if name in CONSTANTS:
            return CONSTANTS[name]
        if name in FUNCTIONS:
            raise ExpressionError(f"{name} is a function; write {name}(...)")
        known = list(self.values)
        if name in UNITS:
            raise ExpressionError(f"the unit {name!r} must follow a number")
        say = f"the parameters are {', '.join(known[:12])}" if known else "give it a value under parameters"
        raise ExpressionError(f"there is no parameter {shown(name)!r}; {nearest(name, known, say)}")

    def _next(self) -> _Token:
        if self.at >= len(self.tokens):
            raise ExpressionError(f"{shown(self.text)!r} breaks off; a value is missing at its end")
        return self.tokens[self.at]

    def _take(self, *signs: str) -> str | None:
        if self.at < len(self.tokens) and self.tokens[self.at].kind == "sign" and self.tokens[self.at].text in signs:
            self.at += 1
            return self.tokens[self.at - 1].text
        return None

    def _close(self) -> None:
        if self._take(")") is None:
            raise ExpressionError(f"a ')' is missing in {shown(self.text)!r}")

    def _sane(self, value: float) -> float:
        if abs(value) <= LARGEST:
            return value
        raise ExpressionError(f"{shown(self.text)!r} comes to a number too large to mean anything")
