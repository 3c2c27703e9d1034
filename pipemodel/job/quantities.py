"""Lengths and angles as people write them, to millimetres and degrees; and the form fields made of them.

Bare numbers are mm. The inch is the international inch of exactly 25.4 mm (ISO 80000-3).
"""

import re
from collections.abc import Mapping
from math import isfinite
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, PlainValidator, WithJsonSchema

from pipemodel.messages.values import NOTHING, Count, Message, Name, Value, Word, message
from pipemodel.messages.values import Number as Figure

TENTHS_PER_UNIT = {"mm": 10, "cm": 100, "m": 10_000, "in": 254, "inch": 254, "inches": 254, '"': 254, "″": 254}
"""Tenths of a millimetre in each unit of length a job may use: whole numbers, so that nothing is rounded twice."""
LONGEST_MM = 1e9
"""A thousand kilometres: anything beyond is a slip of the pen, and would cost precision everywhere."""
LARGEST_ANGLE_DEG = 360.0

_TEXT_LIMIT = 60
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_DECIMAL = r"(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_LENGTH = re.compile(
    rf"(?P<sign>[-+]?)\s*(?:(?:(?P<whole>\d+)(?:\s+|\s*-\s*))?(?P<over>\d+)\s*/\s*(?P<under>\d+)|(?P<decimal>{_DECIMAL}))"
    r"\s*(?P<unit>[^\W\d_]+|[\"″])?",
    re.ASCII,
)
_ANGLE = re.compile(rf"(?P<number>[-+]?\s*{_DECIMAL})\s*(?P<unit>°|[^\W\d_]+)?", re.ASCII)
_HOW = message("fault.how length")
_HOW_ANGLE = message("fault.how angle")


def shown(value: object) -> str:
    """Return a value as it may be quoted in a message: short, and on one line."""
    text = ascii(value) if isinstance(value, bytes) else str(value) if not _huge(value) else "a number of many digits"
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= 40 else text[:37] + "..."


def parse_length(value: object) -> float:
    """Return a length in mm.

    Args:
        value: a number (mm), or text with a unit: "600 mm", "60 cm", "0.6 m", "23 5/8 in", '1 1/2"'.

    Raises:
        ValueError: if it is no length, not finite, or beyond 1e9 mm; says what would be right.
    """
    if isinstance(value, float | int) and not isinstance(value, bool):
        return _within(value, LONGEST_MM, "length")
    if not isinstance(value, str):
        raise ValueError(message("fault.no length", value=_kind(value), how=_HOW))
    return _within(_length_of_text(value), LONGEST_MM, "length")


def parse_positive_length(value: object) -> float:
    """Return a length in mm that is more than 0.

    Raises:
        ValueError: as `parse_length` does, and for 0 or less.
    """
    mm = parse_length(value)
    if mm <= 0.0:
        raise ValueError(message("fault.length above 0", value=Name(shown(value), quoted=False)))
    return mm


def parse_non_negative_length(value: object) -> float:
    """Return a length in mm that is 0 or more.

    Raises:
        ValueError: as `parse_length` does, and for less than 0.
    """
    mm = parse_length(value)
    if mm < 0.0:
        raise ValueError(message("fault.from 0", value=Name(shown(value), quoted=False)))
    return mm


def parse_angle(value: object) -> float:
    """Return an angle in degrees, at most a full turn either way.

    Args:
        value: a number of degrees, or text: "30", "30 deg", "30°".

    Raises:
        ValueError: if it is no angle, not finite, or more than 360 degrees; says what would be right.
    """
    if isinstance(value, float | int) and not isinstance(value, bool):
        return _within(value, LARGEST_ANGLE_DEG, "angle")
    if not isinstance(value, str):
        raise ValueError(message("fault.no angle", value=_kind(value), how=_HOW_ANGLE))
    match = _ANGLE.fullmatch(value.strip()) if len(value) <= _TEXT_LIMIT else None
    if match is None:
        raise ValueError(message("fault.no angle", value=Name(shown(value)), how=_HOW_ANGLE))
    if (match["unit"] or "°").lower() not in ("°", "deg", "degree", "degrees"):
        raise ValueError(message("fault.degrees", value=Name(shown(value)), how=_HOW_ANGLE))
    return _within(float(match["number"].replace(" ", "")), LARGEST_ANGLE_DEG, "angle")


