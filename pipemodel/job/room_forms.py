"""The forms of the things in a room: boxes, cylinders, faces, extrusions and mesh files."""

from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from pipemodel.geometry.centreline import around
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Shape
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.geometry.shapes.face import MOST_OUTLINE_POINTS
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import along, cross, dot
from pipemodel.job.beside_forms import RepeatForm, SourceForm
from pipemodel.job.building.fixtures import CableForm, DuctForm, RadiatorForm, TankForm
from pipemodel.job.building.rows import JoistsForm, StudsForm
from pipemodel.job.building.services import BeamForm, BoxingForm, PipeForm, StackForm
from pipemodel.job.building.sleeves import SleeveForm
from pipemodel.job.building.walls import FloorForm, WallForm
from pipemodel.job.building.zones import AccessForm, SwingForm, VoidForm
from pipemodel.job.form import Form, one_as_list, one_or_many, so_many
from pipemodel.job.hole_forms import HoleForm
from pipemodel.job.model import Role
from pipemodel.job.outline import counter_clockwise, openings_fault, outline_fault
from pipemodel.job.quantities import Angle, Length, NonNegativeLength, Point, PositiveLength
from pipemodel.job.room_basics import Facing, PlanPoint
from pipemodel.messages.values import Name, Number, Word, listed, message

MESH_ENDINGS = ("stl", "obj", "ply", "off", "3mf", "glb", "step", "stp")
MOST_OPENINGS = 200
MOST_HOLES = 200

_AXES = ("x", "y", "z")


class BlockForm(Form):
    """A block by two opposite corners."""

    from_: Point = Field(alias="from", description="One corner")
    to: Point = Field(description="The opposite corner")

    def shape(self) -> Box:
        """Return the box."""
        return Box(*around([self.from_, self.to]))


class BoxForm(BlockForm):
    """A block with its faces along the axes, between two opposite corners."""

    @model_validator(mode="after")
    def _has_thickness(self) -> "BoxForm":
        for axis, a, b in zip(_AXES, self.from_, self.to, strict=True):
            if a == b:
                raise ValueError(message("fault.box flat", axis=Word(axis), a=Number(a)))
        return self


class CylinderForm(Form):
    """A solid cylinder with flat ends."""

    from_: Point = Field(alias="from", description="The middle of one end")
    to: Point = Field(description="The middle of the other end")
    diameter: PositiveLength = Field(description="Outside diameter")

    def shape(self) -> Cylinder:
        """Return the cylinder."""
        return Cylinder(self.from_, self.to, self.diameter)

    @model_validator(mode="after")
    def _has_length(self) -> "CylinderForm":
        if self.from_ == self.to:
            raise ValueError(message("fault.cylinder no length"))
        return self


Diameters = Annotated[tuple[NonNegativeLength, NonNegativeLength], so_many(2, message("fault.cone diameters"))]


class ConeForm(Form):
    """A solid cone with flat ends of different diameters; one that tapers to a point has a diameter of 0 there."""

    from_: Point = Field(alias="from", description="The middle of one end")
    to: Point = Field(description="The middle of the other end")
    diameters: Diameters = Field(description="Outside diameter at 'from' and at 'to'; 0 for a point")

    @model_validator(mode="after")
    def _is_a_cone(self) -> "ConeForm":
        first, last = self.diameters
        if self.from_ == self.to:
            raise ValueError(message("fault.cone no length"))
        if first == last:
            mend = Word("cylinder" if first > 0.0 else "more")
            raise ValueError(message("fault.cone even", d=Number(first), mend=mend))
        return self

    def shape(self) -> Shape:
        """Return the cone."""
        return Cone(self.from_, self.to, self.diameters)


class FaceForm(Form):
    """A wall, floor or ceiling: everything behind a face without end."""

    at: Point = Field(description="Any point of the face")
    facing: Facing = Field(description="The way the face looks; the solid is behind it")

    def shape(self) -> Shape:
        """Return the half-space behind it."""
        return HalfSpace(self.at, self.facing)


