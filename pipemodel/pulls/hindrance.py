"""Why no order of pulls works, leg by leg and bend by bend, and the least change that frees the run."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from pipemodel.messages.values import NOTHING, Angle, Count, Length, Message, message
from pipemodel.pulls.limits import SLACK_MM, FlatTube, Lengthening, Limits, least_lengthening
from pipemodel.pulls.piece import PieceToBend


@dataclass(frozen=True)
class Hindrance:
    """One thing that keeps every order from working: what there is, what is needed, and the least change.

    `kind` is "straight" for a leg too short to hold or guide, "angle" for a pull beyond the former's greatest,
    "bender" for a piece that runs into the bender or its room, "itself" for one that runs into itself. `has` and
    `needs` are in mm, or in degrees for an angle; for the last two `has` is below zero by how far the piece goes in.
    `leg` counts from 0, the start tail, to n, the finish tail. `at_mm` is where on the run, from its start.
    """

    kind: Literal["straight", "angle", "bender", "itself"]
    said: Message
    has: float
    needs: float
    at_mm: float
    leg: int | None = None
    bend: int | None = None
    longer: tuple[tuple[int, float], ...] = ()
    """Legs, each of which was found to be enough by being so much longer; mm."""

    @property
    def message(self) -> str:
        """What is said of it, in English and in mm."""
        return str(self.said)


def hindrances_of(piece: PieceToBend) -> tuple[Hindrance, ...]:
    """Return what the former's own limits have against a piece; empty when some order works by them."""
    changes = least_lengthening(piece.limits)
    return (
        *_angles(piece),
        *(_too_short(piece.limits, change) for change in changes),
    )


def _angles(piece: PieceToBend) -> Iterator[Hindrance]:
    """Yield the bends that a springback below nothing leaves without a pull, and those pulled farther than they may."""
    for bend, former in zip(piece.bends, piece.formers, strict=True):
        angle, pull, most = bend.angle_deg, former.springback.pull_deg(bend.angle_deg), former.max_angle_deg
        number, middle = Count(bend.number), (bend.start_mm + bend.finish_mm) / 2.0
        if pull <= 0.0:
            spring = Angle(pull - angle)
            said = message("pull.bends nothing", bend=number, angle=Angle(angle), pull=Angle(pull), spring=spring)
            yield Hindrance("angle", said, has=pull, needs=angle, at_mm=middle, bend=bend.number)
        elif pull > most + SLACK_MM:
            said = message(
                "pull.too far",
                bend=number,
                angle=Angle(angle),
                pull=Angle(pull, beside=most),
                most=Angle(most, beside=pull),
            )
            yield Hindrance("angle", said, has=most, needs=pull, at_mm=middle, bend=bend.number)


def _too_short(limits: Limits, change: Lengthening) -> Hindrance:
    tube, n = limits.tube, limits.tube.bends
    begins = tube.finishes[change.leg - 1] if change.leg else 0.0
    return Hindrance(
        "straight",
        message(
            "pull.too short",
            leg=leg_called(change.leg, n),
            has=Length(change.has, ".1f", beside=change.needs),
            needs=Length(change.needs, ".1f", rounded="up", beside=change.has),
            what_for=_what_for(limits, change),
            more=Length(change.more, ".1f", rounded="up"),
            cut_off=message("pull.can be cut off") if change.leg in (0, n) else NOTHING,
        ),
        has=change.has,
        needs=change.needs,
        at_mm=begins + change.has / 2.0,
        leg=change.leg,
        longer=((change.leg, change.more),),
    )


def _what_for(limits: Limits, change: Lengthening) -> Message:
    if any(abs(change.needs - hold) <= SLACK_MM for hold in limits.holds):
        return message("pull.to hold")
    if any(abs(change.needs - guide) <= SLACK_MM for guide in limits.guides):
        return message("pull.to guide")
    hold, guide = max(limits.holds), max(limits.guides)
    return message("pull.to hold and guide", hold=Length(hold, ".4g"), guide=Length(guide, ".4g"))


def leg_called(leg: int, bends: int) -> Message:
    """Return a leg in the trade's words: "leg between bends 2 and 3", "start tail", "finish tail"."""
    if leg == 0:
        return message("leg.start tail") if bends else message("leg.tube")
    if leg == bends:
        return message("leg.finish tail")
    return message("leg.between", one=Count(leg), other=Count(leg + 1))


def place_called(tube: FlatTube, flat: float) -> Message:
    """Return what lies at a place of the flat tube: a bend or a leg."""
    for i, (start, finish) in enumerate(zip(tube.starts, tube.finishes, strict=True)):
        if flat < start:
            return leg_called(i, tube.bends)
        if flat <= finish:
            return message("part.bend", bend=Count(i + 1))
    return leg_called(tube.bends, tube.bends)