def parse_number(value: object) -> float:
    """Return a plain number without a unit.

    Raises:
        ValueError: if it is no number, not finite, or beyond 1e9.
    """
    if isinstance(value, str) and len(value) <= _TEXT_LIMIT and re.fullmatch(rf"[-+]?{_DECIMAL}", value.strip()):
        value = float(value)
    if isinstance(value, bool) or not isinstance(value, float | int):
        quoted = Name(shown(value)) if isinstance(value, str) else _kind(value)
        raise ValueError(message("fault.no number", value=quoted))
    return _within(value, 1e9, "number")


def _length_of_text(text: str) -> float:
    plain = text.strip()
    for sign, fraction in _VULGAR.items():
        plain = plain.replace(sign, f" {fraction}")
    match = _LENGTH.fullmatch(plain.strip()) if len(text) <= _TEXT_LIMIT else None
    if match is None:
        if re.fullmatch(r"[-+]?\d+,\d+\s*\D*", text.strip()):
            right = Name(text.strip().replace(",", "."), quoted=False)
            raise ValueError(message("fault.decimal point", value=Name(shown(text)), right=right))
        raise ValueError(message("fault.no length", value=Name(shown(text)), how=_HOW))
    unit = match["unit"]
    if unit is not None and unit.lower() not in TENTHS_PER_UNIT:
        raise ValueError(message("fault.no unit", value=Name(shown(text)), unit=Name(unit)))
    if match["decimal"] is not None:
        number = float(match["decimal"])
    else:
        if unit is None or TENTHS_PER_UNIT[unit.lower()] != 254:
            bare = Name(plain.removesuffix(unit or "").strip(), quoted=False)
            raise ValueError(message("fault.fraction", value=Name(shown(text)), bare=bare))
        if int(match["under"]) == 0:
            raise ValueError(message("fault.by zero", value=Name(shown(text)), how=_HOW))
        number = int(match["whole"] or 0) + int(match["over"]) / int(match["under"])
    if match["sign"] == "-":
        number = -number
    return number * TENTHS_PER_UNIT[unit.lower()] / 10.0 if unit else number


def _within(number: float, most: float, what: str) -> float:
    # A whole number of a thousand digits compares without ever becoming a float.
    if abs(number) <= most:
        return float(number)
    if isinstance(number, float) and not isfinite(number):
        raise ValueError(message("fault.finite", value=Name(str(number), quoted=False), what=Word(what)))
    value = Name(shown(number), quoted=False)
    raise ValueError(message("fault.too much", value=value, what=Word(what), most=Figure(most, ",.0f")))


def _huge(value: object) -> bool:
    return isinstance(value, int) and abs(value) > 10**40


def kind_of(value: object) -> str:
    """Return what sort of thing a value is, where it is no text and no number: one of the words of "fault.subject"."""
    if value is None:
        return "empty"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return "list"
    return "keys" if isinstance(value, Mapping) else "this"


def _kind(value: object) -> Message:
    return message("fault.subject", kind=Word(kind_of(value)))


def _three(value: object) -> object:
    if not isinstance(value, list | tuple) or len(value) != 3:
        has = message("fault.point is", what=_what(value))
        if isinstance(value, list | tuple):
            has = message("fault.point has", n=Count(len(value)))
        words = message("fault.point in words") if isinstance(value, dict) else NOTHING
        raise ValueError(message("fault.point", has=has, words=words))
    return value


def _what(value: object) -> Value:
    if isinstance(value, str):
        return Name(shown(value))
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return Name(shown(value), quoted=False) if number else _kind(value)


_TEXT_SCHEMA = r"^\s*[-+]?\s*[\d.¼½¾⅛⅜⅝⅞][\d\s./eE+\-¼½¾⅛⅜⅝⅞]*(mm|cm|m|in|inch|inches|[\"″])?\s*$|\$\{"


