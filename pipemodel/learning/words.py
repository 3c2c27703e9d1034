"""What is learned, in words: each figure with its interval, and what it rests on."""

from pipemodel.learning.drift import SpringbackChange
from pipemodel.learning.learned import LearnedFormer, LearnedHands
from pipemodel.learning.posterior import Interval, Scatter
from pipemodel.messages.values import NOTHING, Count, Length, Message, Name, Number, listed, message
from pipemodel.trade.model import Former


def former_said(found: LearnedFormer, former: Former, file: str) -> Message:
    """Say what is learned of a former, and from how many bends of how many pieces."""
    figures = []
    if found.law is not None:
        figures.append(springback_said(found.law.at_90, found.bends, found.pieces))
    if found.radius is not None:
        figures.append(message("learned.radius", **_length(found.radius)))
    if found.mark is not None:
        figures.append(message("learned.mark", **_length(found.mark), n=Count(found.starts)))
    if not figures:
        return message("former.learned nothing", former=former.called, file=Name(file))
    return message("former.learned", former=former.called, figures=listed(figures, ","), file=Name(file))


def springback_said(at_90: Interval, bends: int, pieces: int) -> Message:
    """Say the springback of a bend of 90 degrees."""
    return message(
        "learned.springback",
        value=Number(at_90.value, ".1f"),
        within=Number(at_90.half, ".1f"),
        n=Count(bends),
        pieces=Count(pieces),
    )


def drifted(found: LearnedFormer, former: Former) -> Message:
    """Say from which piece on a former springs back otherwise, by how much, and what may be behind it."""
    return message("former.drifted", former=former.called, changes=listed([change_said(c) for c in found.changes], ";"))


def change_said(change: SpringbackChange) -> Message:
    """Say one change of springback."""
    size = Interval(abs(change.more.value), change.more.half)
    template = "learned.more from" if change.more.value > 0.0 else "learned.less from"
    if change.batch:
        before = message("learned.after batch", batch=Name(change.batch_before)) if change.batch_before else NOTHING
        cause = message("learned.batch", batch=Name(change.batch), before=before)
    else:
        cause = message("learned.worn")
    return message(
        template,
        piece=Count(change.piece),
        which=_which(change),
        by=Number(size.value, ".1f"),
        within=Number(size.half, ".1f"),
        cause=cause,
    )


def _which(change: SpringbackChange) -> Message:
    record = change.first
    parts = [Name(record.date, quoted=False)] if record.date else []
    parts += [Name(text) for text in (record.run, record.job, record.piece) if text]
    return message("learned.which", parts=listed(parts, ",")) if parts else NOTHING


def hands_said(found: LearnedHands, file: str) -> Message:
    """Say how far a person scatters, and what that rests on."""
    return message(
        "hands.learned",
        mark=_lengths(found.mark),
        angle=_degrees(found.angle),
        turn=_degrees(found.turn),
        n=Count(found.bends),
        pieces=Count(found.pieces),
        file=Name(file),
    )


def _lengths(scatter: Scatter) -> Message:
    value, low, high = (Length(mm, ".1f") for mm in scatter[:3])
    return message("learned.scatter", value=value, low=low, high=high, n=Count(scatter.readings))


def _degrees(scatter: Scatter) -> Message:
    value, low, high = (message("learned.degrees", value=Number(deg, ".1f")) for deg in scatter[:3])
    return message("learned.scatter", value=value, low=low, high=high, n=Count(scatter.readings))


def _length(found: Interval) -> dict[str, Length]:
    return {"value": Length(found.value, ".1f"), "within": Length(found.half, ".1f")}
