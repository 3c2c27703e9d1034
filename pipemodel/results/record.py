"""The one computed record: what `--format json` prints, and what every other document says in its own words.

Plain dicts, lists, text and numbers; mm and degrees in full double precision, rounded nowhere. The same job
gives the same record, key order included.
"""

import json
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import MarkedBend, SolvedRun
from pipemodel.checks.findings import Contact, Distance, Finding
from pipemodel.checks.supports import ClipPlan
from pipemodel.geometry.centreline import Straight
from pipemodel.job.model import Source
from pipemodel.messages.values import Message, as_data
from pipemodel.pulls.cards import Card
from pipemodel.pulls.plan import Pull
from pipemodel.results.pieces import Piece
from pipemodel.results.record_checks import checks_record
from pipemodel.results.record_ends import Record as Record
from pipemodel.results.record_ends import clips_record, ends_record
from pipemodel.results.record_fit import fit_record
from pipemodel.results.record_measured import measured_record
from pipemodel.results.record_ways import way_record
from pipemodel.results.record_ways_in import way_in_record
from pipemodel.results.ways_shown import WayShown
from pipemodel.trade.model import Former
from pipemodel.wording.cautions import caution_lines

if TYPE_CHECKING:
    from pipemodel.results.results import Results

SCHEDULE_FORMAT = "pipemodel.schedule/1"
CHECK_FORMAT = "pipemodel.check/1"
UNITS = {"length": "mm", "angle": "deg"}


def schedule_record(results: "Results") -> Record:
    """Return the record of a solved job."""
    schedule, job = results.schedule, results.schedule.job
    return {
        "format": SCHEDULE_FORMAT,
        "job": job.name,
        "revision": results.paper_options.revision or job.revision or None,
        "units": UNITS,
        "clearance_mm": job.clearance_mm,
        "parameters": {name: _number(value) for name, value in job.parameters.items()},
        "runs": [run_record(run, plan) for run, plan in zip(results.runs, results.clips, strict=True)],
        "notes": _english(schedule.notes),
        "cautions": caution_lines(),
    }


def check_record(results: "Results") -> Record:
    """Return the record of what the checks of a solved job found."""
    schedule, report, asked = results.schedule, results.report, results.asked_mm
    sources = {thing.name: thing.source for thing in schedule.job.things if thing.source is not None}
    return {
        "format": CHECK_FORMAT,
        "job": schedule.job.name,
        "units": UNITS,
        "verdict": report.verdict,
        "findings": [_finding(f, sources) for f in report.findings],
        "distances": [_distance(d, asked[d.run][d.against]) for d in report.distances],
        **({} if schedule.job.measured is None else {"measured": measured_record(schedule.job.measured)}),
        **({"fit": [fit_record(fit) for fit in report.fits]} if report.fits else {}),
        **({"ways_in": [_way_in(one) for one in results.ways_shown]} if report.ways_in else {}),
        "cautions": caution_lines(),
    }


def to_json(record: Record) -> str:
    """Return a record as JSON text, in ASCII so that it survives any terminal, and ending in a line end."""
    return json.dumps(record, indent=2, allow_nan=False) + "\n"


def run_record(piece: Piece, clips: ClipPlan | None) -> Record:
    """Return the record of one run, or of one piece of a run, with its plan of pulls and its clips."""
    solved, plan, tube = piece.solved, piece.plan, piece.solved.tube
    return {
        "name": solved.name,
        "tube": {
            "outside_mm": tube.outside_mm,
            "wall_mm": tube.wall_mm,
            "name": tube.name,
            "material": tube.material,
            "temper": tube.temper,
            "standard": tube.standard,
            "mass_kg_per_m": tube.mass_kg_per_m,
        },
        "former": _former(solved.former),
        "formers": [
            {**_former(former), "bends": [b.number for b in solved.table.bends if solved.former_of(b) == former]}
            for former in solved.formers_used
        ],
        "cut_length_mm": solved.cut_length_mm,
        "centreline_mm": solved.centreline_mm,
        "start": _point(solved.start),
        "finish": _point(solved.finish),
        "straight_after_mm": _number(solved.straight_after_mm),
        "corners": [_point(corner) for corner in solved.run.route.corners],
        "legs": [_leg(number, leg) for number, leg in enumerate(solved.centreline.straights, 1)],
        "bends": bends_record(solved),
        "plan": {
            "possible": plan.possible,
            "bender_stands": solved.run.stance,
            "why_not": _english(plan.why_not),
            "ways_out": [way_record(way) for way in piece.ways_out],
            "pulls": [pull_record(card) for card in piece.cards],
        },
        "ends": ends_record(solved),
        "insulation_mm": solved.run.insulation_mm,
        "clips": clips_record(clips),
        "notes": _english(solved.notes),
    }


def bends_record(solved: SolvedRun) -> list[Record]:
    """Return the bends of a run, each with its mark, held by its start side, and its pull."""
    return [_bend(bend) for bend in solved.bends]


def pull_record(card: Card) -> Record:
    """Return one pull with what the hands do at it and what is checked after it."""
    return {**_pull(card.pull), "card": _card(card), **checks_record(card)}


def _former(former: Former) -> Record:
    return {
        "name": former.name,
        "radius_mm": former.radius_mm,
        "springback": {"per_degree": former.springback.per_degree, "fixed": former.springback.fixed_deg},
        "mark_mm": former.mark_mm,
        "hold_mm": former.hold_mm,
        "guide_mm": former.guide_mm,
        "guide_block_mm": former.guide_block_mm,
        "guide_travel_mm": former.guide_travel_mm,
        "mark_at": former.mark_at,
        "rim_mm": former.rim_mm,
        "max_angle_deg": former.max_angle_deg,
        "generic": former.generic,
        "not_given": list(former.not_given),
        "source": former.source,
    }


