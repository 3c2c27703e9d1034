"""All that a history says: of every former in its tube, and of the hands of everybody who bent."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from pipemodel.learning.learned import LearnedFormer, LearnedHands, learned_former, learned_hands
from pipemodel.learning.records import BendRecord, FormerKey, by_former, in_order, in_pieces
from pipemodel.trade.formers import SPRINGBACK_PER_DEGREE
from pipemodel.trade.model import Former, Springback


@dataclass(frozen=True)
class Summary:
    """What records say; `hands` by who bent, "" where nobody said, all of them under None where several did."""

    bends: int
    pieces: int
    formers: tuple[LearnedFormer, ...]
    hands: dict[str | None, LearnedHands]
    from_job: frozenset[FormerKey] = frozenset()
    """Formers that were begun from a job's own figures, and not from common practice."""


def summary(records: Sequence[BendRecord], before: Mapping[FormerKey, Former] | None = None) -> Summary:
    """Return all that records say.

    Args:
        records: the records of a history, each once.
        before: formers as they are without it; those of common practice where one is not in here.
    """
    formers = []
    for key, own in sorted(by_former(in_order(records)).items()):
        found = learned_former(own, key, (before or {}).get(key) or _usual(key, own))
        assert found is not None, "there are records of it"
        formers.append(found)
    people = sorted({record.by for record in records})
    hands: dict[str | None, LearnedHands] = {by: learned_hands(records, by) for by in people}
    if len(people) > 1:
        hands = {None: learned_hands(records), **hands}
    from_job = frozenset(before or ()) & {found.key for found in formers}
    return Summary(len(records), len(in_pieces(records)), tuple(formers), hands, from_job)


def _usual(key: FormerKey, own: Sequence[BendRecord]) -> Former:
    radius = median(record.radius_mm for record in own)
    return Former(radius, key.former, Springback(per_degree=SPRINGBACK_PER_DEGREE))
