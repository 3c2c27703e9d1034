"""The record of what was measured with a tape."""

from typing import Any

from pipemodel.job.measured import MeasuredRoom


def measured_record(taped: MeasuredRoom) -> dict[str, Any]:
    """Return the points with their covariance (mm, mm²), what became of each reading, and the walls."""
    adjusted = taped.adjusted
    return {
        "tape_sd_mm": taped.tape_mm,
        "points": [
            {
                "name": name,
                "point": list(place),
                "cov_mm2": [list(row) for row in adjusted.covariance.of(name)],
                "found": name in taped.sought,
            }
            for name, place in adjusted.places.items()
        ],
        "readings": [
            {
                "kind": one.reading.kind,
                "points": list(one.reading.points),
                "reading_mm": one.reading.mm,
                "sd_mm": one.reading.sd_mm,
                "adjusted_mm": one.adjusted_mm,
                "residual_mm": one.residual_mm,
                "redundancy": one.redundancy,
                "checked": one.checked,
                "misread": one.misread,
                "likely_mm": one.likely_mm,
            }
            for one in adjusted.readings
        ],
        "walls": [wall._asdict() for wall in taped.walls],
    }
