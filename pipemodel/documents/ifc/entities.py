"""Entities of an IFC file as they are made here: each with a GUID by its names, in the place of the job."""

from collections.abc import Sequence
from typing import Any

from pipemodel.geometry.vectors import EAST, ORIGIN, UP, Vec3
from pipemodel.job.model_place import ModelPlace
from pipemodel.models.ifc_ids import guid_of

EPOCH = "1970-01-01T00:00:00"
"""No clock goes into anything written."""


class Entities:
    """Puts entities into an IFC file.

    Args:
        file: the file, of ifcopenshell.
        job: the name of the job, of which all GUIDs are made.
        place: how the job stands in a model, None if in none.
    """

    def __init__(self, file: Any, job: str, place: ModelPlace | None) -> None:
        self.file, self.job, self.place = file, job, place or ModelPlace()
        self.body: Any = None
        self.building: Any = None

    def make(self, kind: str, *values: Any, **named: Any) -> Any:
        """Make an entity."""
        return self.file.create_entity(kind, *values, **named)

    def rooted(self, kind: str, *of: str, **named: Any) -> Any:
        """Make an entity with a GUID, that of its kind and the names it goes by."""
        return self.make(kind, guid_of(self.job, kind, *of), **named)

    def point(self, p: Vec3) -> Any:
        """Make a point, mm."""
        return self.make("IfcCartesianPoint", [float(c) for c in p])

    def placed(self, at: Vec3 = ORIGIN, z: Vec3 | None = None, x: Vec3 | None = None) -> Any:
        """Make a placement in the axes of the job, which are those of the building."""
        under = None if self.building is None else self.building.ObjectPlacement
        return self.make("IfcLocalPlacement", under, self._axes(at, z, x))

    def _axes(self, at: Vec3, z: Vec3 | None, x: Vec3 | None) -> Any:
        ways = [None if way is None else self.make("IfcDirection", list(way)) for way in (z, x)]
        return self.make("IfcAxis2Placement3D", self.point(at), *ways)

    def project(self) -> Any:
        """Make project, units and building; return the building, which stands where the job does in its model."""
        units = [
            self.make("IfcSIUnit", None, "LENGTHUNIT", "MILLI", "METRE"),
            self.make("IfcSIUnit", None, "PLANEANGLEUNIT", None, "RADIAN"),
            self.make("IfcSIUnit", None, "MASSUNIT", "KILO", "GRAM"),
        ]
        north = self.place.true_north
        north = None if north is None else self.make("IfcDirection", list(north))
        axes = self._axes(ORIGIN, None, None)
        context = self.make("IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, axes, north)
        self._map(context)
        self.body = self.make(
            "IfcGeometricRepresentationSubContext", "Body", "Model", ParentContext=context, TargetView="MODEL_VIEW"
        )
        project = self.rooted("IfcProject", Name=self.job, RepresentationContexts=[context])
        project.UnitsInContext = self.make("IfcUnitAssignment", units)
        way = self.place.direction(EAST)
        turned = (UP, way) if way != EAST else (None, None)
        stands = self.make("IfcLocalPlacement", None, self._axes(self.place.point(ORIGIN), *turned))
        self.building = self.rooted("IfcBuilding", Name=self.job, ObjectPlacement=stands)
        self.rooted("IfcRelAggregates", "project", RelatingObject=project, RelatedObjects=[self.building])
        return self.building

    def _map(self, context: Any) -> None:
        """Say where the model stands on a map, in metres, as the model did."""
        at = self.place.on_map
        if at is None:
            return
        metre = self.make("IfcSIUnit", None, "LENGTHUNIT", None, "METRE")
        crs = self.make("IfcProjectedCRS", at.crs or "unnamed", MapUnit=metre)
        where = (at.eastings_m, at.northings_m, at.height_m, *at.x_axis)
        # The lengths of this file are mm.
        self.make("IfcMapConversion", context, crs, *where, at.scale / 1000.0)

    def ports(self, name: str, owner: Any, ends: Sequence[tuple[str, Vec3, Vec3, Vec3]]) -> list[Any]:
        """Make the ports of an element, each with its name, place, the way out, and a way across."""
        made = [
            self.rooted(
                "IfcDistributionPort",
                name,
                end,
                Name=end,
                ObjectPlacement=self.placed(at, out, across),
                FlowDirection="NOTDEFINED",
                PredefinedType="PIPE",
            )
            for end, at, out, across in ends
        ]
        self.rooted("IfcRelNests", name, RelatingObject=owner, RelatedObjects=made)
        return made

    def shown(self, item: Any) -> Any:
        """Make the body of an element out of one item."""
        body = self.make("IfcShapeRepresentation", self.body, "Body", "AdvancedSweptSolid", [item])
        return self.make("IfcProductDefinitionShape", None, None, [body])

    def properties(self, named: str, values: Sequence[Any], of: str, element: Any) -> None:
        """Give an element a property set."""
        made = self.rooted("IfcPropertySet", of, named, Name=named, HasProperties=list(values))
        self.rooted("IfcRelDefinesByProperties", of, named, RelatedObjects=[element], RelatingPropertyDefinition=made)

    def single(self, name: str, kind: str, value: Any) -> Any:
        """Make a property of one value."""
        return self.make("IfcPropertySingleValue", name, None, self.make(kind, value))

    def text(self) -> str:
        """Return the file, with no clock in its head."""
        header = self.file.header
        header.file_name.name = "job.ifc"
        header.file_name.time_stamp = EPOCH
        header.file_name.originating_system = "pipemodel"
        header.file_name.preprocessor_version = "pipemodel"
        return str(self.file.to_string())
