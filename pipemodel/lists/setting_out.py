"""Where every start, corner, finish and clip is, measured from faces of the room that a tape can be put to."""

from pipemodel.checks.datums import Datum, SetOutPlace, datums, places_to_set_out
from pipemodel.lists.blocks import Content, Group, Paragraph
from pipemodel.lists.table import CellValue, Column, For, Kind, Table
from pipemodel.messages.values import Message, message
from pipemodel.results.results import Results

WAYS = ("east-west", "north-south", "height")
TAPED_WAYS = (
    Column("east-west", Kind.TAPED, said=message("setting out.east-west")),
    Column("north-south", Kind.TAPED, said=message("setting out.north-south")),
    Column("height", Kind.TAPED),
)
"""What is put to a tape, in the three directions; their heads are broken, for other columns to have room."""
COLUMNS = (
    Column("run"),
    Column("place"),
    *TAPED_WAYS,
    *(Column(f"{way} from", who=For.DATA) for way in WAYS),
    *(Column(axis, Kind.FULL) for axis in "xyz"),
)


def setting_out(results: Results) -> Content:
    """Return the places of all runs, each measured from three datums."""
    schedule = results.schedule
    planes = datums(schedule)
    clips = [[clip.point for clip in plan.clips] if plan is not None else [] for plan in results.clips]
    rows = tuple(_row(place, planes) for place in places_to_set_out(schedule, clips))
    table = Table(COLUMNS, rows)
    said = Paragraph(datums_said(planes))
    return Content(table, (Group((said, table)),))


def datums_said(planes: tuple[Datum, Datum, Datum]) -> Message:
    """Say what everything is measured from."""
    first, second, third = (datum.said for datum in planes)
    return message("setting out.from", first=first, second=second, third=third)


def _row(place: SetOutPlace, planes: tuple[Datum, Datum, Datum]) -> tuple[CellValue, ...]:
    measured = (datum.measure(place.point) + 0.0 for datum in planes)
    names = (datum.said for datum in planes)
    return (place.run, place.said, *measured, *names, *place.point)
