"""What is said after readings, as messages: what was probably bent, and what to do."""

from collections.abc import Iterator, Sequence, Set
from typing import Literal

from pipemodel.correction.values import BentBend, CheckReading, Estimate, LikelyFigure, Unsure
from pipemodel.correction.whole import Miss
from pipemodel.messages.values import (
    Angle,
    AroundTube,
    Count,
    Length,
    Message,
    Name,
    Tape,
    Word,
    listed,
    message,
)
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id
from pipemodel.pulls.measures import MeasureKind
from pipemodel.pulls.piece import within_half_turn
from pipemodel.pulls.plan import Pull

PLAIN_MM, PLAIN_DEG = 0.75, 0.25
"""A figure off by less is not worth saying: less than what a tape, or an angle card, shows."""
LINE_DEG = 0.5
"""An inside line moved by less, 0.07 mm on 15 mm tube, is the same line."""
NAMED = ("wrong way", "not rolled", "wrong roll", "no springback", "other mark", "wrong end")
"""Mistakes that have words of their own."""

FINE = message("correct.go on")


def bent_said(estimate: Estimate, last: int) -> Iterator[Message]:
    """Yield what was probably bent: the angle of bend `last`, and whatever else is off beyond doubt."""
    for number, name in estimate.mistakes:
        if name in NAMED:
            yield message("correct.mistake", bend=Count(number), what=Word(name))
    for bend in estimate.bends:
        yield from _bend_said(bend, bend.number == last)


def _bend_said(bend: BentBend, always: bool) -> Iterator[Message]:
    number = Count(bend.number)
    if always or _is_off(bend.angle_deg, bend.aim_angle_deg, PLAIN_DEG):
        low, high = Angle(bend.angle_deg.low, ".1f"), Angle(bend.angle_deg.high, ".1f")
        value, aim = Angle(bend.angle_deg.value, ".1f"), Angle(bend.aim_angle_deg)
        yield message("correct.angle", bend=number, angle=value, low=low, high=high, aim=aim)
    if _is_off(bend.start_mm, bend.aim_start_mm, PLAIN_MM):
        by = bend.start_mm.value - bend.aim_start_mm
        far, within = Length(abs(by), ".1f"), Length((bend.start_mm.high - bend.start_mm.low) / 2.0, ".1f")
        side = Word("further" if by > 0.0 else "nearer")
        yield message("correct.start", bend=number, far=far, within=within, side=side)
    if _is_off(bend.turn_deg, bend.aim_turn_deg, PLAIN_DEG):
        by = within_half_turn(bend.turn_deg.value - bend.aim_turn_deg)
        by_deg = Angle((bend.turn_deg.high - bend.turn_deg.low) / 2.0, ".1f")
        way = Word("clockwise" if by > 0.0 else "anticlockwise")
        yield message("correct.turn", bend=number, angle=Angle(abs(by), ".1f"), within=by_deg, way=way)


def _is_off(found: LikelyFigure, aim: float, least: float) -> bool:
    return found.is_off(aim) and abs(found.value - aim) >= least


def change_said(before: Sequence[Card], after: Sequence[Card]) -> Iterator[Message]:
    """Yield what is to be done otherwise at each pull to come, by its bend."""
    was = {card.pull.bend: card for card in before}
    for card in after:
        pull, old = card.pull, was[card.pull.bend].pull
        changes: list[Message] = []
        if abs(pull.mark_mm - old.mark_mm) >= PLAIN_MM / 2.0 or pull.held != old.held:
            changes.append(message("correct.mark", at=Tape(pull.mark_mm), was=Tape(old.mark_mm)))
        if abs(pull.pull_deg - old.pull_deg) >= PLAIN_DEG / 2.0:
            changes.append(message("correct.pull", angle=Angle(pull.pull_deg), was=Angle(old.pull_deg)))
        if card.last_bend is not None and abs(turned := _turned(card, was[pull.bend])) >= LINE_DEG:
            way = Word("clockwise" if turned > 0.0 else "anticlockwise")
            line = AroundTube(abs(card.round_mm), card.outside_mm)
            changes.append(
                message(
                    "correct.roll",
                    angle=Angle(abs(card.round_deg)),
                    far=line,
                    round=Word("clockwise" if card.round_deg >= 0.0 else "anticlockwise"),
                    last=Count(card.last_bend),
                    more=Angle(abs(turned)),
                    way=way,
                )
            )
        if pull.held != old.held:
            changes.append(message("correct.held", end=Word(pull.held)))
        if changes:
            yield message(
                "correct.at pull", pull=Count(pull.number), bend=Count(pull.bend), changes=listed(changes, ";")
            )


