"""Does every leg fall that is meant to.

Asked where a run or a leg has a `fall`. A ratio is down over level. A leg may be 0.5 mm short of its fall from end to
end, since heights are read to half a millimetre, but none may rise.
"""

from math import hypot

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.geometry.straighten import find_corners
from pipemodel.geometry.vectors import Vec3, distance, sub
from pipemodel.job.fall import Fall
from pipemodel.messages.values import Count, Length, Message, Name, Number, Word, message

CHECK = "falls"
READ_TO_MM, LEVEL_MM = 0.5, 0.05


def falls(schedule: Schedule) -> tuple[Finding, ...]:
    """Look at every run that has a fall."""
    return tuple(finding for solved in schedule.runs for finding in _of_run(solved))


def _of_run(solved: SolvedRun) -> list[Finding]:
    route = solved.run.route
    corners, asked = route.corners, [fall for fall in route.falls if fall is not None]
    if not asked:
        return []
    wrong = []
    # The second corner of a return and every other corner that makes a bend ends a leg.
    bent = [i for i in find_corners(corners, route.joined).kept[1:-1] if i not in route.joined]
    for i, fall in enumerate(route.falls):
        if fall is not None and (said := _wrong(corners[i], corners[i + 1], fall)) is not None:
            leg = Count(1 + sum(corner <= i for corner in bent))
            found = message("falls.leg", leg=leg, run=Name(solved.name), wrong=said, asked=ratio(fall.slope))
            wrong.append(Finding("G101", CHECK, "error", found, solved.name, point=corners[i + 1]))
    if wrong:
        return wrong
    least, towards = min(fall.slope for fall in asked), asked[0].towards or "finish"
    start, finish = corners[0][2], corners[-1][2]
    both = len({fall.towards for fall in asked}) > 1
    if both or None in route.falls or (start > finish) != (towards == "finish"):
        # Of legs that fall both ways no end is the low one; and where some need not fall the run as a whole does not.
        said = message(
            "falls.legs",
            run=Name(solved.name),
            asked=ratio(least),
            n=Count(len(asked)),
            start=Length(start, ".1f", taped=True),
            finish=Length(finish, ".1f", taped=True),
        )
        return [Finding("G102", CHECK, "note", said, solved.name)]
    high, low = (corners[0], corners[-1]) if towards == "finish" else (corners[-1], corners[0])
    said = message(
        "falls.run",
        run=Name(solved.name),
        asked=ratio(least),
        end=Word(towards),
        high=Length(high[2], ".1f", taped=True),
        low=Length(low[2], ".1f", taped=True),
        drop=Length(high[2] - low[2], ".1f", taped=True),
    )
    return [Finding("G102", CHECK, "note", said, solved.name, point=low)]


def ratio(slope: float) -> Message:
    """Return a fall as it is said: 1 in 80."""
    over = 1.0 / slope
    return message("falls.ratio", over=Number(over, ".4g" if over < 1000.0 else ".0f"))


def _wrong(start: Vec3, finish: Vec3, fall: Fall) -> Message | None:
    """Return what is wrong with the fall of a leg, None where nothing is."""
    x, y, z = sub(finish, start)
    drop, plan = (-z if fall.towards == "finish" else z), hypot(x, y)
    asked = fall.slope * plan
    if distance(start, finish) < READ_TO_MM or (drop > 0.0 and drop >= asked - READ_TO_MM):
        return None
    if abs(drop) < LEVEL_MM:
        return message("falls.level")
    if drop < 0.0:
        rises, towards = Length(-drop, ".1f", taped=True), Word(fall.towards or "finish")
        return message("falls.rises", rises=rises, end=towards)
    return message("falls.little", has=ratio(drop / plan), short=Length(asked - drop, ".1f", taped=True))
