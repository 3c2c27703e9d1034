"""The clashes as BCF topics (BIM Collaboration Format 2.1, buildingSMART): what, where, and the two elements' GUIDs.

A topic needs a date and an author; no clock goes into anything written, so the date is that of the epoch, and the
author is the program. GUIDs are the same at every writing: a topic is known again while it is about the same place.
"""

import zipfile
from collections.abc import Iterator, Sequence
from io import BytesIO
from xml.etree import ElementTree as ET

from pipemodel.checks.findings import Contact, Finding
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.geometry.vectors import Vec3, along, cross, scale, sub, unit
from pipemodel.job.model import Thing
from pipemodel.job.model_place import ModelPlace
from pipemodel.models.ifc_ids import as_uuid, guid_of
from pipemodel.output.file_names import JOB_STEM, Folder
from pipemodel.results.pieces import jointed
from pipemodel.results.results import Results

DATE = "1970-01-01T00:00:00Z"
AWAY_MM = 900.0
"""How far from the place the eye is."""
EYES: tuple[Vec3, ...] = tuple(
    unit((x, y, z)) for z in (1.0, -1.0, 0.2) for x, y in ((-1.0, -1.6), (1.6, -1.0), (-1.6, 1.0), (1.0, 1.6))
)
"""From the place towards the eye, the first of them that nothing stands in the way of: south-west and above at best."""
LEAST_MM = 50.0
"""So near to the place is the eye at least, whatever stands in the way."""
FIELD_DEG = 45.0
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)


def write_bcf(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write job.bcf."""
    (folder / f"{JOB_STEM}.bcf").write_bytes(bcf_bytes(results))
    return ()


def bcf_bytes(results: Results) -> bytes:
    """Return the clashes of a job as BCF, a topic for each place; with none, a file without topics."""
    out = BytesIO()
    version = ET.Element("Version", VersionId="2.1")
    ET.SubElement(version, "DetailedVersion").text = "2.1"
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        _put(packed, "bcf.version", version)
        for finding, contact, names in _places(results):
            topic = as_uuid(guid_of(results.schedule.job.name, "topic", *names))
            view = as_uuid(guid_of(results.schedule.job.name, "viewpoint", *names))
            _put(packed, f"{topic}/markup.bcf", _markup(finding, contact, topic, view))
            _put(packed, f"{topic}/viewpoint.bcfv", _viewpoint(results, finding, contact, view))
    return out.getvalue()


def _places(results: Results) -> Iterator[tuple[Finding, Contact, tuple[str, ...]]]:
    """Yield each place of each clash, with the names it goes by."""
    for finding in results.report.findings:
        for number, contact in enumerate(finding.contacts, 1):
            yield finding, contact, (finding.code, finding.run or "", finding.against or "", str(number))


def _put(packed: zipfile.ZipFile, name: str, root: ET.Element) -> None:
    ET.indent(root)
    text = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    packed.writestr(zipfile.ZipInfo(name, _ZIP_DATE), text, zipfile.ZIP_DEFLATED)


def _markup(finding: Finding, contact: Contact, topic: str, view: str) -> ET.Element:
    root = ET.Element("Markup")
    header = ET.SubElement(root, "Header")
    file = ET.SubElement(header, "File", isExternal="true")
    ET.SubElement(file, "Filename").text = f"{JOB_STEM}.ifc"
    about = ET.SubElement(root, "Topic", Guid=topic, TopicType="Clash", TopicStatus="Open")
    part = str(contact.part)
    ET.SubElement(about, "Title").text = f"{finding.code}: {finding.run}, {part}, and {finding.against or 'itself'}"
    ET.SubElement(about, "Priority").text = "High" if finding.severity == "error" else "Normal"
    ET.SubElement(about, "CreationDate").text = DATE
    ET.SubElement(about, "CreationAuthor").text = "pipemodel"
    ET.SubElement(about, "Description").text = finding.message
    views = ET.SubElement(root, "Viewpoints", Guid=view)
    ET.SubElement(views, "Viewpoint").text = "viewpoint.bcfv"
    return root


def _viewpoint(results: Results, finding: Finding, contact: Contact, view: str) -> ET.Element:
    root = ET.Element("VisualizationInfo", Guid=view)
    components = ET.SubElement(root, "Components")
    selection = ET.SubElement(components, "Selection")
    for guid in _guids(results, finding, contact):
        ET.SubElement(selection, "Component", IfcGuid=guid)
    ET.SubElement(components, "Visibility", DefaultVisibility="true")
    # In the axes of the model that the room was made of, as job.ifc is.
    place = results.schedule.job.model_place or ModelPlace()
    point = place.point(contact.point)
    towards, away = _towards_eye(results.schedule.job.standing, finding.against, contact.point)
    eye = along(point, place.direction(towards), away)
    way = unit(sub(point, eye))
    camera = ET.SubElement(root, "PerspectiveCamera")
    _vector(camera, "CameraViewPoint", scale(eye, 0.001))
    _vector(camera, "CameraDirection", way)
    _vector(camera, "CameraUpVector", unit(cross(cross(way, (0.0, 0.0, 1.0)), way)))
    ET.SubElement(camera, "FieldOfView").text = f"{FIELD_DEG:g}"
    return root


def _towards_eye(things: Sequence[Thing], against: str | None, p: Vec3) -> tuple[Vec3, float]:
    """Return the way from a place to the eye, and how far off that is: where nothing but the other stands between."""
    block = [sub(p, (AWAY_MM,) * 3), along(p, (1.0, 1.0, 1.0), AWAY_MM)]
    near = []
    for thing in things:
        bounds = thing.shape.bounds()
        if thing.name != against and (
            not bounds or all(bounds[0][k] <= block[1][k] and block[0][k] <= bounds[1][k] for k in range(3))
        ):
            near.append(thing.shape)
    best, free = EYES[0], 0.0
    for way in EYES:
        far, gap = 0.0, AWAY_MM
        while far < AWAY_MM and gap > 1.0:
            gap = min((shape.distance(along(p, way, far)) for shape in near), default=AWAY_MM)
            far += max(gap, 0.0)
        if far > free:
            best, free = way, min(far, AWAY_MM)
        if far >= AWAY_MM:
            break
    return best, free if free >= AWAY_MM else max(0.9 * free, LEAST_MM)


def _guids(results: Results, finding: Finding, contact: Contact) -> Iterator[str]:
    """Yield the GUIDs of the elements of a clash: of runs as job.ifc has them, of things as their model has them."""
    job = results.schedule.job
    runs = {run.name: number for number, run in enumerate(job.runs)}
    sources = {thing.name: thing.source for thing in job.things}
    for name, point in ((finding.run, contact.point), (finding.against, contact.other_point)):
        if name in runs:
            yield guid_of(job.name, "IfcPipeSegment", _piece_at(results, runs[name], point))
        elif name is not None and (source := sources.get(name)) is not None:
            yield source.guid


def _piece_at(results: Results, number: int, point: Vec3) -> str:
    """Return the name of a run, or of its piece that is nearest to a place."""
    split = jointed(results.cutting, number)
    if split is None:
        return results.schedule.runs[number].name
    return min(split.pieces, key=lambda piece: Tube(piece.centreline, piece.tube.outside_mm).distance(point)).name


def _vector(parent: ET.Element, name: str, values: Vec3) -> None:
    """Write a point or direction; BCF has metres."""
    element = ET.SubElement(parent, name)
    for axis, value in zip("XYZ", values, strict=True):
        ET.SubElement(element, axis).text = repr(round(value, 9))
