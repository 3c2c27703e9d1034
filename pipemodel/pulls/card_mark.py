"""Where the mark of a pull is: checked from a bend already made, and what on the former it is brought to."""

from dataclasses import dataclass

from pipemodel.bending.part_bent import PartBent
from pipemodel.messages.values import NOTHING, Count, Message, Tape, Word, message
from pipemodel.pulls.plan import Pull
from pipemodel.trade.model import Former

NEAR_DEG = 0.5
"""A bend this near to 90 degrees, and a leg this near to level or plumb, is so to a fitter."""
AT_ONCE_MM = 0.05
"""A mark this near to where the bend begins is there."""
SPRING = "spring"
"""The kind of former that goes round the tube, without a rim, a stop or a lever."""


@dataclass(frozen=True)
class FromBack:
    """Where the tape finds the mark from the back of a bend already made, so that an error does not grow."""

    bend: int
    mm: float
    how: Message


def from_back(pull: Pull, piece: PartBent) -> FromBack | None:
    """Measure from the nearest bend made on the held side, or on the other side when there is none."""
    before = max((n for n in pull.made if n < pull.bend), default=None)
    after = min((n for n in pull.made if n > pull.bend), default=None)
    for near in (before, after) if pull.held == "start" else (after, before):
        if near is None:
            continue
        index = next(i for i, bend in enumerate(piece.bends) if bend.number == near)
        bend = piece.bends[index]
        mark = pull.drawn_mark_mm
        along = mark - bend.finish_mm if near < pull.bend else bend.start_mm - mark
        at = message("measure.where its backs meet") if bend.angle_deg < 90.0 - NEAR_DEG else NOTHING
        how = message("card.from back", bend=Count(near), at=at)
        return FromBack(near, along + piece.back_mm(index), how)
    return None


def has_rim(former: Former) -> bool:
    """Whether the tube is pulled round a rim, with a stop, a guide and a lever; a spring has none of them."""
    return former.kind != SPRING


def bring_mark(pull: Pull) -> Message:
    """Return what the mark is brought to on the former of a pull."""
    former = pull.former
    past = pull.past_rim_mm
    if not has_rim(former):
        if abs(past) <= AT_ONCE_MM:
            return message("card.spring at mark")
        ends = ("start", "finish") if pull.held == "start" else ("finish", "start")
        return message("card.spring off mark", far=Tape(abs(past)), end=Word(ends[past < 0.0]))
    if abs(past) <= AT_ONCE_MM:
        return message("card.bring to rim")
    if former.mark_at == "square":
        return message("card.bring to square", far=Tape(past))
    return message("card.bring past" if past > 0.0 else "card.bring short", far=Tape(abs(past)))
