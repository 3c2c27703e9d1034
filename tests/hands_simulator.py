"""Pieces bent by imperfect hands, by homogeneous matrices and one at a time: nothing in here is the tool's.

Written from what a bend table says (docs/conventions.md): a start and an angle for each bend, a turn that is
right-handed about the direction of travel, arcs of the radius given, a tube as long as it was cut.
"""

from math import cos, radians, sin

import numpy as np


def forward(mm):
    """The frame at the other end of a straight; x goes along the tube, z is the axis the tube bends about."""
    out = np.eye(4)
    out[0, 3] = mm
    return out


def rolled(angle):
    out = np.eye(4)
    out[1:3, 1:3] = [[cos(angle), -sin(angle)], [sin(angle), cos(angle)]]
    return out


def arc(radius, angle):
    """The frame at the other end of a bend about +z, its centre to the left."""
    c, s = cos(angle), sin(angle)
    out = np.eye(4)
    out[:2, :2] = [[c, -s], [s, c]]
    out[0, 3], out[1, 3] = radius * s, radius * (1 - c)
    return out


def finish_of(bends, length, starts, angles, turns):
    """Where the finish is in the frame of the start: x along the first leg, z the axis of the first bend."""
    frame, done = np.eye(4), 0.0
    for bend, start, angle, turn in zip(bends, starts, angles, turns, strict=True):
        frame = frame @ forward(start - done) @ rolled(turn) @ arc(bend["radius_mm"], angle)
        done = start + bend["radius_mm"] * angle
    return (frame @ forward(length - done))[:3, 3]


def many(run, hands, count, seed, pulls=None, by_rolls=False):
    """Finishes of `count` pieces, (count, 3), in the frame of the start.

    Args:
        run: one of the schedule's runs.
        hands: (mark mm, angle degrees, turn degrees).
        count: how many.
        seed: for the random figures.
        pulls: the plan's pulls, to follow which side is held; None to disturb starts, angles and turns by number.
        by_rolls: whether each plane is set out from the one pulled before, in place of the one before on the tube.
    """
    random = np.random.default_rng(seed)
    bends, n = run["bends"], len(run["bends"])
    out = []
    for _ in range(count):
        mark, angle = random.normal(0, hands[0], n), np.radians(random.normal(0, hands[1], n))
        roll = np.radians(random.normal(0, hands[2], n))
        starts = [b["start_mm"] + m for b, m in zip(bends, mark, strict=True)]
        turns = [radians(b["turn_deg"]) + (r if i else 0) for i, (b, r) in enumerate(zip(bends, roll, strict=True))]
        for pull in pulls or ():
            if pull["held"] == "finish":
                # The mark says where the bend ends.
                i = pull["bend"] - 1
                starts[i] -= bends[i]["radius_mm"] * angle[i]
        if by_rolls:
            # Where each bend's plane lies round the tube, each rolled to from the one pulled before.
            plane, last = {}, None
            right = np.cumsum([radians(b["turn_deg"]) for b in bends])
            for k, pull in enumerate(pulls):
                i = pull["bend"] - 1
                plane[i] = right[i] if last is None else plane[last] + (right[i] - right[last]) + roll[k]
                last = i
            turns = [0.0] + [plane[i] - plane[i - 1] for i in range(1, n)]
        angles = [radians(b["angle_deg"]) + a for b, a in zip(bends, angle, strict=True)]
        out.append(finish_of(bends, run["centreline_mm"], starts, angles, turns))
    return np.array(out)
