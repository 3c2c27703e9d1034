"""How well every run is likely to fit, where the job says how well hands bend it."""

from collections.abc import Iterator
from math import sqrt

from pipemodel.accuracy.values import RunFit
from pipemodel.checks.fit_words import asked, by_plan, gains, leaves, matters, share
from pipemodel.lists.blocks import Content, Facts, Group
from pipemodel.lists.table import CellValue, Column, Kind, Table, Words
from pipemodel.messages.values import Count, Length, Message, Name, Value, listed, message
from pipemodel.results.results import Results

COLUMNS = (
    Column("run"),
    Column("chance", Kind.SHARE),
    Column("chance in words"),
    Column("fits within sideways", Kind.ROUNDED),
    Column("fits within along", Kind.ROUNDED),
    Column("sideways", Kind.ROUNDED),
    Column("along", Kind.ROUNDED),
    Column("matters most"),
    Column("touches"),
    Column("best check"),
    Column("leave long"),
)
MOST = 3
"""Errors of the hands that are named, the largest first."""
SMALL = 0.05
"""Of the mean square: a smaller one is not named."""


def fit(results: Results) -> Content | None:
    """Return how well each run is likely to fit; None where the job says nothing of hands."""
    fits = results.report.fits
    if not fits:
        return None
    groups = tuple(Group((Facts(tuple(_facts(one))),), one.run) for one in fits)
    return Content(Table(COLUMNS, tuple(_row(one) for one in fits)), groups)


def _row(fit: RunFit) -> tuple[CellValue, ...]:
    return (
        fit.run,
        fit.chance.value,
        share(fit.chance),
        fit.within.sideways_mm,
        fit.within.along_mm,
        fit.sideways_mm,
        fit.along_mm,
        matters(fit.shares[0]) if fit.shares else None,
        _touched(fit),
        None if fit.best_reading is None else gains(fit.best_reading),
        None if fit.leave is None else leaves(fit.leave),
    )


def _facts(fit: RunFit) -> Iterator[tuple[Words, Words]]:
    yield message("fit.label chance"), message("fit.fits", share=share(fit.chance), within=asked(fit))
    lands = message("fit.19 in 20", sideways=Length(fit.sideways_mm, ".1f"), along=Length(fit.along_mm, ".1f"))
    yield message("fit.label lands"), lands
    if fit.shares or fit.room_part:
        parts = [(one.part, matters(one)) for one in fit.shares[:MOST]] + [(fit.room_part, message("fit.room"))]
        named: list[Value] = [
            message("fit.part", what=what, n=Count(round(100.0 * part)))
            for part, what in sorted(parts, key=lambda one: -one[0])
            if part >= SMALL
        ]
        yield message("fit.label matters"), message("fit.row", items=listed(named, ";"))
    if fit.leave is not None:
        yield message("fit.label tail"), leaves(fit.leave)
    if fit.by_accurate_plan is not None:
        yield message("fit.label plan"), by_plan(fit.by_accurate_plan)
    touched = _touched(fit)
    yield message("fit.label touches"), touched or message("fit.touches nothing", n=Count(_tried(fit)))
    if fit.best_reading is not None:
        left = Count(round(100.0 * sqrt(fit.best_reading.left)))
        yield message("fit.label check"), message("fit.check gains", which=gains(fit.best_reading), n=left)


def _tried(fit: RunFit) -> int:
    return min((touch.chance.pieces for touch in fit.touches), default=fit.chance.pieces)


def _touched(fit: RunFit) -> Message | None:
    """Return what is touched, the likeliest first, each as so many of a hundred pieces; None where nothing was."""
    touched = sorted((one for one in fit.touches if one.chance.hits), key=lambda one: -one.chance.value)
    said: list[Value] = [
        message("fit.touched", against=Name(one.against, quoted=False), share=share(one.chance)) for one in touched
    ]
    return message("fit.row", items=listed(said, ";")) if said else None
