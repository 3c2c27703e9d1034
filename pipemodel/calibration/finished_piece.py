"""A finished piece as measured, as written in a YAML file, and the records that it makes."""

from dataclasses import dataclass, replace
from os import PathLike, fspath
from typing import Annotated

from pydantic import AfterValidator, Field

from pipemodel.bending.bends import Bend
from pipemodel.bending.schedule import SolvedRun
from pipemodel.calibration.filled import filled, readable
from pipemodel.job.form import Form
from pipemodel.job.model import Fault, Job, JobError
from pipemodel.job.quantities import Angle, Length, PositiveAngle, PositiveLength, shown
from pipemodel.job.yaml_tree import YamlSpot
from pipemodel.learning.readings import apart_deg
from pipemodel.learning.records import PLACES, BendRecord
from pipemodel.messages.values import Count, Message, Name, Number, Word, message
from pipemodel.pulls.plan import Plan, Pull
from pipemodel.trade.model import Former

FURTHEST_DEG, FURTHEST_MM, FURTHEST_ROLL_DEG, FURTHEST_RADIUS = 15.0, 40.0, 45.0, 0.3
"""A reading further from what was asked for than this (of the radius, this part of it) is a slip, or of another run."""
OPENED_DEG = 3.0
"""Tube opens when let go; a protractor may be off by so much."""


class FinishedBendForm(Form):
    """One bend of a finished piece."""

    bend: int = Field(ge=1, description="Its number, from the start end")
    angle: PositiveAngle | None = Field(default=None, description="The angle it came out as")
    start: Length | None = Field(default=None, description="Where it begins, along the tube from the start end")
    roll: Angle | None = Field(default=None, description="The roll before it, as the card counts it, as it came out")
    turn: Angle | None = Field(default=None, description="The turn of its plane from the bend before on the tube")
    radius: PositiveLength | None = Field(default=None, description="The finished radius to the tube's centre")
    pulled: PositiveAngle | None = Field(default=None, description="What it was pulled to, if not as the card says")
    mark: Length | None = Field(default=None, description="Where its mark was, if not as the card says")


class FinishedForm(Form):
    """A finished piece."""

    run: str | None = Field(default=None, description="Which run it is of")
    tape: Annotated[PositiveLength, AfterValidator(readable)] = Field(
        default=0.5, description="How well a length is read: standard deviation"
    )
    protractor: Annotated[PositiveAngle, AfterValidator(readable)] = Field(
        default=0.5, description="How well an angle is read: standard deviation"
    )
    bends: list[FinishedBendForm] = Field(min_length=1)


@dataclass(frozen=True)
class PieceFacts:
    """What is said of a piece beside its readings; empty where nobody says it."""

    date: str = ""
    batch: str = ""
    by: str = ""
    piece: str = ""


def records_of_piece(
    path: str | PathLike[str], job: Job, solved: SolvedRun, plan: Plan, facts: PieceFacts, as_measured: bool = False
) -> tuple[BendRecord, ...]:
    """Return the records of a finished piece, one for each bend that something was measured of.

    Args:
        path: the file of its readings.
        job: the job.
        solved: the run that it is of.
        plan: the run's plan of pulls, by which it was bent.
        facts: what else is said of it.
        as_measured: take readings that look like a slip.

    Raises:
        JobError: with everything that is wrong with the file; or if a former of the run has no name.
    """
    see_named(job, solved)
    form, spot = filled(path, FinishedForm, message("piece.keys of bends"))
    faults: list[Fault] = []
    if form.run is not None and form.run != solved.name:
        said = message("piece.other run", run=Name(shown(form.run)), asked=Name(shown(solved.name)))
        faults.append(Fault(said, spot.at(("run",)).place))
    bends = {bend.number: bend for bend in solved.table.bends}
    pulls = {pull.bend: pull for pull in plan.pulls}
    seen: set[int] = set()
    records: list[BendRecord] = []
    for n, one in enumerate(form.bends):
        here = spot.at(("bends", n))
        if one.bend not in bends:
            said = message("piece.no bend", run=Name(shown(solved.name)), bend=Count(one.bend), n=Count(len(bends)))
            faults.append(Fault(said, here.at(("bend",)).place))
            continue
        if one.bend in seen:
            faults.append(Fault(message("piece.bend twice", bend=Count(one.bend)), here.at(("bend",)).place))
        seen.add(one.bend)
        bend, pull = bends[one.bend], pulls.get(one.bend)
        record = _record(form, one, asked_of(job, solved, bend, pull, facts), bend, pull)
        faults += _faults(one, record, solved, pull, here, as_measured)
        records.append(record)
    if faults:
        raise JobError(fspath(path), faults)
    return tuple(records)


