"""The arithmetic inside `${...}`: numbers, units, parameters, + - * / ^, brackets and a few functions.

A reader of its own, of a dozen rules, so that nothing a job file holds can ever reach Python. Lengths are in
mm, angles in degrees.
"""

import math
import re
from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple, TypeAlias

from pipemodel.geometry.vectors import cos_deg, sin_deg
from pipemodel.job.quantities import parse_length, shown
from pipemodel.messages.values import NOTHING, Count, Message, Name, Number, Value, Word, bare, listed, message

MOST_NAMED = 6
"""So many names are said of what there is."""
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
        raise ExpressionError(message("formula.no value", call=bare(f"tan({a:g})")))
    return sin_deg(a) / cos_deg(a)


def _root(a: float) -> float:
    if a < 0.0:
        raise ExpressionError(message("formula.no root", call=bare(f"sqrt({a:g})")))
    return math.sqrt(a)


def _arc(function: Callable[[float], float], name: str) -> Callable[[float], float]:
    def of(a: float) -> float:
        if not -1.0 <= a <= 1.0:
            raise ExpressionError(message("formula.no arc", call=bare(f"{name}({a:g})")))
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
        sign = Name(reader.tokens[reader.at].text)
        raise ExpressionError(message("formula.not expected", sign=sign, text=Name(shown(text))))
    return value + 0.0


def names_in(text: str) -> frozenset[str]:
    """Return the names of the parameters in an expression.

    Raises:
        ExpressionError: if a character in it belongs to no arithmetic.
    """
    return frozenset(t.text for t in _tokens(text) if t.kind == "name") - RESERVED


def nearest_said(name: str, known: list[str], otherwise: Message) -> Message:
    """Return "did you mean ...?" with the nearest of the known names, or something else when none is near."""
    from difflib import get_close_matches

    close = get_close_matches(name[:80], known, n=1)
    return message("fault.did you mean", name=Name(close[0])) if close else otherwise


def none_called(what: str, name: str, known: Iterable[str]) -> Message:
    """Return that no `what`, a word of the template, is called so; with the nearest one known, or what there is."""
    names = list(known)
    more = [bare("...")] if len(names) > MOST_NAMED else []
    there = message("fault.there is", names=listed([*map(Name, names[:MOST_NAMED]), *more], ","))
    mend = nearest_said(name, names, there) if names else message("fault.there is none")
    return message("fault.none called", what=Word(what), name=Name(shown(name)), mend=mend)


def _tokens(text: str) -> list[_Token]:
    if len(text) > LONGEST:
        raise ExpressionError(message("formula.long", n=Count(len(text)), most=Count(LONGEST)))
    tokens: list[_Token] = []
    at, end = 0, len(text.rstrip())
    while at < end:
        match = _TOKEN.match(text, at)
        if match is None:
            sign = Name(shown(text[at:].lstrip()[0]))
            raise ExpressionError(message("formula.no place", sign=sign, text=Name(shown(text))))
        tokens.append(_Token(match.lastgroup or "", match[match.lastgroup or 0]))
        at = match.end()
    if not tokens:
        raise ExpressionError(message("formula.nothing"))
    return tokens


def parameters_said(known: list[str]) -> Message:
    """Return which parameters there are, the first of them."""
    return message("formula.parameters", names=bare(", ".join(known[:12])))


class _Reader:
    """Reads sums of products of signed powers, each rule a method; `depth` guards against endless brackets."""

    def __init__(self, tokens: list[_Token], text: str, values: Values) -> None:
        self.tokens = tokens
        self.text = text
        self.values = values
        self.at = 0

    @property
    def _whole(self) -> Name:
        return Name(shown(self.text))

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
                raise ExpressionError(message("formula.two ways", sign=Name(self._next().text)))
            other = self.signed(depth)
            if sign == "/" and other == 0.0:
                raise ExpressionError(message("formula.by zero", text=self._whole))
            value = self._sane(value * other if sign == "*" else value / other)
        return value

    def signed(self, depth: int) -> float:
        if depth > DEEPEST:
            raise ExpressionError(message("formula.deep", most=Count(DEEPEST), text=self._whole))
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
            said = message("formula.power", value=Number(value), exponent=Number(exponent))
            raise ExpressionError(said) from None

    def atom(self, depth: int) -> float:
        token = self._next()
        self.at += 1
        if token.kind == "number":
            return self._sane(float(token.text.rstrip("deg° \t\n")))
        if token.kind == "length":
            try:
                return parse_length(token.text)
            except ValueError as error:
                raise ExpressionError(*error.args) from None
        if token.text == "(":
            value = self.sum(depth + 1)
            self._close()
            return value
        if token.kind == "name":
            return self._called(token.text, depth) if self._take("(") else self._named(token.text)
        raise ExpressionError(message("formula.value before", sign=Name(token.text), text=self._whole))

    def _called(self, name: str, depth: int) -> float:
        if name not in FUNCTIONS:
            known = list(FUNCTIONS)
            mend = nearest_said(name, known, message("formula.use", names=bare(", ".join(known))))
            raise ExpressionError(message("formula.no function", name=Name(name), mend=mend))
        function, fewest, most = FUNCTIONS[name]
        given = [self.sum(depth + 1)]
        while self._take(","):
            given.append(self.sum(depth + 1))
        self._close()
        if not fewest <= len(given) <= most:
            more: Value = NOTHING if fewest == most else message("formula.to", most=Count(most))
            least, n = Count(fewest), Count(len(given))
            raise ExpressionError(message("formula.takes", name=bare(name), fewest=least, more=more, n=n))
        return self._sane(function(*given))

    def _named(self, name: str) -> float:
        if name in self.values:
            return self.values[name]
        if name in CONSTANTS:
            return CONSTANTS[name]
        if name in FUNCTIONS:
            raise ExpressionError(message("formula.is a function", name=bare(name)))
        known = list(self.values)
        if name in UNITS:
            raise ExpressionError(message("formula.unit", name=Name(name)))
        mend = nearest_said(name, known, parameters_said(known) if known else message("formula.give it"))
        raise ExpressionError(message("formula.no parameter", name=Name(shown(name)), mend=mend))

    def _next(self) -> _Token:
        if self.at >= len(self.tokens):
            raise ExpressionError(message("formula.breaks off", text=self._whole))
        return self.tokens[self.at]

    def _take(self, *signs: str) -> str | None:
        if self.at < len(self.tokens) and self.tokens[self.at].kind == "sign" and self.tokens[self.at].text in signs:
            self.at += 1
            return self.tokens[self.at - 1].text
        return None

    def _close(self) -> None:
        if self._take(")") is None:
            raise ExpressionError(message("formula.bracket", text=self._whole))

    def _sane(self, value: float) -> float:
        if abs(value) <= LARGEST:
            return value
        raise ExpressionError(message("formula.too large", text=self._whole))
