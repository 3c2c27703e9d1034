"""A ring on a leg, where no end is in reach: tool and page read it as the bench does, slopes too."""

import random

import numpy as np
import pytest
from follower.body import Body
from follower.shape import Piece
from made_runs import made_run
from test_page_twin import run_node
from wide import few_or_many

from pipemodel.bending.part_bent import part_bent
from pipemodel.correction.reads import reads_of
from pipemodel.correction.slopes import put_slopes
from pipemodel.pulls.bench_measures import on_the_bench
from pipemodel.pulls.offered import offered_too

RUN = """
const lines = require("fs").readFileSync(0, "utf8").trim().split("\\n").map(JSON.parse);
const grown = (piece, c) => {
  const out = [];
  GROWS[c.kind](piece, c, (...one) => out.push(one));
  return out;
};
process.stdout.write(JSON.stringify(lines.map(({ made, c }) => {
  const piece = bendUp(made);
  return { reads: READS[c.kind](piece, c), grows: c.side === 0 ? [] : grown(piece, c) };
})));
"""
RADIUS, OUTSIDE = 55.0, 15.0


def read_on_the_bench(words, starts, angles, turns, length):
    """What a check reads on a piece, by the tests' own bench."""
    edges = [0.0, *(x for s, a in zip(starts, angles, strict=True) for x in (s, s + RADIUS * np.radians(a))), length]
    straights = tuple(b - a for a, b in zip(edges[::2], edges[1::2], strict=True))
    piece = Piece(straights, tuple(angles), tuple(turns), (RADIUS,) * len(angles))
    outer = RADIUS + OUTSIDE / 2
    body = Body(piece, range(1, len(angles) + 1), OUTSIDE, lambda a, _: outer * min(1.0, np.tan(np.radians(a) / 2)))
    return body.stands_off(words) if " lies on " in words or " stands plumb " in words else body.measured(words)


def rings():
    """Every check at such a ring of some long pieces, all bent a little otherwise than wanted."""
    for seed in range(few_or_many(2, 12)):
        dice, n = random.Random(seed), 7
        legs = [dice.choice((260.0, 340.0, 450.0)) for _ in range(n + 1)]
        turns = [float(dice.choice((90, -90, 37, 180, 0))) for _ in range(n - 1)]
        run = made_run(legs, [float(dice.choice((30, 45, 90))) for _ in range(n)], turns)
        piece = part_bent(run, range(1, n + 1))
        rows = [
            [b.start_mm for b in piece.bends],
            [b.angle_deg for b in piece.bends],
            [b.turn_deg for b in piece.bends],
        ]
        off = [[x + dice.uniform(-3, 3) for x in row] for row in rows]
        off[2][0] = 0.0
        for index in range(n):
            for one in (*on_the_bench(piece, index), *dice.sample([*offered_too(piece, index)], 12)):
                if "ring" in str(one.measure.how):
                    yield piece, off, one


@pytest.mark.slow
def test_a_ring_on_a_leg_is_read_and_grows_as_on_the_bench():
    asks, wanted, seen = [], [], set()
    for piece, off, one in rings():
        words, length, reads = str(one.measure.how), piece.centreline.length, reads_of(one.measure, piece)
        made = piece.with_bends(*off)
        value = read_on_the_bench(words, *off, length)
        assert one.read(piece) == pytest.approx(one.measure.value, abs=1e-6)
        assert one.read(made) == pytest.approx(value, abs=1e-6)
        seen.add((one.measure.kind.value, reads.get("end")))
        starts, angles, turns = off
        page = {"starts": starts, "angles": angles, "turns": turns, "length": length, "outside": OUTSIDE}
        flat = reads["kind"] == "gap"
        asks.append({"made": {**page, "radii": [RADIUS] * len(starts)}, "c": {**reads, "side": 0} if flat else reads})
        slopes = np.zeros((3, len(starts)))
        if not flat:

            def put(what, i, by, to=slopes):
                to[what, i] += by

            put_slopes(reads, made, 0, put)
            by_steps = np.zeros_like(slopes)
            for what in range(3):
                for i in range(what == 2, len(starts)):
                    pair = []
                    for step in (1e-4, -1e-4):
                        changed = [list(row) for row in off]
                        changed[what][i] += step if what == 0 else np.degrees(step)
                        pair.append(read_on_the_bench(words, *changed, length))
                    by_steps[what, i] = (pair[0] - pair[1]) / 2e-4
            assert slopes == pytest.approx(by_steps, rel=1e-4, abs=1e-3), words
        wanted.append((one.read(made), slopes))
    for found, (value, slopes) in zip(run_node(asks, RUN), wanted, strict=True):
        assert found["reads"] == pytest.approx(value, abs=1e-6)
        grown = np.zeros_like(slopes)
        for what, i, by in found["grows"]:
            grown[what, i] += by
        assert grown == pytest.approx(slopes, rel=1e-6, abs=1e-6)
    kinds = {"stand-off from a flat bench", "aside, plumbed to a flat bench", "flat on the bench"}
    kinds |= {"square off a straight-edge"}
    assert seen == {(kind, end) for kind in kinds for end in ("start", "finish")} | {
        ("across a bend, ring to ring", None)
    }
