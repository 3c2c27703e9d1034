"""What is said on the screen of a room file that was made of a model."""

from pathlib import Path

from pipemodel.messages.say import words
from pipemodel.messages.units import Language, units_for
from pipemodel.messages.values import Count, Name, Value, listed, message
from pipemodel.models.room_text import counts_of, open_ones
from pipemodel.models.values import Model


def room_said(model: Model | None, out: Path, language: Language) -> str:
    """Return a few lines: what is in the room file, and what was left out; None for a file that is up to date."""
    units = units_for("mm", language)

    def line(template: str, **values: Value) -> str:
        return words(units, template, **values) + "\n"

    if model is None:
        return line("model.same", file=Name(str(out), quoted=False))
    kinds = counts_of(model)
    file = Name(str(out), quoted=False)
    parts = [message(f"model.{kind}", n=Count(n)) for kind, n in sorted(kinds.items())]
    if parts:
        text = line("model.things", file=file, elements=Count(len(model.elements)), kinds=listed(parts, ","))
    else:
        text = line("model.nothing", file=file)
    if opened := open_ones(model):
        text += line("model.open", n=Count(len(opened)))
    if model.left_out:
        text += line("model.left out", n=Count(len(model.left_out)))
    if model.further:
        text += line("model.further", n=Count(model.further))
    if any(model.moved_mm):
        text += line("model.moved")
    if not model.unit_given:
        text += line("model.no unit")
    return text
