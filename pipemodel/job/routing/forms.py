"""How moves and features are written in a job file: one item, one key, in a fitter's words."""

from keyword import iskeyword
from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, ConfigDict, Field, PlainValidator, WithJsonSchema, model_validator

from pipemodel.job.fall import Fall, LegFall
from pipemodel.job.find_forms import FindBesideForm
from pipemodel.job.form import Form
from pipemodel.job.forms import CornerChoice
from pipemodel.job.quantities import Angle, Length, PositiveLength
from pipemodel.job.routing.words import (
    LEGS,
    LEVEL,
    Direction,
    Gap,
    PassoverAngle,
    SetAngle,
    Short,
    Sides,
    Standoff,
    ThingName,
    TurnAngle,
    parse_bends,
    parse_legs,
    parse_level,
)
from pipemodel.job.tool_forms import FormerChoice
from pipemodel.messages.values import Name, Number, Word, listed, message

OwnFormer = Annotated[
    FormerChoice | None, Field(description="What its own bends are made round; the run's former if left out")
]


def _never_blank(schema: dict[str, Any], model: type["_Choice"]) -> None:
    """Tell a JSON Schema that the keys to choose from are not left blank."""
    for key in model._one_of:
        field = schema["properties"][key]
        field["anyOf"] = [part for part in field["anyOf"] if part != {"type": "null"}]
        del field["default"]


def _one_key(schema: dict[str, Any], model: type["_Choice"]) -> None:
    _never_blank(schema, model)
    schema |= {"minProperties": 1, "maxProperties": 1}


class _Choice(Form):
    """A group of keys of which exactly one says what is meant, and the others go with it."""

    model_config = ConfigDict(json_schema_extra=_never_blank)

    _one_of: ClassVar[tuple[str, ...]]
    _what: ClassVar[str]

    @model_validator(mode="after")
    def _exactly_one(self) -> "_Choice":
        given = [name for name in self._one_of if getattr(self, field_of(name)) is not None]
        if empty := [name for name in self._one_of if field_of(name) in self.model_fields_set and name not in given]:
            raise ValueError(message("fault.nothing after", empty=Name(empty[0])))
        if len(given) != 1:
            names = Name(", ".join(self._one_of), quoted=False)
            has = message("fault.has", given=listed([Name(one) for one in given]))
            has = has if given else message("fault.has none")
            raise ValueError(message("fault.one of", what=Word(self._what), names=names, has=has))
        return self

    @property
    def chosen(self) -> str:
        """The key that is given."""
        return next(name for name in self._one_of if getattr(self, field_of(name)) is not None)

    @property
    def chosen_form(self) -> Any:
        """What is written under that key."""
        return getattr(self, field_of(self.chosen))


def field_of(key: str) -> str:
    """Return the name of the field that a key of a job is read to."""
    return f"{key}_" if iskeyword(key) else key.replace(" ", "_")


class GoForm(_Choice):
    """How far a leg goes, by one of the measures people take."""

    _one_of = (
        "to centre",
        "to back",
        "to inside",
        "from back",
        "from inside",
        "back to back",
        "inside to inside",
        "to face of",
        "past",
        "to centre of",
        "to level",
    )
    _what = "leg"

    to_centre: Length | None = Field(
        None, alias="to centre", description="To the centre of the next bend; as a plain number"
    )
    to_back: Length | None = Field(None, alias="to back", description="To the back of the next bend")
    to_inside: Length | None = Field(None, alias="to inside", description="To the inside of the next bend")
    from_back: Length | None = Field(None, alias="from back", description="From the back of the last bend")
    from_inside: Length | None = Field(None, alias="from inside", description="From the inside of the last bend")
    back_to_back: Length | None = Field(None, alias="back to back", description="Over both bends")
    inside_to_inside: Length | None = Field(None, alias="inside to inside", description="Between both bends")
    to_face_of: ThingName | None = Field(None, alias="to face of", description="The thing whose face is met ahead")
    past: ThingName | None = Field(None, description="The thing whose far side is passed")
    to_centre_of: ThingName | None = Field(None, alias="to centre of", description="The thing to be level with")
    to_level: Annotated[float | str, BeforeValidator(parse_level), WithJsonSchema(LEVEL)] | None = Field(
        None, alias="to level", description="To a height (z), or a level by name: to the centre of the next bend"
    )
    gap: Gap | None = None
    standoff: Standoff | None = None

    @model_validator(mode="after")
    def _clear_of_what(self) -> "GoForm":
        off = [name for name in ("gap", "standoff") if getattr(self, name) is not None]
        if self.chosen in ("to face of", "past"):
            if len(off) != 1:
                raise ValueError(message("fault.gap or standoff", chosen=Name(self.chosen)))
        elif self.chosen == "to level" and len(off) > 1:
            raise ValueError(message("fault.level gap"))
        elif off and self.chosen != "to level":
            raise ValueError(message("fault.off goes with", off=Name(off[0]), chosen=Name(self.chosen)))
        return self


