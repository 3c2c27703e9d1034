"""How true a jig put together from parts is: what its joints could give, and distances to check it by."""

from dataclasses import dataclass
from math import atan, degrees, sin

import numpy as np

from pipemodel.jigs.base import Base
from pipemodel.jigs.split import Cut
from pipemodel.job.jig import JigSettings


@dataclass(frozen=True)
class Give:
    """What the joints alone could do before the jig is fixed down: swing of one joint, and of the farthest cradle."""

    joint_deg: float
    far_mm: float


@dataclass(frozen=True)
class CheckDistance:
    """A distance to check with a rule: between the screw holes beside two cradles' numbers, centre to centre."""

    cradle: int
    other: int
    distance_mm: float


def give_of(base: Base, cut: Cut, settings: JigSettings) -> Give | None:
    """Return what the joints of a base could give, None when there are none.

    A joint swings until the gap between its shoulders is closed on one side; the worst case has every joint
    swinging the same way, each moving the farthest cradle by its distance to it.
    """
    if not cut.joints:
        return None
    swing = atan(settings.joint_gap_mm / (settings.bar_mm / 2.0))
    centres = np.array([p.outline.mean(axis=0) for p in base.pads])
    far = 0.0
    for centre in centres:
        total = 0.0
        for joint in cut.joints:
            bar = base.bars[joint.bar]
            total += float(np.linalg.norm(bar.start + bar.along * joint.at - centre)) * sin(swing)
        far = max(far, total)
    return Give(degrees(swing), far)


def check_distances(base: Base, cut: Cut) -> tuple[CheckDistance, ...]:
    """Return the distances that fix the parts to each other: from each part to the next, and across."""
    drilled = [[t for t in part.towers if len(base.pads[t].holes) == 2] for part in cut.parts]
    first, last = [towers[0] for towers in drilled if towers], [towers[-1] for towers in drilled if towers]
    pairs = list(zip(first, first[1:], strict=False)) + list(zip(first, last[1:], strict=False))
    if first:
        pairs.append((first[0], last[-1]))
    seen: dict[tuple[int, int], float] = {}
    for a, b in pairs:
        if a != b:
            seen[min(a, b), max(a, b)] = float(np.linalg.norm(base.pads[a].holes[0] - base.pads[b].holes[0]))
    return tuple(CheckDistance(a + 1, b + 1, d) for (a, b), d in sorted(seen.items()))
