"""Whether one run can be brought to its place among what is there, and how."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise
from typing import Protocol

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.shapes import Shape
from pipemodel.job.model import BringIn, Opening
from pipemodel.messages.values import Count, Length, Message, Name, message
from pipemodel.trade.model import Tube
from pipemodel.ways_in.closed_in import closed_in
from pipemodel.ways_in.gate import Anywhere, Gate, Through
from pipemodel.ways_in.judge import CLOSE_MM, SLACK_MM, Judge
from pipemodel.ways_in.judge_room import NOT_JOINED, Obstacle
from pipemodel.ways_in.plainer import Plainer
from pipemodel.ways_in.planner import Found, Search
from pipemodel.ways_in.planner_moves import Moves
from pipemodel.ways_in.plate_blocks import in_blocks
from pipemodel.ways_in.proofs import proof_of
from pipemodel.ways_in.refit import Refit
from pipemodel.ways_in.shorten import shorten
from pipemodel.ways_in.springs import pushed
from pipemodel.ways_in.sprung import SprungSearch, SprungWay
from pipemodel.ways_in.turning import pose_of
from pipemodel.ways_in.values import Sprung, WayIn
from pipemodel.ways_in.verify import verified

NEAR_MM = 30.0
"""What stays free beyond the margin is measured move by move up to so much."""
ROOM_MM = 0.02
"""The search keeps off by so much more than is asked for, where the place allows it: see `verify`."""


class ToBring(Protocol):
    """What is brought in: a run, or what is left of one."""

    @property
    def name(self) -> str:
        """The run's name."""

    @property
    def centreline(self) -> Centreline:
        """Its axis in its place."""

    @property
    def tube(self) -> Tube:
        """Its tube."""


@dataclass(frozen=True)
class Brought:
    """The answer for one run, and whether whoever asked has stopped it."""

    way: WayIn
    stopped: bool = False


