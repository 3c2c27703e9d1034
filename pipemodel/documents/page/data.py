"""What the page's script needs of a job, as plain numbers: tubes as bend tables, room and bender as triangles."""

import base64
from collections.abc import Sequence
from math import asin, atan2, degrees
from typing import Any

import numpy as np

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.insulated import insulated
from pipemodel.checks.supports import ClipPlan
from pipemodel.documents.page.room import RoomPart, room_part
from pipemodel.drawing.in_place import view_in_place
from pipemodel.drawing.pull_view import first_eye
from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.vectors import distance
from pipemodel.geometry.view import View
from pipemodel.messages.say import named, say
from pipemodel.messages.units import Units
from pipemodel.pulls.stance import Stance, seen
from pipemodel.results.identity import LONGEST_NAME, identity
from pipemodel.results.pieces import Piece
from pipemodel.results.record_checks import checks_record
from pipemodel.results.record_ways_in import axis_points
from pipemodel.results.results import Results
from pipemodel.solids.extent import job_extent
from pipemodel.solids.near import near_things
from pipemodel.trade.benders import Bender
from pipemodel.ways_in.sprung_words import end_sprung
from pipemodel.ways_in.values import Sprung
from pipemodel.wording.rounding import marks_to_draw
from pipemodel.wording.safe_text import shown

_MOVES = ("body", "lever", "guide", "room")
"""The groups of a bender's parts, by what they do during a pull."""
_OF_A_CHECK = ("id", "kind", "value", "unit", "within", "finds")


def page_data(results: Results, pieces: Sequence[Piece], room: Sequence[RoomPart]) -> dict[str, Any]:
    """Return the data the page carries for its picture; lengths in mm, angles in degrees."""
    schedule, report, units = results.schedule, results.report, results.paper_options.reading
    hit = {f.against for f in report.findings if f.severity == "error" and f.against}
    return {
        "identity": identity(schedule),
        "unit": units.name,
        "language": units.language,
        "from": _eye(view_in_place(schedule, schedule.runs)),
        "runs": [
            {
                **_tube(run),
                "insulated": insulated(schedule, run.solved),
                "from": _eye(view_in_place(schedule, [run.solved])),
                "legs": _legs(run.solved, units),
                "clips": _clips(clips),
                "joints": [{"s": joint.at_mm, "point": _tidy(joint.point)} for joint in split.joints],
                "way": _way(results, run, units),
            }
            for run, clips, split in zip(results.runs, results.clips, results.cutting.runs, strict=True)
        ],
        "pieces": [
            {
                **_tube(piece),
                "stance": piece.solved.run.stance,
                "eye": _pull_eye(piece.solved.run.stance),
                "bender": _bender(schedule, piece.solved.run.bender),
                "pulls": _pulls(piece),
            }
            for piece in pieces
        ],
        "room": [{**_part(part), "hit": part.name in hit} for part in room],
        "clashes": [
            {"point": _tidy(f.point), "text": shown(f.against or named(f.check, units), LONGEST_NAME)}
            for f in report.findings
            if f.point is not None and f.severity == "error"
        ],
    }


def _eye(view: View) -> tuple[float, float]:
    """From where a view is taken, as the page's script counts: so far from south towards west, and so far up."""
    x, y, z = view.eye
    return (round(degrees(atan2(-x, -y)), 3), round(degrees(asin(z)), 3))


def _pull_eye(stance: Stance) -> tuple[float, float]:
    """From where a pull is seen by whoever pulls: the drawings' view, in directions as they see them."""
    view = first_eye(stance)
    return _eye(View(view.title, seen(stance, view.toward_eye), seen(stance, view.up)))


def _tube(piece: Piece) -> dict[str, Any]:
    solved, table, text = piece.solved, piece.solved.table, piece.figures
    marks = marks_to_draw(solved, piece.plan)
    straights = [
        {
            "from": row.bend.start_mm - row.bend.straight_before_mm,
            "to": row.bend.start_mm,
            "text": row.straight_before.short,
        }
        for row in text.bends
    ]
    begins = table.length_mm - table.straight_after_mm
    straights.append({"from": begins, "to": table.length_mm, "text": text.straight_after.short})
    return {
        "name": shown(solved.name, LONGEST_NAME),
        "outside": solved.tube.outside_mm,
        "base": {"here": table.start, "ahead": table.direction, "normal": table.normal},
        "after": table.straight_after_mm,
        "insulation": solved.run.insulation_mm,
        "trim": solved.run.ends.trim_mm,
        "bends": [
            {
                "number": row.bend.number,
                "before": row.bend.straight_before_mm,
                "angle": row.bend.angle_deg,
                "pull": solved.pull_deg(row.bend),
                "turn": row.bend.turn_deg,
                "radius": row.bend.radius_mm,
                "arc": row.bend.arc_mm,
                "at": marks[row.bend.number],
                "mark": row.mark.short,
            }
            for row in text.bends
        ],
        "straights": [straight for straight in straights if straight["text"] != "0"],
    }


