"""The lists at the page's foot, as rows of text: schedule, cuts, clips, least distances."""

from typing import Any

from pipemodel.cutting.split import Split
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.phrases import former_facts, tube_words
from pipemodel.wording.units import Units, in_units

NEAREST_SHOWN = 12
"""How many least distances are shown for each run; the JSON has them all."""


def schedule_rows(piece: Piece, units: Units) -> dict[str, Any]:
    """Return one piece's schedule: what it is made with, and a row for each bend."""
    solved, plan = piece.solved, piece.plan
    text = piece.figures
    told = [
        ("Tube", tube_words(solved.tube)),
        ("Cut", str(text.cut_length)),
        *former_facts(solved, units),
        ("Straight after the last bend", str(text.straight_after)),
    ]
    told += [("Trimmed off after bending", str(text.trim))] if text.trim else []
    told += [("Goes into the fittings", str(text.in_fittings))] if text.in_fittings else []
    return {
        "name": solved.name,
        "told": told,
        "why_not": [in_units(why, units) for why in plan.why_not],
        "notes": [in_units(note, units) for note in solved.notes],
        "bends": text.bends,
        "pulls": text.pulls,
    }


def cut_rows(answer: Results) -> dict[str, Any]:
    """Return what to cut from which length of stock, and where long runs are jointed."""
    units = answer.paperwork.units
    joints, impossible = [], []
    for solved, split in zip(answer.schedule.runs, answer.cutting.runs, strict=True):
        if not isinstance(split, Split):
            impossible.append(in_units(split.why, units))
        elif split.joints:
            joints.append((solved.name, ", ".join(units.length(joint.at_mm) for joint in split.joints)))
    tubes = []
    for cuts in answer.cutting.cuts:
        bars = cuts.stock.bars if cuts.stock else ()
        tubes.append(
            {
                "tube": tube_words(cuts.tube),
                "why_not": in_units(cuts.why_not, units),
                "bars": [
                    {
                        "from": f"{'offcut' if bar.offcut else 'length'} of {units.length(bar.length_mm)}",
                        "pieces": [(units.length(p.length_mm), p.name) for p in bar.pieces],
                        "left": units.length(bar.left_mm),
                    }
                    for bar in bars
                ],
            }
        )
    kerf = answer.schedule.job.kerf_mm
    return {"tubes": tubes, "joints": joints, "impossible": impossible, "kerf": units.tidy(kerf) if kerf else ""}


def clip_rows(answer: Results) -> list[dict[str, Any]]:
    """Return the clips of each run that asks for them."""
    units, lists = answer.paperwork.units, []
    for solved, plan in zip(answer.schedule.runs, answer.clips, strict=True):
        if plan is None:
            continue
        spacing = plan.rule.spacing
        lists.append(
            {
                "run": solved.name,
                "rule": f"{spacing.service}: at most {units.tidy(spacing.horizontal_mm)} apart on level tube and "
                f"{units.tidy(spacing.vertical_mm)} on upright",
                "source": spacing.source,
                "clips": [
                    {
                        "number": clip.number,
                        "at": units.length(clip.at_mm),
                        "leg": clip.leg,
                        "face": clip.face,
                        "across": f"{units.length(clip.across.distance_mm)} {clip.across.reference}",
                        "up": f"{units.length(clip.up.distance_mm)} {clip.up.reference}",
                    }
                    for clip in plan.clips
                ],
                "gaps": [
                    f"from {units.length(gap.from_mm)} to {units.length(gap.to_mm)}: {in_units(gap.reason, units)}"
                    for gap in plan.unsupported
                ],
            }
        )
    return lists


def finding_rows(answer: Results) -> list[dict[str, str]]:
    """Return everything the checks found, in the order they report it."""
    units = answer.paperwork.units
    return [
        {"severity": f.severity, "code": f.code, "message": in_units(f.message, units)} for f in answer.report.findings
    ]


def distance_rows(answer: Results) -> list[dict[str, Any]]:
    """Return the nearest things of each run, nearest first, with the clearance asked for."""
    units, lists = answer.paperwork.units, []
    for solved, asked in zip(answer.schedule.runs, answer.asked_mm, strict=True):
        joined = answer.schedule.job.joined_to(solved.run)
        rows = sorted((d for d in answer.report.distances if d.run == solved.name), key=lambda d: d.distance_mm)
        if rows:
            lists.append(
                {
                    "run": solved.name,
                    "more": max(len(rows) - NEAREST_SHOWN, 0),
                    "rows": [
                        {
                            "against": row.against,
                            "distance": units.reading(row.distance_mm),
                            "asked": "joined" if row.against in joined else units.reading(asked[row.against]),
                            "at": units.reading(row.at_mm),
                            "short": row.against not in joined and row.distance_mm < asked[row.against] - 1e-6,
                        }
                        for row in rows[:NEAREST_SHOWN]
                    ],
                }
            )
    return lists
