"""Where on a run something is, as one would say it at the bench."""

from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.values import NOTHING, Count, Length, Message, message

END_MM = 0.5
"""This near an end counts as at the end."""


def where_on(solved: SolvedRun, at_mm: float) -> Message:
    """Return a place on a run: "512 mm from the start end, between bends 2 and 3"."""
    if at_mm <= END_MM:
        return message("place.start")
    if at_mm >= solved.centreline.length - END_MM:
        return message("place.finish")
    return message("place.along", at=Length(at_mm, ".0f"), among=_among_bends(solved, at_mm))


def _among_bends(solved: SolvedRun, at_mm: float) -> Message:
    bends = solved.table.bends
    if not bends:
        return NOTHING
    passed = 0
    for bend in bends:
        if bend.start_mm <= at_mm <= bend.finish_mm:
            return message("place.in bend", bend=Count(bend.number))
        if at_mm > bend.finish_mm:
            passed = bend.number
    if passed == 0:
        return message("place.before bend", bend=Count(1))
    if passed == len(bends):
        return message("place.after bend", bend=Count(passed))
    return message("place.between bends", one=Count(passed), other=Count(passed + 1))
