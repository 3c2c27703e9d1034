"""Can it be cut: runs longer than the stock there is, and where they are jointed."""

from dataclasses import replace

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.cutting.cuts import plan_cutting
from pipemodel.cutting.joint_places import side_of
from pipemodel.cutting.split import Joint, Split
from pipemodel.messages.values import NOTHING, Count, Length, Message, Name, listed, message

CHECK = "stock"
LOOKED_AT = 50
"""Joints are looked for in this many runs; a job with more long ones reads how many there are."""


def stock(schedule: Schedule) -> tuple[Finding, ...]:
    """Check that every run can be cut from the job's stock, in one piece or jointed."""
    new = schedule.job.stock.length_mm
    long = [solved for solved in schedule.runs if solved.cut_length_mm > new]
    if not long:
        return ()
    looked_at = schedule
    if len(long) > LOOKED_AT:
        looked_at = replace(schedule, runs=tuple(long[:LOOKED_AT]))
    splits = zip(looked_at.runs, plan_cutting(looked_at).runs, strict=True)
    found = [
        _finding(schedule, solved, split)
        for solved, split in splits
        if solved.cut_length_mm > new and (split.joints or split.why_not)
    ]
    if len(long) > LOOKED_AT:
        rest = len(long) - LOOKED_AT
        said = message("stock.more runs", n=Count(rest), new=Length(new, ".1f"))
        found.append(Finding("L101", CHECK, "note", said))
    return tuple(found)


def _finding(schedule: Schedule, solved: SolvedRun, split: Split) -> Finding:
    longest = schedule.job.stock.longest_mm(solved.tube)
    cut = solved.cut_length_mm
    too_long = message(
        "stock.too long",
        run=Name(solved.name),
        cut=Length(cut, ".1f", beside=longest, taped=True),
        longest=Length(longest, ".1f", beside=cut, taped=True),
        assumed=message("stock.assumed") if schedule.job.stock.assumed else NOTHING,
    )
    if split.why_not is None:
        joints = listed([_where(joint) for joint in split.joints], ",")
        first = split.joints[0]
        return Finding(
            "L101",
            CHECK,
            "note",
            message("stock.jointed", too_long=too_long, joints=joints, n=Count(len(split.pieces))),
            solved.name,
            distance_mm=longest,
            required_mm=solved.cut_length_mm,
            at_mm=first.at_mm,
            point=first.point,
        )
    return Finding(
        "L102",
        CHECK,
        "warning" if schedule.job.stock.assumed else "error",
        message("stock.not jointed", too_long=too_long, why=split.why_not),
        solved.name,
        distance_mm=longest,
        required_mm=solved.cut_length_mm,
    )


def _where(joint: Joint) -> Message:
    at = Length(round(joint.at_mm, 1), ".10g", taped=True)
    if joint.side is None:
        return message("stock.joint", at=at)
    return message("stock.joint from", at=at, side=side_of(joint.side), other=Name(joint.away_from))
