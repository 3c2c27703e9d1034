"""How well a run is likely to fit, in words; a chance is always a share of pieces, never a yes."""

from pipemodel.accuracy.values import BestReading, Chance, RunFit, Share, Tail, TouchChance
from pipemodel.messages.values import NOTHING, Count, Length, Message, Name, Near, Word, message

SURE = 0.01
"""The interval of a chance that is called below 1, or above 99, in 100 is no wider than this."""


def lands(fit: RunFit) -> Message:
    """Say where the finish lands, how many of a hundred pieces fit, what matters most and which reading gains most."""
    run = Name(fit.run)
    if not fit.shares and not fit.room_part:
        return message("fit.as drawn", run=run)
    room = not fit.shares or fit.room_part > fit.shares[0].part
    most = message("fit.most", what=message("fit.room") if room else matters(fit.shares[0]))
    reading = NOTHING if fit.best_reading is None else message("fit.reading", which=gains(fit.best_reading))
    return message(
        "fit.lands",
        run=run,
        sideways=Length(fit.sideways_mm, ".1f"),
        along=Length(fit.along_mm, ".1f"),
        share=share(fit.chance),
        within=asked(fit),
        most=most,
        reading=reading,
        joints=message("fit.joints", n=Count(fit.joints)) if fit.joints else NOTHING,
        tail=NOTHING if fit.leave is None else message("fit.and tail", tail=leaves(fit.leave)),
        plan=NOTHING if fit.by_accurate_plan is None else message("fit.and plan", plan=by_plan(fit.by_accurate_plan)),
    )


def leaves(tail: Tail) -> Message:
    """Say which end to leave long, to be cut once the bent piece is held in its place, and how many pieces fit then."""
    long, fitting = Length(tail.long_mm), share(tail.chance)
    if tail.end == "finish":
        return message("fit.leave", long=long, share=fitting)
    return message("fit.leave start", end=Word(tail.end), long=long, share=fitting)


def by_plan(chance: Chance) -> Message:
    """Say how many pieces fit with the plan of pulls that is for accuracy."""
    return message("fit.by plan", share=share(chance))


def asked(fit: RunFit) -> Message:
    """Say within what a finish fits."""
    sideways, along = Length(fit.within.sideways_mm), Length(fit.within.along_mm)
    assumed = message("fit.assumed") if fit.within.assumed else NOTHING
    if fit.trim_mm > 0.0:
        return message("fit.within and trim", sideways=sideways, trim=Length(fit.trim_mm), assumed=assumed)
    return message("fit.within", sideways=sideways, along=along, assumed=assumed)


def share(chance: Chance) -> Message:
    """Return a chance as so many pieces of a hundred."""
    n = round(100.0 * chance.value)
    if 0 < n < 100:
        return message("fit.share", n=Count(n))
    # Of few pieces tried, none does not mean that it is rare.
    if chance.high - chance.low > SURE:
        return message("fit.of tried", hits=Count(chance.hits), n=Count(chance.pieces))
    return message("fit.nearly all") if n else message("fit.nearly none")


def matters(part: Share) -> Message:
    """Return an error of the hands in words: "the angle of bend 2"."""
    return message("fit.source", what=Word(part.source.what), bend=Count(part.source.bend))


def gains(reading: BestReading) -> Message:
    """Return a reading in words, with the pull that it is taken after."""
    pull, how = Count(reading.pull), reading.measure.said
    if reading.piece is not None:
        return message("fit.after pull of piece", pull=pull, piece=Count(reading.piece), how=how)
    return message("fit.after pull", pull=pull, how=how)


def touches(fit: RunFit, touch: TouchChance) -> Message:
    """Say how many of a hundred pieces touch something."""
    return message(
        "fit.touches",
        run=Name(fit.run),
        share=share(touch.chance),
        against=Name(touch.against),
        near=Near(touch.distance_mm),
        n=Count(touch.chance.pieces),
    )


def not_linear(fit: RunFit) -> Message:
    """Say that the linear law of errors does not describe the pieces."""
    return message("fit.not linear", run=Name(fit.run), n=Count(fit.chance.pieces))
