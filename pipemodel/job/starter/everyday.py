"""Everyday bends as job files: a bend to a measure, a set, a rolled set and a passover.

Each piece starts at the origin and heads east. Flags keep the text they were given as, units and all, so that the
job reads the way it was asked for.
"""

from collections.abc import Mapping

from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.units import Language
from pipemodel.messages.values import Message, Name, message

_FORMER = (
    ("radius", "    radius: "),
    ("mark", "    mark: "),
    ("hold", "    hold: "),
    ("guide", "    guide: "),
)
_SPRINGBACK = (("springback", "      fixed: "), ("springback_per_degree", "      per_degree: "))


def bend_to_measure(flags: Mapping[str, str], language: Language = "en") -> JobLines:
    """Return a job of one bend, both legs given to the centre, back or inside of it."""
    lines = _head(flags, message("bend.to a measure"), language)
    measure = flags["measure"]
    lines.give(f"      - east: {{to {measure}: ", flags["first"], "--first")
    lines.end("}")
    if flags["angle"] == "90":
        lines.give(f"      - up: {{{_away(measure)}: ", flags["second"], "--second")
    else:
        lines.say("      - turn:")
        lines.say("          to: up")
        lines.give("          angle: ", flags["angle"], "--angle")
        lines.give(f"      - go: {{{_away(measure)}: ", flags["second"], "--second")
    lines.end("}")
    return lines


def plain_set(flags: Mapping[str, str], language: Language = "en") -> JobLines:
    """Return a job of one set, rolled when it has a rise; where it lands is the one of four flags that is given."""
    rolled = "rise" in flags
    lines = _head(flags, message("bend.rolled set" if rolled else "bend.set"), language)
    place = next(name for name in ("back", "first_bend", "centre", "last_bend") if name in flags)
    if place == "back":
        lines.give("      - east: {to back: ", flags["back"], "--back")
        lines.end("}")
    else:
        lines.say("      - turn: east")
    lines.say("      - set:")
    lines.say("          to: " + ("north" if rolled else "up"))
    lines.give("          offset: ", flags["offset"], "--offset")
    lines.give("          rise: ", flags.get("rise"), "--rise")
    lines.give("          angle: ", flags["angle"], "--angle")
    if place != "back":
        key = place.replace("_", " ")
        lines.give(f"          {key}: ", flags[place], "--" + place.replace("_", "-"))
    lines.give("      - go: ", flags["after"], "--after")
    return lines


def passover(flags: Mapping[str, str], total: str, language: Language = "en") -> JobLines:
    """Return a job of one passover, over a round thing that lies square across the piece.

    Args:
        flags: what was asked.
        total: how long the run is, from end to end.
        language: the language of names and papers.
    """
    lines = _head(flags, message("bend.passover"), language, room=True)
    obstacle = lines.named(message("bend.obstacle"))
    lines.give("      - east: ", total, "--total")
    lines.say("      - pass over:")
    lines.say(f"          thing: {obstacle}")
    lines.give("          gap: ", flags["gap"], "--gap")
    lines.give("          bends: ", flags["bends"], "--bends")
    lines.give("          angle: ", flags["angle"], "--angle")
    return lines


def _away(measure: str) -> str:
    return "to centre" if measure == "centre" else f"from {measure}"


def _head(flags: Mapping[str, str], what: Message, language: Language, room: bool = False) -> JobLines:
    """Begin a job; the papers are in the language that its names are in."""
    lines = JobLines(language)
    named = lines.words(what)
    lines.say(f"# {lines.words(message('bend.about', what=Name(named, quoted=False)))}")
    lines.name(flags.get("name", named), "--name")
    lines.give("tube: ", flags["tube"], "--tube")
    if "former" in flags:
        lines.give("former: ", flags["former"], "--former")
    elif "radius" in flags:
        lines.say("former:")
        for name, before in _FORMER:
            lines.give(before, flags.get(name), "--" + name)
        if any(name in flags for name, _ in _SPRINGBACK):
            lines.say("    springback:")
            for name, before in _SPRINGBACK:
                lines.give(before, flags.get(name), "--" + name.replace("_", "-"))
    if room:
        lines.say("room:")
        lines.say(f"  {lines.named(message('bend.obstacle'))}:")
        lines.say("    cylinder:")
        for end, y in (("from", -200), ("to", 200)):
            lines.say(f"      {end}:")
            lines.give("        - ", flags["at"], "--at")
            lines.say(f"        - {y}")
            lines.give("        - ", flags["level"], "--level")
        lines.give("      diameter: ", flags["over"], "--over")
    lines.begin_run()
    return lines
