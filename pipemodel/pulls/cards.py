"""What the hands do at each pull: one card per pull, in the order of the plan.

The fitter looks down on the bender (docs/bending.md): the held end to the left, the free end to the right, the
tube on the far side of the former, and pulls the free end towards the body. Up is towards the eye.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import asin, degrees, pi

from pipemodel.bending.angle_words import way_round
from pipemodel.bending.part_bent import PartBent, part_bent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.values import NOTHING, Angle, Around, Count, Message, Size, Tape, Word, message
from pipemodel.pulls.bender_frame import sides_of
from pipemodel.pulls.choice import Choice, choose_checks
from pipemodel.pulls.hindrance import leg_called
from pipemodel.pulls.limits import FINISH, START, FlatTube
from pipemodel.pulls.measures import Measure
from pipemodel.pulls.piece import within_half_turn
from pipemodel.pulls.plan import Held, Plan, Pull

NEAR_DEG = 0.5
"""A leg this near to level or plumb is, to a fitter."""


@dataclass(frozen=True)
class FromBack:
    """Where the tape finds the mark from the back of a bend already made, so that an error does not grow."""

    bend: int
    mm: float
    how: Message


@dataclass(frozen=True)
class Level:
    """How the tube beyond a bend already made must stand in the bender before the pull, in degrees above level."""

    bend: int
    leg: Message
    above_level_deg: float
    stands: Message


@dataclass(frozen=True)
class Card:
    """What the hands do at one pull.

    `round_deg` and `round_mm` go round the tube from the inside line of the last bend pulled to the inside line
    of this one, clockwise seen from the start end; both 0 at the first pull. `roll` says the same in words, as the
    fitter turns the tube in the bender.
    """

    pull: Pull
    left_end: Held
    mark_from_back: FromBack | None
    last_bend: int | None
    round_deg: float
    round_mm: float
    outside_mm: float
    roll: Message
    level: Level | None
    choice: Choice

    @property
    def measures(self) -> tuple[Measure, ...]:
        """What is measured and looked at after the pull."""
        return self.choice.measures

    @property
    def to_do(self) -> tuple[Message, ...]:
        """The pull as a list of things to do, in order."""
        pull = self.pull
        left, right = Word(self.left_end), Word("finish" if self.left_end == "start" else "start")
        check, level, back = NOTHING, NOTHING, NOTHING
        if self.mark_from_back is not None:
            check = message("card.check", far=Tape(self.mark_from_back.mm), how=self.mark_from_back.how)
        if self.level is not None:
            level = message("card.beyond", bend=Count(self.level.bend), stands=self.level.stands)
        if pull.pull_deg != pull.angle_deg:
            back = message("card.springs back", angle=Angle(pull.angle_deg))
        line = () if self.last_bend is None else (self._inside_line(self.last_bend),)
        return (
            message("card.mark", at=Tape(pull.mark_mm), check=check),
            *line,
            *self._former(),
            message("card.turn end for end" if pull.turn_round else "card.lay", left=left, right=right),
            self.roll,
            message("card.guide in", level=level),
            message("card.pull", angle=Angle(pull.pull_deg), back=back),
        )

    def _former(self) -> tuple[Message, ...]:
        """Say which former goes in, where there are several and it is not in already."""
        put_in = former_put_in(self.pull, Tape(self.pull.former.radius_mm))
        if put_in is None:
            return ()
        return (message("card.change former", put_in=put_in) if self.pull.change_former else put_in,)

    def _inside_line(self, last: int) -> Message:
        size = rounded_deg(abs(self.round_deg))
        bend, other = Count(self.pull.bend), Count(last)
        if size == 0.0:
            return message("card.inside line on", bend=bend, last=other)
        # Half a turn is the same both ways.
        way = NOTHING if size == 180.0 else message("card.seen from start", way=way_round(self.round_deg))
        # Half a millimetre, as a tape shows it, would be a roll of 3.8 degrees on a tube of 15 mm.
        far = Around(abs(self.round_mm), self.outside_mm)
        return message("card.inside line", bend=bend, far=far, angle=Angle(size), way=way, last=other)

    @property
    def to_check(self) -> tuple[Message, ...]:
        """What must then be true, each measure in a line."""
        return tuple(measure.said for measure in self.measures)

    @property
    def steps(self) -> tuple[Message, ...]:
        """All of it: first what to do, then what must be true."""
        return (*self.to_do, *self.to_check)


def former_put_in(pull: Pull, radius: Tape | Size) -> Message | None:
    """Return which former is put in before a pull; None where the run has only one, or it is in already."""
    if not pull.several_formers or not (pull.change_former or pull.number == 1):
        return None
    former = pull.former.called
    if pull.former.named_by_radius:
        return message("card.put in", former=former)
    return message("card.put in, radius", former=former, radius=radius)


def cards_of(solved: SolvedRun, plan: Plan) -> tuple[Card, ...]:
    """Return one card for each pull of a plan, in its order."""
    lasts = (None, *plan.pulls)
    marks = {pull.bend: pull.mark_mm for pull in plan.pulls}
    # What a pull begins with is what the one before it left.
    pieces = [part_bent(solved, pull.made) for pull in plan.pulls]
    pieces += [part_bent(solved, {pull.bend for pull in plan.pulls})] if plan.pulls else []
    return tuple(
        _card(solved, pull, last, before, after, marks)
        for pull, last, before, after in zip(plan.pulls, lasts, pieces, pieces[1:], strict=False)
    )


def _card(
    solved: SolvedRun, pull: Pull, last: Pull | None, before: PartBent, after: PartBent, marks: Mapping[int, float]
) -> Card:
    bends = solved.table.bends
    others = [n for n in (pull.bend - 1, pull.bend + 1) if n in marks and n not in pull.made]
    turned = [sum(b.turn_deg for b in bends[: n + 1]) for n in range(len(bends))]
    round_deg = within_half_turn(turned[pull.bend - 1] - turned[last.bend - 1]) if last else 0.0
    return Card(
        pull=pull,
        left_end=pull.held,
        mark_from_back=_from_back(pull, before),
        last_bend=last.bend if last else None,
        round_deg=round_deg,
        round_mm=pi * solved.tube.outside_mm * round_deg / 360.0,
        outside_mm=solved.tube.outside_mm,
        roll=roll_in_bender(pull, last),
        level=_level(solved, pull),
        choice=choose_checks(pull, after, [marks[n] for n in others]),
    )


def roll_in_bender(pull: Pull, last: Pull | None) -> Message:
    """Return how the tube is rolled before a pull: "a quarter turn, its top away from you"."""
    if last is None:
        return message("card.any side up", bend=Count(pull.bend))
    bend, roll = Count(last.bend), rounded_deg(abs(pull.roll_deg))
    if roll == 0.0:
        return message("card.same side up", bend=bend, faces=Word("away from you" if pull.turn_round else "you"))
    if roll == 180.0:
        return message("card.roll half", bend=bend, faces=Word("you" if pull.turn_round else "away from you"))
    # Clockwise seen from the start end; with that end to the left, the top then comes towards the fitter.
    away = (pull.roll_deg < 0.0) == (pull.held == "start")
    side = Word("away from you" if away else "towards you")
    # The inside line faced the fitter, or faces away after the tube is turned end for end, and goes with the roll.
    faces = NOTHING
    if roll == 90.0:
        faces = message("card.then faces", bend=bend, faces=Word("up" if away != pull.turn_round else "down"))
    return message("card.roll", turn=_share_of_turn(roll), side=side, faces=faces)


def _share_of_turn(roll: float) -> Message:
    if roll == 45.0:
        return message("turn.eighth")
    if roll == 90.0:
        return message("turn.quarter")
    return message("turn.three eighths") if roll == 135.0 else message("degrees", angle=Angle(roll))


def _from_back(pull: Pull, piece: PartBent) -> FromBack | None:
    """Measure from the nearest bend made on the held side, or on the other side when there is none.

    Only along straight tube: a former's mark that lies on or beyond that bend is not to be found from its back.
    """
    before = max((n for n in pull.made if n < pull.bend), default=None)
    after = min((n for n in pull.made if n > pull.bend), default=None)
    for near in (before, after) if pull.held == "start" else (after, before):
        if near is None:
            continue
        index = next(i for i, bend in enumerate(piece.bends) if bend.number == near)
        bend = piece.bends[index]
        along = pull.mark_mm - bend.finish_mm if near < pull.bend else bend.start_mm - pull.mark_mm
        if along >= 0.0:
            at = message("measure.where its backs meet") if bend.angle_deg < 90.0 - NEAR_DEG else NOTHING
            how = message("card.from back", bend=Count(near), at=at)
            return FromBack(near, along + piece.back_mm(index), how)
    return None


def _level(solved: SolvedRun, pull: Pull) -> Level | None:
    """Say how the nearest leg already bent has to stand: on the held side, or on the free one."""
    if not pull.made:
        return None
    bends = solved.table.bends
    made = sum(1 << (n - 1) for n in pull.made)
    held = START if pull.held == "start" else FINISH
    kept, free = sides_of(bends, FlatTube.of(solved), pull.bend - 1, held, made)
    side = kept if kept.bent else free
    beyond = side.pieces[2]
    assert isinstance(beyond, Straight)
    towards_start = (side is kept) == (held == START)
    near = max(b for b in pull.made if b < pull.bend) if towards_start else min(b for b in pull.made if b > pull.bend)
    above = degrees(asin(max(-1.0, min(1.0, beyond.direction[2]))))
    leg = leg_called(near - 1 if towards_start else near, len(bends))
    return Level(near, leg, above, _stands(beyond.direction, above))


def _stands(direction: Vec3, above: float) -> Message:
    if above >= 90.0 - NEAR_DEG:
        return message("card.plumb up")
    if above <= NEAR_DEG - 90.0:
        return message("card.plumb down")
    x, y, _ = direction
    way = ("towards you" if y < 0.0 else "away from you") if abs(y) >= abs(x) else ("right" if x > 0.0 else "left")
    if abs(above) <= NEAR_DEG:
        return message("card.level", way=Word(way))
    return message("card.points above" if above > 0.0 else "card.points below", way=Word(way), angle=Angle(abs(above)))
