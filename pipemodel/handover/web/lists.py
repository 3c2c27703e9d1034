"""The lists at the page's foot, as rows of text: schedule, cuts, clips, least distances."""

from typing import Any

from pipemodel.bending.schedule import Schedule
from pipemodel.bending.split import Split
from pipemodel.checks.supports import plan_clips
from pipemodel.handover.answer import Answer
from pipemodel.handover.figures import deg, marks_to_draw, mm, run_figures, tidy, turn_words
from pipemodel.handover.web.steps import Piece
from pipemodel.handover.words import former_words, mark_words, springback_words, tube_words

NEAREST_SHOWN = 12
"""How many least distances are shown for each run; the JSON has them all."""


def schedule_rows(piece: Piece) -> dict[str, Any]:
    """Return one piece's schedule: what it is made with, and a row for each bend."""
    solved, plan = piece.solved, piece.plan
    figures = run_figures(solved)
    order = {pull.bend: pull for pull in plan.pulls}
    marks = marks_to_draw(solved, plan)
    return {
        "name": solved.name,
        "told": [
            ("Tube", tube_words(solved.tube)),
            ("Cut", mm(figures.cut_length)),
            ("Former", former_words(solved.former)),
            ("Springback", springback_words(solved.former)),
            ("Marks", mark_words(solved.former)),
            ("Straight after the last bend", mm(figures.straight_after)),
        ],
        "why_not": plan.why_not,
        "notes": solved.notes,
        "bends": [
            {
                "number": row.bend.number,
                "mark": mm(marks[row.bend.number]),
                "before": mm(row.straight_before),
                "angle": deg(row.bend.angle_deg),
                "pull": deg(solved.pull_deg(row.bend)),
                "turn": turn_words(row.bend.turn_deg, row.bend.number == 1),
                "order": order[row.bend.number].number if row.bend.number in order else "-",
                "held": order[row.bend.number].held if row.bend.number in order else "-",
            }
            for row in figures.bends
        ],
    }


def cut_rows(answer: Answer) -> dict[str, Any]:
    """Return what to cut from which length of stock, and where long runs are jointed."""
    joints, impossible = [], []
    for solved, split in zip(answer.schedule.runs, answer.cutting.runs, strict=True):
        if not isinstance(split, Split):
            impossible.append(split.why)
        elif split.joints:
            joints.append((solved.name, ", ".join(mm(joint.at_mm) for joint in split.joints)))
    tubes = []
    for cuts in answer.cutting.cuts:
        bars = cuts.stock.bars if cuts.stock else ()
        tubes.append(
            {
                "tube": tube_words(cuts.tube),
                "why_not": cuts.why_not,
                "bars": [
                    {
                        "from": f"{'offcut' if bar.offcut else 'length'} of {mm(bar.length_mm)}",
                        "pieces": [(mm(p.length_mm), p.name) for p in bar.pieces],
                        "left": mm(bar.left_mm),
                    }
                    for bar in bars
                ],
            }
        )
    return {"tubes": tubes, "joints": joints, "impossible": impossible, "kerf": tidy(answer.schedule.job.kerf_mm)}


def clip_rows(schedule: Schedule) -> list[dict[str, Any]]:
    """Return the clips of each run that asks for them."""
    lists = []
    for solved in schedule.runs:
        plan = plan_clips(solved, schedule.job.things)
        if plan is None:
            continue
        spacing = plan.rule.spacing
        lists.append(
            {
                "run": solved.name,
                "rule": f"{spacing.service}: at most {tidy(spacing.horizontal_mm)} apart on level tube and "
                f"{tidy(spacing.vertical_mm)} on upright",
                "source": spacing.source,
                "clips": [
                    {
                        "number": clip.number,
                        "at": mm(clip.at_mm),
                        "leg": clip.leg,
                        "face": clip.face,
                        "across": f"{mm(clip.across.distance_mm)} {clip.across.reference}",
                        "up": f"{mm(clip.up.distance_mm)} {clip.up.reference}",
                    }
                    for clip in plan.clips
                ],
                "gaps": [f"from {mm(g.from_mm)} to {mm(g.to_mm)}: {g.reason}" for g in plan.unsupported],
            }
        )
    return lists


def distance_rows(answer: Answer) -> list[dict[str, Any]]:
    """Return the nearest things of each run, nearest first, with the clearance asked for."""
    job = answer.schedule.job
    lists = []
    for solved in answer.schedule.runs:
        asked = job.asked_of(solved.run)
        rows = sorted((d for d in answer.report.distances if d.run == solved.name), key=lambda d: d.distance_mm)
        if rows:
            lists.append(
                {
                    "run": solved.name,
                    "more": max(len(rows) - NEAREST_SHOWN, 0),
                    "rows": [
                        {
                            "against": row.against,
                            "distance": f"{round(row.distance_mm, 1) + 0.0:.1f}",
                            "asked": f"{asked[row.against]:g}",
                            "at": f"{round(row.at_mm) + 0.0:.0f}",
                            "short": row.distance_mm < asked[row.against] - 1e-6,
                        }
                        for row in rows[:NEAREST_SHOWN]
                    ],
                }
            )
    return lists