def bring(
    solved: ToBring,
    asked: BringIn,
    opening: Opening | None,
    obstacles: Sequence[Obstacle],
    block: tuple[Floats, Floats],
    prove: bool = True,
    plain: bool = True,
) -> Brought:
    """Look for a way in for one run.

    Args:
        solved: the run.
        asked: margin, effort and seed.
        opening: what it is brought in by; None for open space.
        obstacles: what it keeps off, other runs that are in already included.
        block: low and high corners of the block that holds everything with a size.
        prove: whether to look for a proof that there is none, before a way is searched for.
        plain: whether the way is made plainer and measured; else it is as it was found, and clear by the margin.
    """
    line, outside, margin = solved.centreline, solved.tube.outside_mm, asked.margin_mm
    name = opening.name if opening is not None else None
    judge = Judge(line, outside, obstacles, margin)
    here, nearest = judge.clearance(judge.home, 1.0)
    if here < margin - SLACK_MM / 2.0:
        why = _place_too_near(solved, judge, nearest)
        return Brought(WayIn(solved.name, False, True, why, margin, None, (), name, judge.tried))
    if opening is not None and Through(judge, opening).outness(judge.home) >= 0.0:
        why = message("ways in.outside already", run=Name(solved.name), opening=Name(opening.name))
        return Brought(WayIn(solved.name, False, False, why, margin, None, (), name, judge.tried))
    proof, shapes = None, _kept_off(obstacles)
    # What is proved is proved of the rigid piece.
    if prove and opening is not None and asked.spread is None:
        proof = proof_of(line, outside, margin, opening, shapes)
    if proof is not None and opening is not None and closed_in(line, outside, margin, opening, shapes, block):
        why = message("way in.no: proved", run=Name(solved.name), why=proof)
        return Brought(WayIn(solved.name, False, True, why, margin, None, (), name, judge.tried))
    wider = margin + min(ROOM_MM, max(0.5 * (here - margin), 0.0))
    searching = Judge(line, outside, obstacles, wider)

    def gate_of(judge: Judge) -> Gate:
        return Anywhere(judge, *block) if opening is None else Through(judge, opening)

    gate = gate_of(searching)
    # What may be sprung is first tried rigid, with half of the effort.
    search = Search(searching, gate, asked.seed, asked.effort if asked.spread is None else asked.effort // 2)
    found = search.run()
    states = None
    if found.way is not None:
        rng = np.random.default_rng(asked.seed)
        moves = Moves(line, searching.middle, float(np.linalg.norm(gate.high - gate.low)), gate.ways)
        plainer = _made_plainer(searching, gate, moves, found.way, rng)
        for way in plainer if plain else chain([found.way], plainer):
            states = verified(judge, way) if gate.passed(way) else None
            if states is not None:
                break
        found.interrupted = searching.stopped
    tried = judge.tried + searching.tried
    if states is None and asked.spread is not None and not found.interrupted:
        springs = SprungSearch(line, outside, obstacles, search, judge, gate_of, asked.seed)
        sprung = springs.way(asked.spread, asked.effort - tried)
        found.interrupted, tried = springs.stopped, tried + springs.tried
        if sprung is not None:
            return Brought(_sprung(solved, sprung, judge, name, tried), found.interrupted)
    if states is None:
        why = _not_found(solved, found, gate, tried, name)
        if proof is not None:
            why = message("ways in.not closed", said=why, why=proof)
        return Brought(WayIn(solved.name, False, False, why, margin, None, (), name, tried), found.interrupted)
    states.reverse()
    poses = tuple(pose_of(state, judge.middle) for state in states)
    tried = judge.tried + searching.tried
    if found.interrupted or not plain:
        # Nobody waits for it to be measured: that it is clear by the margin is proved.
        return Brought(WayIn(solved.name, True, False, None, margin, margin, poses, name, tried), found.interrupted)
    beside = [judge.least_along(move, NEAR_MM) for move in pairwise(states)]
    measured = min(least for least, _ in beside)
    if measured >= margin + NEAR_MM - SLACK_MM:
        measured, _ = judge.least_along(states)
    # Between the places it was measured at it may be less by so much, but no less than what was proved.
    least = max(measured - CLOSE_MM, min(measured, margin))
    tried = judge.tried + searching.tried
    way_in = WayIn(solved.name, True, False, None, margin, least, poses, name, tried, nearest=tuple(beside))
    return Brought(way_in)


def _made_plainer(
    judge: Judge, gate: Gate, moves: Moves, found: list[Floats], rng: np.random.Generator
) -> Iterator[list[Floats]]:
    """Yield a way that was found as few and plain motions, then as it was before that; once stopped, no better ones."""
    short = shorten(judge, found, rng)
    if not judge.stopped:
        refit = Refit(judge, gate, moves, rng)
        few = refit.few(short)
        if not judge.stopped:
            yield refit.states(short[0], Plainer(refit, short[0]).of(few))
        yield refit.states(short[0], few)
    yield short
    yield found


def _sprung(solved: ToBring, way: SprungWay, judge: Judge, opening: str | None, tried: int) -> WayIn:
    """Return the way of a sprung piece, from outside to where it is let go, and on to its place."""
    held = [pose_of(pose, way.middle) for pose in reversed(way.sprung)]
    free = [pose_of(pose, judge.middle) for pose in reversed(way.rigid)]
    ends = tuple(pushed(one, solved.centreline, solved.tube) for one in way.shape.ends)
    sprung = Sprung(ends, len(held) - 1, way.shape.line, way.shape.strain)
    states = (*held[:-1], *free)
    return WayIn(solved.name, True, False, None, judge.margin_mm, way.least_mm, states, opening, tried, sprung=sprung)


def _kept_off(obstacles: Sequence[Obstacle]) -> list[Shape]:
    """The things that no end of the run may touch; fewer things prove less, but nothing false.

    Not bent pipes: the flat end of a bend counts as round there, so as more than there is.
    """
    return in_blocks(
        [
            obstacle.what
            for obstacle in obstacles
            if isinstance(obstacle.what, Shape)
            and obstacle.start == obstacle.finish == NOT_JOINED
            and obstacle.what.kind != "tube"
        ]
    )


def _place_too_near(solved: ToBring, judge: Judge, nearest: str) -> Message:
    return message("ways in.place too near", run=Name(solved.name), thing=Name(nearest), margin=Length(judge.margin_mm))


def _not_found(solved: ToBring, found: Found, gate: Gate, tried: int, opening: str | None) -> Message:
    """Say that no way was found, how far out the piece came, and what stopped it most often."""
    most = sorted(found.stopped_by.items(), key=lambda item: (-item[1], item[0]))
    blocked = next((name for name, _ in most if name), "")
    left = 0.0 if found.farthest is None else max(-gate.outness(found.farthest), 0.0)
    kind = "ways in.stopped" if found.interrupted else "ways in.not found"
    where = message("ways in.of open space")
    if opening is not None:
        where = message("ways in.of opening", opening=Name(opening))
    return message(
        kind,
        run=Name(solved.name),
        n=Count(tried),
        left=Length(left, ".0f"),
        where=where,
        blocked=message("ways in.blocked", thing=Name(blocked)) if blocked else message("ways in.not blocked"),
    )
