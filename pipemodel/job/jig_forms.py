"""What may be written under `jig`: the printer, the tolerance of the piece, and how the jig is made."""

from typing import Annotated, Literal

from pydantic import (
    BeforeValidator,
    Field,
    PlainValidator,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
    model_validator,
)

from pipemodel.job.form import Form, empty_if_blank
from pipemodel.job.quantities import (
    Angle,
    NonNegativeLength,
    Number,
    PositiveLength,
    parse_positive_length,
    shown,
)
from pipemodel.messages.values import NOTHING, Count, Name, bare, message
from pipemodel.messages.values import Number as Figure
from pipemodel.trade.beds import bed_sizes

_LEAST_BED_MM, _MOST_BED_MM = 60.0, 2000.0
_WITHIN = {
    "base_thickness": (1.6, 30.0),
    "timber": (30.0, 100.0),
    "bar": (20.0, 120.0),
    "screw": (2.0, 10.0),
    "joint_gap": (0.02, 1.0),
    "steepest": (5.0, 70.0),
    "allowance": (0.0, 1.5),
    "nozzle": (0.1, 1.5),
    "layer": (0.04, 1.0),
    "walls": (1.0, 50.0),
    "infill": (0.0, 1.0),
    "density": (0.5, 5.0),
    "bench": (20.0, 1000.0),
    "rate": (0.5, 500.0),
    "price": (0.0, 10000.0),
}


def _bed(value: object) -> tuple[float, float, float]:
    """Return a bed by its name, or by its three sizes."""
    sizes = bed_sizes()
    if isinstance(value, str) and value.strip().lower() in sizes:
        return sizes[value.strip().lower()]
    if not isinstance(value, list | tuple) or len(value) != 3:
        raise ValueError(message("fault.a bed", names=bare(", ".join(sizes))))
    x, y, z = (parse_positive_length(v) for v in value)
    if min(x, y, z) < _LEAST_BED_MM or max(x, y, z) > _MOST_BED_MM:
        raise ValueError(
            message(
                "fault.bed size",
                x=Figure(x),
                y=Figure(y),
                z=Figure(z),
                least=Figure(_LEAST_BED_MM),
                most=Figure(_MOST_BED_MM),
            )
        )
    return x, y, z


def _revision(value: object) -> str:
    text = str(value) if isinstance(value, str | int | float) and not isinstance(value, bool) else ""
    if not text or len(text) > 6 or not text.isascii() or not text.replace(".", "").replace("-", "").isalnum():
        raise ValueError(message("fault.revision", value=Name(shown(value))))
    return text


BedSize = Annotated[
    tuple[float, float, float],
    PlainValidator(_bed),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "enum": list(bed_sizes())},
                {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 3, "maxItems": 3},
            ],
            "description": "A printer's bed: its sizes along x, along y and upwards, or a name for them",
        }
    ),
]


def _bends(value: object) -> tuple[int, int]:
    numbers = list(value) if isinstance(value, list | tuple) else []
    if len(numbers) != 2 or not all(isinstance(n, int) and not isinstance(n, bool) for n in numbers):
        raise ValueError(message("fault.part", value=Name(shown(value))))
    first, last = numbers
    if not 1 <= first <= last:
        raise ValueError(message("fault.part bends", first=Count(first), last=Count(last)))
    return first, last


BendRange = Annotated[
    tuple[int, int],
    PlainValidator(_bends),
    WithJsonSchema({"type": "array", "items": {"type": "integer"}, "minItems": 2, "maxItems": 2}),
]
Revision = Annotated[
    str,
    PlainValidator(_revision),
    WithJsonSchema({"type": ["string", "number"], "description": "Engraved on every part"}),
]


