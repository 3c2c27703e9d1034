"""The page's script with its words in the reader's language.

In a script `«name»` stands for the words of a template, `«name|n=this.here»` for those of one with values: each is
what the script works out, so that the words are between backquotes.
"""

import re

from pipemodel.messages.say import say
from pipemodel.messages.units import Units
from pipemodel.messages.values import Message, Name

_SAID = re.compile("«([^«»|]+)((?:\\|[^«»|]+)*)»")


def worded(script: str, units: Units) -> str:
    """Return a script with the words that it shows."""
    return _SAID.sub(lambda found: say(message_of(found), units), script)


def message_of(found: re.Match[str]) -> Message:
    """Return the message that stands at a place of a script, its values as the script works them out."""
    values = (value.split("=", 1) for value in found[2].split("|")[1:])
    return Message(found[1], tuple((name, Name(f"${{{shown}}}", quoted=False)) for name, shown in values))