def _turned(card: Card, old: Card) -> float:
    """Return how much further round than planned its inside line is drawn, from that of the same bend."""
    return within_half_turn(card.round_deg - old.round_deg) if card.last_bend == old.last_bend else 0.0


def pull_on_said(pull: Pull, angle: float, now: float) -> Message:
    """Return to what angle a bend is pulled on, and about where that is on the scale."""
    scale = pull.pull_deg + (angle - now) * (1.0 + pull.former.springback.per_degree)
    return message(
        "correct.pull on", bend=Count(pull.bend), angle=Angle(angle), scale=Angle(scale), more=Angle(angle - now, ".1f")
    )


def flattened(cards: Sequence[Card], readings: Sequence[CheckReading]) -> Iterator[tuple[int, float, float]]:
    """Yield which bends are further out of round than a bend may be, as read by caliper: by how much, and the most."""
    by_pull = {card.pull.number: card for card in cards}
    for reading in readings:
        card = by_pull[reading.pull]
        measure, by = card.measures[reading.place], sum(reading.values) / len(reading.values)
        if measure.kind is MeasureKind.ROUND and by > measure.shows_from:
            yield card.pull.bend, by, measure.shows_from


def flattened_said(cards: Sequence[Card], readings: Sequence[CheckReading]) -> Iterator[Message]:
    """Say which bends are flattened."""
    for bend, by, most in flattened(cards, readings):
        far, least = Length(by, ".2f", beside=most), Length(most, ".2f", rounded="down", beside=by)
        yield message("correct.flattened", bend=Count(bend), by=far, most=least)


def why_said(name: Literal["recut", "if again"], why_not: Sequence[Message]) -> Message:
    """Return that a new piece is to be cut, or would be if a reading says the same again, and why."""
    return message(f"correct.{name}", why=listed(why_not, ";"))


def lands(miss: Miss, at_best: bool = False) -> Message:
    """Return where the finish lands, off where it is drawn."""
    return message(
        "correct.lands",
        how=Word("at best" if at_best else "lands"),
        sideways=Length(miss.sideways_mm, ".1f"),
        along=Length(abs(miss.along_mm), ".1f"),
        way=Word("long" if miss.along_mm >= 0.0 else "short"),
        angle=Angle(miss.direction_deg, ".1f"),
    )


def not_read(card: Card, read: Set[str]) -> list[str]:
    """Return the checks of a card that measure where the tube lies, and were not read."""
    measured = [k for k, one in enumerate(card.measures) if one.unit != "look" and one.kind is not MeasureKind.ROUND]
    return [name for k in measured if (name := check_id(card.pull.number, k)) not in read]


def unsure_said(within: Unsure, shown: bool, unread: Sequence[str], bent: bool) -> Iterator[Message]:
    """Yield how sure it is where the finish lands; where that is not `shown` to be near enough, what else to do.

    Only a piece whose bends are all `bent` can be held up where it goes.
    """
    yield message(
        "correct.give or take" if shown else "correct.not shown",
        sideways=Length(within.sideways_mm, ".1f"),
        along=Length(within.along_mm, ".1f"),
        angle=Angle(within.direction_deg, ".1f"),
    )
    if shown:
        return
    if unread:
        yield checks_said("not read", unread)
    else:
        yield message("correct.hold up" if bent else "correct.read twice")


def checks_said(name: str, checks: Sequence[str]) -> Message:
    """Return what is to be done about some checks, or what is not known of them; where one is alone, any of them."""
    named = listed([Name(check, quoted=False) for check in checks], "or" if name == "alone" else "and")
    return message(f"correct.{name}", checks=named, **({"n": Count(len(checks))} if name == "again" else {}))