class ExtrusionForm(Form):
    """A plan outline carried straight up from one height to another."""

    outline: list[PlanPoint] = Field(
        min_length=3, max_length=MOST_OUTLINE_POINTS, description="The corners of the outline, in order round it"
    )
    from_: Length = Field(alias="from", description="Height (z) of one end")
    to: Length = Field(description="Height (z) of the other end")

    def shape(self) -> Shape:
        """Return the extrusion."""
        return Extrusion(counter_clockwise(self.outline), min(self.from_, self.to), max(self.from_, self.to))

    @model_validator(mode="after")
    def _is_solid(self) -> "ExtrusionForm":
        if self.from_ == self.to:
            raise ValueError(message("fault.extrusion flat", z=Number(self.to)))
        if fault := outline_fault(self.outline):
            raise ValueError(fault)
        return self


class PlateForm(Form):
    """An outline of some thickness, lying any way: a wall at an angle, a floor that falls, a gable."""

    at: Point = Field(description="Where the outline's [0, 0] lies, on the side it is seen from")
    across: Facing = Field(description="The way the outline's first figures go, to the right as seen")
    up: Facing = Field(description="The way its second figures go, square to 'across'")
    outline: list[PlanPoint] = Field(
        min_length=3, max_length=MOST_OUTLINE_POINTS, description="The corners of the outline, in order round it"
    )
    thickness: PositiveLength = Field(description="How far it goes back from the side it is seen from")
    openings: list[Annotated[list[PlanPoint], Field(min_length=3, max_length=MOST_OUTLINE_POINTS)]] = Field(
        default=[], max_length=MOST_OPENINGS, description="Outlines within the outline that are cut out of it"
    )

    def shape(self) -> Shape:
        """Return the plate, its own axes at the back."""
        back = along(self.at, cross(self.across, self.up), -self.thickness)
        outlines = tuple(counter_clockwise(outline) for outline in (self.outline, *self.openings))
        return Plate(back, self.across, self.up, self.thickness, outlines)

    @model_validator(mode="after")
    def _is_flat(self) -> "PlateForm":
        if abs(dot(self.across, self.up)) > 1e-9:
            raise ValueError(message("fault.plate square"))
        for outline in (self.outline, *self.openings):
            if fault := outline_fault(outline):
                raise ValueError(fault)
        if wrong := openings_fault(self.outline, self.openings):
            raise ValueError(wrong)
        return self


class TurnForm(Form):
    """A rotation about an axis of the room, right-handed, before the thing is moved to its place."""

    about: Literal["x", "y", "z"] = Field(description="The axis it turns about")
    by: Angle = Field(description="How far, in degrees")


class MeshForm(Form):
    """A mesh or STEP file, turned and then moved into its place."""

    file: str = Field(min_length=1, description="Path from the job's folder: " + ", ".join(MESH_ENDINGS))
    at: Point = Field(default=(0.0, 0.0, 0.0), description="Where the file's own origin comes to lie")
    turn: Annotated[list[TurnForm], one_as_list(dict)] = Field(
        default=[],
        description="One turn or several, made in that order about the file's own origin",
        json_schema_extra=one_or_many,
    )
    unit: Literal["mm", "cm", "m", "in", "ft"] = Field(default="mm", description="What one unit of the file is")
    part: str | None = Field(
        default=None, min_length=1, max_length=200, description="The one part of the file of that name; all if left out"
    )


def _said(value: object) -> object:
    if value is None:
        raise ValueError(message("fault.why free"))
    return value


Term: TypeAlias = (
    WallForm
    | FloorForm
    | JoistsForm
    | StudsForm
    | BeamForm
    | BoxingForm
    | StackForm
    | PipeForm
    | DuctForm
    | RadiatorForm
    | TankForm
    | VoidForm
    | SwingForm
    | AccessForm
)


