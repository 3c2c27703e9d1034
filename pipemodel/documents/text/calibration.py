"""What a calibration says, for reading: how far to pull, each figure with its interval, and what looks wrong."""

from collections.abc import Iterable

from pipemodel.calibration.pieces_file import Pieces
from pipemodel.calibration.values import Calibration, Doubt, FittedFigure, MeasuringMistake
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, Message, Name, Number, Word, listed, message
from pipemodel.wording.safe_text import shown, to_ascii

WIDE = 24
_DEGREES = message("calibration.degrees")
_MM = message("several", said=Name("mm", quoted=False))
_NO_UNIT = message("nothing")


def calibration_text(result: Calibration, read: Pieces, ascii: bool = False, units: Units = MM) -> str:
    """Return what the test pieces say of their former as text; lengths in mm, whatever the units."""
    units = units.metric
    lines = [words(units, "calibration.from", n=Count(len(read.pieces))), ""]
    for pull in result.pulls:
        wanted = message("calibration.pull", angle=Number(pull.angle_deg))
        lines.append(_row(wanted, _within(pull.pull_deg, pull.uncertainty, 1, _DEGREES), units))
    lines += [
        *([""] if result.pulls else ()),
        _line(message("calibration.radius"), result.radius_mm, _MM, 1, units),
        _line(message("calibration.mark"), result.mark_mm, _MM, 1, units),
        _line(message("calibration.fixed"), result.fixed_deg, _DEGREES, 2, units),
        _line(message("calibration.per degree"), result.per_degree, _NO_UNIT, 4, units),
        _row(message("calibration.hold"), _measured(read.hold_mm), units),
        _row(message("calibration.guide"), _measured(read.guide_mm), units),
        "",
        *(say(said, units) for said in _wrong(result)),
    ]
    if result.fixed_deg and result.per_degree:
        lines.append(words(units, "calibration.law"))
    if read.hold_mm is None or read.guide_mm is None:
        lines.append(words(units, "calibration.hold and guide"))
    lines += [words(units, "calibration.note", note=note) for note in result.notes]
    text = "\n".join(lines).rstrip() + "\n"
    return to_ascii(text, units.language) if ascii else text


def _wrong(result: Calibration) -> Iterable[Message]:
    for suspicion in result.suspicions:
        yield message("calibration.not a former", why=suspicion)
    for n, mistake in enumerate(result.mistakes):
        yield message("calibration.or" if n else "calibration.probably", what=_happened(mistake))
    if result.suspicions or result.mistakes:
        yield message("calibration.measure again")
    if len(result.doubts) > 1:
        yield message("calibration.one of these")
    yield from map(_doubted, result.doubts)


def _doubted(doubt: Doubt) -> Message:
    return message(
        "calibration.too much" if doubt.off_by > 0 else "calibration.too little",
        piece=Name(shown(doubt.piece), quoted=False),
        reading=Word(doubt.reading),
        off=Number(abs(doubt.off_by), ".1f"),
        unit=_MM if "back" in doubt.reading else _DEGREES,
    )


def _happened(mistake: MeasuringMistake) -> Message:
    what, then = mistake.what, []
    if mistake.pieces:
        pieces = listed([Name(shown(piece), quoted=False) for piece in mistake.pieces], ",")
        what = message("calibration.in pieces", pieces=pieces, what=what)
    if mistake.radius_mm is not None:
        then.append(message("calibration.then radius", value=Number(mistake.radius_mm, ".1f")))
    if mistake.mark_mm is not None:
        then.append(message("calibration.then mark", value=Number(mistake.mark_mm, ".1f")))
    return message("calibration.then", what=what, figures=listed(then, ",")) if then else what


def _row(name: Message, figure: Message, units: Units) -> str:
    return f"  {say(name, units):<{WIDE}}{say(figure, units)}".rstrip()


def _within(value: float, within: float, digits: int, unit: Message) -> Message:
    form = f".{digits}f"
    return message("calibration.within", value=Number(value, form), within=Number(within, form), unit=unit)


def _measured(value: float | None) -> Message:
    if value is None:
        return message("calibration.not given")
    return message("calibration.on the bender", length=Number(value))


def _line(name: Message, estimate: FittedFigure | None, unit: Message, digits: int, units: Units) -> str:
    if estimate is None:
        return _row(name, message("calibration.not measured"), units)
    if estimate.more_to_halve is None:
        return _row(name, message("calibration.not settled"), units)
    row = _row(name, _within(estimate.value, estimate.uncertainty, digits, unit), units)
    return f"{row}   {words(units, 'calibration.more', n=Count(estimate.more_to_halve))}"
