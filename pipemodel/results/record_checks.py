"""The record of what is checked after a pull: each check, and what each mistake of the hand does to it."""

from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id as check_id
from pipemodel.results.plain import Record, fields_of, plain


def checks_record(card: Card) -> Record:
    """Return the checks of a pull, and for each mistake which of them shows it and by how much, or why none does."""
    ids = [check_id(card.pull.number, place) for place in range(len(card.measures))]
    return {
        "checks": [
            {
                "id": own,
                "kind": measure.kind.value,
                "text": str(measure.said),
                "value": measure.looks or measure.value + 0.0,
                **fields_of(measure, "unit within finds"),
            }
            for own, measure in zip(ids, card.measures, strict=True)
        ],
        "mistakes": [
            {
                **fields_of(one, "mistake out unit"),
                "check": None if one.check is None else ids[one.check],
                "moves": plain(one.moves),
                "sure": one.check is not None and one.why_not is None,
                "piece_moves_mm": plain(one.piece_mm),
                "why_not": plain(one.why_not),
            }
            for one in card.choice.power
        ],
    }
