"""What to do after readings: estimate what was bent, bend the rest for the best finish, and look whether that will do.

| verdict | when |
|---|---|
| contradiction | readings do not go together, or one alone asks for a new piece: take it again |
| which side | what stands off may be twisted to either side, and one of them would not do: say to which |
| pull on | the bend just made is short of its angle beyond doubt: a bend can be pulled further, never opened |
| go on | the finish lands well enough with the rest as planned |
| change | the rest is bent otherwise, or the finished piece slipped along in its clips |
| trim | all is bent, and what is too long is cut off |
| recut | no bending of the rest brings the finish home, clear of what it must not touch |
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.correction.at_the_end import Way, at_the_end
from pipemodel.correction.cards_to_come import cards_to_come, same_pull
from pipemodel.correction.clear import newly_too_near
from pipemodel.correction.estimate import estimate
from pipemodel.correction.made import Aim, MadePiece, planned_aims
from pipemodel.correction.observed import observations
from pipemodel.correction.order import plan_from_here
from pipemodel.correction.replan import replanned
from pipemodel.correction.sentences import (
    FINE,
    bent_said,
    change_said,
    checks_said,
    flattened_said,
    lands,
    pull_on_said,
    why_said,
)
from pipemodel.correction.unsure import is_shown, unsure, with_how_sure
from pipemodel.correction.values import CheckReading, Correction, Estimate, ReadingBlock, Verdict
from pipemodel.correction.whole import Miss, Whole, whole_with
from pipemodel.job.model import Fault, Hands, JobError
from pipemodel.messages.values import Count, Message, message
from pipemodel.pulls.cards import Card, cards_of
from pipemodel.pulls.plan import NO_PLAN, Plan, Pull, plan_pulls

SHORT_DEG = 0.5
"""A bend short of its angle by less is not worth pulling on; common practice, no source."""
WELL = 0.25
"""The finish lands well where it uses up less than this part of what may be off."""
WORTH = 0.1
"""A change is worth making where it saves at least this part of what may be off."""


def correct(
    schedule: Schedule, solved: SolvedRun, blocks: Sequence[ReadingBlock], path: str = "readings"
) -> Correction:
    """Return what to do after readings of a run.

    Args:
        schedule: all runs of the job, its room's files read.
        solved: the run.
        blocks: the readings, at least one, in the order of the pulls.
        path: the file they are from.

    Raises:
        JobError: where pulls were read that an answer before them had put in another order.
    """
    was: FollowedBlock | None = None
    for block, now in zip(blocks, followed(schedule, solved, blocks), strict=True):
        if was is not None and block.corrected and block.after > was.after and not was.as_printed:
            said = message("correct.other order", pull=Count(was.after))
            raise JobError(path, [Fault(said, block.readings[0].written)])
        was = now
    assert was is not None
    return was.answer


@dataclass(frozen=True)
class FollowedBlock:
    """One block of readings: what then counts as read, what the hands went for, and by which pulls."""

    asked: "_Asked"
    after: int
    readings: tuple[CheckReading, ...]
    aims: Mapping[int, Aim]
    rest: SolvedRun
    """The run as it is to be bent if nothing more is changed."""
    pulls: Mapping[int, Pull]
    """By its bend each pull, as the cards in hand had it."""
    pulled_on: frozenset[int] = frozenset()
    """Bends that were pulled on since, to an angle that nobody wrote down."""

    @cached_property
    def answer(self) -> Correction:
        """What to do then."""
        return self.asked.after(self.after, self.readings, self.aims, self.rest)

    @property
    def as_printed(self) -> bool:
        """Whether the pulls to come, if any, are those of the printed cards, in their order."""
        printed = self.asked.plan.pulls[self.after :]
        return all(same_pull(one, other) for one, other in zip(self.answer.plan.pulls, printed, strict=False))

    def corrected(self, after: int) -> "FollowedBlock":
        """Return how things stand once its answer was followed, before anything is read after pull `after`."""
        answer, last = self.answer, self.asked.plan.pulls[self.after - 1].bend
        aims, readings, pulled_on = _corrected_aims(self.aims, answer, last), self.readings, self.pulled_on
        if answer.verdict == "pull on" or after == self.after:
            # The bend was pulled on since: what was read of it before holds no more.
            readings = tuple(reading for reading in readings if reading.pull != self.after)
            pulled_on |= {last}
        pulls = {**self.pulls, **{pull.bend: pull for pull in answer.plan.pulls}}
        return FollowedBlock(self.asked, after, readings, aims, answer.solved, pulls, pulled_on)


def followed(schedule: Schedule, solved: SolvedRun, blocks: Sequence[ReadingBlock]) -> Iterator[FollowedBlock]:
    """Yield what each block of readings comes to, those before it and their corrections taken into account."""
    plan = plan_pulls(solved)
    asked = _Asked(schedule, solved, plan, cards_of(solved, plan), schedule.job.hands or Hands())
    now = FollowedBlock(asked, 0, (), planned_aims(solved), solved, {pull.bend: pull for pull in plan.pulls})
    for block in blocks:
        if block.corrected and now.after:
            now = now.corrected(block.after)
        now = replace(now, after=block.after, readings=(*now.readings, *block.readings))
        yield now


def _corrected_aims(aims: Mapping[int, Aim], answer: Correction, last: int) -> dict[int, Aim]:
    """Return what the cards corrected ask for at the bends to come, and what was asked for at those made.

    The planes of the bends to come are set out from that of bend `last`, the one pulled last, as it came out.
    """
    made = {bend.number for bend in answer.estimate.bends}
    now = planned_aims(answer.solved)
    out = dict(aims)
    for number in set(aims) - made:
        plane = aims[last].plane_deg + now[number].plane_deg - now[last].plane_deg
        out[number] = now[number]._replace(plane_deg=plane)
    return out


@dataclass(frozen=True)
class _Asked:
    schedule: Schedule
    solved: SolvedRun
    plan: Plan
    cards: tuple[Card, ...]
    hands: Hands

    def after(
        self, after: int, readings: Sequence[CheckReading], aims: Mapping[int, Aim], rest: SolvedRun
    ) -> Correction:
        """Return what to do after so many pulls, the bends to come being as in `rest` if nothing is changed."""
        answer = self._by_shape(after, readings, aims, rest)
        flat = tuple(flattened_said(self.cards, readings))
        if flat:
            return replace(answer, verdict="recut", said=(why_said("recut", flat),), pull_on_deg=None)
        return with_how_sure(answer, self.cards[after - 1], {reading.check for reading in readings})

    def _by_shape(
        self, after: int, readings: Sequence[CheckReading], aims: Mapping[int, Aim], rest: SolvedRun
    ) -> Correction:
        done, to_come = self.plan.pulls[:after], self.plan.pulls[after:]
        made = MadePiece.of(self.solved, done, aims, self.hands)
        found = estimate(made, observations(self.solved, self.cards, readings))
        whole = whole_with(self.solved, found.bends, aims, done[-1].bend, rest)
        bent = list(bent_said(found, done[-1].bend))

        def ask(verdict: Verdict, *said: Message) -> Correction:
            way = Way(whole, plan_from_here(whole.run, done, to_come) or NO_PLAN, said, ())
            return self._answer(verdict, bent, made, found, way, whole)

        if found.again:
            return ask("contradiction", checks_said("again", found.again))
        on = _pull_on(done[-1], found)
        if on is not None:
            further = _pulled_on(whole, done[-1], on)
            way = self._best(further, done, to_come) if to_come else self._at_the_end(further)
            if not way.why_not and found.alone:
                # What is pulled on is never opened again.
                return ask("contradiction")
            if not way.why_not:
                short = next(bend.angle_deg.value for bend in found.bends if bend.number == done[-1].bend)
                way = Way(way.whole, way.plan, (pull_on_said(done[-1], on, short),), ())
                return self._answer("pull on", bent, made, found, way, whole, on)
        sides = [whole_with(self.solved, bends, aims, done[-1].bend, rest) for bends in found.either]
        no_side = {reading.check for reading in readings if reading.side == 0}.intersection(found.open_sides)
        if no_side:
            bent.append(checks_said("side not known", sorted(no_side)))
            if not to_come:
                # In the middle of both sides it is surely not: the better one shows whether it may do.
                whole = min(sides, key=lambda way: self._share(way.miss()))
        # Where one of the sides is not well as planned, it is asked for; who says the side has looked again.
        most = WELL if to_come else 1.0
        if no_side != set(found.open_sides) and any(self._share(way.miss()) > most for way in sides):
            found = replace(found, open_sides=tuple(one for one in found.open_sides if one not in no_side))
            return ask("which side", checks_said("which side", found.open_sides))
        if to_come:
            way = self._best(whole, done, to_come)
            verdict: Verdict = "recut" if way.why_not else "change" if way.whole is not whole else "go on"
            return self._answer(verdict, bent, made, found, way, whole)
        way = self._at_the_end(whole)
        answer = self._answer("recut" if way.why_not else way.verdict, bent, made, found, way, whole)
        return replace(answer, is_shown=answer.is_shown and not no_side)

    def _at_the_end(self, whole: Whole) -> Way:
        """Return what can still be done once all is bent: cut off what is too long, or slip it along."""
        end = at_the_end(whole)
        return replace(end, why_not=end.why_not + self._too_near(whole)[1])

    def _share(self, miss: Miss) -> float:
        return miss.share(self.solved.run.ends.finish.within, self.solved.run.ends.trim_mm)

    def _best(self, whole: Whole, done: Sequence[Pull], to_come: Sequence[Pull]) -> Way:
        """Return how to go on: as planned where that is as good, else with the bends to come changed."""
        plan, was = plan_from_here(whole.run, done, to_come), whole
        unchanged = self._share(whole.miss())
        if plan is None or unchanged > WELL:
            changed = replanned(whole, to_come)
            new = plan_from_here(changed.run, done, to_come)
            saves = unchanged - self._share(changed.miss()) >= WORTH
            if new is not None and (plan is None or saves):
                whole, plan = changed, new
        miss = whole.miss()
        why_not: list[Message] = [] if plan else [message("correct.no order")]
        # What is too long is cut off at the end.
        if self._share(miss._replace(along_mm=min(miss.along_mm, 0.0))) > 1.0:
            why_not.append(lands(miss, at_best=True))
        near, touches = self._too_near(whole)
        changes = change_said(self.cards, cards_of(whole.run, plan)) if plan and whole is not was else ()
        return Way(whole, plan or NO_PLAN, (*changes, lands(miss), *near), (*why_not, *touches))

    def _too_near(self, whole: Whole) -> tuple[tuple[Message, ...], tuple[Message, ...]]:
        return newly_too_near(self.schedule, self.solved, whole.run)

    def _answer(
        self,
        verdict: Verdict,
        bent: Sequence[Message],
        made: MadePiece,
        found: Estimate,
        way: Way,
        unchanged: Whole,
        pull_on_deg: float | None = None,
    ) -> Correction:
        todo = (why_said("recut", way.why_not),) if verdict == "recut" else way.said
        if found.alone and verdict == "recut":
            # Tube is not thrown away for a single look at a tape.
            verdict, todo = "contradiction", (checks_said("alone", found.alone), why_said("if again", way.why_not))
        elif found.alone and verdict != "which side":
            todo = (checks_said("alone", found.alone), *todo)
        head = (FINE,) if verdict == "go on" else ()
        miss, within = way.left or way.whole.miss(), unsure(made, found.likely, way.whole)
        return Correction(
            self.solved.name,
            len(made.pulls),
            verdict,
            (*head, *bent, *todo),
            found,
            way.whole.run,
            way.plan,
            cards_to_come(self.solved, self.cards, way.whole.run, way.plan),
            miss.off,
            unchanged.miss().off,
            miss.direction_deg,
            within,
            is_shown(miss, within, self.solved.run.ends),
            pull_on_deg,
            way.trim_mm,
        )


def _pull_on(pull: Pull, found: Estimate) -> float | None:
    """Return the angle that the bend just made is to be pulled on to; None where it is not short of it beyond doubt."""
    bend = next(bend for bend in found.bends if bend.number == pull.bend)
    short = bend.aim_angle_deg - bend.angle_deg.value
    return bend.aim_angle_deg if short >= SHORT_DEG and bend.angle_deg.high < bend.aim_angle_deg else None


def _pulled_on(whole: Whole, pull: Pull, angle: float) -> Whole:
    """Return the run with the bend just made pulled on; held by its finish side it grows towards the start."""
    place = pull.bend - 1
    more = angle - whole.angles[place]
    bend = whole.solved.table.bends[place]
    earlier = bend.arc_mm / bend.angle_deg * more if pull.held == "finish" else 0.0
    return whole.changed(place, start=-earlier, angle=more)