def _leg(number: int, leg: Straight) -> Record:
    """Return a leg: its straight, without what the bends beside it take, and the direction the run goes along it."""
    return {
        "number": number,
        "start": _point(leg.start),
        "finish": _point(leg.finish),
        "direction": _point(leg.direction),
        "length_mm": _number(leg.length),
    }


def _bend(bend: MarkedBend) -> Record:
    return {
        "number": bend.number,
        "start_mm": _number(bend.start_mm),
        "mark_mm": _number(bend.mark_mm),
        "straight_before_mm": _number(bend.straight_before_mm),
        "angle_deg": bend.angle_deg,
        "pull_deg": bend.pull_deg,
        "turn_deg": _number(bend.turn_deg),
        "radius_mm": bend.radius_mm,
        "arc_mm": bend.arc_mm,
        "gain_mm": _number(bend.gain_mm),
    }


def _pull(pull: Pull) -> Record:
    return {
        "number": pull.number,
        "bend": pull.bend,
        "held": pull.held,
        "mark_mm": _number(pull.mark_mm),
        "drawn_mark_mm": _number(pull.drawn_mark_mm),
        "angle_deg": pull.angle_deg,
        "pull_deg": pull.pull_deg,
        "hold_has_mm": _number(pull.hold_has_mm),
        "hold_needed_mm": _number(pull.hold_needed_mm),
        "guide_has_mm": _number(pull.guide_has_mm),
        "guide_needed_mm": _number(pull.guide_needed_mm),
        "side_up_deg": _number(pull.side_up_deg),
        "roll_deg": _number(pull.roll_deg),
        "turn_round": pull.turn_round,
        "turn_over": pull.turn_over,
        "former": pull.former.name,
        "change_former": pull.change_former,
    }


def _card(card: Card) -> Record:
    back, level = card.mark_from_back, card.level
    return {
        "left_end": card.left_end,
        "mark_from_back": None if back is None else {"bend": back.bend, "mm": back.mm, "words": str(back.how)},
        "last_bend": card.last_bend,
        "round_deg": _number(card.round_deg),
        "round_mm": _number(card.round_mm),
        "roll": str(card.roll),
        "level": None
        if level is None
        else {
            "bend": level.bend,
            "leg": str(level.leg),
            "above_level_deg": _number(level.above_level_deg),
            "words": str(level.stands),
        },
        "to_do": _english(card.to_do),
        "measures": [
            {"kind": m.kind.value, "mm": _number(m.value), "words": str(m.how)} for m in card.measures if m.unit == "mm"
        ],
        "to_check": _english(card.to_check),
        "not_shown": _english(card.not_shown),
    }


def _source(source: Source | None) -> Record:
    """Return where the thing of a finding comes from in a building model; nothing for another thing."""
    if source is None:
        return {}
    about = {"guid": source.guid, "class": source.kind, "storey": source.storey, "systems": list(source.systems)}
    return {"source": {**about, **({"name": source.name} if source.name else {})}}


def _finding(finding: Finding, sources: Mapping[str, Source]) -> Record:
    return {
        "code": finding.code,
        "check": finding.check,
        "severity": finding.severity,
        "run": finding.run,
        "against": finding.against,
        **_source(sources.get(finding.against or "")),
        "distance_mm": _number(finding.distance_mm),
        "required_mm": _number(finding.required_mm),
        "at_mm": _number(finding.at_mm),
        "point": None if finding.point is None else _point(finding.point),
        "message": finding.message,
        **as_data(finding.said),
        "basis": finding.basis,
        **({"contacts": [_contact(c) for c in finding.contacts]} if finding.contacts else {}),
    }


def _contact(contact: Contact) -> Record:
    hole = contact.hole
    return {
        "at_mm": _number(contact.at_mm),
        "point": _point(contact.point),
        "other_point": _point(contact.other_point),
        "distance_mm": _number(contact.distance_mm),
        "required_mm": _number(contact.required_mm),
        "insulation_mm": _number(contact.insulation_mm),
        "move": None if contact.move is None else _point(contact.move),
        "part": str(contact.part),
        "from_mm": _number(contact.from_mm),
        "to_mm": _number(contact.to_mm),
        "hole": None
        if hole is None
        else {
            "diameter_mm": hole.diameter_mm,
            "start": _point(hole.start),
            "finish": _point(hole.finish),
            "length_mm": hole.length_mm,
        },
    }


def _way_in(one: WayShown) -> Record:
    return way_in_record(one.way, one.words.steps if one.words is not None else ())


def _distance(distance: Distance, required_mm: float) -> Record:
    return {
        "run": distance.run,
        "against": distance.against,
        "distance_mm": _number(distance.distance_mm),
        "required_mm": _number(required_mm),
        "at_mm": _number(distance.at_mm),
        "point": _point(distance.point),
    }


def _english(messages: Iterable[Message]) -> list[str]:
    """Return messages in English and in mm, as programs get them."""
    return [str(message) for message in messages]


def _point(point: tuple[float, float, float]) -> list[float | None]:
    return [_number(x) for x in point]


def _number(value: float | None) -> float | None:
    """Return a plain float; a zero of either sign is 0.0, so that no "-0.0" is ever printed."""
    return None if value is None else float(value) + 0.0
