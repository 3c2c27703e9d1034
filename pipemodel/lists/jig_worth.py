"""Whether a jig is worth printing, and what checks as well: in words, and as plain data."""

from math import isfinite

from pipemodel.bending.bends import BendTable
from pipemodel.jigs.worth import ShownFrom, Worth, part_for
from pipemodel.lists.jig_limits import name_of, unit_of
from pipemodel.messages.values import NOTHING, Angle, Count, Length, Message, listed, message
from pipemodel.results.plain import Record, fields_of, plain

TITLE = message("jig worth.title")


def worth_said(worth: Worth, bends: int) -> Message:
    """Return whether printing is worth it, and why, in a few sentences; `bends` is how many the run has."""
    open_still = listed([_either(t) for t in worth.left_open], ";")
    if worth.printing:
        rest = message("jig worth.open", things=open_still) if worth.left_open else NOTHING
        if [t.fault.kind for t in worth.unseen] == ["angle"]:
            (one,) = worth.unseen
            return message("jig worth.one angle", of=name_of(one.fault), size=_size(one, one.shows_from), rest=rest)
        return message("jig worth.yes", things=listed([name_of(t.fault) for t in worth.gained], ","), rest=rest)
    if bends < 2:
        return message("jig worth.few bends")
    if worth.left_open and not worth.flat:
        return message("jig worth.no better", things=open_still)
    return message("jig worth.flat" if worth.flat else "jig worth.taped")


def _either(one: ShownFrom) -> Message:
    """Return from where the jig refuses a thing, and from where the checks show it."""
    shown = _size(one, one.refused_from), _size(one, one.shows_from)
    return message("jig worth.either", of=name_of(one.fault), jig=shown[0], checks=shown[1])


def part_said(worth: Worth, table: BendTable) -> list[Message]:
    """Return which part of the piece a jig will do for, where one of the whole is not needed."""
    part = part_for(worth, table)
    return [message("jig worth.part", first=Count(part[0]), last=Count(part[1]))] if part else []


def checks_said(worth: Worth) -> list[Message]:
    """Return the checks with tape and card, each with what it shows and from where."""
    out: list[Message] = []
    for place, check in enumerate(worth.checks):
        shown = [_from(t) for t in worth.shown if t.check == place]
        if shown:
            out.append(message("jig worth.shows", check=check.said, things=listed(shown, ",")))
    return out


def _from(one: ShownFrom) -> Message:
    return message("jig worth.from", of=name_of(one.fault), size=_size(one, one.shows_from))


def _size(one: ShownFrom, size: float | None) -> Message | Length:
    if size is None or not isfinite(size):
        return message("jig worth.not at all")
    if unit_of(one.fault) == "mm":
        return Length(size, ".1f")
    return message("jig worth.degrees", angle=Angle(size, ".1f"))


def worth_record(worth: Worth) -> Record:
    """Return the same as plain data."""
    return {
        **fields_of(worth, "printing flat"),
        "checks": [{"text": str(c.said), **fields_of(c, "value unit")} for c in worth.checks],
        "shown": [
            {
                "of": t.fault.kind,
                "number": t.fault.number,
                "asked": t.asked,
                "shows_from": t.shows_from if t.check is not None else None,
                "refused_from": plain(t.refused_from),
                "check": None if t.check is None else t.check + 1,
            }
            for t in worth.shown
        ],
    }