def _pulls(piece: Piece) -> list[dict[str, Any]]:
    """The pulls in their order, each with its checks; a reading that is off by more than `shows` is off for sure."""
    return [
        {
            "number": card.pull.number,
            "bend": card.pull.bend,
            "held": card.pull.held,
            "checks": [
                {**{key: check[key] for key in _OF_A_CHECK}, "shows": measure.shows_from}
                for check, measure in zip(checks_record(card)["checks"], card.measures, strict=True)
            ],
        }
        for card in piece.cards
    ]


def _legs(solved: SolvedRun, units: Units) -> list[dict[str, Any]]:
    """The legs from corner to corner, as the drawings dimension them."""
    corners = corners_of(solved.table)[0]
    return [
        {"from": _tidy(a), "to": _tidy(b), "text": units.short(distance(a, b))}
        for a, b in zip(corners, corners[1:], strict=False)
    ]


def _clips(plan: ClipPlan | None) -> list[dict[str, Any]]:
    clips = plan.clips if plan else ()
    return [{"number": c.number, "s": c.at_mm, "point": _tidy(c.point), "face": _tidy(c.on_face)} for c in clips]


def _way(results: Results, run: Piece, units: Units) -> dict[str, Any] | None:
    """The way in of a run, None where none was found or asked for; states as position and turn."""
    shown_way = next((one for one in results.ways_shown if one.way.run == run.solved.name), None)
    if shown_way is None or shown_way.words is None:
        return None
    opening = shown_way.opening
    return {
        "from": _eye(results.drawings.way_seen_from(shown_way.solved, shown_way.way, opening)),
        "states": [[round(x, 6) + 0.0 for x in (*pose.position, *pose.rotation)] for pose in shown_way.way.states],
        "past": [i for i, run in enumerate(results.schedule.runs) if run.name in shown_way.way.past],
        "motions": [[step.first, step.last] for step in shown_way.words.steps[1:]],
        "sprung": _sprung(shown_way.way.sprung, units),
        "opening": None
        if opening is None
        else {"name": shown(opening.name, LONGEST_NAME), "corners": [_tidy(p) for p in opening.corners]},
    }


def _sprung(sprung: Sprung | None, units: Units) -> dict[str, Any] | None:
    """How a piece is sprung up to a state: its axis then as it would lie in its place, and what is said at its ends."""
    if sprung is None:
        return None
    return {
        "until": sprung.until,
        "axis": [_tidy(point) for point in axis_points(sprung)],
        "ends": {one.end: say(end_sprung(one), units) for one in sprung.ends},
    }


def _bender(schedule: Schedule, bender: Bender | None) -> dict[str, Any] | None:
    """A bender's parts in its own frame; floors without end are left out, they would hide the piece."""
    if bender is None:
        return None
    extent = job_extent(schedule, near_things(schedule))
    parts = []
    for moves in _MOVES:
        for part in getattr(bender, moves):
            if part.shape.facing is None:
                parts.append({**_part(room_part(part.name, part.shape, extent)), "moves": moves})
    return {"radius": bender.radius_mm, "parts": parts}


def _part(part: RoomPart) -> dict[str, Any]:
    return {
        "name": shown(part.name, LONGEST_NAME),
        "endless": part.endless,
        "anchors": [_tidy(p) for p in part.anchors],
        "triangles": _packed(part.triangles),
        "edges": _packed(part.edges),
    }


def _packed(corners: Floats) -> str:
    """Return how many places there are, each place once, and of each corner which it stands at; as base64."""
    places, which = np.unique(corners.reshape(-1, 3).astype("<f4"), axis=0, return_inverse=True)
    index = which.ravel().astype("<u2" if len(places) < 1 << 16 else "<u4")
    return base64.b64encode(np.array([len(places)], "<u4").tobytes() + places.tobytes() + index.tobytes()).decode(
        "ascii"
    )


def _tidy(point: Any) -> list[float]:
    return [round(float(x), 3) + 0.0 for x in point]
