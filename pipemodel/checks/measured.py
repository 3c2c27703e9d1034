"""Is the room as measured: readings that go with no others, points that nothing checks, walls off square."""

from pipemodel.adjustment.readings import AdjustedReading, TapeReading
from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Finding
from pipemodel.job.measured import MeasuredRoom, Wall
from pipemodel.messages.values import Angle, Length, Message, Name, Number, listed, message

CHECK = "measured"
SQUARE_MM = 1.0
"""A wall that is off square by less over its length is square. Common practice, no source."""


def measured(schedule: Schedule) -> tuple[Finding, ...]:
    """Check what was measured with a tape; nothing is said of a job that has none of it."""
    taped = schedule.job.measured
    if taped is None:
        return ()
    return (*_misread(taped), *_unchecked(taped), *_off_square(taped))


def _misread(taped: MeasuredRoom) -> list[Finding]:
    out = [r for r in taped.adjusted.readings if r.misread]
    if not out:
        return []
    one = out[0]
    if len(out) == 1:
        said = message(
            "measured.misread",
            reading=reading_words(one.reading),
            mm=Length(one.reading.mm, ".1f"),
            likely=Length(one.likely_mm, ".0f"),
            test=Number(abs(one.test), ".1f"),
        )
    else:
        said = message("measured.misread one of", readings=listed([_likely(r) for r in out], ","))
    return [Finding("M101", CHECK, "warning", said, distance_mm=one.reading.mm, required_mm=one.likely_mm, basis=BASIS)]


BASIS = "each residual in its own standard deviations against 3.29 (0.1 %): W. Baarda, 1968; from memory"


def _likely(one: AdjustedReading) -> Message:
    return message(
        "measured.likely",
        reading=reading_words(one.reading),
        mm=Length(one.reading.mm, ".1f"),
        likely=Length(one.likely_mm, ".0f"),
    )


def _unchecked(taped: MeasuredRoom) -> list[Finding]:
    checked = {name for r in taped.adjusted.readings if r.checked for name in r.reading.points}
    loose = [name for name in taped.sought if name not in checked]
    if not loose:
        return []
    said = message("measured.unchecked", points=listed([Name(name, quoted=False) for name in loose]))
    return [Finding("M102", CHECK, "warning", said)]


def _off_square(taped: MeasuredRoom) -> list[Finding]:
    return [
        Finding("M103", CHECK, "note", wall_words(wall), distance_mm=wall.off_mm)
        for wall in taped.walls
        if wall.off_mm is not None and wall.off_mm >= SQUARE_MM
    ]


def wall_words(wall: Wall) -> Message:
    """Return how far a wall is off square to the one it should be square to."""
    return message(
        "measured.off square",
        wall=Name(wall.name),
        other=Name(wall.square_to),
        angle=Angle(wall.off_deg or 0.0),
        long=Length(wall.long_mm, ".0f"),
        off=Length(wall.off_mm or 0.0, ".0f"),
    )


def reading_words(reading: TapeReading) -> Message:
    """Return what a reading goes between."""
    a, b, *rest = (Name(name, quoted=False) for name in reading.points)
    if reading.kind == "square off":
        return message("measured.square off", a=a, b=b, c=rest[0])
    if reading.kind == "level":
        return message("measured.level", a=a, b=b)
    return message("measured.distance", a=a, b=b)
