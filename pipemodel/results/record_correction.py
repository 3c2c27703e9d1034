"""The record of what to do after readings."""

from pipemodel.correction.values import BentBend, Correction, LikelyFigure
from pipemodel.messages.values import as_data
from pipemodel.results.plain import Record, fields_of
from pipemodel.results.record import bends_record, pull_record

CORRECTION_FORMAT = "pipemodel.measured/1"


def correction_record(correction: Correction) -> Record:
    """Return what was probably bent and what to do, as plain data: mm and degrees, the room's axes."""
    found = correction.estimate
    return {
        "format": CORRECTION_FORMAT,
        **fields_of(correction, "run after verdict"),
        "bent": [_bent(bend) for bend in found.bends],
        "mistakes": [{"bend": bend, "mistake": name} for bend, name in found.mistakes],
        "again": list(correction.again),
        "bends": bends_record(correction.solved),
        "pulls": [pull_record(card) for card in correction.cards],
        **fields_of(correction, "pull_on_deg trim_mm"),
        "finish_off_mm": list(correction.off),
        "finish_off_unchanged_mm": list(correction.off_unchanged),
        "direction_off_deg": correction.direction_off_deg,
        "off_within": correction.off_within._asdict(),
        "message": "; ".join(str(said) for said in correction.said),
        "said": [{"message": str(said), **as_data(said)} for said in correction.said],
    }


def _bent(bend: BentBend) -> Record:
    return {
        "bend": bend.number,
        **_figure("angle", "deg", bend.angle_deg),
        **_figure("start", "mm", bend.start_mm),
        **_figure("turn", "deg", bend.turn_deg),
    }


def _figure(name: str, unit: str, found: LikelyFigure) -> Record:
    return {f"{name}_{unit}": found.value + 0.0, f"{name}_low": found.low + 0.0, f"{name}_high": found.high + 0.0}
