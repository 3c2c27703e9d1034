"""How a piece is laid in its jig, and what a miss shows, a sentence or two each."""

from pipemodel.jigs.design import Jig
from pipemodel.jigs.reading import BendReading, Stray
from pipemodel.messages.values import Count, Length, Message, Word, listed, message

STEPS = (
    message("jig step.lower"),
    message("jig step.right"),
    message("jig step.proud"),
    message("jig step.lines"),
)
"""How a piece is laid in any jig and judged."""


def own_steps(jig: Jig) -> list[Message]:
    """Return what is to be seen to besides with this jig."""
    stops = [t for t in jig.layout.towers if t.cradle.stop]
    steps = []
    if any(t.stop_upright for t in stops):
        cradles = listed([Count(t.cradle.number) for t in stops if t.stop_upright])
        steps.append(message("jig step.upright end", cradles=cradles))
    if len(stops) < 2:
        steps.append(message("jig step.measured end"))
    if max(abs(float(g.direction[2])) for g in jig.layout.axis.legs) > 0.26:
        steps.append(message("jig step.slope"))
    return steps


def reading_said(r: BendReading) -> Message:
    """Return what a degree too much at one bend shows: where it shows first, and where most."""
    shown_at = []
    for what, strays in (("angle", r.angle), ("turn", r.turn)):
        if strays:
            worst = max(strays, key=lambda s: s.size_mm)
            shows = [
                message("jig.stray", off=_off(s), cradle=Count(s.cradle)) for s in dict.fromkeys((strays[0], worst))
            ]
            shown_at.append(message("jig.shows", what=Word(what), shows=listed(shows)))
    if not shown_at:
        return message("jig.shows nowhere", bend=Count(r.bend))
    return message("jig.reading", bend=Count(r.bend), shows=listed(shown_at, ";"))


def _off(stray: Stray) -> Message:
    across, up = round(stray.across_mm, 1), round(stray.up_mm, 1)
    left = message("jig.left" if across > 0 else "jig.right", off=Length(abs(across), ".1f"))
    higher = message("jig.up" if up > 0 else "jig.down", off=Length(abs(up), ".1f"))
    if across and up:
        return message("jig.both", one=left, other=higher)
    return left if across else higher if up else message("jig.next to nothing")
