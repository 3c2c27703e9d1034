"""What a calibration says, for reading: each figure with its uncertainty, and what looks wrong."""

from pipemodel.bending.calibrate import Calibration, Estimate
from pipemodel.handover.plain import shown, to_ascii


def calibration_text(result: Calibration, pieces: int, ascii: bool = False) -> str:
    """Return the figures of a calibrated former as text."""
    lines = [f"From {pieces} test piece{'s' if pieces != 1 else ''}, each figure with its 95 % interval:", ""]
    lines += [
        _line("finished radius", result.radius_mm, "mm", 1),
        _line("mark offset", result.mark_mm, "mm", 1),
        _line("springback, fixed", result.fixed_deg, "degrees", 2),
        _line("springback, per degree", result.per_degree, "", 4),
        "",
    ]
    for doubt in result.doubts:
        unit = "mm" if "back" in doubt.reading else "degrees"
        lines.append(
            f"Piece {shown(doubt.piece)}: its {doubt.reading} looks wrong by {abs(doubt.off_by):.1f} {unit} "
            f"({'more' if doubt.off_by > 0 else 'less'} than the others say). Measure it again."
        )
    lines += [f"Note: {note}." for note in result.notes]
    text = "\n".join(lines).rstrip() + "\n"
    return to_ascii(text) if ascii else text


def _line(name: str, estimate: Estimate | None, unit: str, digits: int) -> str:
    if estimate is None:
        return f"  {name:<24}not measured by these pieces"
    if estimate.more_to_halve is None:
        return f"  {name:<24}not settled by these pieces: measure other angles, or to both backs"
    more = f"{estimate.more_to_halve} more like these would halve that"
    return (
        f"  {name:<24}{estimate.value:.{digits}f} \u00b1 {estimate.uncertainty:.{digits}f} {unit}".rstrip()
        + f"   {more}"
    )