class ThingForm(Form):
    """A thing in the room: exactly one shape or building term, and its clearance if it is not the job's."""

    box: BoxForm | None = None
    cylinder: CylinderForm | None = None
    cone: ConeForm | None = None
    face: FaceForm | None = None
    extrusion: ExtrusionForm | None = None
    plate: PlateForm | None = None
    mesh: MeshForm | None = None
    wall: WallForm | None = None
    floor: FloorForm | None = None
    joists: JoistsForm | None = None
    studs: StudsForm | None = None
    beam: BeamForm | None = None
    boxing: BoxingForm | None = None
    stack: StackForm | None = None
    pipe: PipeForm | None = None
    cable: CableForm | None = None
    duct: DuctForm | None = None
    radiator: RadiatorForm | None = None
    tank: TankForm | None = None
    void: VoidForm | None = None
    swing: SwingForm | None = None
    access: AccessForm | None = None
    sleeve: SleeveForm | None = None
    keep_free: Annotated[str | None, BeforeValidator(_said)] = Field(
        default=None,
        alias="keep free",
        min_length=1,
        max_length=100,
        description="It is no thing but room to be kept free, and why: such as the reach of a hand",
    )
    runs: list[str] | None = Field(
        default=None,
        min_length=1,
        max_length=1000,
        description="Of a void or of what is kept free: the runs it is meant for; all if left out",
    )
    clearance: NonNegativeLength | None = None
    is_: str | None = Field(
        default=None,
        alias="is",
        max_length=40,
        description="Its kind, for the rules: cable, joist, ...",
    )
    holes: list[HoleForm] = Field(
        default=[], max_length=MOST_HOLES, description="Holes right through a box, an extrusion or a plate"
    )
    repeat: RepeatForm | None = Field(default=None, description="A row of it: how many, and how far apart")
    source: SourceForm | None = Field(default=None, description="Where it comes from in a building model")

    @model_validator(mode="after")
    def _one_shape(self) -> "ThingForm":
        given = self.given
        if len(given) != 1:
            has = message("fault.has", given=listed([Name(one, quoted=False) for one in given]))
            names = Name(", ".join(_KINDS), quoted=False)
            raise ValueError(message("fault.a thing", names=names, has=has if given else message("fault.has none")))
        if self.holes and given[0] in TERMS:
            raise ValueError(message("fault.cut within", given=Name(given[0], quoted=False)))
        if self.keep_free is not None and (self.void is not None or self.face is not None):
            raise ValueError(message("fault.free size"))
        if self.sleeve is not None and (self.runs is not None or self.keep_free is not None or self.repeat is not None):
            raise ValueError(message("fault.sleeve for"))
        if self.runs is not None and self.role == "solid":
            raise ValueError(message("fault.runs with"))
        return self

    @property
    def given(self) -> list[str]:
        """The shapes and building terms it is written as: one, once it has been read."""
        given = [name for name in self.model_fields_set if name in _KINDS and getattr(self, name) is not None]
        return sorted(given, key=_KINDS.index)

    @property
    def role(self) -> Role:
        """Whether it is there, or room to stay within or to keep out of."""
        if self.void is not None:
            return "void"
        kept = self.keep_free is not None or any((self.swing, self.access, self.sleeve))
        return "kept free" if kept else "solid"

    @property
    def term(self) -> "Term | None":
        """The building term it is written as, None for a plain shape, and for a sleeve, which is a part of another."""
        return next((getattr(self, name) for name in self.given if name in TERMS and name != "sleeve"), None)


TERMS = (
    *("wall", "floor", "joists", "studs", "beam", "boxing", "stack", "pipe", "cable", "duct", "radiator", "tank"),
    *("void", "swing", "access", "sleeve"),
)
"""The building terms, each of which stands for one plain shape or several."""
_BESIDE_A_SHAPE = ("keep_free", "runs", "clearance", "is_", "holes", "repeat", "source")
SHAPES = tuple(name for name in ThingForm.model_fields if name not in (*_BESIDE_A_SHAPE, *TERMS))
"""The kinds of things, by the key a job gives them under."""
_KINDS = (*SHAPES, *TERMS)
