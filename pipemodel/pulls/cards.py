"""What the hands do at each pull: one card per pull, in the order of the plan.

The fitter looks down on the bender (docs/bending.md): the held end to the left, the free end to the right, the
tube on the far side of the former, and pulls the free end towards the body. Up is towards the eye.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import asin, degrees, pi

from pipemodel.bending.angle_words import deg, rounded_deg, way_round
from pipemodel.bending.part_bent import PartBent, part_bent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.vectors import Vec3
from pipemodel.pulls.bender_frame import sides_of
from pipemodel.pulls.hindrance import leg_name
from pipemodel.pulls.limits import FINISH, START, FlatTube
from pipemodel.pulls.measures import Kind, Measure, measures_after
from pipemodel.pulls.piece import within_half_turn
from pipemodel.pulls.plan import Held, Plan, Pull

NEAR_DEG = 0.5
"""A leg this near to level or plumb is, to a fitter."""


def in_mm(value: float) -> str:
    """Write a length as it is read off a tape: to half a millimetre."""
    return f"{round(value * 2.0) / 2.0:.1f}".removesuffix(".0") + " mm"


@dataclass(frozen=True)
class FromBack:
    """Where the tape finds the mark from the back of a bend already made, so that an error does not grow."""

    bend: int
    mm: float
    words: str


@dataclass(frozen=True)
class Level:
    """How the tube beyond a bend already made must stand in the bender before the pull, in degrees above level."""

    bend: int
    leg: str
    above_level_deg: float
    words: str


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
    roll: str
    level: Level | None
    measures: tuple[Measure, ...]

    def to_do(self, length: Callable[[float], str] = in_mm) -> tuple[str, ...]:
        """Return the pull as a list of things to do, in order.

        Args:
            length: writes a length, given in mm, with its unit.
        """
        pull = self.pull
        right = "finish" if self.left_end == "start" else "start"
        mark = f"mark at {length(pull.mark_mm)} from the start end, square round the tube"
        if self.mark_from_back is not None:
            mark += f"; check: {length(self.mark_from_back.mm)} {self.mark_from_back.words}"
        lay = f"{self.left_end} end to your left, in the stop; {right} end to your right"
        if pull.turn_round:
            lay = f"turn the tube end for end: {lay}"
        check = "guide in, lever up to it"
        if self.level is not None:
            check += f"; the tube beyond bend {self.level.bend} {self.level.words}"
        back = f"; it springs back to {_deg(pull.angle_deg)}" if pull.pull_deg != pull.angle_deg else ""
        line = () if self.last_bend is None else (self._inside_line(length),)
        return (
            mark,
            *line,
            *self._former(length),
            lay,
            self.roll,
            check,
            f"pull towards you to {_deg(pull.pull_deg)} and let go{back}",
        )

    def _former(self, length: Callable[[float], str]) -> tuple[str, ...]:
        """Say which former goes in, where there are several and it is not in already."""
        put_in = put_in_words(self.pull, length)
        if not put_in:
            return ()
        return (f"change the former: {put_in}" if self.pull.change_former else put_in,)

    def _inside_line(self, length: Callable[[float], str]) -> str:
        line, other = f"draw the inside line of bend {self.pull.bend}", f"that of bend {self.last_bend}"
        size = rounded_deg(abs(self.round_deg))
        if size == 0.0:
            return f"{line} on with {other}"
        # Half a turn is the same both ways.
        way = "" if size == 180.0 else f" {way_round(self.round_deg)}, seen from the start end,"
        return f"{line}: {length(abs(self.round_mm))} round the tube ({_deg(size)}){way} from {other}"

    def to_check(self, length: Callable[[float], str] = in_mm) -> tuple[str, ...]:
        """Return what must then be true, each measure in a line; see `to_do`."""
        return tuple(m.words if m.kind is Kind.FLAT else f"{length(m.mm)} {m.words}" for m in self.measures)

    @property
    def steps(self) -> tuple[str, ...]:
        """All of it, in mm: first what to do, then what must be true."""
        return (*self.to_do(), *self.to_check())


def put_in_words(pull: Pull, length: Callable[[float], str]) -> str:
    """Return which former is put in before a pull; empty where the run has only one, or it is in already."""
    if not pull.several_formers or not (pull.change_former or pull.number == 1):
        return ""
    words = f"put in the {pull.former.name}"
    if f"{pull.former.radius_mm:g}" not in pull.former.name:
        words += f", radius {length(pull.former.radius_mm)}"
    return words


def cards_of(solved: SolvedRun, plan: Plan) -> tuple[Card, ...]:
    """Return one card for each pull of a plan, in its order."""
    lasts = (None, *plan.pulls)
    # What a pull begins with is what the one before it left.
    pieces = [part_bent(solved, pull.made) for pull in plan.pulls]
    pieces += [part_bent(solved, {pull.bend for pull in plan.pulls})] if plan.pulls else []
    return tuple(
        _card(solved, pull, last, before, after)
        for pull, last, before, after in zip(plan.pulls, lasts, pieces, pieces[1:], strict=False)
    )


def _card(solved: SolvedRun, pull: Pull, last: Pull | None, before: PartBent, after: PartBent) -> Card:
    bends = solved.table.bends
    turned = [sum(b.turn_deg for b in bends[: n + 1]) for n in range(len(bends))]
    round_deg = within_half_turn(turned[pull.bend - 1] - turned[last.bend - 1]) if last else 0.0
    return Card(
        pull=pull,
        left_end=pull.held,
        mark_from_back=_from_back(pull, before),
        last_bend=last.bend if last else None,
        round_deg=round_deg,
        round_mm=pi * solved.tube.outside_mm * round_deg / 360.0,
        roll=roll_in_words(pull, last),
        level=_level(solved, pull),
        measures=measures_after(after, pull.bend),
    )


def roll_in_words(pull: Pull, last: Pull | None) -> str:
    """Return how the tube is rolled before a pull: "a quarter turn, its top away from you"."""
    if last is None:
        return f"any side up; the inside of bend {pull.bend} will face you: draw a line along it"
    inside = f"the inside line of bend {last.bend}"
    roll = rounded_deg(abs(pull.roll_deg))
    if roll == 0.0:
        same = f"the same side up as before: {inside}"
        return f"{same} faces {'away from you' if pull.turn_round else 'you'}"
    if roll == 180.0:
        return f"roll the tube half a turn; {inside} then faces {'you' if pull.turn_round else 'away from you'}"
    # Clockwise seen from the start end; with that end to the left, the top then comes towards the fitter.
    away = (pull.roll_deg < 0.0) == (pull.held == "start")
    side = "away from you" if away else "towards you"
    # The inside line faced the fitter, or faces away after the tube is turned end for end, and goes with the roll.
    goes = ("up" if away != pull.turn_round else "down") if roll == 90.0 else None
    end = f"; {inside} then faces {goes}" if goes else ""
    return f"roll the tube {_turn(roll)}, its top {side}{end}"


def _turn(roll: float) -> str:
    words = {45.0: "an eighth of a turn", 90.0: "a quarter turn", 135.0: "three eighths of a turn"}
    return words.get(roll) or _deg(roll)


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
            corner = ", where the backs of its two legs meet" if bend.angle_deg < 90.0 - NEAR_DEG else ""
            return FromBack(near, along + piece.back_mm(index), f"from the back of bend {near}{corner}")
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
    leg = leg_name(near - 1 if towards_start else near, len(bends))
    return Level(near, leg, above, _stands(beyond.direction, above))


def _stands(direction: Vec3, above: float) -> str:
    if above >= 90.0 - NEAR_DEG:
        return "stands plumb, upwards"
    if above <= NEAR_DEG - 90.0:
        return "hangs plumb, downwards"
    x, y, _ = direction
    way = ("towards you" if y < 0.0 else "away from you") if abs(y) >= abs(x) else ("right" if x > 0.0 else "left")
    if abs(above) <= NEAR_DEG:
        return f"lies level, pointing {way}"
    return f"points {way}, {_deg(abs(above))} {'above' if above > 0.0 else 'below'} level"


def _deg(value: float) -> str:
    return f"{deg(value)}°"
