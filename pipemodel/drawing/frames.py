"""A way in as frames: after each step the piece where it then is, pale where it was before, and the opening."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.annotate import point_out
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.in_place import LEAST_MM
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.lettering import wrapped
from pipemodel.drawing.panel import Panel, draw_seen, draw_tube
from pipemodel.drawing.primitives import Role
from pipemodel.drawing.projection import Solid, best_view, keys_along, see, standing_before, views_aside
from pipemodel.drawing.sheet import Sheet
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.vectors import UP, Vec3, dot, length, scale, sub, unit
from pipemodel.geometry.view import View
from pipemodel.job.model import Opening
from pipemodel.messages.say import capital, say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, Message, Name, Word
from pipemodel.solids.outlines import SeenTube
from pipemodel.ways_in.moves_in_words import Step, plane_of
from pipemodel.ways_in.poses import line_at
from pipemodel.ways_in.sprung_words import end_sprung
from pipemodel.ways_in.values import SprungEnd, WayIn
from pipemodel.wording.safe_text import shown

IN_A_ROW = 2
FRAME_MM, HIGH_MM, GAP_MM = 88.0, 66.0, 4.0
AROUND_MM = (9.0, 8.0)
LETTER_MM, WORDS_MM, LINE_MM = 2.7, 2.4, 3.6
ASIDE_DEG = (30.0, 45.0, 18.0)
"""From where frames are taken: so far to either side of straight into the opening, which is then seen open."""
_UPRIGHT = 0.9


class Frame(NamedTuple):
    """One frame: the number of its step, what is said, the axis of the piece before and after it, and what is sprung.

    Before the first step it is as it was bent, where it is sprung then.
    """

    number: int
    said: Message
    before: Centreline | None
    after: Centreline
    sprung: tuple[SprungEnd, ...]


def way_in_sheets(
    run: SolvedRun,
    way: WayIn,
    steps: Sequence[Step],
    opening: Opening | None,
    room: Sequence[Solid],
    there: Sequence[Solid],
    stands: Vec3,
    units: Units = MM,
) -> list[Sheet]:
    """Draw a way in as rows of frames, a sheet each.

    Args:
        run: what is brought in.
        way: its states.
        steps: its motions in words.
        opening: what it goes through.
        room: the things near the way.
        there: the runs that are there already.
        stands: the side on which the fitter stands, a level unit vector, where the opening does not say.
        units: units and language of the reader.
    """
    frames = _frames(run, way, steps)
    view = seen_from(run, way, opening, stands)
    tube = Solid(SeenTube(run.centreline, run.tube.outside_mm))
    before = standing_before([tube, *room], view)
    kept = [*there, *(solid for solid in room if solid.thing not in before)]
    flat = [view.flat(p) for frame in frames for p in _points(frame.after)]
    flat += [view.flat(p) for p in opening.corners] if opening else []
    around = ClipWindow.around(flat, run.tube.outside_mm)
    rows = [frames[i : i + IN_A_ROW] for i in range(0, len(frames), IN_A_ROW)]
    return [_row(run, row, view, around, kept, opening, units) for row in rows]


def _frames(run: SolvedRun, way: WayIn, steps: Sequence[Step]) -> list[Frame]:
    return [
        Frame(
            number,
            step.said,
            line_at(way.line_at(run.centreline, step.first, True), way.states[step.first])
            if step.last > step.first
            else line_at(run.centreline, way.states[0])
            if way.sprung is not None
            else None,
            line_at(way.line_at(run.centreline, step.last), way.states[step.last]),
            way.sprung_at(step.last),
        )
        for number, step in enumerate(steps)
    ]


def seen_from(run: SolvedRun, way: WayIn, opening: Opening | None, stands: Vec3) -> View:
    """Return from where a whole way is seen best by one who stands where the piece comes from; see `way_in_sheets`."""
    if opening is not None:
        middle, _ = plane_of(opening)
        out = sub(opening.outside, middle)
        level = sub(out, scale(UP, dot(out, UP)))
        if length(level) > (1.0 - _UPRIGHT) * length(out):
            stands = unit(level)
    keys = [p for pose in way.states for p in keys_along(line_at(run.centreline, pose))]
    return best_view(views_aside(stands, ASIDE_DEG), keys, (FRAME_MM, HIGH_MM))


def _points(line: Centreline) -> Iterator[Vec3]:
    for piece in line.pieces:
        steps = 6 if isinstance(piece, Arc) else 1
        for i in range(steps):
            yield piece.point_at(piece.length * i / steps)
    yield line.finish


def _row(
    run: SolvedRun,
    frames: Sequence[Frame],
    view: View,
    around: ClipWindow,
    room: Sequence[Solid],
    opening: Opening | None,
    units: Units,
) -> Sheet:
    texts = [wrapped(capital(say(frame.said, units)), WORDS_MM, FRAME_MM - 10.0) for frame in frames]
    foot = LINE_MM * max(len(lines) for lines in texts) + 2.0
    title = words(
        units,
        "way in.frame title",
        run=Name(shown(run.name, 60), quoted=False),
        low=Count(frames[0].number),
        high=Count(frames[-1].number),
    )
    sheet = Sheet(IN_A_ROW * FRAME_MM + (IN_A_ROW - 1) * GAP_MM, HIGH_MM + foot, title)
    for place, (frame, lines) in enumerate(zip(frames, texts, strict=True)):
        left = place * (FRAME_MM + GAP_MM)
        area = ClipWindow(left + 0.3, foot, left + FRAME_MM - 0.3, foot + HIGH_MM - 0.3)
        _draw(sheet, area, run, frame, view, around, room, opening, units)
        for i, line in enumerate(lines):
            sheet.words(line, (left + 8.0, foot - LINE_MM * (i + 1)), WORDS_MM)
        sheet.words(str(frame.number), (left + 1.0, foot - LINE_MM - 0.4), 3.5, bold=True)
    return sheet


def _draw(
    sheet: Sheet,
    area: ClipWindow,
    run: SolvedRun,
    frame: Frame,
    view: View,
    around: ClipWindow,
    room: Sequence[Solid],
    opening: Opening | None,
    units: Units,
) -> None:
    corners = ((around.left, around.low), (around.right, around.high))
    panel = Panel.filled(sheet, view, area, corners, AROUND_MM)
    sheet.line([(area.left, area.low), (area.right, area.low), (area.right, area.high), (area.left, area.high)],
               Role.PAPER, closed=True)  # fmt: skip
    half = max(run.tube.outside_mm / 2.0 * panel.k, LEAST_MM)
    if frame.before is not None:
        draw_tube(panel, frame.before, half, Role.FORMER)
    draw_tube(panel, frame.after, half)
    rod = Solid(SeenTube(frame.after, run.tube.outside_mm))
    outlines = draw_seen(panel, see(view, [rod, *room], frame.after.start, whole=True), [])
    if opening is not None:
        outline = [panel.at(p) for p in opening.corners]
        panel.line(outline, Role.MARK, closed=True)
        spots = [LabelSpot(p, (0.0, 1.0)) for p in outline]
        put_label(panel, Label(shown(opening.name, 28), LETTER_MM, Role.MARK, bold=True), spots, ANYWHERE_MM)
    for solid in room:
        if solid.run and isinstance(solid.body, SeenTube):
            whole = solid.body.line.length
            spots = [
                LabelSpot(panel.at(solid.body.line.point_at(share * whole)), (0.0, 1.0)) for share in (0.5, 0.2, 0.8)
            ]
            put_label(panel, Label(shown(solid.run, 28), LETTER_MM), spots, ANYWHERE_MM)
    for end, point, out in frame.after.ends:
        said = next((say(end_sprung(one), units) for one in frame.sprung if one.end == end), None)
        label = Label(said or words(units, "word", word=Word(end)), LETTER_MM, bold=True)
        put_label(panel, label, [LabelSpot(panel.at(point), panel.way(out), half)], ANYWHERE_MM)
    if frame.number == 0:
        point_out(panel, outlines, 2.2)
