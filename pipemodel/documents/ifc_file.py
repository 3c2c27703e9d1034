"""The runs as a building model: IFC 4 (ISO 16739-1), each run as one bent piece of tube, exact.

A run is one IfcPipeSegment, and its bends are no IfcPipeFitting: a segment is the piece of pipe between two
connections, a fitting a part that joins two of them; hand-bent tube has no joint at its bends. A run that is cut
into pieces and jointed is one segment all the same: where its joints are stands in the cut list.
Its body is an IfcSweptDiskSolid along an IfcIndexedPolyCurve of lines and arcs, in the place and the axes of the job.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.vectors import Vec3, any_normal, scale
from pipemodel.models.ifc_ids import guid_of
from pipemodel.models.missing import ModelsMissingError
from pipemodel.output.file_names import JOB_STEM, Folder
from pipemodel.results.results import Results

if TYPE_CHECKING:
    from pipemodel.pulls.plan import Plan

SAME_MM = 1e-9
"""Points nearer to each other than this are one."""


def write_ifc(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write job.ifc.

    Raises:
        ModelsMissingError: if the library that writes building models is not installed.
    """
    (folder / f"{JOB_STEM}.ifc").write_text(ifc_text(results), encoding="ascii")
    return ()


def ifc_text(results: Results) -> str:
    """Return the runs of a job as IFC; see the module."""
    try:
        import ifcopenshell
    except ImportError:
        raise ModelsMissingError from None
    model = _Model(ifcopenshell.file(schema="IFC4"), results)
    return model.text()


