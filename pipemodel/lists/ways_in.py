"""How each run is brought to its place: the way step by step with its pictures, or why there is none."""

from collections.abc import Iterator

from pipemodel.lists.blocks import Content, Facts, Group, Paragraph, Part, Picture
from pipemodel.lists.table import CellValue, Column, For, Kind, Table, Words
from pipemodel.messages.values import Length, Message, Name, Value, message
from pipemodel.results.results import Results
from pipemodel.results.ways_shown import WayShown

COLUMNS = (
    Column("run"),
    Column("step", Kind.COUNT),
    Column("motion", who=For.DATA),
    Column("what to do", letters=60),
    *(Column(axis, Kind.FULL) for axis in "xyz"),
    *(Column(f"turn {part}", Kind.SHARE) for part in "wxyz"),
)
ANSWERS = {(True, False): "found", (False, True): "impossible", (False, False): "not found"}


def ways_in(results: Results) -> Content | None:
    """Return the ways in, None where the job asks for none."""
    if not results.ways_shown:
        return None
    table = Table(COLUMNS, tuple(row for one in results.ways_shown for row in _rows(one)))
    groups = tuple(
        Group(tuple(_parts(number, one, table, results)), one.way.run) for number, one in enumerate(results.ways_shown)
    )
    return Content(table, groups)


def answer(shown: WayShown) -> Message:
    """Say in a few words whether a run can be brought in, and by what."""
    way = shown.way
    through: Value = message("nothing")
    if way.opening:
        through = message("way in.by opening", opening=Name(way.opening, quoted=False))
    if way.found:
        return message("way in.found", through=through)
    return message("way in.impossible" if way.impossible else "way in.not found", through=through)


def _rows(shown: WayShown) -> Iterator[tuple[CellValue, ...]]:
    way = shown.way
    if shown.words is None:
        yield (way.run, None, ANSWERS[way.found, way.impossible], way.why_not or answer(shown), *(None,) * 7)
        return
    for number, step in enumerate(shown.words.steps):
        pose = way.states[step.last]
        yield (way.run, number, step.kind, step.said, *pose.position, *pose.rotation)


def _parts(number: int, shown: WayShown, table: Table, results: Results) -> Iterator[Part]:
    way = shown.way
    rows: list[tuple[Words, Words]] = [(message("way in.label answer"), answer(shown))]
    if way.least_mm is not None:
        rows.append((message("way in.label least"), message("way in.least", least=Length(way.least_mm, ".1f", "down"))))
    rows.append((message("way in.label margin"), message("way in.least", least=Length(way.margin_mm, "g"))))
    yield Facts(tuple(rows))
    if shown.words is None:
        if way.why_not is not None:
            yield Paragraph(way.why_not, "wrong")
        return
    yield table.of(way.run)
    yield Paragraph(shown.words.rounding)
    yield Paragraph(message("way in.caution"), "aside")
    for sheet in results.drawings.of_way_in(shown.solved, way, shown.words.steps, shown.opening):
        yield Picture(sheet, message("way in.frames"))
