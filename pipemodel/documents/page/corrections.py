"""What the page needs to answer readings by itself: each run's bends, pulls and checks, and what it says."""

from typing import Any

from pipemodel.correction.explanations import mistakes_of
from pipemodel.correction.made import MadePiece, planned_aims
from pipemodel.correction.reads import reads_of
from pipemodel.job.model import Hands
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id, piece_after
from pipemodel.results.pieces import Piece


def correction_data(piece: Piece, hands: Hands | None) -> dict[str, Any] | None:
    """Return what answers readings of a piece: mm and degrees, bends counted from 0; None where nothing is pulled."""
    solved, pulls = piece.solved, piece.plan.pulls
    if not pulls:
        return None
    hands = hands or Hands()
    aims = planned_aims(solved)
    made = MadePiece.of(solved, pulls, aims, hands)
    within = solved.run.ends.finish.within
    return {
        "hands": list(hands),
        "outside": solved.tube.outside_mm,
        "cut": solved.cut_length_mm,
        "length": solved.table.length_mm,
        "trim": solved.run.ends.trim_mm,
        "within": [within.sideways_mm, within.along_mm],
        "bends": [
            {
                "start": bend.start_mm,
                "angle": bend.angle_deg,
                "plane": aims[bend.number].plane_deg,
                "radius": bend.radius_mm,
                "hold": former.hold_mm,
                "guide": former.guide_mm,
                "block": former.guide_block_mm,
                "travel": former.guide_travel_mm,
                "fixed": former.springback.fixed_deg,
                "per": former.springback.per_degree,
                "most": former.max_angle_deg,
                "mark": former.mark_mm,
            }
            for bend, former in zip(solved.table.bends, solved.formers, strict=True)
        ],
        "pulls": [
            {
                "bend": card.pull.bend - 1,
                "held": card.pull.held,
                "mark": card.pull.mark_mm,
                "pull": card.pull.pull_deg,
                "checks": _checks(piece, card),
                "mistakes": [list(one) for one in mistakes_of(made, card.pull)],
            }
            for card in piece.cards
        ],
    }


def _checks(piece: Piece, card: Card) -> list[dict[str, Any]]:
    part, _ = piece_after(piece.solved, card)
    return [
        {
            "id": check_id(card.pull.number, place),
            "unit": measure.unit,
            "within": measure.within,
            "reads": reads_of(measure, part),
        }
        for place, measure in enumerate(card.measures)
    ]
