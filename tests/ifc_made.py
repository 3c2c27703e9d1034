"""IFC models made here with ifcopenshell, an entity at a time, for tests; lengths are in the file's own unit."""

from math import cos, radians, sin

import ifcopenshell
import ifcopenshell.guid

PREFIXES = {"mm": "MILLI", "m": None, "cm": "CENTI"}


class MadeModel:
    """A model being made: a project, a site, a building and two storeys; `element` puts one more thing into it."""

    def __init__(self, schema="IFC4", unit="mm", site=None, true_north=None):
        self.file = ifcopenshell.file(schema=schema)
        self.number = 0
        make = self.file.create_entity
        units = []
        if unit == "foot":
            si = make("IfcSIUnit", None, "LENGTHUNIT", None, "METRE")
            measure = make("IfcMeasureWithUnit", make("IfcLengthMeasure", 0.3048), si)
            dimensions = make("IfcDimensionalExponents", 1, 0, 0, 0, 0, 0, 0)
            units.append(make("IfcConversionBasedUnit", dimensions, "LENGTHUNIT", "FOOT", measure))
        elif unit is not None:
            units.append(make("IfcSIUnit", None, "LENGTHUNIT", PREFIXES[unit], "METRE"))
        if units:
            units.append(make("IfcSIUnit", None, "PLANEANGLEUNIT", None, "RADIAN"))
        north = None if true_north is None else make("IfcDirection", true_north)
        self.context = make("IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, self.axes(), north)
        project = make("IfcProject", self.guid(), Name="P", RepresentationContexts=[self.context])
        project.UnitsInContext = make("IfcUnitAssignment", units) if units else None
        self.site = make("IfcSite", self.guid(), Name="S", ObjectPlacement=self.place(site))
        self.building = make("IfcBuilding", self.guid(), Name="B", ObjectPlacement=self.place(under=self.site))
        self.storeys = [
            make("IfcBuildingStorey", self.guid(), Name=name, ObjectPlacement=self.place(under=self.building))
            for name in ("Ground", "First")
        ]
        for whole, parts in ((project, [self.site]), (self.site, [self.building]), (self.building, self.storeys)):
            make("IfcRelAggregates", self.guid(), RelatingObject=whole, RelatedObjects=parts)
        self.held = [[], []]

    def guid(self):
        """GUIDs in the order they are asked for, the same at every run."""
        self.number += 1
        return ifcopenshell.guid.compress(f"{self.number:032x}")

    def make(self, kind, *values, **named):
        return self.file.create_entity(kind, *values, **named)

    def point(self, *xyz):
        return self.make("IfcCartesianPoint", [float(v) for v in xyz])

    def way(self, *xyz):
        return self.make("IfcDirection", [float(v) for v in xyz])

    def axes(self, at=(0, 0, 0), z=None, x=None):
        turned = [None if way is None else self.way(*way) for way in (z, x)]
        return self.make("IfcAxis2Placement3D", self.point(*at), *turned)

    def axes2(self, at=(0, 0), turned=0.0):
        return self.make("IfcAxis2Placement2D", self.point(*at), self.way(cos(radians(turned)), sin(radians(turned))))

    def place(self, axes=None, under=None):
        return self.make("IfcLocalPlacement", under and under.ObjectPlacement, axes or self.axes())

    # Profiles, curves and bodies

    def rectangle(self, x, y, at=(0, 0), turned=0.0):
        return self.make("IfcRectangleProfileDef", "AREA", None, self.axes2(at, turned), float(x), float(y))

    def circle(self, radius, at=(0, 0), wall=None):
        if wall is None:
            return self.make("IfcCircleProfileDef", "AREA", None, self.axes2(at), float(radius))
        return self.make("IfcCircleHollowProfileDef", "AREA", None, self.axes2(at), float(radius), float(wall))

    def polyline(self, points, closed=True):
        made = [self.point(*p) for p in points]
        return self.make("IfcPolyline", [*made, made[0]] if closed else made)

    def outline(self, points, voids=()):
        if voids:
            inner = [self.polyline(v) if isinstance(v, list) else v for v in voids]
            return self.make("IfcArbitraryProfileDefWithVoids", "AREA", None, self.polyline(points), inner)
        return self.make("IfcArbitraryClosedProfileDef", "AREA", None, self.polyline(points))

    def extruded(self, profile, depth, axes=None, way=(0, 0, 1)):
        return self.make("IfcExtrudedAreaSolid", profile, axes or self.axes(), self.way(*way), float(depth))

    def brep(self, points, faces):
        made = [self.point(*p) for p in points]
        shell = []
        for loops in faces:
            loops = [loops] if isinstance(loops[0], int) else loops
            bounds = [
                self.make(
                    "IfcFaceOuterBound" if k == 0 else "IfcFaceBound",
                    self.make("IfcPolyLoop", [made[i] for i in loop]),
                    True,
                )
                for k, loop in enumerate(loops)
            ]
            shell.append(self.make("IfcFace", bounds))
        return self.make("IfcFacetedBrep", self.make("IfcClosedShell", shell))

    def mapped(self, items, origin=None, at=(0, 0, 0), axes=(None, None, None), scales=None):
        body = self.make("IfcShapeRepresentation", self.context, "Body", "SweptSolid", items)
        source = self.make("IfcRepresentationMap", origin or self.axes(), body)
        one, two, three = [None if way is None else self.way(*way) for way in axes]
        if scales is None or isinstance(scales, float):
            target = self.make("IfcCartesianTransformationOperator3D", one, two, self.point(*at), scales, three)
        else:
            kind = "IfcCartesianTransformationOperator3DnonUniform"
            target = self.make(kind, one, two, self.point(*at), scales[0], three, *scales[1:])
        return self.make("IfcMappedItem", source, target)

    def body(self, items, name="Body"):
        shape = self.make("IfcShapeRepresentation", self.context, name, "SolidModel", items)
        return self.make("IfcProductDefinitionShape", None, None, [shape])

    # Products

    def element(self, items, kind="IfcBuildingElementProxy", name=None, axes=None, under=None, storey=0, body="Body"):
        shape = self.body(items, body) if items else None
        place = self.place(axes, under or self.storeys[storey])
        made = self.make(kind, self.guid(), Name=name, ObjectPlacement=place, Representation=shape)
        self.held[storey].append(made)
        return made

    def opening(self, host, items, axes=None):
        place = self.place(axes, host)
        made = self.make("IfcOpeningElement", self.guid(), ObjectPlacement=place, Representation=self.body(items))
        self.make("IfcRelVoidsElement", self.guid(), RelatingBuildingElement=host, RelatedOpeningElement=made)
        return made

    def system(self, name, elements):
        system = self.make("IfcSystem", self.guid(), Name=name)
        self.make("IfcRelAssignsToGroup", self.guid(), RelatedObjects=elements, RelatingGroup=system)

    def written(self, path):
        for storey, held in zip(self.storeys, self.held, strict=True):
            if held:
                relation = self.make("IfcRelContainedInSpatialStructure", self.guid())
                relation.RelatedElements, relation.RelatingStructure = held, storey
        path.write_text(self.file.to_string(), encoding="utf-8")
        return path
