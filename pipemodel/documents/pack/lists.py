"""The lists of the pack: what to cut from which stock, where the clips go, what was found, and the least distances."""

from typing import Any

from pipemodel.cutting.split import Split
from pipemodel.documents.pack.styles import BOX, Styles
from pipemodel.results.results import Results
from pipemodel.wording.phrases import tube_words
from pipemodel.wording.units import Units, in_units

CLIPS_PLANNED = "S102"
"""The finding that tells where the clips go, which the clip list does better."""
MOST_DISTANCES = 400
"""Rows of least distances on paper; the record has them all."""


def cut_list(answer: Results, styles: Styles) -> list[Any]:
    """Return the cut list: which pieces come out of which length of stock."""
    units, cutting = answer.paperwork.units, answer.cutting
    flow: list[Any] = [styles.words("Cut list", "head")]
    kerf = answer.schedule.job.kerf_mm
    if kerf:
        flow.append(styles.words(f"The saw takes {units.tidy(kerf)} {units.name} at each cut."))
    for solved, split in zip(answer.schedule.runs, cutting.runs, strict=True):
        if not isinstance(split, Split):
            flow.append(styles.words(f"NOT POSSIBLE: {in_units(split.why, units)}"))
        elif split.joints:
            where = ", ".join(units.length(joint.at_mm) for joint in split.joints)
            flow.append(styles.words(f"Run {solved.name} is jointed at {where} along it, from its start."))
    for cuts in cutting.cuts:
        flow.append(styles.words(tube_words(cuts.tube), "label"))
        if cuts.stock is None:
            flow.append(styles.words(f"NOT POSSIBLE: {in_units(cuts.why_not, units)}"))
            continue
        rows: list[list[Any]] = [["from", "pieces", "left over"]]
        for bar in cuts.stock.bars:
            kind = "offcut of" if bar.offcut else "length of"
            pieces = [styles.words(f"{BOX} {units.length(p.length_mm)}  {p.name}") for p in bar.pieces]
            rows.append([f"{kind} {units.length(bar.length_mm)}", pieces, units.length(bar.left_mm)])
        flow.append(styles.table(rows, (58.0, styles.width - 96.0, 38.0), numbers=(2,)))
        best = (
            "No plan uses less."
            if cuts.stock.proven_best
            else f"No plan can use less than {units.length(cuts.stock.bound_mm)}."
        )
        used, waste = units.length(cuts.stock.used_mm), units.length(cuts.stock.waste_mm)
        flow.append(styles.words(f"{used} of stock, {waste} left over. {best}", "small"))
    return flow


def clip_list(answer: Results, styles: Styles) -> list[Any]:
    """Return where the clips go, run by run; nothing if the job asks for none."""
    units, flow = answer.paperwork.units, list[Any]()
    for solved, plan in zip(answer.schedule.runs, answer.clips, strict=True):
        if plan is None:
            continue
        spacing = plan.rule.spacing
        flow.append(styles.name(solved.name, "head"))
        flow.append(
            styles.words(
                f"Clips for {spacing.service}: at most {units.tidy(spacing.horizontal_mm)} {units.name} apart on level "
                f"tube, {units.tidy(spacing.vertical_mm)} on upright ({spacing.source})."
            )
        )
        rows: list[list[Any]] = [["clip", "along the bent tube\nfrom its start", "leg", "on", "measured on the face"]]
        for clip in plan.clips:
            across, up = clip.across, clip.up
            where = (
                f"{units.length(across.distance_mm)} {across.reference}, {units.length(up.distance_mm)} {up.reference}"
            )
            number = f"{BOX} {clip.number}"
            rows.append([number, units.length(clip.at_mm), str(clip.leg), styles.name(clip.face), styles.words(where)])
        if plan.clips:
            flow.append(styles.table(rows, (14.0, 36.0, 11.0, 40.0, styles.width - 101.0), numbers=(1, 2)))
        for gap in plan.unsupported:
            low, high = units.length(gap.from_mm), units.length(gap.to_mm)
            flow.append(styles.words(f"Nothing holds it from {low} to {high}: {in_units(gap.reason, units)}"))
    return [styles.words("Clip list", "title"), *flow] if flow else []


def findings_list(answer: Results, styles: Styles) -> list[Any]:
    """Return everything the checks found, and the least distances, nearest first."""
    units, report = answer.paperwork.units, answer.report
    flow: list[Any] = [styles.words("Findings and distances", "title")]
    told = [f for f in report.findings if f.code != CLIPS_PLANNED]
    if told:
        rows: list[list[Any]] = [["", "code", "what was found"]]
        rows += [[f.severity, f.code, styles.words(in_units(f.message, units))] for f in told]
        flow.append(styles.table(rows, (18.0, 15.0, styles.width - 33.0), size=9))
    else:
        flow.append(styles.words("Nothing was found, as far as it was checked."))
    if report.distances:
        flow.append(styles.words(f"Least distances from the outside of the tube, {units.name}", "head"))
        flow.append(_distances(answer, styles, units))
        if len(report.distances) > MOST_DISTANCES:
            more = len(report.distances) - MOST_DISTANCES
            flow.append(styles.words(f"and {more} more, all further off; check.json has them"))
    return flow


def _distances(answer: Results, styles: Styles, units: Units) -> Any:
    asked = {run.name: of for run, of in zip(answer.runs, answer.asked_mm, strict=True)}
    rows: list[list[Any]] = [["run", "to", "distance", "asked", "along the run"]]
    nearest = sorted(answer.report.distances, key=lambda d: d.distance_mm)
    for d in nearest[:MOST_DISTANCES]:
        lengths = [units.reading(value) for value in (d.distance_mm, asked[d.run][d.against], d.at_mm)]
        rows.append([styles.name(d.run, "small"), styles.name(d.against, "small"), *lengths])
    free = (styles.width - 70.0) / 2.0
    return styles.table(rows, (free, free, 22.0, 20.0, 28.0), numbers=(2, 3, 4), size=9)
