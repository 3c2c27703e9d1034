"""A commented job to start from: it reads, it passes its checks, and each line says what it could be instead."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from pipemodel.job.quantities import parse_non_negative_length, parse_positive_length
from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.units import Language
from pipemodel.messages.values import Name, message
from pipemodel.trade.formers import generic_former
from pipemodel.trade.model import UnknownSizeError
from pipemodel.trade.tubes import find_tube


@dataclass(frozen=True)
class Wishes:
    """What a starter job is asked for, as text with units where the user gave them; `radius` is None for generic."""

    name: str = ""
    tube: str = "15"
    radius: str | None = None
    clearance: str = "5"
    language: Language = "en"

    @property
    def usual_name(self) -> str:
        """The name of a job that nobody named."""
        return JobLines(self.language).words(message("starter.name"))


def starter(wishes: Wishes) -> JobLines:
    """Return a commented job for a tube: a tail along a wall and up it, past a boxing.

    Its legs are as long as the bends need, whatever the tube. Values that cannot be read are written all the same;
    reading the job says what is wrong with them.
    """
    radius, outside, straight, clear = _sizes(wishes)
    leg = 50 * ceil((2.0 * radius + straight + clear + 60.0) / 50.0)
    off = 5 * ceil((outside / 2.0 + clear + 10.0) / 5.0)
    lines = JobLines(wishes.language)
    names = {key: lines.named(message(f"starter.{key}")) for key in ("wall", "floor", "pipe", "tail")}
    lines.say(lines.words(message("starter.opening")))
    lines.say()
    lines.name(wishes.name or wishes.usual_name, "--name")
    lines.about(message("starter.tube"))
    lines.give("tube: ", wishes.tube, "--tube")
    lines.about(message("starter.former"))
    if wishes.radius is None:
        lines.say("# former: {radius: 55, springback: {fixed: 1, per_degree: 0.02}, mark: 0, hold: 60, guide: 45}")
    else:
        lines.say("former:")
        lines.give("  radius: ", wishes.radius, "--radius")
        lines.say("  # springback: {fixed: 1, per_degree: 0.02}     # pull = angle + fixed + per_degree x angle")
        lines.say("  # mark: 0")
        lines.say("  # hold: 60")
        lines.say(f"  # guide: 45     # {lines.words(message('starter.own former'))}")
    lines.about(message("starter.clearance"))
    lines.give("clearance: ", wishes.clearance, "--clearance")
    lines.about(message("starter.seen from"))
    lines.say("seen from: south")
    lines.about(message("starter.parameters"))
    lines.say(f"parameters:\n  rise: {leg + 50}")
    lines.about(message("starter.room"))
    lines.say(_room(leg, names))
    lines.about(message("starter.runs"))
    lines.say(_moves(names, lines))
    axis = lines.words(message("starter.axis", off=Name(str(off), quoted=False)))
    lines.say(f"runs:\n  {names['tail']}:\n    start: [0, 0, 0]\n    route:\n      - right: {leg}")
    lines.say(f"      - in: {{to face of: {names['wall']}, standoff: {off}}}     # {axis}")
    lines.say("      - up: ${rise}")
    return lines


def _sizes(wishes: Wishes) -> tuple[float, float, float, float]:
    """Return radius, outside diameter, straight needed beside a bend, and clearance; the usual for what is wrong."""
    try:
        tube = find_tube(wishes.tube)
        former = generic_former(tube)
        radius = former.radius_mm if wishes.radius is None else parse_positive_length(wishes.radius)
        clear = parse_non_negative_length(wishes.clearance)
        return radius, tube.outside_mm, max(former.hold_mm, former.guide_mm), clear
    except (ValueError, UnknownSizeError):
        return 55.0, 15.0, 60.0, 5.0


def _room(leg: int, names: Mapping[str, str]) -> str:
    far, low = leg // 2, -leg - 50
    along, across = f"[{far}, {low}, {-leg - 25}]", f"[{far}, {3 * leg}, {-leg - 25}]"
    return "\n".join(
        (
            "room:",
            f"  {names['wall']}: {{face: {{at: [0, {2 * leg}, 0], facing: south}}}}",
            f"  {names['floor']}: {{face: {{at: [0, 0, {low}], facing: up}}}}",
            f"  {names['pipe']}: {{cylinder: {{from: {along}, to: {across}, diameter: 43}}}}",
        )
    )


def _moves(names: Mapping[str, str], lines: JobLines) -> str:
    """Return the moves that a run may be made of, as comments."""
    offered = (
        ("go: 600", "go"),
        ("go: {to back: 600}", "back"),
        (f"go: {{to face of: {names['wall']}, gap: 10}}", "face"),
        ("turn: up", "turn"),
        ("turn: {to: up, angle: 30}", "angle"),
        ("north: 600", "north"),
        ("set: {offset: 60, to: north, angle: 30}", "set"),
        (f"pass over: {{thing: {names['pipe']}, gap: 10, angle: 45}}", ""),
    )
    said = [(f"#   - {move}", lines.words(message(f"starter.{word}")) if word else "") for move, word in offered]
    points = f"{lines.words(message('starter.corners'))}  points: [[0, 0, 0], [600, 0, 0], [600, 400, 0]]"
    return "\n".join([*(f"{move:<50}{what}".rstrip() for move, what in said), points])
