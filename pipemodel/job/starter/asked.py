"""Jobs of a few measures taken on site: round a step in the wall, and a tail up to a radiator's valve.

Both are seen from the room: the wall is to the north, and the fitter stands south of it.
"""

from collections.abc import Mapping

from pipemodel.job.quantities import parse_length
from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.units import Language
from pipemodel.messages.values import Message, message
from pipemodel.trade.model import UnknownSizeError
from pipemodel.trade.tubes import find_tube

_BEYOND_MM = 1000.0
"""So much farther than the run goes what it runs along."""


def round_a_step(answers: Mapping[str, str], language: Language) -> JobLines:
    """Return a job of a set that brings the tube clear of a step in the wall, as late as it can.

    Args:
        answers: `tube`; `near`, from the wall to the near side of the tube; `at`, from the tube's end to the step;
            `out`, how far the step stands out; `gap`, from the step to the near side; `angle` of the bends; and
            `after`, from the second bend to the other end.
        language: the language of names and papers.
    """
    off, at, out, after = _off_the_wall(answers), *(parse_length(answers[key]) for key in ("at", "out", "after"))
    lines = _head(answers, message("ask.set round a step"), language, off)
    step = lines.named(message("ask.step"))
    lines.say(f"  {step}:")
    lines.say("    box:")
    lines.say(f"      from: [{at:.10g}, {off - out:.10g}, -300]")
    lines.say(f"      to: [{at + after + _BEYOND_MM:.10g}, {off:.10g}, 300]")
    lines.begin_run()
    lines.say("      - turn: right")
    lines.say("      - set:")
    lines.say(f"          clear: {step}")
    lines.give("          gap: ", answers["gap"], "gap")
    lines.say("          to: out")
    lines.give("          angle: ", answers["angle"], "angle")
    lines.give("      - go: ", answers["after"], "after")
    return lines


def radiator_tail(answers: Mapping[str, str], language: Language) -> JobLines:
    """Return a job of a tail that comes up out of the floor and goes over to the valve by a set.

    Args:
        answers: `tube`; `near`, from the wall to the near side of the tube where it comes up; `valve`, from the wall to
            the middle of the valve; `side`, how far right of the tube the valve stands, below 0 for left; `rise`, from
            the floor to the valve's mouth; `straight`, the straight tube below the valve; and `angle` of the bends.
        language: the language of names and papers.
    """
    off = _off_the_wall(answers)
    out, right = off - parse_length(answers["valve"]), parse_length(answers["side"])
    sides = {("in" if out > 0.0 else "out"): abs(out), ("right" if right > 0.0 else "left"): abs(right)}
    moved = {word: mm for word, mm in sides.items() if mm > 0.0}
    lines = _head(answers, message("ask.radiator tail"), language, off)
    lines.begin_run()
    if not moved:
        lines.give("      - up: ", answers["rise"], "rise")
        return lines
    lines.say("      - turn: up")
    lines.say("      - set:")
    if len(moved) == 1:
        ((word, mm),) = moved.items()
        lines.say(f"          to: {word}")
        lines.say(f"          offset: {mm:.10g}")
    else:
        lines.say("          to:")
        for word, mm in moved.items():
            lines.say(f"            {word}: {mm:.10g}")
    lines.give("          angle: ", answers["angle"], "angle")
    lines.give("          last bend: ", f"${{({answers['rise']}) - ({answers['straight']})}}", "straight")
    lines.give("      - go: ", answers["straight"], "straight")
    return lines


def _off_the_wall(answers: Mapping[str, str]) -> float:
    """Return how far the tube's axis is off the wall; a size that is not known is named with the whole job."""
    try:
        outside = find_tube(answers["tube"]).outside_mm
    except UnknownSizeError:
        outside = 0.0
    return parse_length(answers["near"]) + outside / 2.0


def _head(answers: Mapping[str, str], what: Message, language: Language, off: float) -> JobLines:
    """Begin a job with its wall, so far north of the tube's axis."""
    lines = JobLines(language)
    lines.say(f"# {lines.words(message('ask.about the job'))}")
    lines.name(lines.words(what), "name")
    lines.say("seen from: south")
    lines.give("tube: ", answers["tube"], "tube")
    lines.say("room:")
    lines.say(f"  {lines.named(message('ask.wall'))}:")
    lines.say("    face:")
    lines.say(f"      at: [0, {off:.10g}, 0]")
    lines.say("      facing: south")
    return lines