class ToleranceForm(Form):
    """How far a finished piece may be out and still be right."""

    position: PositiveLength = Field(default=3.0, description="Of every leg and both ends, from their places")
    angle: Angle = Field(default=1.0, description="Of every bend's angle, and of the legs beside a turn")
    start: PositiveLength | None = Field(default=None, description="Of the start, along the tube, if not as position")
    finish: PositiveLength | None = Field(default=None, description="Of the finish, along the tube")

    @model_validator(mode="after")
    def _can_be_judged(self) -> "ToleranceForm":
        if not 0.05 <= self.angle <= 20.0:
            raise ValueError(message("fault.jig angle", angle=Figure(self.angle)))
        for name in ("position", "start", "finish"):
            mm = getattr(self, name)
            if mm is not None and mm < 0.3:
                raise ValueError(message("fault.jig tolerance", key=bare(name), mm=Figure(mm)))
        return self


class JigForm(Form):
    """How the checking jigs of a job are made; without this key `make` makes none."""

    bed: BedSize = (220.0, 220.0, 250.0)
    tolerance: ToleranceForm = ToleranceForm()
    decision: Literal["balanced", "go", "fine"] = Field(
        default="balanced",
        description="go: no good piece is refused; balanced: none that is out in one thing alone passes; fine: none "
        "that is out at all",
    )
    inserts: bool = Field(default=False, description="Slots as for go, and liners that make them fine")
    base: Literal["timber", "board", "printed"] = Field(
        default="timber",
        description="Small cradles on timber posts and a board; towers screwed to a board; or towers on printed bars "
        "that key together",
    )
    cradles: Literal["fewest", "all"] = Field(
        default="fewest", description="Those with the least plastic that decide, or two to every leg"
    )
    when: Literal["worth", "always"] = Field(
        default="worth",
        description="A jig for the runs that are worth one, the checks that tell as much for the others; or for all",
    )
    timber: PositiveLength = Field(default=44.0, description="The side of the square batten that posts are cut from")
    base_thickness: PositiveLength = Field(default=1.6, description="Thickness of printed pads and bars")
    bar: PositiveLength = Field(default=20.0, description="Width of the bars")
    screw: PositiveLength = Field(default=4.0, description="Diameter of the screws")
    joint_gap: NonNegativeLength = Field(default=0.15, description="Left all round the key of a joint")
    steepest: Angle = Field(default=60.0, description="The steepest a leg may lie in its saddle")
    allowance: NonNegativeLength = Field(default=0.2, description="How much narrower a slot prints than it is drawn")
    nozzle: PositiveLength = 0.4
    layer: PositiveLength = 0.2
    walls: Number = 3.0
    infill: Number = Field(default=0.15, description="Share of the inside that is printed, 0 to 1")
    density: Number = Field(default=1.24, description="Of the plastic, g/cm3")
    rate: Number = Field(default=12.0, description="Plastic laid down, cm3 an hour on average, moves and all")
    price: Number | None = Field(default=None, description="Of a kilogram of plastic, in whatever money")
    gauges: bool = Field(default=True, description="Angle and turn gauges too")
    standoff: PositiveLength | None = Field(
        default=None, description="Of the spacer for clips; as the clips say if left out"
    )
    bends: BendRange | None = Field(
        default=None, description="A jig for a part of the piece: its first bend and its last, such as [2, 4]"
    )
    bench: PositiveLength | None = Field(
        default=None, description="How far the bench lies below the tube's axis in the bender, for rests to pull by"
    )
    revision: Revision = "A"

    @field_validator(*_WITHIN)
    @classmethod
    def _within(cls, value: float | None, info: ValidationInfo) -> float | None:
        low, high = _WITHIN[str(info.field_name)]
        if value is not None and not low <= value <= high:
            meant = message("fault.jig timber") if info.field_name == "timber" else NOTHING
            key = bare(str(info.field_name))
            raise ValueError(
                message(
                    "fault.jig within", key=key, value=Figure(value), low=Figure(low), high=Figure(high), meant=meant
                )
            )
        return value

    @model_validator(mode="after")
    def _can_be_printed(self) -> "JigForm":
        if self.layer > 0.8 * self.nozzle:
            raise ValueError(message("fault.layers", layer=Figure(self.layer), nozzle=Figure(self.nozzle)))
        return self


JigChoice = Annotated[JigForm | None, BeforeValidator(empty_if_blank)]
"""The form of a jig; blank for one with every default."""