def see_named(job: Job, solved: SolvedRun) -> None:
    """See that every former of a run has a name, by which it can be known again.

    Raises:
        JobError: if one has none.
    """
    if any(former.named_by_radius or former.name == Former.name for former in solved.formers_used):
        raise JobError(str(job.path), [Fault(message("fault.piece former"), solved.run.place)])


def asked_of(job: Job, solved: SolvedRun, bend: Bend, pull: Pull | None, facts: PieceFacts) -> BendRecord:
    """Return the record of a bend as asked for, without any reading."""
    former, tube = solved.former_of(bend), solved.run.tube
    return BendRecord(
        former.name,
        tube.outside_mm,
        tube.wall_mm,
        bend.number,
        round(bend.angle_deg, PLACES),
        round(solved.pull_deg(bend) if pull is None else pull.pull_deg, PLACES),
        round(solved.mark_mm(bend) if pull is None else pull.mark_mm, PLACES),
        "start" if pull is None else pull.held,
        round(bend.radius_mm, PLACES),
        material=tube.material,
        temper=tube.temper,
        standard=tube.standard,
        batch=facts.batch,
        by=facts.by,
        date=facts.date,
        job=job.name,
        run=solved.name,
        piece=facts.piece,
    )


def _record(form: FinishedForm, one: FinishedBendForm, record: BendRecord, bend: Bend, pull: Pull | None) -> BendRecord:
    rolled = one.roll if one.turn is None else one.turn
    asked = None if rolled is None else bend.turn_deg if one.roll is None else pull.roll_deg if pull else None
    return replace(
        record,
        pulled_deg=one.pulled or record.pulled_deg,
        mark_mm=record.mark_mm if one.mark is None else one.mark,
        got_deg=one.angle,
        got_sd=0.0 if one.angle is None else form.protractor,
        start_mm=one.start,
        start_sd=0.0 if one.start is None else form.tape,
        turn_deg=None if asked is None else round(asked, PLACES),
        turned_deg=None if asked is None else rolled,
        turned_sd=0.0 if asked is None else form.protractor,
        radius_got_mm=one.radius,
        radius_got_sd=0.0 if one.radius is None else form.tape,
    )


def _faults(
    one: FinishedBendForm, record: BendRecord, solved: SolvedRun, pull: Pull | None, here: YamlSpot, as_measured: bool
) -> list[Fault]:
    """Return what no piece could have, and what looks like a slip of the pen, another unit or another run."""
    number, found = one.bend, list[Fault]()

    bent = Count(number)

    def at(key: str, said: Message) -> None:
        found.append(Fault(said, here.at((key,)).place))

    if one.angle is one.start is one.roll is one.turn is one.radius is None:
        at("bend", message("piece.no reading", bend=bent))
    if one.roll is not None and one.turn is not None:
        at("turn", message("piece.roll or turn"))
    if one.roll is not None and (pull is None or pull.number == 1):
        at("roll", message("piece.no roll", bend=bent))
    if one.turn is not None and number == 1:
        at("turn", message("piece.no turn"))
    if one.angle is not None and one.angle > record.pulled_deg + OPENED_DEG:
        pulled, angle = Number(record.pulled_deg, ".1f"), Number(one.angle)
        at("angle", message("piece.further", bend=bent, pulled=pulled, angle=angle))
    length = solved.table.length_mm + solved.run.ends.trim_mm
    if one.start is not None and not 0.0 <= one.start <= length:
        at("start", message("piece.begins", length=Number(length, ".1f"), start=Number(one.start)))
    if found or as_measured:
        return found
    bend = solved.table.bends[number - 1]
    for key, value, asked, furthest, unit in (
        ("angle", one.angle, record.angle_deg, FURTHEST_DEG, "degrees"),
        ("start", one.start, bend.start_mm, FURTHEST_MM, "mm"),
        ("radius", one.radius, record.radius_mm, FURTHEST_RADIUS * record.radius_mm, "mm"),
    ):
        if value is not None and abs(value - asked) > furthest:
            at(key, _slip(key, number, value, asked, unit))
    rolled = record.turned_deg
    if rolled is not None and abs(apart_deg(rolled, record.turn_deg or 0.0)) > FURTHEST_ROLL_DEG:
        key = "roll" if one.turn is None else "turn"
        at(key, _slip(key, number, rolled, record.turn_deg or 0.0, "degrees"))
    return found


def _slip(key: str, number: int, value: float, asked: float, unit: str) -> Message:
    guess = message("piece.another run")
    if abs(value * 10.0 - asked) < 0.1 * abs(asked):
        guess = message("piece.centimetres", value=Number(value))
    elif key in ("roll", "turn") and abs(apart_deg(-value, asked)) < FURTHEST_ROLL_DEG:
        guess = message("piece.other way", value=Number(-value))
    return message(
        "piece.slip",
        key=Word(key),
        bend=Count(number),
        value=Number(value),
        unit=Word(unit),
        asked=Number(asked, ".1f"),
        guess=guess,
    )
