"""What a history says, for reading: each former with its figures, what they rest on, what changed, and the hands."""

from pipemodel.learning.drift import SpringbackChange
from pipemodel.learning.learned import LearnedFormer, LearnedHands
from pipemodel.learning.posterior import Interval, Scatter
from pipemodel.learning.records import FormerKey
from pipemodel.learning.summary import Summary
from pipemodel.learning.words import change_said
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import NOTHING, Count, Length, Message, Name, Number, Size, Word, listed, message
from pipemodel.wording.safe_text import shown, to_ascii, wrapped
from pipemodel.wording.text_page import WIDTH

WIDE = 22
ANGLES_DEG = (30.0, 45.0, 90.0)
"""The finished angles for which the springback is said."""


def learning_text(found: Summary, ascii: bool = False, units: Units = MM) -> str:
    """Return what a history says as text."""
    lines: list[str] = []
    for former in found.formers:
        lines += [*_former(former, former.key in found.from_job, units), ""]
    for by, hands in found.hands.items():
        lines += [*_hands(by, hands, len(found.hands) > 1, units), ""]
    if not found.formers:
        lines = wrapped(words(units, "learn.none"), WIDTH)
    text = "\n".join(lines).rstrip() + "\n"
    return to_ascii(text, units.language) if ascii else text


def _former(found: LearnedFormer, from_job: bool, units: Units) -> list[str]:
    begun = "learn.from job" if from_job else "learn.from practice"
    lines = [
        *wrapped(words(units, "learn.former", former=Name(shown(found.key.former)), tube=_tube(found.key)), WIDTH),
        *wrapped(words(units, begun, at=Number(found.began_at_90, ".1f")), WIDTH, "  "),
    ]
    law = found.law
    if law is None:
        lines += _row("learn.springback", message("learn.not measured"), units)
    else:
        for angle in ANGLES_DEG:
            at = law.at(angle)
            value, within = Number(at.value, ".1f"), Number(at.half, ".1f")
            said = message("learn.at", angle=Number(angle), value=value, within=within)
            lines += _row("learn.springback" if angle == ANGLES_DEG[0] else "", said, units)
        lines += _row("", message("learn.rests on", n=Count(found.bends), pieces=Count(found.pieces)), units)
        fixed, rate = Number(law.fixed_deg, ".2f"), Number(law.per_degree, ".4f")
        lines += _row("", message("learn.fixed", fixed=fixed, rate=rate), units)
    lines += _row("learn.radius", _within(found.radius), units)
    lines += _row("learn.mark", _within(found.mark), units)
    notes = [words(units, "learn.changed", change=_changed(found.changes))] if found.changes else []
    notes += [words(units, "learn.order")] if found.order_unsure else []
    lines += [line for note in notes for line in wrapped(note, WIDTH, "  ")]
    return lines


def _changed(changes: tuple[SpringbackChange, ...]) -> Message:
    return message("learn.changes", changes=listed([change_said(change) for change in changes], ";"))


def _tube(key: FormerKey) -> Message:
    named = [Word(word) for word in (key.material, key.temper) if word]
    more = message("learn.tube words", words=listed(named, ",")) if named else NOTHING
    return message("learn.tube", outside=Size(key.outside_mm), wall=Size(key.wall_mm), words=more)


def _within(found: Interval | None) -> Message:
    if found is None:
        return message("learn.not measured")
    return message("learn.within", value=Length(found.value, ".1f"), within=Length(found.half, ".1f"))


def _hands(by: str | None, found: LearnedHands, several: bool, units: Units) -> list[str]:
    who = message("learn.hands of", by=Name(shown(by))) if by else message("learn.hands of all")
    if by == "" and several:
        who = message("learn.hands unnamed")
    lines = wrapped(words(units, "learn.hands", who=who, n=Count(found.bends), pieces=Count(found.pieces)), WIDTH)
    for label, scatter, length in (
        ("learn.marks", found.mark, True),
        ("learn.angles", found.angle, False),
        ("learn.rolls", found.turn, False),
    ):
        lines += _row(label, _scatter(scatter, length), units)
    return lines


def _scatter(scatter: Scatter, length: bool) -> Message:
    if not scatter.readings:
        return message("learn.not measured")
    value, low, high = (
        Length(one, ".1f") if length else message("learned.degrees", value=Number(one, ".1f")) for one in scatter[:3]
    )
    return message("learn.scatter", value=value, low=low, high=high, n=Count(scatter.readings))


def _row(label: str, said: Message, units: Units) -> list[str]:
    return wrapped(say(said, units), WIDTH, f"  {words(units, label) if label else '':<{WIDE}}")
