"""What the page's script needs of a job, as plain numbers: tubes as bend tables, the room as triangles."""

import base64
import hashlib
import json
from collections.abc import Sequence
from typing import Any

import numpy as np

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Report
from pipemodel.geometry.shapes import HalfSpace
from pipemodel.handover.figures import mm, run_figures
from pipemodel.handover.plain import shown
from pipemodel.job.model import Thing
from pipemodel.solids.mesh import TriangleMesh

LONGEST_NAME = 40
MOST_TRIANGLES = 20_000
"""A thing with more triangles than this is drawn as its bounding box, which the page says."""


def page_data(schedule: Schedule, report: Report, room: Sequence[tuple[Thing, TriangleMesh]]) -> dict[str, Any]:
    """Return the data the page carries for its picture; lengths in mm, angles in degrees."""
    return {
        "identity": identity(schedule),
        "runs": [_run(solved) for solved in schedule.runs],
        "room": [_thing(thing, mesh) for thing, mesh in room],
        "clashes": [
            {"point": _tidy(f.point), "text": shown(f.against or f.run or "", LONGEST_NAME)}
            for f in report.findings
            if f.point is not None and f.severity == "error"
        ],
    }


def identity(schedule: Schedule) -> str:
    """Return a short name for exactly this job as solved: its own name and a digest of every mark and turn."""
    digest = hashlib.sha256()
    for solved in schedule.runs:
        digest.update(json.dumps([solved.name, solved.table.start, solved.table.bends, solved.cut_length_mm]).encode())
    return f"{shown(schedule.job.name, LONGEST_NAME)} {digest.hexdigest()[:8]}"


def _run(solved: SolvedRun) -> dict[str, Any]:
    table = solved.table
    figures = run_figures(solved)
    dimensions = [
        {"s": row.bend.start_mm - row.bend.straight_before_mm / 2.0, "text": mm(row.straight_before)}
        for row in figures.bends
        if row.straight_before > 0.0
    ]
    if figures.straight_after > 0.0:
        after = table.straight_after_mm / 2.0
        dimensions.append({"s": table.length_mm - after, "text": mm(figures.straight_after)})
    return {
        "name": shown(solved.name, LONGEST_NAME),
        "outside": solved.tube.outside_mm,
        "insulation": 0,
        "base": {"here": table.start, "ahead": table.direction, "normal": table.normal},
        "after": table.straight_after_mm,
        "bends": [
            {
                "number": row.bend.number,
                "before": row.bend.straight_before_mm,
                "angle": row.bend.angle_deg,
                "turn": row.bend.turn_deg,
                "radius": row.bend.radius_mm,
                "arc": row.bend.arc_mm,
                "mark": mm(row.mark),
            }
            for row in figures.bends
        ],
        "dimensions": dimensions,
    }


def _thing(thing: Thing, mesh: TriangleMesh) -> dict[str, Any]:
    corners = mesh.vertices[mesh.faces]
    if len(corners) > MOST_TRIANGLES:
        corners = _box(mesh.vertices.min(axis=0), mesh.vertices.max(axis=0))
    middle = (mesh.vertices.min(axis=0) + mesh.vertices.max(axis=0)) / 2.0
    return {
        "name": shown(thing.name, LONGEST_NAME),
        "endless": isinstance(thing.shape, HalfSpace),
        "middle": _tidy(middle),
        "triangles": base64.b64encode(corners.astype("<f4").tobytes()).decode("ascii"),
    }


def _box(low: Any, high: Any) -> Any:
    """The twelve triangles of a box, (12, 3, 3)."""
    c = np.array([[(low, high)[(k >> a) & 1][a] for a in range(3)] for k in range(8)])
    quads = ((0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5))
    return np.array([[c[q[0]], c[q[1]], c[q[2]]] for q in quads] + [[c[q[0]], c[q[2]], c[q[3]]] for q in quads])


def _tidy(point: Any) -> list[float]:
    return [round(float(x), 3) for x in point]
