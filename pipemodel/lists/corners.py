"""Every run's start, corners and finish, and which way the leg from there goes."""

from collections.abc import Iterator

from pipemodel.geometry.vectors import Vec3, distance, scale, sub
from pipemodel.lists.blocks import Content
from pipemodel.lists.table import CellValue, Column, Kind, Table, Words
from pipemodel.messages.values import word
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.phrases import point_words

COLUMNS = (
    Column("run"),
    Column("point", Kind.COUNT),
    Column("what"),
    Column("at"),
    Column("to the next point", Kind.ROUNDED),
    *(Column(axis, Kind.FULL) for axis in "xyz"),
    *(Column(f"goes {way}", Kind.SHARE) for way in ("east", "north", "up")),
)


def corners(results: Results) -> Content:
    """Return the corners of what is bent."""
    return Content(Table(COLUMNS, tuple(row for piece in results.pieces for row in _rows(piece))))


def _rows(piece: Piece) -> Iterator[tuple[CellValue, ...]]:
    points = piece.solved.run.route.corners
    for number, here in enumerate(points, 1):
        what = {1: "start", len(points): "finish"}.get(number, "corner")
        onward = points[number] if number < len(points) else here
        far = distance(here, onward)
        way = scale(sub(onward, here), 1.0 / far) if far > 0.0 else (None, None, None)
        yield (piece.name, number, word(what), _at(here), far or None, *here, *way)


def _at(point: Vec3) -> Words:
    return lambda units: point_words(point, units)
