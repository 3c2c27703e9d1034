"""The one computed record: what `--format json` prints, and what every other document says in its own words.

Plain dicts, lists, text and numbers; mm and degrees in full double precision, rounded nowhere. The same job
gives the same record, key order included.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.findings import Contact, Distance, Finding
from pipemodel.checks.supports import ClipPlan
from pipemodel.geometry.centreline import Straight
from pipemodel.job.measured import MeasuredRoom
from pipemodel.job.model import Source
from pipemodel.messages.values import as_data
from pipemodel.pulls.cards import Card
from pipemodel.pulls.other_ways import WayOut
from pipemodel.pulls.plan import Pull
from pipemodel.results.pieces import Piece
from pipemodel.results.plain import Record as Record
from pipemodel.results.plain import fields_of, plain
from pipemodel.results.plain import to_json as to_json
from pipemodel.results.record_checks import checks_record
from pipemodel.results.record_fit import fit_record
from pipemodel.results.record_ways_in import way_in_record
from pipemodel.results.ways_shown import WayShown
from pipemodel.trade.fittings import Ending
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
        "parameters": {name: float(value) + 0.0 for name, value in job.parameters.items()},
        "runs": [run_record(run, plan) for run, plan in zip(results.runs, results.clips, strict=True)],
        "notes": plain(schedule.notes),
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
        **({} if schedule.job.measured is None else {"measured": _measured(schedule.job.measured)}),
        **({"fit": [fit_record(fit) for fit in report.fits]} if report.fits else {}),
        **({"ways_in": [_way_in(one) for one in results.ways_shown]} if report.ways_in else {}),
        "cautions": caution_lines(),
    }


def run_record(piece: Piece, clips: ClipPlan | None) -> Record:
    """Return the record of one run, or of one piece of a run, with its plan of pulls and its clips."""
    solved, plan, tube = piece.solved, piece.plan, piece.solved.tube
    return {
        "name": solved.name,
        "tube": fields_of(tube, "outside_mm wall_mm name material temper standard mass_kg_per_m"),
        "former": _former(solved.former),
        "formers": [
            {**_former(former), "bends": [b.number for b in solved.table.bends if solved.former_of(b) == former]}
            for former in solved.formers_used
        ],
        **fields_of(solved, "cut_length_mm centreline_mm start finish straight_after_mm"),
        "corners": plain(solved.run.route.corners),
        "legs": [_leg(number, leg) for number, leg in enumerate(solved.centreline.straights, 1)],
        "bends": bends_record(solved),
        "plan": {
            "possible": plan.possible,
            "bender_stands": solved.run.stance,
            "why_not": plain(plan.why_not),
            "ways_out": [way_record(way) for way in piece.ways_out],
            "pulls": [pull_record(card) for card in piece.cards],
        },
        "ends": ends_record(solved),
        "insulation_mm": solved.run.insulation_mm,
        "clips": clips_record(clips),
        "notes": plain(solved.notes),
    }


def ends_record(solved: SolvedRun) -> Record:
    """Return both ends of a run: the fitting, what its dimension is given to, and the depths; mm."""
    ends = solved.run.ends
    sides = {"start": _end(ends.start), "finish": _end(ends.finish)}
    return {**sides, **fields_of(ends, "in_fittings_mm trim_mm")}


def clips_record(plan: ClipPlan | None) -> Record | None:
    """Return the clips of a run with their rule, None if the job asks for none; mm."""
    if plan is None:
        return None
    spacing = plan.rule.spacing
    return {
        "service": spacing.service,
        "level_mm": spacing.horizontal_mm,
        "upright_mm": spacing.vertical_mm,
        "near_fitting_mm": spacing.near_fitting_mm,
        "edge_mm": plan.rule.edge_mm,
        "source": spacing.source,
        "clips": [
            fields_of(clip, "number at_mm leg along_leg_mm point face standoff_mm across up") for clip in plan.clips
        ],
        "unsupported": plain(plan.unsupported),
    }


def _end(ending: Ending) -> Record:
    fitting = ending.fitting
    return {
        "fitting": fitting.kind if fitting else "plain",
        "to": ending.to,
        "joins": ending.joins or None,
        **fields_of(ending, "bare_mm depth_mm"),
        "centre_to_stop_mm": fitting.centre_to_stop_mm if fitting else None,
        "source": fitting.source if fitting else "",
    }


def way_record(way: WayOut) -> Record:
    """Return the record of one way out: what is changed from what to what, and the pulls that it then has."""
    unit = "deg" if way.kind == "angle" else "mm"
    return {
        **fields_of(way, "kind of"),
        "bends": [way.first_bend, way.last_bend],
        f"was_{unit}": way.was,
        f"to_{unit}": way.to,
        "finish_moves_mm": way.finish_moves_mm,
        "message": str(way.said),
        **as_data(way.said),
        "write": [fields_of(edit, "path value line") for edit in way.write],
        "pulls": [fields_of(pull, "bend held") for pull in way.plan.pulls],
        "cut_length_mm": way.run.cut_length_mm,
    }


def bends_record(solved: SolvedRun) -> list[Record]:
    """Return the bends of a run, each with its mark, held by its start side, and its pull."""
    return [plain(bend) for bend in solved.bends]


def pull_record(card: Card) -> Record:
    """Return one pull with what the hands do at it and what is checked after it."""
    return {**_pull(card.pull), "card": _card(card), **checks_record(card)}


def _former(former: Former) -> Record:
    law = former.springback
    return {
        **fields_of(former, "name radius_mm"),
        "springback": {"per_degree": law.per_degree, "fixed": law.fixed_deg},
        **fields_of(former, "mark_mm hold_mm guide_mm guide_block_mm guide_travel_mm mark_at rim_mm max_angle_deg"),
        **fields_of(former, "generic not_given source"),
    }


def _leg(number: int, leg: Straight) -> Record:
    """Return a leg: its straight, without what the bends beside it take, and the direction the run goes along it."""
    length = {"length_mm": leg.length + 0.0}
    return {"number": number, **fields_of(leg, "start finish direction"), **length}


def _pull(pull: Pull) -> Record:
    return {
        **fields_of(pull, "number bend held mark_mm drawn_mark_mm angle_deg pull_deg"),
        **fields_of(pull, "hold_has_mm hold_needed_mm guide_has_mm guide_needed_mm"),
        **fields_of(pull, "side_up_deg roll_deg turn_round turn_over"),
        "former": pull.former.name,
        "change_former": pull.change_former,
    }


def _card(card: Card) -> Record:
    back, level = card.mark_from_back, card.level
    return {
        "left_end": card.left_end,
        "mark_from_back": back and {"bend": back.bend, "mm": back.mm, "words": str(back.how)},
        **fields_of(card, "last_bend round_deg round_mm roll"),
        "level": level and {**fields_of(level, "bend leg above_level_deg"), "words": str(level.stands)},
        "to_do": plain(card.to_do),
        "measures": [
            {"kind": m.kind.value, "mm": m.value + 0.0, "words": str(m.how)} for m in card.measures if m.unit == "mm"
        ],
        **fields_of(card, "to_check not_shown"),
    }


def _measured(taped: MeasuredRoom) -> Record:
    """Return the points with their covariance (mm, mm²), what became of each reading, and the walls."""
    adjusted = taped.adjusted
    return {
        "tape_sd_mm": taped.tape_mm,
        "points": [
            {
                "name": name,
                "point": list(place),
                "cov_mm2": [list(row) for row in adjusted.covariance.of(name)],
                "found": name in taped.sought,
            }
            for name, place in adjusted.places.items()
        ],
        "readings": [
            {
                **fields_of(one.reading, "kind points"),
                "reading_mm": one.reading.mm,
                "sd_mm": one.reading.sd_mm,
                **fields_of(one, "adjusted_mm residual_mm redundancy checked misread likely_mm"),
            }
            for one in adjusted.readings
        ],
        "walls": [wall._asdict() for wall in taped.walls],
    }


def _source(source: Source | None) -> Record:
    """Return where the thing of a finding comes from in a building model; nothing for another thing."""
    if source is None:
        return {}
    about = {"guid": source.guid, "class": source.kind, "storey": source.storey, "systems": list(source.systems)}
    return {"source": {**about, **({"name": source.name} if source.name else {})}}


def _finding(finding: Finding, sources: Mapping[str, Source]) -> Record:
    return {
        **fields_of(finding, "code check severity run against"),
        **_source(sources.get(finding.against or "")),
        **fields_of(finding, "distance_mm required_mm at_mm point message"),
        **as_data(finding.said),
        "basis": finding.basis,
        **({"contacts": [_contact(c) for c in finding.contacts]} if finding.contacts else {}),
    }


def _contact(contact: Contact) -> Record:
    return fields_of(
        contact, "at_mm point other_point distance_mm required_mm insulation_mm move part from_mm to_mm hole"
    )


def _way_in(one: WayShown) -> Record:
    return way_in_record(one.way, one.words.steps if one.words is not None else ())


def _distance(distance: Distance, required_mm: float) -> Record:
    # Of a large room there are very many.
    return {
        "run": distance.run,
        "against": distance.against,
        "distance_mm": distance.distance_mm + 0.0,
        "required_mm": required_mm + 0.0,
        "at_mm": distance.at_mm + 0.0,
        "point": [x + 0.0 for x in distance.point],
    }
