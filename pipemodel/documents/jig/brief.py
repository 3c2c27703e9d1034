"""What the page and the pack say of a jig: a picture, how to lay the piece in, and how to read a miss."""

from dataclasses import dataclass

from pipemodel.documents.jig.drawing import picture_sheet
from pipemodel.documents.jig.limits import MEANING, limit_rows, weight_said, wider_said
from pipemodel.documents.jig.text import reading_said, steps_for
from pipemodel.drawing.sheet import Sheet
from pipemodel.jig.design import Jig
from pipemodel.jig.reading import readings
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, Number, Word, message
from pipemodel.results.results import Results

HEAD = (
    message("jig brief.head cradle"),
    message("jig brief.head leg"),
    message("jig brief.head from"),
    message("jig brief.head to"),
    message("jig brief.head slot"),
    message("jig brief.head accepts"),
    message("jig brief.head stop"),
)
"""Over the columns of what each slot accepts; lengths in the units of the papers, along the tube from its start."""


@dataclass(frozen=True)
class Brief:
    """One run's jig in short; `why_not` where it has none, and then nothing else."""

    run: str
    picture: Sheet | None = None
    steps: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    limits: tuple[tuple[str, ...], ...] = ()
    """Rows under the head of `limits`: what it passes and what it refuses."""
    limits_said: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    printing: str = ""
    why_not: tuple[str, ...] = ()


def briefs_of(answer: Results) -> tuple[Brief, ...]:
    """Return the brief of every run's jig; empty when the job asks for no jigs."""
    units = answer.paperwork.reading
    return tuple(
        _brief(jig, units)
        if isinstance(jig, Jig)
        else Brief(jig.run, why_not=tuple(say(why, units) for why in jig.reasons))
        for jig in answer.jigs
    )


def _brief(jig: Jig, units: Units) -> Brief:
    mass, hours = sum(p.plastic.mass_g for p in jig.parts), sum(p.plastic.hours for p in jig.parts)
    printing = words(
        units,
        "jig brief.printing",
        parts=Count(len(jig.parts)),
        mass=Number(mass, ".0f"),
        hours=Number(hours, ".0f"),
        revision=Name(jig.settings.revision, quoted=False),
    )
    return Brief(
        jig.solved.name,
        picture_sheet(jig, units),
        tuple(say(step, units) for step in steps_for(jig)),
        tuple(_row(jig, i, units) for i in range(len(jig.layout.towers))),
        tuple(limit_rows(jig, units)),
        tuple(say(line, units) for line in (MEANING, wider_said(jig), *weight_said(jig))),
        tuple(say(reading_said(r), units) for r in readings(jig.solved.table, jig.layout)),
        printing,
    )


def _row(jig: Jig, i: int, units: Units) -> tuple[str, ...]:
    tower = jig.layout.towers[i]
    cradle = tower.cradle
    begins = jig.solved.centreline.offsets[2 * cradle.leg]
    along = [begins + a * tower.place.stretch for a in (cradle.low_mm, cradle.high_mm)]
    return (
        str(cradle.number),
        str(cradle.leg + 1),
        *(units.tidy(round(a)) for a in along),
        units.tidy(round(2.0 * (tower.radius + cradle.clearance_mm), 1)),
        units.tidy(round(cradle.clearance_mm, 1)),
        f"{units.tidy(cradle.stop_mm)}, {words(units, 'word', word=Word(cradle.stop))}" if cradle.stop else "",
    )
