"""What the checks read on a piece say of each of its bends, as records for a history.

What is probable by the hands is left out here: the records are to teach how good those are, and would else repeat what
was taken for true. So an error of any size is as likely as another, and what the checks then do not settle is not kept.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from os import PathLike, fspath

from pipemodel.accuracy.values import Z_95
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.calibration.finished_piece import (
    FURTHEST_DEG,
    FURTHEST_MM,
    FURTHEST_ROLL_DEG,
    PieceFacts,
    asked_of,
    see_named,
)
from pipemodel.correction.answer import FollowedBlock, followed
from pipemodel.correction.estimate import estimate
from pipemodel.correction.made import MadePiece
from pipemodel.correction.observed import observations
from pipemodel.correction.readings_file import read_readings
from pipemodel.correction.sentences import checks_said, flattened
from pipemodel.correction.values import BentBend, CheckReading, Estimate, ReadingBlock
from pipemodel.job.model import WORST_HANDS, Fault, Hands, JobError
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import read_tree
from pipemodel.learning.readings import apart_deg
from pipemodel.learning.records import PLACES, BendRecord
from pipemodel.messages.values import message
from pipemodel.pulls.cards import Card

SETTLED_SD_MM, SETTLED_SD_DEG = 3.0, 3.0
"""A figure less sure than this is none that the checks settle."""


def is_of_checks(path: str | PathLike[str]) -> bool:
    """Tell whether a file has readings of checks, after each of some pulls."""
    values = read_tree(read_text(path)).values
    return isinstance(values, list) or (isinstance(values, dict) and "bends" not in values and "after" in values)


def records_of_checks(
    path: str | PathLike[str], schedule: Schedule, solved: SolvedRun, cards: Sequence[Card], facts: PieceFacts
) -> tuple[BendRecord, ...]:
    """Return the records of a piece whose checks were read, one for each bend that they settle something of.

    What was bent by corrected cards is held against those; the angle of a bend that was pulled on is not kept, for
    nobody wrote down how far, nor is that of one flattened, for its guide was not in. Where a correction would have
    it pulled in another order, or held by the other side, what comes after is left out: the checks are those of the
    cards as printed.

    Raises:
        JobError: with everything that is wrong with the readings; if they contradict each other, or settle nothing.
    """
    see_named(schedule.job, solved)
    job, blocks = schedule.job, read_readings(path, solved, cards)
    last = _last_by_the_cards(schedule, solved, cards, blocks)
    pulls = [card.pull for card in cards[: last.after]]
    observed = observations(solved, cards, last.readings)
    # Only beside what hands mostly do does a reading look wrong.
    likely = estimate(MadePiece.of(solved, pulls, last.aims, job.hands or Hands()), observed)
    if faults := [*_wrong(last.readings, likely)]:
        raise JobError(fspath(path), faults)
    found = estimate(MadePiece.of(solved, pulls, last.aims, WORST_HANDS), observed)
    unlike = last.pulled_on | {bend for bend, _, _ in flattened(cards, last.readings)}
    bends = solved.table.bends
    records = [
        record
        for one in found.bends
        for record in _settled(
            asked_of(
                job,
                solved,
                bends[one.number - 1]._replace(angle_deg=last.aims[one.number].angle_deg),
                last.pulls[one.number],
                facts,
            ),
            one,
            one.number not in unlike,
        )
    ]
    if not records:
        raise JobError(fspath(path), [Fault(message("kept.nothing"))])
    return tuple(records)


def _last_by_the_cards(
    schedule: Schedule, solved: SolvedRun, cards: Sequence[Card], blocks: Sequence[ReadingBlock]
) -> FollowedBlock:
    """Return the last block of readings up to which all was pulled in the cards' order and held by the same sides."""
    planned = [(card.pull.bend, card.pull.held) for card in cards]
    out: FollowedBlock | None = None
    for block, one in zip(blocks, followed(schedule, solved, blocks), strict=True):
        if out is not None and block.corrected:
            to_come = [(pull.bend, pull.held) for pull in out.answer.plan.pulls]
            if to_come != planned[out.after :]:
                # What was pulled on then is not known either.
                return replace(out, pulled_on=out.pulled_on | {planned[out.after - 1][0]})
        out = one
    assert out is not None
    return out


def _wrong(readings: Sequence[CheckReading], found: Estimate) -> Iterator[Fault]:
    """Yield what is wrong with readings that do not go together, or of which one alone tells of a mistake."""
    for one in readings:
        if one.check in found.again:
            yield Fault(checks_said("again", [one.check]), one.written)
        elif one.check in found.alone:
            yield Fault(checks_said("alone", [one.check]), one.written)


def _settled(asked: BendRecord, bent: BentBend, by_the_pull: bool) -> Iterator[BendRecord]:
    angle, start, turn = ((one.high - one.low) / 2.0 / Z_95 for one in (bent.angle_deg, bent.start_mm, bent.turn_deg))
    record = asked
    angle_off = abs(bent.angle_deg.value - bent.aim_angle_deg)
    if angle <= SETTLED_SD_DEG and angle_off <= FURTHEST_DEG and by_the_pull:
        record = replace(record, got_deg=round(bent.angle_deg.value, PLACES), got_sd=round(angle, PLACES))
    if start <= SETTLED_SD_MM and abs(bent.start_mm.value - bent.aim_start_mm) <= FURTHEST_MM:
        record = replace(record, start_mm=round(bent.start_mm.value, PLACES), start_sd=round(start, PLACES))
    turn_off = abs(apart_deg(bent.turn_deg.value, bent.aim_turn_deg))
    if 0.0 < turn <= SETTLED_SD_DEG and turn_off <= FURTHEST_ROLL_DEG:
        record = replace(
            record,
            turn_deg=round(bent.aim_turn_deg, PLACES),
            turned_deg=round(bent.turn_deg.value, PLACES),
            turned_sd=round(turn, PLACES),
        )
    if record != asked:
        yield record
