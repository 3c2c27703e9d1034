"""What a jig passes and refuses, and what weight hides from it: in words, in rows of a table, and as plain data."""

from math import isfinite

from pipemodel.jigs.design import Jig
from pipemodel.jigs.sag import longest_true, sags_of
from pipemodel.jigs.verdict import JigFault, Limit
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Angle, Count, Length, Message, listed, message
from pipemodel.results.plain import Record, fields_of, plain

TITLE = message("jig limits.title")
HEAD = (
    message("jig brief.head of"),
    message("jig brief.head asked"),
    message("jig brief.head passes"),
    message("jig brief.head refuses"),
    message("jig brief.head certain"),
)
MEANING = message("jig limits.meaning")


def name_of(fault: JigFault) -> Message:
    """Return what is out, in words."""
    n = Count(fault.number)
    if fault.kind == "leg":
        return message("jig limits.leg", n=n)
    return message("jig limits.angle" if fault.kind == "angle" else "jig limits.turn", n=n)


def unit_of(fault: JigFault) -> str:
    """Return the unit a fault is counted in."""
    return "mm" if fault.kind == "leg" else "deg"


def limit_rows(jig: Jig, units: Units = MM) -> list[tuple[str, ...]]:
    """Return the rows under `HEAD`."""
    return [_row(limit, units) for limit in jig.limits]


def _row(limit: Limit, units: Units) -> tuple[str, ...]:
    of_leg = limit.fault.kind == "leg"

    def figure(value: float, none: str) -> str:
        return none if not isfinite(value) else units.reading(value) if of_leg else units.figure(f"{value:.1f}")

    none = words(units, "jig limits.none")
    cells = (figure(v, none) for v in (limit.passes_to, limit.refused_from, limit.certain_from))
    unit = units.unit if of_leg else words(units, "jig limits.degrees")
    asked = figure(limit.asked, words(units, "jig limits.any"))
    return (say(name_of(limit.fault), units), f"{asked} {unit}", *cells)


def wider_said(jig: Jig) -> Message:
    """Return what the jig cannot refuse as tightly as asked, with what to do about it."""
    wider = [limit for limit in jig.limits if limit.wider]
    if not wider:
        return message("jig limits.nothing wider")
    return message("jig limits.wider", things=listed([name_of(limit.fault) for limit in wider], ","))


def weight_said(jig: Jig) -> list[Message]:
    """Return what the piece's own weight hides."""
    sags = sags_of(jig.layout, jig.solved.tube)
    far = [s for s in sags if s.matters]
    longest = longest_true(jig.solved.tube, min(s.slot_mm for s in sags))
    if not far:
        most = max(0.01, *(s.hides_mm for s in sags))
        return [message("jig.weight is little", most=Length(most, ".2f"), longest=Length(longest, ".0f"))]
    return [
        message("jig.weight hides", longest=Length(longest, ".0f")),
        *(
            message(
                "jig.leg sags",
                leg=Count(s.leg),
                hides=Length(s.hides_mm, ".1f"),
                angle=Angle(s.hides_deg, ".2f"),
                sags=Length(s.sags_mm, ".2f"),
            )
            for s in far
        ),
    ]


def limit_records(jig: Jig) -> list[Record]:
    """Return the limits as plain data, None where there is no limit."""
    return [
        {
            "of": limit.fault.kind,
            "number": limit.fault.number,
            "unit": unit_of(limit.fault),
            **fields_of(limit, "asked passes_to refused_from"),
            "refused_for_certain_from": plain(limit.certain_from),
            "wider_than_asked": limit.wider,
        }
        for limit in jig.limits
    ]


def weight_records(jig: Jig) -> list[Record]:
    """Return what weight hides as plain data."""
    return [
        fields_of(sag, "leg free_mm sags_mm hides_mm hides_deg matters") for sag in sags_of(jig.layout, jig.solved.tube)
    ]
