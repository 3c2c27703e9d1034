"""A change as a value: what it is of, what was and what is, and the sentence that says so."""

from dataclasses import dataclass
from typing import Any

from pipemodel.messages.say import parts_of, say, templates
from pipemodel.messages.units import LANGUAGES, Units, units_for
from pipemodel.messages.values import NOTHING, Count, Message, Value, Word, bare, message, word
from pipemodel.results.plain import Record, fields_of
from pipemodel.trade.model import Tube

CHANGES_FORMAT = "pipemodel.changes/1"


@dataclass(frozen=True)
class Change:
    """One change; `run` and `bend` are None where it is of the whole job, or of no bend."""

    run: str | None
    what: Message
    bend: int | None
    was: Any
    now: Any
    said: Message


@dataclass(frozen=True)
class Changes:
    """What changed from one pack of a job to the next, and whether the checks of both were compared."""

    job: str
    from_revision: str | None
    to_revision: str | None
    checks_compared: bool
    changes: tuple[Change, ...]

    @property
    def since(self) -> Message:
        """Against what the changes are listed, and how many there are."""
        was, now, n = self.from_revision, self.to_revision, len(self.changes)
        of = message("changes.from revision", revision=bare(was)) if was else message("changes.from earlier")
        to = message("changes.to revision", revision=bare(now)) if now else NOTHING
        only = NOTHING if self.checks_compared else message("changes.schedule only")
        if not n:
            return message("changes.none since", of=of, to=to, only=only)
        return message("changes.since", n=Count(n), of=of, to=to, only=only)


def change(run: str | None, what: str | Message, bend: int | None, was: Any, now: Any, said: Message) -> Change:
    """Return one change; `what` is a word of our tables, or several."""
    return Change(run, word(what) if isinstance(what, str) else what, bend, was, now, said)


def altered(run: str, what: str | Message, was: Value, now: Value) -> Message:
    """Return that something of a run changed from one value to another."""
    what = word(what) if isinstance(what, str) else what
    return message("changes.changed", run=bare(run), what=what, was=was, now=now)


def moved(run: str, what: str | Message, was: Value, now: Value) -> Message:
    """Return that something of a run moved from one place to another."""
    what = word(what) if isinstance(what, str) else what
    return message("changes.moved", run=bare(run), what=what, was=was, now=now)


def tube_called(tube: Record) -> Value:
    """Return the name of a tube in a record, with the words of our tables in it."""
    try:
        called = Tube(tube["outside_mm"], tube["wall_mm"], tube["name"], tube["material"]).called
        return called if str(called) == tube["name"] else bare(tube["name"])
    except (KeyError, TypeError, ValueError, AttributeError):
        return bare(tube["name"])


def former_called(former: Record) -> Value:
    """Return the name of a former in a record, with the words of our tables in it."""
    return read_back(former["name"], ("former.of radius",)) or Word(former["name"])


def read_back(english: str, names: tuple[str, ...]) -> Message | None:
    """Return the message that an English sentence of a record was made of, None if none of these templates fits.

    A record of an earlier pack holds some sentences as text alone. A value that some language chooses by comes back as
    a word, any other as the name it is.
    """
    for name in names:
        rest, values, chosen = english, dict[str, Value](), _chosen_by(name)
        parts = parts_of(templates("en")[name])
        for place, part in enumerate(parts):
            if isinstance(part, str):
                if not rest.startswith(part):
                    break
                rest = rest[len(part) :]
                continue
            after = parts[place + 1] if place + 1 < len(parts) else None
            end = len(rest) if after is None else rest.find(str(after))
            if end < 1:
                break
            value, rest = rest[:end], rest[end:]
            values[part.name] = Word(value) if part.name in chosen else bare(value)
        else:
            found = message(name, **values)
            if not rest and can_be_said(found):
                return found
    return None


def _chosen_by(name: str) -> set[str]:
    """The values of a template by which some language chooses its words."""
    parts = (part for language in LANGUAGES for part in parts_of(templates(language)[name]))
    return {part.name for part in parts if not isinstance(part, str) and part.choices}


def can_be_said(said: Message) -> bool:
    """Tell whether a message of a record, perhaps of another version, can be said in every language of this one."""
    try:
        return all(say(said, units_for("mm", language)) is not None for language in LANGUAGES)
    except (KeyError, TypeError, ValueError, AttributeError):
        return False


def changes_record(changes: Changes, units: Units) -> Record:
    """Return changes as plain data; mm and degrees, `text` for reading."""
    return {
        "format": CHANGES_FORMAT,
        **fields_of(changes, "job from_revision to_revision checks_compared"),
        "changes": [
            {
                "run": one.run,
                "what": str(one.what),
                "bend": one.bend,
                "from": one.was,
                "to": one.now,
                "text": say(one.said, units),
            }
            for one in changes.changes
        ],
    }
