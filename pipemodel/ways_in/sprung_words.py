"""A way in words, as `moves_in_words` has it, with what the hands do to spring the piece and to let it go."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.geometry.vectors import Vec3, distance, sub, unit
from pipemodel.job.model import Opening
from pipemodel.messages.values import Count, Length, Message, Number, Value, Word, listed, message
from pipemodel.ways_in.moves_in_words import InWords, in_words
from pipemodel.ways_in.values import Sprung, SprungEnd, WayIn

GRAVITY_N_KG = 9.81


def way_in_words(line: Centreline, way: WayIn, opening: Opening | None, walls: Mapping[str, Vec3]) -> InWords:
    """Return a way that was found, in words; see `moves_in_words.in_words`."""
    if way.sprung is None:
        return in_words(line, way, opening, walls)
    until = way.sprung.until
    held = in_words(_plain(line, way.sprung), replace(way, states=way.states[: until + 1]), opening, walls)
    through = any(step.said.template == "way in.through" for step in held.steps)
    free = in_words(line, replace(way, states=way.states[until:]), None if through else opening, walls)
    first, *moves = held.steps
    first = replace(first, said=message("way in.begin sprung", begin=first.said, ends=sprung_ends(way.sprung.ends)))
    if moves:
        moves[-1] = replace(moves[-1], said=message("way in.let go", motion=moves[-1].said))
    rest = [replace(step, first=step.first + until, last=step.last + until) for step in free.steps[1:]]
    coarse = max(held, free, key=lambda one: one.step_mm)
    return replace(coarse, steps=(first, *moves, *rest), kept_mm=min(held.kept_mm, free.kept_mm))


def sprung_ends(ends: Sequence[SprungEnd]) -> Value:
    """Say which ends are sprung, which way and how far, and where the piece is held."""
    return listed(
        [
            message(
                "way in.sprung end",
                **_how(one),
                bend=Count(one.bend),
                push=message("nothing")
                if one.push_n is None
                else message(
                    "way in.push", push=Number(one.push_n, ".0f"), weight=Number(one.push_n / GRAVITY_N_KG, ".1f")
                ),
            )
            for one in ends
        ],
        ";",
    )


def end_sprung(one: SprungEnd) -> Message:
    """Say of an end in a picture how far it is sprung."""
    return message("way in.end sprung", **_how(one))


def _how(one: SprungEnd) -> dict[str, Value]:
    how = Word("open" if one.by_mm > 0.0 else "closed")
    return {"end": Word(one.end), "how": how, "by": Length(abs(one.by_mm), ".1f", "down")}


def _plain(line: Centreline, sprung: Sprung) -> Centreline:
    """Return a piece with the legs it has, each sprung one straight to where its end is: words go by legs and ends."""
    pieces = list(line.pieces)
    for one in sprung.ends:
        if one.end == "finish":
            begin, finish = pieces[-1].start, sprung.line.finish
            pieces[-1] = Straight(begin, unit(sub(finish, begin)), distance(begin, finish))
        else:
            begin, finish = sprung.line.start, line.straights[0].finish
            pieces[0] = Straight(begin, unit(sub(finish, begin)), distance(begin, finish))
    return Centreline(tuple(pieces))
