"""One record for each bend of a finished piece: what was asked, what was done, and what the piece came out as."""

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.trade.model import Former, Tube

Held: TypeAlias = Literal["start", "finish"]
ID_LENGTH = 11
PLACES = 6
"""Decimals that a record keeps, of mm and of degrees."""


class FormerKey(NamedTuple):
    """A former, and the tube that it bends: what is learned of one says nothing of another."""

    former: str
    outside_mm: float
    wall_mm: float
    material: str = ""
    temper: str = ""

    @classmethod
    def of(cls, former: Former, tube: Tube) -> "FormerKey":
        """Return under what a former in its tube is known."""
        return cls(former.name, tube.outside_mm, tube.wall_mm, tube.material, tube.temper)


class PieceKey(NamedTuple):
    """Which piece a bend is of; `number` counts the pieces of one file."""

    date: str
    number: int
    job: str
    run: str
    piece: str
    by: str


@dataclass(frozen=True)
class BendRecord:
    """One bend as bent and measured; mm and degrees. What was not measured is None.

    `pulled_deg` is what it was pulled to, `mark_mm` where its mark was, `held` the side in the stop. `turn_deg` is the
    roll or the turn that was asked for and `turned_deg` what it came out as. `radius_mm` is what was reckoned with.
    Each `..._sd` is the standard deviation of the reading before it.
    """

    former: str
    outside_mm: float
    wall_mm: float
    bend: int
    angle_deg: float
    pulled_deg: float
    mark_mm: float
    held: Held
    radius_mm: float
    number: int = 0
    """The piece's place in the order of pieces; no part of what the record says, as files are put together."""
    material: str = ""
    temper: str = ""
    standard: str = ""
    batch: str = ""
    by: str = ""
    date: str = ""
    job: str = ""
    run: str = ""
    piece: str = ""
    got_deg: float | None = None
    got_sd: float = 0.0
    start_mm: float | None = None
    start_sd: float = 0.0
    turn_deg: float | None = None
    turned_deg: float | None = None
    turned_sd: float = 0.0
    radius_got_mm: float | None = None
    radius_got_sd: float = 0.0

    @cached_property
    def id(self) -> str:
        """A short name made of everything that the record says, but for its place in the order."""
        said = {one.name: _said(getattr(self, one.name)) for one in fields(self) if one.name != "number"}
        text = json.dumps(said, sort_keys=True)
        return "b" + hashlib.sha256(text.encode()).hexdigest()[:ID_LENGTH]

    @property
    def former_key(self) -> FormerKey:
        """Which former and tube it is of."""
        return FormerKey(self.former, self.outside_mm, self.wall_mm, self.material, self.temper)

    @property
    def piece_key(self) -> PieceKey:
        """Which piece it is of."""
        return PieceKey(self.date, self.number, self.job, self.run, self.piece, self.by)

    @property
    def same_bend(self) -> tuple[str | float, ...]:
        """What two records of one bend of one piece have in common, whatever was measured."""
        return (*self.former_key, self.date, self.job, self.run, self.piece, self.by, self.bend)


def _said(value: object) -> object:
    return round(float(value), PLACES) + 0.0 if isinstance(value, float | int) else value


def without_repeats(records: Iterable[BendRecord]) -> tuple[BendRecord, ...]:
    """Return records with each once, however often it was put in; the first stays."""
    return tuple({record.id: record for record in reversed(list(records))}.values())[::-1]


def in_order(records: Iterable[BendRecord]) -> tuple[BendRecord, ...]:
    """Return records in an order of their own, so that the same ones give the same figures to the last digit."""
    return tuple(sorted(records, key=lambda record: record.id))


def of_former(records: Iterable[BendRecord], key: FormerKey) -> tuple[BendRecord, ...]:
    """Return the records of a former and its tube."""
    wanted = _folded(key)
    return tuple(record for record in records if _folded(record.former_key) == wanted)


def _folded(key: FormerKey) -> tuple[str | float, ...]:
    return tuple(" ".join(v.casefold().split()) if isinstance(v, str) else round(v, PLACES) for v in key)


def by_former(records: Iterable[BendRecord]) -> dict[FormerKey, tuple[BendRecord, ...]]:
    """Return records by former and tube, each under the name it has first."""
    names: dict[tuple[str | float, ...], FormerKey] = {}
    groups: dict[FormerKey, list[BendRecord]] = {}
    for record in records:
        groups.setdefault(names.setdefault(_folded(record.former_key), record.former_key), []).append(record)
    return {key: tuple(group) for key, group in groups.items()}


def in_pieces(records: Sequence[BendRecord]) -> tuple[tuple[BendRecord, ...], ...]:
    """Return the pieces that records are of, in the order in which they were bent.

    By date where every piece has one; by number where any has none. The place in the file says nothing, so files may be
    put together in any order.
    """
    dated = all(record.date for record in records)
    pieces: dict[PieceKey, list[BendRecord]] = {}
    for record in records:
        pieces.setdefault(record.piece_key, []).append(record)
    order = sorted(pieces, key=lambda key: ((key.date if dated else ""), key.number, *key))
    return tuple(tuple(sorted(pieces[key], key=lambda r: (r.bend, r.id))) for key in order)


def order_unsure(records: Sequence[BendRecord]) -> bool:
    """Tell whether some pieces have no order: the same number, as files were put together, and no date for each."""
    keys = {record.piece_key for record in records}
    if all(key.date for key in keys):
        return len({(key.date, key.number) for key in keys}) < len(keys)
    return len({key.number for key in keys}) < len(keys)
