"""The record of what is checked after a pull: each check, and what each mistake of the hand does to it."""

from string import ascii_lowercase
from typing import Any

from pipemodel.pulls.cards import Card


def check_id(pull: int, place: int) -> str:
    """Return what a check goes by: the number of its pull, and a letter for its place on the card, from 0."""
    return f"{pull}{ascii_lowercase[place]}"


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
                "why_not": None if one.why_not is None else str(one.why_not),
            }
            for one in card.choice.power
        ],
    }
