"""Random runs with their record, and the answer to readings of them, for the tests of this folder."""

import random
from functools import cache

import yaml
from made_runs import SPRINGY, made_run

from pipemodel.bending.schedule import Schedule
from pipemodel.correction.answer import correct
from pipemodel.correction.readings_file import readings_of_text
from pipemodel.job.model import Hands, Job
from pipemodel.messages.units import MM
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.plan import plan_pulls
from pipemodel.results.pieces import Piece
from pipemodel.results.record import run_record
from pipemodel.results.record_correction import correction_record

ANGLES = (30, 45, 60, 90, 90, 120)
TURNS = (0, 90, 180, -90, 37, -64.5)


@cache
def random_case(seed, bends=None, legs=(120, 450), **former):
    """A solved run with its record; None where it cannot be pulled."""
    dice = random.Random(seed)
    n = bends or dice.choice((1, 2, 2, 3, 3, 4, 5))
    solved = made_run(
        [dice.uniform(*legs) for _ in range(n + 1)],
        [dice.choice(ANGLES) for _ in range(n)],
        [dice.choice(TURNS) for _ in range(n - 1)],
        springback=SPRINGY,
        **{"mark_mm": dice.choice((0, 40, -20)), **former},
    )
    return case_of(solved)


def case_of(solved):
    """A solved run with its record; None where it cannot be pulled."""
    plan = plan_pulls(solved)
    return (solved, run_record(Piece(1, solved, plan, MM, ()), None)) if plan.possible else None


def cases(seeds, **more):
    """Those of some random cases that can be pulled."""
    return [case for seed in seeds if (case := random_case(seed, **more)) is not None]


def answer(solved, blocks, hands=None, things=()):
    """The record of the answer to readings, which go through their file's text."""
    schedule = Schedule(Job("made", (solved.run,), tuple(things), hands=hands or Hands()), (solved,))
    read = readings_of_text(yaml.safe_dump(blocks), "readings.yaml", solved, cards_of(solved, plan_pulls(solved)))
    return correction_record(correct(schedule, solved, read))


def bends_of(pulls):
    """The numbers of the bends that some pulls of a record make."""
    return [pull["bend"] for pull in pulls]


def readings_after(made, pulls, random=None, digits=1):
    """A block with every check of the last of some pulls, as read on a piece; as well as can be with `random`."""
    read = {}
    for check in pulls[-1]["checks"]:
        value = made.read(check, bends_of(pulls), random)
        read[check["id"]] = value if isinstance(value, str) else round(float(value), digits)
    return {"after": len(pulls), "readings": read}
