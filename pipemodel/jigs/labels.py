"""What is engraved on each part, and where there is room for it: run, part, revision, and which way up."""

from dataclasses import dataclass

import numpy as np

from pipemodel.jigs.base import Base
from pipemodel.jigs.build import ManifoldSolid, union
from pipemodel.jigs.carve import lettering
from pipemodel.jigs.glyphs import printable, width_of
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.split import KEY_DEPTH, Cut, PartPlan, longest_gap
from pipemodel.job.jig import JigSettings

HEIGHT_MM = 5.0
"""Height of the capitals."""
LINE_MM = 7.5
"""From one line to the next."""
LONGEST_NAME = 14
"""A run's name is cut to this many letters."""


@dataclass(frozen=True)
class JigLabel:
    """Two lines of text and where they go: `middle` (2,) of both, reading `along` (2,)."""

    lines: tuple[str, str]
    middle: Array
    along: Array


def lines_for(run: str, part: int, parts: int, revision: str) -> tuple[str, str]:
    """Return the two lines of a part's label."""
    return printable(run[:LONGEST_NAME]), printable(f"{part}/{parts} {revision} up")


def length_of(lines: tuple[str, str]) -> float:
    """Return how long a label comes out, mm."""
    return max(width_of(line, HEIGHT_MM) for line in lines)


def place_label(base: Base, cut: Cut, plan: PartPlan, lines: tuple[str, str]) -> JigLabel | None:
    """Find room for a part's label: on a pad made for it, else along the longest clear stretch of a bar.

    A bar too short for all of it carries a shorter name, or the part's number alone. None when there is no room
    anywhere on the part.
    """
    for t in plan.towers:
        pad = base.pads[t]
        if pad.text_at is not None:
            return JigLabel(lines, pad.text_at, -pad.label_along)
    stretch = _clear_stretch(base, cut, plan)
    if stretch is None:
        return None
    k, low, high = stretch
    bar = base.bars[k]
    name, number = lines
    shorter = [(name[: len(number)].strip(), number), ("", number.split()[0])]
    for tried in [lines, *(shorter if not plan.towers else [])]:
        if high - low >= length_of(tried) + 2.0:
            return JigLabel(tried, bar.start + bar.along * (low + high) / 2.0, bar.along)
    return None


def _clear_stretch(base: Base, cut: Cut, plan: PartPlan) -> tuple[int, float, float] | None:
    """Return the longest stretch of a part's bars with nothing on it: bar, from, to."""
    best: tuple[int, float, float] | None = None
    for k, low, high in plan.stretches:
        bar = base.bars[k]
        if 2.0 * bar.half < 2.0 * LINE_MM + 3.0:
            continue
        depth = KEY_DEPTH * 2.0 * bar.half + 1.5
        taken = base.taken_along(k, 1.0) + [(j.at - 1.5, j.at + depth) for j in cut.joints if j.bar == k]
        gap = longest_gap(low, high, taken)
        if gap and (best is None or gap[1] - gap[0] > best[2] - best[1] + 1e-6):
            best = (k, *gap)
    return best


def label_solid(label: JigLabel, top: float) -> ManifoldSolid:
    """Return a label as a solid that engraves it into a level face at height `top`."""
    up = np.array([-label.along[1], label.along[0]])
    rows = [label.middle + up * (LINE_MM / 2.0) * sign for sign in (1.0, -1.0)]
    return union(
        [lettering(t, HEIGHT_MM, row, label.along, top) for t, row in zip(label.lines, rows, strict=True) if t]
    )


def towers_to_letter(base: Base, cut: Cut, run: str, settings: JigSettings) -> dict[int, float]:
    """Return the towers whose pads must carry a label, one for each part with no other room, and how long it is."""
    out: dict[int, float] = {}
    if settings.base == "timber":
        return out  # A cradle's own number, which stands on it, is the part's.
    for i, plan in enumerate(cut.parts, 1):
        lines = lines_for(run, i, len(cut.parts), settings.revision)
        if plan.towers and place_label(base, cut, plan, lines) is None:
            # A part number may gain a figure when the parts are cut again.
            out[plan.towers[0]] = length_of((lines[0], lines[1] + "0"))
    return out
