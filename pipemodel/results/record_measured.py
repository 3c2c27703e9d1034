"""The record of what was measured with a tape."""

from pipemodel.job.measured import MeasuredRoom
from pipemodel.results.plain import Record, fields_of


def measured_record(taped: MeasuredRoom) -> Record:
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
                **fields_of(one.reading, "kind points"),
                "reading_mm": one.reading.mm,
                "sd_mm": one.reading.sd_mm,
                **fields_of(one, "adjusted_mm residual_mm redundancy checked misread likely_mm"),
            }
            for one in adjusted.readings
        ],
        "walls": [wall._asdict() for wall in taped.walls],
    }