class TurnAndGoForm(GoForm):
    """A turn to a named direction, and how far the leg after it goes."""

    former: OwnFormer = None
    fall: LegFall = None


Go = Annotated[GoForm, Short("to centre")]
TurnAndGo = Annotated[TurnAndGoForm, Short("to centre")]


class BendForm(_Choice):
    """Which way the tube turns: to a direction, by an angle towards it, to a bearing, or back on itself."""

    _one_of = ("to", "bearing", "back")
    _what = "turn"

    to: Direction | None = None
    angle: TurnAngle | None = None
    bearing: Angle | None = Field(None, description="Clockwise from north, degrees")
    rise: Annotated[Angle, Field(ge=-90, le=90)] | None = Field(
        None, description="Above level, degrees; goes with a bearing"
    )
    back: Direction | None = Field(None, description="A return bend of 180 degrees, to this side")
    apart: PositiveLength | None = Field(None, description="Centre to centre of a return; two radii if left out")
    former: OwnFormer = None
    fall: LegFall = None

    @model_validator(mode="after")
    def _goes_together(self) -> "BendForm":
        for name, needs in (("angle", "to"), ("rise", "bearing"), ("apart", "back")):
            if getattr(self, name) is not None and self.chosen != needs:
                raise ValueError(
                    message("fault.goes with", name=Name(name), needs=Name(needs), chosen=Name(self.chosen))
                )
        return self


Turn = Annotated[BendForm, Short("to")]


class SetForm(Form):
    """Two equal and opposite bends that move the tube sideways: by an offset, or until it clears a thing."""

    to: Sides = Field(
        description="To which side; or two sides at once with how far to each, which makes it a rolled set"
    )
    offset: PositiveLength | None = Field(None, description="How far, axis to axis, square to the tube")
    rise: Length | None = Field(None, description="How far up at the same time (a rolled set); below 0 for down")
    clear: ThingName | None = Field(None, description="Instead of an offset: the thing to come clear of")
    gap: Gap | None = None
    angle: SetAngle | None = None
    length: PositiveLength | None = Field(None, description="Instead of an angle: along the tube, centre to centre")
    first_bend: Length | None = Field(
        None, alias="first bend", description="How far on its first bend is, to the centre"
    )
    centre: Length | None = Field(None, description="How far on the middle of the set is")
    last_bend: Length | None = Field(None, alias="last bend", description="How far on its last bend is, to the centre")
    former: OwnFormer = None

    @model_validator(mode="after")
    def _goes_together(self) -> "SetForm":
        if (self.angle is None) == (self.length is None):
            raise ValueError(message("fault.set angle"))
        ways = [self.offset is not None, self.clear is not None, len(self.to) == 2]
        if sum(ways) != 1:
            raise ValueError(message("fault.set by"))
        if self.rise is not None and self.offset is None:
            raise ValueError(message("fault.rise goes"))
        if (self.clear is None) != (self.gap is None):
            raise ValueError(message("fault.clear and gap"))
        if self.clear is not None and self.angle is None:
            raise ValueError(message("fault.clear angle"))
        where = [n for n in ("first bend", "centre", "last bend") if getattr(self, field_of(n)) is not None]
        if len(where) > 1:
            raise ValueError(message("fault.both where", where=Name(where[0]), other=Name(where[1])))
        if where and self.clear is not None:
            raise ValueError(message("fault.set lies", where=Name(where[0])))
        return self


