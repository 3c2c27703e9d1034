"""Why no order of pulls works, leg by leg and bend by bend, and the least change that frees the run."""

from dataclasses import dataclass
from math import ceil
from typing import Literal

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
    message: str
    has: float
    needs: float
    at_mm: float
    leg: int | None = None
    bend: int | None = None


def hindrances_of(piece: PieceToBend) -> tuple[Hindrance, ...]:
    """Return what the former's own limits have against a piece; empty when some order works by them."""
    changes = least_lengthening(piece.limits)
    return (
        *_no_pull_at_all(piece),
        *_angles_too_great(piece),
        *(_too_short(piece.limits, change) for change in changes),
    )


def _no_pull_at_all(piece: PieceToBend) -> list[Hindrance]:
    """Return the bends that a springback below nothing leaves without a pull."""
    return [
        Hindrance(
            "angle",
            f"bend {bend.number} of {bend.angle_deg:.4g} degrees would be pulled to {pull:.4g}, which bends nothing: "
            f"tube springs open, so the springback of {pull - bend.angle_deg:.4g} there should be above 0",
            has=pull,
            needs=bend.angle_deg,
            at_mm=(bend.start_mm + bend.finish_mm) / 2.0,
            bend=bend.number,
        )
        for bend, former in zip(piece.bends, piece.formers, strict=True)
        if (pull := former.springback.pull_deg(bend.angle_deg)) <= 0.0
    ]


def _angles_too_great(piece: PieceToBend) -> list[Hindrance]:
    return [
        Hindrance(
            "angle",
            f"bend {bend.number} of {bend.angle_deg:.4g} degrees has to be pulled to {pull:.4g}; "
            f"the former goes no further than {former.max_angle_deg:.4g}",
            has=former.max_angle_deg,
            needs=pull,
            at_mm=(bend.start_mm + bend.finish_mm) / 2.0,
            bend=bend.number,
        )
        for bend, former in zip(piece.bends, piece.formers, strict=True)
        if (pull := former.springback.pull_deg(bend.angle_deg)) > former.max_angle_deg + SLACK_MM
    ]


def _too_short(limits: Limits, change: Lengthening) -> Hindrance:
    tube, n = limits.tube, limits.tube.bends
    way_out = f"{up_to_tenth(change.more)} mm longer"
    if change.leg in (0, n):
        way_out += " (it can be cut off after bending)"
    begins = tube.finishes[change.leg - 1] if change.leg else 0.0
    return Hindrance(
        "straight",
        f"{leg_name(change.leg, n)} is {change.has:.1f} mm; {up_to_tenth(change.needs)} mm is needed "
        f"{_what_for(limits, change)}: {way_out}",
        has=change.has,
        needs=change.needs,
        at_mm=begins + change.has / 2.0,
        leg=change.leg,
    )


def _what_for(limits: Limits, change: Lengthening) -> str:
    if any(abs(change.needs - hold) <= SLACK_MM for hold in limits.holds):
        return "to hold the pull beside it"
    if any(abs(change.needs - guide) <= SLACK_MM for guide in limits.guides):
        return "to guide the pull beside it"
    hold, guide = max(limits.holds), max(limits.guides)
    return f"for the former to hold {hold:.4g} mm and guide {guide:.4g} mm, tube not bent yet included"


def leg_name(leg: int, bends: int) -> str:
    """Return a leg in the trade's words: "leg between bends 2 and 3", "start tail", "finish tail"."""
    if leg == 0:
        return "start tail" if bends else "tube"
    return "finish tail" if leg == bends else f"leg between bends {leg} and {leg + 1}"


def place_name(tube: FlatTube, flat: float) -> str:
    """Return what lies at a place of the flat tube: a bend or a leg."""
    for i, (start, finish) in enumerate(zip(tube.starts, tube.finishes, strict=True)):
        if flat < start:
            return leg_name(i, tube.bends)
        if flat <= finish:
            return f"bend {i + 1}"
    return leg_name(tube.bends, tube.bends)


def up_to_tenth(mm: float) -> str:
    """Write a length that must not be undercut: to a tenth, rounded up."""
    return f"{ceil(mm * 10.0 - 1e-4) / 10.0:.1f}"