class _Model:
    """Puts a job into an IFC file; every entity has a GUID by its names."""

    def __init__(self, file: Any, results: Results) -> None:
        self.file, self.results = file, results
        self.schedule = results.schedule
        self.job = self.schedule.job.name
        self.context: Any = None
        self.body: Any = None
        self.origin: Any = None

    def text(self) -> str:
        site = self._project()
        segments = [
            self._run(solved, plan) for solved, plan in zip(self.schedule.runs, self.results.plans, strict=True)
        ]
        self._rooted("IfcRelContainedInSpatialStructure", "in", RelatedElements=segments, RelatingStructure=site)
        system = self._rooted("IfcDistributionSystem", "system", Name=self.job)
        self._rooted("IfcRelAssignsToGroup", "of system", RelatedObjects=segments, RelatingGroup=system)
        self._rooted("IfcRelServicesBuildings", "serves", RelatingSystem=system, RelatedBuildings=[site])
        self._materials(segments)
        # No clock in anything written.
        header = self.file.header
        header.file_name.name = f"{JOB_STEM}.ifc"
        header.file_name.time_stamp = "1970-01-01T00:00:00"
        header.file_name.originating_system = "pipemodel"
        header.file_name.preprocessor_version = "pipemodel"
        return str(self.file.to_string())

    def _make(self, kind: str, *values: Any, **named: Any) -> Any:
        return self.file.create_entity(kind, *values, **named)

    def _rooted(self, kind: str, *of: str, **named: Any) -> Any:
        return self._make(kind, guid_of(self.job, kind, *of), **named)

    def _point(self, p: Vec3) -> Any:
        return self._make("IfcCartesianPoint", [float(c) for c in p])

    def _placed(self, at: Vec3 = (0.0, 0.0, 0.0), z: Vec3 | None = None, x: Vec3 | None = None) -> Any:
        ways = [None if way is None else self._make("IfcDirection", list(way)) for way in (z, x)]
        axes = self._make("IfcAxis2Placement3D", self._point(at), *ways)
        return self._make("IfcLocalPlacement", None, axes)

    def _project(self) -> Any:
        """Make project, units, site and building; return the building, which the runs stand in."""
        units = [
            self._make("IfcSIUnit", None, "LENGTHUNIT", "MILLI", "METRE"),
            self._make("IfcSIUnit", None, "PLANEANGLEUNIT", None, "RADIAN"),
            self._make("IfcSIUnit", None, "MASSUNIT", "KILO", "GRAM"),
        ]
        axes = self._make("IfcAxis2Placement3D", self._point((0.0, 0.0, 0.0)))
        self.context = self._make("IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, axes)
        self.body = self._make(
            "IfcGeometricRepresentationSubContext", "Body", "Model", ParentContext=self.context, TargetView="MODEL_VIEW"
        )
        project = self._rooted("IfcProject", Name=self.job, RepresentationContexts=[self.context])
        project.UnitsInContext = self._make("IfcUnitAssignment", units)
        building = self._rooted("IfcBuilding", Name=self.job, ObjectPlacement=self._placed())
        self._rooted("IfcRelAggregates", "project", RelatingObject=project, RelatedObjects=[building])
        return building

    def _run(self, solved: SolvedRun, plan: "Plan") -> Any:
        tube = solved.tube
        shape = self._make(
            "IfcSweptDiskSolid", self._directrix(solved.centreline), tube.outside_mm / 2.0, tube.bore_mm / 2.0
        )
        body = self._make("IfcShapeRepresentation", self.body, "Body", "AdvancedSweptSolid", [shape])
        segment = self._rooted(
            "IfcPipeSegment",
            solved.name,
            Name=solved.name,
            ObjectType=tube.name or None,
            ObjectPlacement=self._placed(),
            Representation=self._make("IfcProductDefinitionShape", None, None, [body]),
            PredefinedType="RIGIDSEGMENT",
        )
        self._ports(solved, segment)
        self._sizes(solved, segment)
        self._bends(solved, plan, segment)
        return segment

    def _directrix(self, line: Centreline) -> Any:
        """Return the axis of a run: points, and the lines and arcs that go through them."""
        points, segments = [line.start], []
        for piece in line.pieces:
            if piece.length <= SAME_MM:
                continue
            begin = len(points)
            if isinstance(piece, Arc):
                points += [piece.point_at(piece.length / 2.0), piece.finish]
                segments.append(self._make("IfcArcIndex", [begin, begin + 1, begin + 2]))
            else:
                points.append(piece.finish)
                segments.append(self._make("IfcLineIndex", [begin, begin + 1]))
        coordinates = self._make("IfcCartesianPointList3D", [list(map(float, p)) for p in points])
        return self._make("IfcIndexedPolyCurve", coordinates, segments, False)

    def _ports(self, solved: SolvedRun, segment: Any) -> None:
        line = solved.centreline
        ends = (
            ("start", line.start, scale(line.direction_at(0.0), -1.0)),
            ("finish", line.finish, line.direction_at(line.length)),
        )
        ports = [
            self._rooted(
                "IfcDistributionPort",
                solved.name,
                end,
                Name=end,
                ObjectPlacement=self._placed(at, out, any_normal(out)),
                FlowDirection="NOTDEFINED",
                PredefinedType="PIPE",
            )
            for end, at, out in ends
        ]
        self._rooted("IfcRelNests", solved.name, RelatingObject=segment, RelatedObjects=ports)

    def _sizes(self, solved: SolvedRun, segment: Any) -> None:
        """The sizes under their standard names: Pset_PipeSegmentTypeCommon, Qto_PipeSegmentBaseQuantities."""
        tube = solved.tube
        # The nominal diameter of copper tube is its outside diameter (EN 1057).
        lengths = {"NominalDiameter": tube.outside_mm, "OuterDiameter": tube.outside_mm, "InnerDiameter": tube.bore_mm}
        values = [self._single(name, "IfcPositiveLengthMeasure", mm) for name, mm in lengths.items()]
        self._properties("Pset_PipeSegmentTypeCommon", values, solved.name, segment)
        quantities = [self._make("IfcQuantityLength", "Length", None, None, solved.centreline.length)]
        if tube.mass_kg_per_m is not None:
            mass = tube.mass_kg_per_m * solved.centreline.length / 1000.0
            quantities.append(self._make("IfcQuantityWeight", "GrossWeight", None, None, mass))
        named = "Qto_PipeSegmentBaseQuantities"
        made = self._rooted("IfcElementQuantity", solved.name, named, Name=named, Quantities=quantities)
        self._rooted(
            "IfcRelDefinesByProperties", solved.name, named, RelatedObjects=[segment], RelatingPropertyDefinition=made
        )

    def _bends(self, solved: SolvedRun, plan: "Plan", segment: Any) -> None:
        """What the hands go by, as a property set of our own: cut length, former, each bend, the pulls in order."""
        values = [self._length("CutLength", solved.cut_length_mm), self._text("Former", solved.former.name)]
        for bend in solved.bends:
            rows = {
                "Start": ("IfcLengthMeasure", bend.start_mm),
                "Mark": ("IfcLengthMeasure", bend.mark_mm),
                "Angle": ("IfcReal", bend.angle_deg),
                "PullAngle": ("IfcReal", bend.pull_deg),
                "Turn": ("IfcReal", bend.turn_deg),
                "Radius": ("IfcLengthMeasure", bend.radius_mm),
            }
            inner = [self._single(name, kind, value) for name, (kind, value) in rows.items()]
            values.append(self._make("IfcComplexProperty", f"Bend {bend.number}", None, "pipemodel.bend", inner))
        for pull in plan.pulls:
            said = (
                f"bend {pull.bend}, held by the {pull.held} end, mark {pull.drawn_mark_mm:.1f} mm, "
                f"to {pull.pull_deg:.1f} deg"
            )
            values.append(self._text(f"Pull {pull.number}", said))
        self._properties("pipemodel_Schedule", values, solved.name, segment)

    def _properties(self, named: str, values: Sequence[Any], run: str, segment: Any) -> None:
        made = self._rooted("IfcPropertySet", run, named, Name=named, HasProperties=list(values))
        self._rooted("IfcRelDefinesByProperties", run, named, RelatedObjects=[segment], RelatingPropertyDefinition=made)

    def _single(self, name: str, kind: str, value: Any) -> Any:
        return self._make("IfcPropertySingleValue", name, None, self._make(kind, value))

    def _length(self, name: str, mm: float) -> Any:
        return self._single(name, "IfcLengthMeasure", mm)

    def _text(self, name: str, text: str) -> Any:
        return self._single(name, "IfcText", text)

    def _materials(self, segments: Sequence[Any]) -> None:
        """Say what each segment is made of, each material once."""
        by_name: dict[str, list[Any]] = {}
        for solved, segment in zip(self.schedule.runs, segments, strict=True):
            if solved.tube.material:
                by_name.setdefault(solved.tube.material, []).append(segment)
        for name, those in by_name.items():
            material = self._make("IfcMaterial", name)
            self._rooted("IfcRelAssociatesMaterial", name, RelatedObjects=those, RelatingMaterial=material)
