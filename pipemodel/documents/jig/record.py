"""What a jig is and what it accepts, as plain data: the record behind its text, and RUN-jig.json."""

from typing import Any

import numpy as np

from pipemodel.jigs.accuracy import check_distances, give_of
from pipemodel.jigs.design import Jig, JigPart
from pipemodel.jigs.reading import readings
from pipemodel.jigs.towers import Tower
from pipemodel.job.jig import FAST_CM3_H, SLOW_CM3_H
from pipemodel.lists.jig_bench import bench_record
from pipemodel.lists.jig_limits import limit_records, weight_records
from pipemodel.lists.jig_worth import worth_record
from pipemodel.results.plain import Record, fields_of, plain
from pipemodel.results.record import UNITS
from pipemodel.wording.cautions import caution_lines

JIG_FORMAT = "pipemodel.jig/1"
PLACES, FIGURES = 8, 13
"""Decimals, and figures in all, of every number written: far below what any printer does, and above the last digits,
in which one build of a library differs from another."""


def jig_record(jig: Jig) -> Record:
    """Return the record of a jig; lengths mm, angles degrees, rounded to what is settled on every machine."""
    settings, layout, solved = jig.settings, jig.layout, jig.solved
    tolerance, making = settings.tolerance, settings.print
    give = give_of(jig.plan.base, jig.plan.cut, settings)
    record: Record = {
        "format": JIG_FORMAT,
        "run": solved.name,
        "revision": settings.revision,
        "units": UNITS,
        "tube": fields_of(solved.tube, "outside_mm wall_mm"),
        "tolerance": {
            **fields_of(tolerance, "position_mm angle_deg"),
            "start_mm": tolerance.at_start_mm,
            "finish_mm": tolerance.at_finish_mm,
            "decision": "go, with fine liners" if settings.inserts else settings.decision,
        },
        "printing": {
            "bed_mm": [settings.bed.x_mm, settings.bed.y_mm, settings.bed.z_mm],
            **fields_of(making, "nozzle_mm layer_mm"),
            "slot_allowance_mm": making.allowance_mm,
            **fields_of(making, "walls infill density_g_cm3 rate_cm3_h"),
            "rates_cm3_h": [SLOW_CM3_H, FAST_CM3_H],
            "overhang_limit_deg": making.overhang_deg,
            "supports": False,
        },
        "jig_from_room": {"rotation": layout.rotation.tolist(), "offset_mm": layout.offset.tolist()},
        "lift_out": [0.0, 0.0, 1.0],
        "height_mm": layout.height,
        "cradles": [_cradle(jig, t) for t in layout.towers],
        "legs_without_cradle": [i + 1 for i in layout.unjudged],
        "legs_that_need_no_cradle": [i + 1 for i in jig.without_cradle],
        "legs_with_one_cradle_only": [i + 1 for i in layout.lone],
        "limits": limit_records(jig),
        "weight": weight_records(jig),
        "readings": [
            {
                "bend": r.bend,
                "angle_mm_per_deg": plain(r.angle),
                "turn_mm_per_deg": plain(r.turn),
            }
            for r in readings(solved.table, layout)
        ],
        "worth": worth_record(jig.worth),
        "bench": bench_record(jig.bench),
        "parts": [_part(p) for p in jig.parts],
        "gauges": [_part(p) for p in jig.gauges],
        "gauges_printed_with": [{"gauge": str(g.name), "run": run} for g, run in jig.elsewhere],
        "timber": _timber(jig),
        "joints": {
            "count": len(jig.plan.cut.joints),
            "gap_mm": settings.joint_gap_mm,
            "swing_deg": give.joint_deg if give else 0.0,
            "far_end_mm": give.far_mm if give else 0.0,
        },
        "check_distances": plain(check_distances(jig.plan.base, jig.plan.cut)),
        "total": {
            "parts": len(jig.parts),
            **fields_of(jig.total, "volume_cm3 plastic_cm3 mass_g hours"),
            "hours_from_to": [jig.total.quick_hours, jig.total.slow_hours],
            "on_timber_plastic_cm3": jig.on_timber.plastic_cm3 if jig.on_timber else None,
        },
        "notes": plain(jig.notes),
        "cautions": caution_lines(),
    }
    rounded: Record = settled(record)
    return rounded


def _timber(jig: Jig) -> dict[str, Any] | None:
    """Return what timber it stands on; holes and outlines from the board's lower left corner, along x and along y."""
    timber = jig.plan.timber
    if timber is None:
        return None
    return {
        "batten_mm": timber.side_mm,
        "board_mm": list(timber.board_mm),
        "posts": [fields_of(post, "cradle length_mm") for post in timber.posts],
        "props": [
            {
                "prop": p.letter,
                **fields_of(p, "at_mm length_mm"),
                "holes_mm": (p.holes - timber.board_low).tolist(),
            }
            for p in timber.props
        ],
        "batten_in_all_mm": timber.batten_mm,
        "holes": [
            {"cradle": pad.tower + 1, "at_mm": (pad.holes - timber.board_low).tolist()} for pad in jig.plan.base.pads
        ],
    }


def settled(value: Any) -> Any:
    """Return plain data with every number rounded, so that no library's last digits show."""
    if isinstance(value, float):
        return float(f"{round(value, PLACES):.{FIGURES}g}") + 0.0
    if isinstance(value, dict):
        return {key: settled(inner) for key, inner in value.items()}
    return [settled(inner) for inner in value] if isinstance(value, list | tuple) else value


def _cradle(jig: Jig, tower: Tower) -> dict[str, Any]:
    cradle, (low, high) = tower.cradle, jig.held_mm(tower)
    leg = jig.layout.axis.legs[cradle.leg]
    return {
        "number": cradle.number,
        "leg": cradle.leg + 1,
        "from_mm": low,
        "to_mm": high,
        "slope_deg": float(np.degrees(np.arcsin(leg.direction[2]))),
        "clearance_mm": cradle.clearance_mm,
        "slot_printed_mm": 2.0 * (tower.radius + cradle.clearance_mm),
        "slot_drawn_mm": 2.0 * tower.slot_half,
        "accepts_mm": cradle.clearance_mm,
        "judges_mm_of_leg": cradle.span_mm,
        "accepts_deg_at_most": cradle.accepts_deg,
        "height_mm": tower.height,
        "stop": cradle.stop,
        "stop_mm": cradle.stop_mm if cradle.stop else None,
        "stop_read_by_lines": tower.stop_upright,
    }


def _part(part: JigPart) -> dict[str, Any]:
    check, plastic = part.printability, part.plastic
    record: dict[str, Any] = {
        "file": part.stem,
        "name": str(part.name),
        "size_mm": part.body.size.tolist(),
        **fields_of(plastic, "volume_cm3 plastic_cm3 mass_g hours"),
        "printable": {
            **fields_of(check, "closed bodies"),
            "flat_on_bed_mm2": check.flat_mm2,
            "steepest_overhang_deg": check.overhang_deg,
            "least_wall_mm": check.wall_mm,
            "thinner_than_that_mm2": check.thin_mm2,
            "faults": plain(check.faults),
        },
    }
    if part.rotation is not None and part.offset is not None:
        record["jig_from_part"] = {"rotation": part.rotation.tolist(), "offset_mm": part.offset.tolist()}
    if part.use is not None:
        record["use"] = str(part.use)
    return record
