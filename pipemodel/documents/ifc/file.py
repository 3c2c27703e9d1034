"""The runs as a building model: IFC 4 (ISO 16739-1), each as it is fabricated, exact.

A run is one IfcPipeSegment, and its bends are no IfcPipeFitting: a segment is the piece of pipe between two
connections, a fitting a part that joins two of them; hand-bent tube has no joint at its bends. A run that is cut
into pieces and jointed is an IfcElementAssembly of a segment for each piece and an IfcPipeFitting for each coupling,
their ports connected. A body is an IfcSweptDiskSolid along an IfcIndexedPolyCurve of lines and arcs. The building
stands where the job does in the model that its room was made of.
"""

from typing import Any

from pipemodel.bending.schedule import SolvedRun
from pipemodel.documents.ifc.entities import Entities
from pipemodel.documents.ifc.tubes import connected, coupling_of, materials, segment_of
from pipemodel.models.missing import ModelsMissingError
from pipemodel.output.file_names import JOB_STEM, Folder
from pipemodel.results.pieces import jointed
from pipemodel.results.results import Results


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
    job = results.schedule.job
    into = Entities(ifcopenshell.file(schema="IFC4"), job.name, job.model_place)
    building = into.project()
    wholes: list[Any] = []
    segments: list[tuple[SolvedRun, Any]] = []
    elements: list[Any] = []
    for number in range(len(job.runs)):
        whole, made, fittings = _run(into, results, number)
        wholes.append(whole)
        segments += made
        elements += [*(segment for _, segment in made), *fittings]
    into.rooted("IfcRelContainedInSpatialStructure", "in", RelatedElements=wholes, RelatingStructure=building)
    system = into.rooted("IfcDistributionSystem", "system", Name=job.name)
    into.rooted("IfcRelAssignsToGroup", "of system", RelatedObjects=elements, RelatingGroup=system)
    into.rooted("IfcRelServicesBuildings", "serves", RelatingSystem=system, RelatedBuildings=[building])
    materials(into, segments)
    return into.text()


def _run(into: Entities, results: Results, number: int) -> tuple[Any, list[tuple[SolvedRun, Any]], list[Any]]:
    """Make a run; return what stands in the building, its segments, and its couplings."""
    solved = results.schedule.runs[number]
    split = jointed(results.cutting, number)
    if split is None:
        segment, _ = segment_of(into, solved, results.plans[number])
        return segment, [(solved, segment)], []
    made = [segment_of(into, *each) for each in zip(split.pieces, split.plans, strict=True)]
    fittings = []
    for k, joint in enumerate(split.joints):
        fitting, (before, after) = coupling_of(into, solved, k + 1, joint)
        connected(into, f"{fitting.Name} start", made[k][1][1], before)
        connected(into, f"{fitting.Name} finish", after, made[k + 1][1][0])
        fittings.append(fitting)
    parts = [segment for segment, _ in made]
    whole = into.rooted(
        "IfcElementAssembly",
        solved.name,
        Name=solved.name,
        ObjectType="jointed run",
        ObjectPlacement=into.placed(),
        AssemblyPlace="SITE",
        PredefinedType="USERDEFINED",
    )
    into.rooted("IfcRelAggregates", solved.name, RelatingObject=whole, RelatedObjects=[*parts, *fittings])
    return whole, list(zip(split.pieces, parts, strict=True)), fittings