def _length_schema(description: str, **bounds: Any) -> WithJsonSchema:
    return WithJsonSchema(
        {
            "anyOf": [{"type": "number", **bounds}, {"type": "string", "pattern": _TEXT_SCHEMA}],
            "description": f"{description}: mm, or text with a unit (mm, cm, m, in), or ${{drop - 40}}",
        }
    )


Length = Annotated[
    float,
    PlainValidator(parse_length),
    _length_schema("A length", minimum=-LONGEST_MM, maximum=LONGEST_MM),
]
"""A form field holding a length; mm once read."""
PositiveLength = Annotated[
    float,
    PlainValidator(parse_positive_length),
    _length_schema("A length of more than 0", exclusiveMinimum=0, maximum=LONGEST_MM),
]
NonNegativeLength = Annotated[
    float,
    PlainValidator(parse_non_negative_length),
    _length_schema("A length of 0 or more", minimum=0, maximum=LONGEST_MM),
]
Angle = Annotated[
    float,
    PlainValidator(parse_angle),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": -LARGEST_ANGLE_DEG, "maximum": LARGEST_ANGLE_DEG},
                {"type": "string", "pattern": r"^\s*[-+]?\s*[\d.][\d.eE+\-]*\s*(°|deg|degree|degrees)?\s*$|\$\{"},
            ],
            "description": "An angle in degrees, or an expression such as ${slope}",
        }
    ),
]
"""A form field holding an angle; degrees once read."""


def _above_nothing(angle: float) -> float:
    if angle <= 0.0:
        raise ValueError(message("fault.angle above 0", value=Figure(angle)))
    return angle


def _not_below_nothing(angle: float) -> float:
    if angle < 0.0:
        raise ValueError(message("fault.angle from 0", value=Figure(angle)))
    return angle


PositiveAngle = Annotated[Angle, AfterValidator(_above_nothing)]
NonNegativeAngle = Annotated[Angle, AfterValidator(_not_below_nothing)]
Number = Annotated[
    float,
    PlainValidator(parse_number),
    WithJsonSchema(
        {
            "anyOf": [{"type": "number"}, {"type": "string", "pattern": r"^\s*[-+]?[\d.][\d.eE+\-]*\s*$|\$\{"}],
            "description": "A plain number, or an expression",
        }
    ),
]
"""A form field holding a number without a unit."""


def _no_truth(value: object) -> object:
    # To Python, true is a 1.
    if isinstance(value, bool):
        raise ValueError(message("fault.no whole number", value=_kind(value)))
    return value


Whole = Annotated[int, BeforeValidator(_no_truth)]
"""A form field holding a whole number."""
_ONE_OF_THREE: Any = _length_schema("A length", minimum=-LONGEST_MM, maximum=LONGEST_MM).json_schema


def _in_words(about: str, name: str, **lengths: bool) -> dict[str, Any]:
    """Return the JSON Schema of a point said in words: the key of a name, and lengths that must be there or may."""
    return {
        "type": "object",
        "description": about,
        "properties": {name: {"type": "string"}, **dict.fromkeys(lengths, _ONE_OF_THREE)},
        "required": [name, *(key for key, must in lengths.items() if must)],
        "additionalProperties": False,
    }


_POINT_SCHEMA: Any = {
    "anyOf": [
        {"type": "array", "prefixItems": [_ONE_OF_THREE] * 3, "minItems": 3, "maxItems": 3},
        {"type": "string", "pattern": r"^[^\W\d]\w*$", "description": "The name of a measured point"},
        _in_words("On a wall: along its face, up from its foot, off it", "wall", along=True, up=False, off=False),
        _in_words(
            "In a bay of joists: along them, down from their top, across from the one before",
            "of",
            bay=True,
            along=True,
            down=True,
            across=False,
        ),
    ]
}
Point = Annotated[tuple[Length, Length, Length], BeforeValidator(_three), WithJsonSchema(_POINT_SCHEMA)]
"""A form field holding a point [x, y, z]; mm once read."""
