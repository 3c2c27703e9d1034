"""How much a run or a leg falls, as people write it: a ratio, a length per length, a share; and towards which end."""

import re
from typing import Annotated, Any, Literal, NamedTuple, TypeAlias

from pydantic import Field, PlainValidator, WithJsonSchema

from pipemodel.job.form import Form
from pipemodel.job.quantities import parse_length, parse_positive_length, shown
from pipemodel.messages.values import Name, message

End: TypeAlias = Literal["start", "finish"]
STEEPEST = 0.5
"""Steeper than 1 in 2 is a slope, not a fall: a bearing with a rise says it."""
_HOW = message("fault.how fall")
_FEET = re.compile(r"(?P<number>[\d.]*)\s*(?:ft|foot|feet)")
_UNIT = re.compile(r"[a-z]+")


class Fall(NamedTuple):
    """How much a leg goes down: `slope` for each 1 of its length in plan, towards an end of the run.

    A slope of 0 asks for no fall, where the rest of the run has one. `towards` is None where nobody said it.
    """

    slope: float
    towards: End | None = None

    @property
    def rise(self) -> float:
        """How much the leg rises for each 1 in plan, as the run goes from its start to its finish."""
        return self.slope if self.towards == "start" else -self.slope

    def over(self, run: "Fall | None") -> "Fall | None":
        """Return this fall with the end it leaves unsaid, from the run's or else the finish; None where it is none."""
        towards = self.towards or (run.towards if run is not None else None) or "finish"
        return Fall(self.slope, towards) if self.slope else None


def parse_fall(value: object) -> Fall:
    """Return a fall as it is written: how much, or `{of: how much, towards: start}`.

    Raises:
        ValueError: if it is none; says what would be right.
    """
    if not isinstance(value, dict):
        return Fall(_slope(value))
    said = _FallForm.model_validate(value)
    return Fall(said.of, said.towards)


def _slope(value: object) -> float:
    if not isinstance(value, str) or len(value) > 40:
        raise ValueError(message("fault.no fall", value=Name(shown(value)), how=_HOW))
    text = " ".join(value.lower().split())
    if text == "none":
        return 0.0
    drop, per, length = text.partition(" per ")
    over, ratio, of = re.sub(r"\s*:\s*|\s+in\s+", "|", text).partition("|")
    if per:
        slope = parse_positive_length(drop) / _measure(length)
    elif ratio and (one := _number(over)) and (to := _number(of)):
        slope = one / to
    elif text.endswith("%") and (share := _number(text[:-1])):
        slope = share / 100.0
    else:
        raise ValueError(message("fault.no fall", value=Name(shown(value)), how=_HOW))
    if slope > STEEPEST:
        raise ValueError(message("fault.fall steep", value=Name(shown(value))))
    return slope


def _number(text: str) -> float:
    """Return a plain number of more than 0, and 0 for anything else."""
    return float(text) if re.fullmatch(r"\s*\d{1,6}(\.\d{1,6})?\s*", text) else 0.0


def _measure(text: str) -> float:
    """Return what a fall is for, mm: "m", "3 m", "ft"."""
    if feet := _FEET.fullmatch(text):
        return 304.8 * parse_positive_length(feet["number"].strip() or 1)
    return parse_positive_length(f"1 {text}" if _UNIT.fullmatch(text) else parse_length(text))


class _FallForm(Form):
    """A fall that says towards which end it goes."""

    of: Annotated[float, PlainValidator(_slope)]
    towards: End | None = None


_TEXT: dict[str, Any] = {
    "type": "string",
    "description": "How much it goes down for how much in plan: 1 in 80, 1/4 in per ft, 1.25 %; or none",
}
FallChoice = Annotated[
    Fall,
    PlainValidator(parse_fall),
    WithJsonSchema(
        {
            "anyOf": [
                _TEXT,
                {
                    "type": "object",
                    "properties": {"of": _TEXT, "towards": {"enum": ["start", "finish"]}},
                    "required": ["of"],
                    "additionalProperties": False,
                },
            ]
        }
    ),
]
LegFall = Annotated[
    FallChoice | None,
    Field(description="How its leg falls, where it is level in plan; as the run does if left out"),
]
