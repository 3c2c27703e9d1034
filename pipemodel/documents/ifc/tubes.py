"""Runs, and the pieces and couplings of jointed ones, as elements of a building model."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from pipemodel.bending.schedule import SolvedRun
from pipemodel.documents.ifc.entities import Entities
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.vectors import any_normal, scale

if TYPE_CHECKING:
    from pipemodel.cutting.split import Joint
    from pipemodel.pulls.plan import Plan

SAME_MM = 1e-9
"""Points nearer to each other than this are one."""


def segment_of(into: Entities, solved: SolvedRun, plan: "Plan") -> tuple[Any, list[Any]]:
    """Make the segment of a run or a piece; return it, and its ports at start and finish."""
    tube = solved.tube
    shape = into.make(
        "IfcSweptDiskSolid", _directrix(into, solved.centreline), tube.outside_mm / 2.0, tube.bore_mm / 2.0
    )
    segment = into.rooted(
        "IfcPipeSegment",
        solved.name,
        Name=solved.name,
        ObjectType=tube.name or None,
        ObjectPlacement=into.placed(),
        Representation=into.shown(shape),
        PredefinedType="RIGIDSEGMENT",
    )
    ends = [(end, at, way, any_normal(way)) for end, at, way in solved.centreline.ends]
    ports = into.ports(solved.name, segment, ends)
    _sizes(into, solved, segment)
    _bends(into, solved, plan, segment)
    return segment, ports


def coupling_of(into: Entities, solved: SolvedRun, number: int, joint: "Joint") -> tuple[Any, list[Any]]:
    """Make the coupling of a joint; return it, and its ports towards the start and the finish of the run.

    It is drawn from mouth to mouth, its socket as thick as the tube's wall (common practice, no source); both tubes go
    up to the stop in its middle, where its ports are.
    """
    tube, name = solved.tube, f"{solved.name} coupling {number}"
    way = solved.centreline.direction_at(joint.at_mm)
    points = [solved.centreline.point_at(at) for at in joint.mouths_mm]
    line = into.make("IfcPolyline", [into.point(p) for p in points])
    outer = tube.outside_mm / 2.0
    shape = into.make("IfcSweptDiskSolid", line, outer + tube.wall_mm, outer)
    fitting = into.rooted(
        "IfcPipeFitting",
        name,
        Name=name,
        ObjectPlacement=into.placed(),
        Representation=into.shown(shape),
        PredefinedType="CONNECTOR",
    )
    across = any_normal(way)
    ends = [("start", joint.point, scale(way, -1.0), across), ("finish", joint.point, way, across)]
    return fitting, into.ports(name, fitting, ends)


def connected(into: Entities, name: str, one: Any, other: Any) -> None:
    """Say that two ports are connected."""
    into.rooted("IfcRelConnectsPorts", name, RelatingPort=one, RelatedPort=other)


def _directrix(into: Entities, line: Centreline) -> Any:
    """Return the axis of a run: points, and the lines and arcs that go through them."""
    points, segments = [line.start], []
    for piece in line.pieces:
        if piece.length <= SAME_MM:
            continue
        begin = len(points)
        if isinstance(piece, Arc):
            points += [piece.point_at(piece.length / 2.0), piece.finish]
            segments.append(into.make("IfcArcIndex", [begin, begin + 1, begin + 2]))
        else:
            points.append(piece.finish)
            segments.append(into.make("IfcLineIndex", [begin, begin + 1]))
    coordinates = into.make("IfcCartesianPointList3D", [list(map(float, p)) for p in points])
    return into.make("IfcIndexedPolyCurve", coordinates, segments, False)


def _sizes(into: Entities, solved: SolvedRun, segment: Any) -> None:
    """The sizes under their standard names: Pset_PipeSegmentTypeCommon, Qto_PipeSegmentBaseQuantities."""
    tube = solved.tube
    # The nominal diameter of copper tube is its outside diameter (EN 1057).
    lengths = {"NominalDiameter": tube.outside_mm, "OuterDiameter": tube.outside_mm, "InnerDiameter": tube.bore_mm}
    values = [into.single(name, "IfcPositiveLengthMeasure", mm) for name, mm in lengths.items()]
    into.properties("Pset_PipeSegmentTypeCommon", values, solved.name, segment)
    quantities = [into.make("IfcQuantityLength", "Length", None, None, solved.centreline.length)]
    if tube.mass_kg_per_m is not None:
        mass = tube.mass_kg_per_m * solved.centreline.length / 1000.0
        quantities.append(into.make("IfcQuantityWeight", "GrossWeight", None, None, mass))
    named = "Qto_PipeSegmentBaseQuantities"
    made = into.rooted("IfcElementQuantity", solved.name, named, Name=named, Quantities=quantities)
    into.rooted(
        "IfcRelDefinesByProperties", solved.name, named, RelatedObjects=[segment], RelatingPropertyDefinition=made
    )


def _bends(into: Entities, solved: SolvedRun, plan: "Plan", segment: Any) -> None:
    """What the hands go by, as a property set of our own: cut length, former, each bend, the pulls in order."""
    values = [
        into.single("CutLength", "IfcLengthMeasure", solved.cut_length_mm),
        into.single("Former", "IfcText", solved.former.name),
    ]
    for bend in solved.bends:
        rows = {
            "Start": ("IfcLengthMeasure", bend.start_mm),
            "Mark": ("IfcLengthMeasure", bend.mark_mm),
            "Angle": ("IfcReal", bend.angle_deg),
            "PullAngle": ("IfcReal", bend.pull_deg),
            "Turn": ("IfcReal", bend.turn_deg),
            "Radius": ("IfcLengthMeasure", bend.radius_mm),
        }
        inner = [into.single(name, kind, value) for name, (kind, value) in rows.items()]
        values.append(into.make("IfcComplexProperty", f"Bend {bend.number}", None, "pipemodel.bend", inner))
    for pull in plan.pulls:
        said = (
            f"bend {pull.bend}, held by the {pull.held} end, mark {pull.drawn_mark_mm:.1f} mm, "
            f"to {pull.pull_deg:.1f} deg"
        )
        values.append(into.single(f"Pull {pull.number}", "IfcText", said))
    into.properties("pipemodel_Schedule", values, solved.name, segment)


def materials(into: Entities, made: Sequence[tuple[SolvedRun, Any]]) -> None:
    """Say what each segment is made of, each material once."""
    by_name: dict[str, list[Any]] = {}
    for solved, segment in made:
        if solved.tube.material:
            by_name.setdefault(solved.tube.material, []).append(segment)
    for name, those in by_name.items():
        material = into.make("IfcMaterial", name)
        into.rooted("IfcRelAssociatesMaterial", name, RelatedObjects=those, RelatingMaterial=material)
