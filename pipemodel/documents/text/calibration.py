"""What a calibration says, for reading: how far to pull, each figure with its interval, and what looks wrong."""

from collections.abc import Iterable

from pipemodel.calibration.pieces_file import Pieces
from pipemodel.calibration.values import Calibration, Estimate, Mistake
from pipemodel.wording.safe_text import shown, to_ascii

WIDE = 24


def calibration_text(result: Calibration, read: Pieces, ascii: bool = False) -> str:
    """Return what the test pieces say of their former as text."""
    count = len(read.pieces)
    lines = [f"From {count} test piece{'s' if count != 1 else ''}, each figure with its 95 % interval:", ""]
    if result.pulls:
        lines += [
            f"  {f'for {p.angle_deg:g} pull to':<{WIDE}}{p.pull_deg:.1f} \u00b1 {p.uncertainty:.1f} degrees"
            for p in result.pulls
        ]
        lines.append("")
    lines += [
        _line("finished radius", result.radius_mm, "mm", 1),
        _line("mark offset", result.mark_mm, "mm", 1),
        _line("springback, fixed", result.fixed_deg, "degrees", 2),
        _line("springback, per degree", result.per_degree, "", 4),
        _measured("hold", read.hold_mm),
        _measured("guide", read.guide_mm),
        "",
        *_wrong(result),
    ]
    if result.fixed_deg and result.per_degree:
        lines.append(
            "Note: the two parts of springback are surer together than apart; go by the pulls, and set their readings "
            "as well as you read the test pieces."
        )
    if read.hold_mm is None or read.guide_mm is None:
        lines.append(
            "Note: hold and guide that stand neither here nor in the former's file come from the generic former of the "
            "tube's size; measure them on the bender with a tape, and write hold and guide beside the tube."
        )
    lines += [f"Note: {note}." for note in result.notes]
    text = "\n".join(lines).rstrip() + "\n"
    return to_ascii(text) if ascii else text


def _wrong(result: Calibration) -> Iterable[str]:
    for suspicion in result.suspicions:
        yield f"These figures are not a former's: {suspicion}."
    for n, mistake in enumerate(result.mistakes):
        yield f"{'Or' if n else 'Probably'} {_happened(mistake)}."
    if result.suspicions or result.mistakes:
        yield "Measure again; if the readings are right as they stand, say --as-measured."
    if len(result.doubts) > 1:
        yield "One of these readings is wrong; the others are too few to say which:"
    for doubt in result.doubts:
        unit = "mm" if "back" in doubt.reading else "degrees"
        yield (
            f"Piece {shown(doubt.piece)}: its {doubt.reading} looks wrong by {abs(doubt.off_by):.1f} {unit} "
            f"({'more' if doubt.off_by > 0 else 'less'} than the others say). Measure it again."
        )


def _happened(mistake: Mistake) -> str:
    where = f"in piece {', '.join(map(shown, mistake.pieces))} " if mistake.pieces else ""
    then = [
        f"{name} {value:.1f} mm"
        for name, value in (("radius", mistake.radius_mm), ("mark", mistake.mark_mm))
        if value is not None
    ]
    return f"{where}{mistake.what}" + (f" (then {', '.join(then)})" if then else "")


def _measured(name: str, value: float | None) -> str:
    return f"  {name:<{WIDE}}" + ("not given" if value is None else f"{value:g} mm, as measured on the bender")


def _line(name: str, estimate: Estimate | None, unit: str, digits: int) -> str:
    if estimate is None:
        return f"  {name:<{WIDE}}not measured by these pieces"
    if estimate.more_to_halve is None:
        return f"  {name:<{WIDE}}not settled by these pieces: measure other angles, or to both backs"
    more = f"{estimate.more_to_halve} more like these would halve that"
    return (
        f"  {name:<{WIDE}}{estimate.value:.{digits}f} \u00b1 {estimate.uncertainty:.{digits}f} {unit}".rstrip()
        + f"   {more}"
    )
