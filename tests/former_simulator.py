"""Pieces bent on formers of known figures, by hands of known scatter; nothing in here is the tool's.

A former springs back by `fixed` + `rate` times the finished angle. A bend held by its start side begins `mark` before
its mark, one held by the finish side ends `mark` beyond it. What the tape and the protractor read is off by their own
errors. All normal and independent.
"""

from dataclasses import dataclass, replace
from math import radians

import numpy as np


@dataclass(frozen=True)
class Bender:
    """A former in its tube, and the hands at it; mm and degrees."""

    fixed: float = 1.2
    rate: float = 0.045
    radius: float = 54.0
    mark: float = 38.0
    hand_mark: float = 0.8
    hand_angle: float = 0.7
    hand_turn: float = 1.5
    piece_angle: float = 0.0
    """How far the tube of one piece is off that of the next, at 90 degrees."""


@dataclass(frozen=True)
class Meter:
    """How well the readings are taken: standard deviations."""

    angle: float = 0.5
    start: float = 0.5
    turn: float = 0.5


ANGLES = (90.0, 45.0, 30.0, 90.0, 60.0, 22.5, 90.0)
METER = Meter()


def bent(
    bender,
    pieces,
    bends,
    seed,
    meter=METER,
    angles=ANGLES,
    finish_held=0.0,
    assumed=(0.0, 0.02),
    after=None,
    more=0.0,
    more_fixed=0.0,
):
    """Return a list of bends as plain mappings, piece by piece.

    From piece number `after` on the tube springs back by `more` degrees more at 90, in proportion, and by `more_fixed`
    at every bend. `assumed` is the law by which the pulls were worked out.
    """
    random = np.random.default_rng(seed)
    out = []
    for piece in range(1, pieces + 1):
        now = bender
        if after is not None and piece >= after:
            now = replace(bender, fixed=bender.fixed + more_fixed, rate=bender.rate + more / 90.0)
        of_piece = random.normal(0.0, 1.0) * bender.piece_angle
        for bend in range(1, bends + 1):
            asked = float(angles[random.integers(len(angles))])
            pulled = asked + assumed[0] + assumed[1] * asked
            angle = (pulled - now.fixed) / (1.0 + now.rate) + random.normal(0, 1) * now.hand_angle
            angle += of_piece * asked / 90.0
            mark = 150.0 * bend
            held = "finish" if random.random() < finish_held else "start"
            off = random.normal(0, 1) * now.hand_mark
            start = mark - now.mark + off if held == "start" else mark + now.mark + off - now.radius * radians(angle)
            turn = float(random.choice([0.0, 90.0, -90.0, 180.0]))
            out.append(
                {
                    "piece": piece,
                    "bend": bend,
                    "angle": asked,
                    "pulled": pulled,
                    "got": angle + random.normal(0, 1) * meter.angle,
                    "mark": mark,
                    "held": held,
                    "start": start + random.normal(0, 1) * meter.start,
                    "turn": turn,
                    "turned": turn + random.normal(0, 1) * now.hand_turn + random.normal(0, 1) * meter.turn,
                }
            )
    return out
