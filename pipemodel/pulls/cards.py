"""What the hands do at each pull: one card per pull, in the order of the plan.

The held end lies to the left of whoever pulls and the free end to the right (docs/bending.md). Flat on a bench, the
fitter looks down on the bender and pulls the free end towards the body; upright, the bender stands in front of them and
the pull goes down.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

from pipemodel.bending.angle_words import way_round
from pipemodel.bending.part_bent import PartBent, part_bent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.values import NOTHING, Angle, AroundTube, Count, Message, Tape, Word, listed, message
from pipemodel.pulls.card_level import Level, level_before
from pipemodel.pulls.card_mark import FromBack, bring_mark, from_back, has_rim
from pipemodel.pulls.card_roll import roll_in_bender
from pipemodel.pulls.choice import Choice, choose_checks
from pipemodel.pulls.measures import Measure
from pipemodel.pulls.piece import within_half_turn
from pipemodel.pulls.plan import Held, Plan, Pull
from pipemodel.pulls.stance import Stance
from pipemodel.pulls.unseen import unseen_words


@dataclass(frozen=True)
class Card:
    """What the hands do at one pull.

    `round_deg` and `round_mm` go round the tube from the inside line of the last bend pulled to the inside line
    of this one, clockwise seen from the start end; both 0 at the first pull. `roll` says the same in words, as the
    fitter turns the tube in the bender. `stance` is how the bender stands, which all words go by.
    """

    pull: Pull
    stance: Stance
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
        stop = message("card.in the stop") if has_rim(pull.former) else NOTHING
        if self.mark_from_back is not None:
            check = message("card.check", far=Tape(self.mark_from_back.mm), how=self.mark_from_back.how)
        if self.level is not None:
            level = message("card.beyond", bend=Count(self.level.bend), stands=self.level.stands)
        if pull.pull_deg != pull.angle_deg:
            back = message("card.springs back", angle=Angle(pull.angle_deg))
        line = () if self.last_bend is None else (self._inside_line(self.last_bend),)
        return (
            self._mark(check),
            *line,
            *self._former(),
            message("card.turn end for end" if pull.turn_round else "card.lay", left=left, right=right, stop=stop),
            self.roll,
            bring_mark(pull),
            message("card.guide in" if has_rim(pull.former) else "card.spring in", level=level),
            message("card.pull" if self.stance == "flat" else "card.pull down", angle=Angle(pull.pull_deg), back=back),
            *self._take_care(),
        )

    def _mark(self, check: Message) -> Message:
        at, lost = Tape(self.pull.drawn_mark_mm), self.pull.mark_lost
        if lost is None:
            return message("card.mark", at=at, check=check)
        return message("card.mark beginning", at=at, lost=lost, check=check)

    def _take_care(self) -> tuple[Message, ...]:
        """Say in one step what no check shows; a card has no more than nine steps."""
        return (message("card.take care", of=listed(self.not_shown, ";")),) if self.not_shown else ()

    def _former(self) -> tuple[Message, ...]:
        """Say which former goes in, where there are several and it is not in already."""
        put_in = former_put_in(self.pull, Tape(self.pull.former.radius_mm, exact=True))
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
        far = AroundTube(abs(self.round_mm), self.outside_mm)
        return message("card.inside line", bend=bend, far=far, angle=Angle(size), way=way, last=other)

    @property
    def to_check(self) -> tuple[Message, ...]:
        """What must then be true, each measure in a line."""
        return tuple(measure.said for measure in self.measures)

    @property
    def not_shown(self) -> tuple[Message, ...]:
        """What to look out for all the same: mistakes that no check on the card shows for sure."""
        return unseen_words(self.choice.power)


def former_put_in(pull: Pull, radius: Tape) -> Message | None:
    """Return which former is put in before a pull; None where the run has only one, or it is in already."""
    if not pull.several_formers or not (pull.change_former or pull.number == 1):
        return None
    former = pull.former.called
    if pull.former.named_by_radius:
        return message("card.put in", former=former)
    return message("card.put in, radius", former=former, radius=radius)


def cards_of(solved: SolvedRun, plan: Plan) -> tuple[Card, ...]:
    """Return one card for each pull of a plan, in its order."""
    lasts = (plan.last, *plan.pulls)
    marks = {pull.bend: pull.drawn_mark_mm for pull in plan.pulls}
    # What a pull begins with is what the one before it left.
    pieces = [part_bent(solved, pull.made) for pull in plan.pulls]
    pieces += [part_bent(solved, pull.made | {pull.bend}) for pull in plan.pulls[-1:]]
    return tuple(
        _card(solved, pull, last, before, after, marks, solved.run.stance)
        for pull, last, before, after in zip(plan.pulls, lasts, pieces, pieces[1:], strict=False)
    )


def _card(
    solved: SolvedRun,
    pull: Pull,
    last: Pull | None,
    before: PartBent,
    after: PartBent,
    marks: Mapping[int, float],
    stance: Stance,
) -> Card:
    bends = solved.table.bends
    others = [n for n in (pull.bend - 1, pull.bend + 1) if n in marks and n not in pull.made]
    turned = [sum(b.turn_deg for b in bends[: n + 1]) for n in range(len(bends))]
    round_deg = within_half_turn(turned[pull.bend - 1] - turned[last.bend - 1]) if last else 0.0
    return Card(
        pull=pull,
        stance=stance,
        left_end=pull.held,
        mark_from_back=from_back(pull, before),
        last_bend=last.bend if last else None,
        round_deg=round_deg,
        round_mm=pi * solved.tube.outside_mm * round_deg / 360.0,
        outside_mm=solved.tube.outside_mm,
        roll=roll_in_bender(pull, last, stance),
        level=level_before(solved, pull, stance),
        choice=choose_checks(pull, after, [marks[n] for n in others], stance),
    )