class PassoverForm(Form):
    """Three or four bends that lift the tube over a thing and bring it back into line."""

    thing: ThingName
    gap: Gap
    bends: Annotated[int, PlainValidator(parse_bends), WithJsonSchema({"enum": [3, 4]})] = Field(
        3, description="3: one bend on top; 4: a flat on top"
    )
    angle: PassoverAngle = Field(
        description="With 3 bends the one on top, the outer two being half of it; with 4 each of them, at most 90"
    )
    to: Direction | None = Field(None, description="To which side; up if left out, on a level leg")
    flat: PositiveLength | None = Field(
        None, description="With 4 bends: the top, centre to centre; as needed if left out"
    )
    offset: PositiveLength | None = Field(None, description="How far aside at least, axis to axis")
    former: OwnFormer = None

    @model_validator(mode="after")
    def _goes_together(self) -> "PassoverForm":
        if self.bends == 4 and self.angle > 90.0:
            raise ValueError(message("fault.passover four", angle=Number(self.angle)))
        if self.bends == 3 and self.flat is not None:
            raise ValueError(message("fault.passover three"))
        return self


class FollowForm(Form):
    """Along a face at clip standoff: the tube is brought there by a turn or a set, and goes on along it."""

    face: ThingName
    standoff: Standoff
    side: Direction | None = Field(None, description="Which face of the thing, by the way it looks")
    turn: Direction | None = Field(None, description="Which way along the face, when the tube comes towards it")
    angle: SetAngle | None = Field(
        None, description="Of the set that brings a tube already running along the face to its standoff"
    )
    for_: Length | None = Field(None, alias="for", description="How far along it, to the centre of the next bend")
    former: OwnFormer = None


class BesideForm(FindBesideForm):
    """Beside another run, all its way or some of its legs, at one distance and with the bends nested."""

    to: Direction | None = Field(
        None, description="On which side of it; if left out, below a level leg and right of a rising one"
    )
    legs: Annotated[tuple[int, int], PlainValidator(parse_legs), WithJsonSchema(LEGS)] | None = Field(
        None, description="Beside which of its legs, [first, last]; all of them if left out"
    )
    former: OwnFormer = None


class RouteItem(_Choice):
    """One move or feature of a run: a mapping of one key."""

    model_config = ConfigDict(json_schema_extra=_one_key)

    _one_of = (
        "go",
        "turn",
        *("north", "south", "east", "west", "north east", "north west", "south east", "south west"),
        *("up", "down", "left", "right", "out", "in"),
        *("corner", "by", "set", "pass over", "follow", "beside"),
    )
    _what = "item"

    go: Go | None = Field(None, description="Straight on: how far")
    turn: Turn | None = Field(None, description="A bend: which way")
    north: TurnAndGo | None = Field(None, description="Turn north (unless heading so) and go")
    south: TurnAndGo | None = Field(None, description="Turn south (unless heading so) and go")
    east: TurnAndGo | None = Field(None, description="Turn east (unless heading so) and go")
    west: TurnAndGo | None = Field(None, description="Turn west (unless heading so) and go")
    north_east: TurnAndGo | None = Field(None, alias="north east", description="Turn north east and go, level")
    north_west: TurnAndGo | None = Field(None, alias="north west", description="Turn north west and go, level")
    south_east: TurnAndGo | None = Field(None, alias="south east", description="Turn south east and go, level")
    south_west: TurnAndGo | None = Field(None, alias="south west", description="Turn south west and go, level")
    up: TurnAndGo | None = Field(None, description="Turn up (unless heading so) and go")
    down: TurnAndGo | None = Field(None, description="Turn down (unless heading so) and go")
    left: TurnAndGo | None = Field(None, description="Turn left and go")
    right: TurnAndGo | None = Field(None, description="Turn right and go")
    out: TurnAndGo | None = Field(None, description="Turn out from the wall (unless heading so) and go")
    in_: TurnAndGo | None = Field(None, alias="in", description="Turn in to the wall (unless heading so) and go")
    corner: CornerChoice | None = Field(None, description="To a corner (or the finish) at this point of the room")
    by: CornerChoice | None = Field(
        None, description="To a corner (or the finish) this far east, north and up from the last"
    )
    set: SetForm | None = None
    pass_over: PassoverForm | None = Field(None, alias="pass over")
    follow: FollowForm | None = None
    beside: BesideForm | None = None

    @property
    def things(self) -> tuple[str, ...]:
        """The things that this item names."""
        form = self.chosen_form
        names = (getattr(form, key, None) for key in ("to_face_of", "past", "to_centre_of", "clear", "thing", "face"))
        return tuple(name for name in names if isinstance(name, str))

    @property
    def own_former(self) -> FormerChoice | None:
        """What its own bends are made round, None for the run's former."""
        return getattr(self.chosen_form, "former", None)

    @property
    def own_fall(self) -> Fall | None:
        """How its leg falls, None where that is left to the run."""
        return getattr(self.chosen_form, "fall", None)
