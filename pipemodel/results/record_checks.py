"""The record of what is checked after a pull: each check, and what each mistake of the hand does to it."""

from typing import Any

from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id as check_id


def checks_record(card: Card) -> dict[str, Any]:
    """Return the checks of a pull, and for each mistake which of them shows it and by how much, or why none does."""
    ids = [check_id(card.pull.number, place) for place in range(len(card.measures))]
    return {
        "checks": [
            {
                "id": own,
                "kind": measure.kind.value,
                "text": str(measure.said),
                "value": measure.looks or measure.value + 0.0,
                "unit": measure.unit,
                "within": measure.within,
                "finds": list(measure.finds),
            }
            for own, measure in zip(ids, card.measures, strict=True)
        ],
        "mistakes": [
            {
                "mistake": one.mistake,
                "out": one.out + 0.0,
                "unit": one.unit,
                "check": None if one.check is None else ids[one.check],
                "moves": None if one.moves is None else one.moves + 0.0,
                "sure": one.check is not None and one.why_not is None,
                "piece_moves_mm": None if one.piece_mm is None else one.piece_mm + 0.0,
                "why_not": None if one.why_not is None else str(one.why_not),
            }
            for one in card.choice.power
        ],
    }
