"""The finished picture: the rendered scene, and over it a sheet with what a fitter needs to find his way round it."""

import pickle
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from io import BytesIO
from typing import Any

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding, Report
from pipemodel.documents.picture.scene import FINER, Camera, anchors, render, surface_of
from pipemodel.drawing.annotate import back_of, end_of, name_of_bend, point_out
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.general import without_words
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.panel import Panel, draw_cross, keep_clear
from pipemodel.drawing.placing import Choice
from pipemodel.drawing.primitives import BLACK, FlatPoint, Ink, Line, Role, Text
from pipemodel.drawing.raster import draw_over
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.standing import not_looked_through, pictured_from
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3
from pipemodel.job.model import Thing
from pipemodel.messages.say import named, say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, Size, Word, message
from pipemodel.results.results import Results
from pipemodel.solids.colours import run_colour
from pipemodel.solids.extent import run_extent
from pipemodel.wording.cautions import short_caution
from pipemodel.wording.phrases import verdict_words
from pipemodel.wording.safe_text import shown

PER_MM = 8
"""Pixels to a mm of the sheet."""
SHEET = (200.0, 150.0)
HEAD, FOOT = 10.5, 6.25
MOST_THINGS = 14
"""How many things are named on the picture: those nearest to the runs."""
MOST_WRONG = 8
MANY_BENDS = 40
"""With more bends than this, numbers and names are written smaller."""
MOST_NUMBERED = 200
"""With more bends than this none is numbered: the numbers would hide the tubes."""
MOST_NAMED = 40
"""With more runs than this their ends are not named."""
MOST_DRAWN = 300
"""So many things are drawn: those nearest to the runs."""
LONGEST, SHORT = 34, 14
AROUND, LEAST_AROUND_MM = 0.09, 70.0
"""How much about the runs is shown, as a part of their largest extent, and mm of the room at least."""
DARKER = 0.75
"""A run's colour as writing on white needs it."""
PASS_INK, FOOT_INK = (0.11, 0.37, 0.13), (0.27, 0.27, 0.27)
_NUMBER, _NAME = (2.2, 1.5), (2.2, 1.4)
FOOT_MM = 1.6
"""Height of what is written at the foot; less where it would not go on the sheet."""
_EDGE = 1.5
_CROSS = 2.5
_AXIS = 7.5
_AXES = ((EAST, message("picture.east")), (NORTH, message("picture.north")), (UP, message("picture.up")))


def png(pickled: bytes) -> bytes:
    """Return the picture of a job, handed over pickled by our own process, as a PNG; see `draw`."""
    out = BytesIO()
    draw(pickle.loads(pickled)).save(out, "PNG", optimize=True)
    return out.getvalue()


def draw(results: Results) -> Any:
    """Return the picture of a job as a PIL image.

    Raises:
        RuntimeError: if this machine cannot render.
    """
    from PIL import Image

    schedule, report, units = results.schedule, results.report, results.paper_options.reading
    wrong = [f for f in report.findings if f.point is not None and f.severity == "error"]
    panel, extent = framed(schedule, [f.point for f in wrong if f.point is not None])
    camera = Camera.of(panel, extent, PER_MM)
    hit = frozenset(f.against for f in wrong if f.against is not None)
    # What is wrong is seen through, and shown all the same.
    before = not_looked_through(schedule, panel.view) - hit
    things = [thing for thing in _nearest(schedule, report) if thing.name not in before]
    fine = PER_MM * FINER
    whole = Image.new("RGB", (round(SHEET[0] * fine), round(SHEET[1] * fine)), "white")
    whole.paste(Image.fromarray(render(schedule.runs, things[:MOST_DRAWN], camera, hit)), (0, round(HEAD * fine)))
    left_out = without_words([thing.name for thing in schedule.job.shown if thing.name in before], units)
    panel.sheet.items.append(Text(left_out, (SHEET[0] - 3.0, SHEET[1] - 9.2), _NAME[0], "right", ink=FOOT_INK))
    annotate(panel, results, wrong, {thing.name: list(_edges(panel, thing, camera)) for thing in things[:MOST_THINGS]})
    draw_over(whole, panel.sheet, fine)
    return whole.resize((round(SHEET[0] * PER_MM), round(SHEET[1] * PER_MM)), Image.Resampling.LANCZOS)


def framed(schedule: Schedule, extra: Sequence[Vec3]) -> tuple[Panel, Extent]:
    """Return the view of a job in its place on an empty sheet, and the block of the room that is looked at.

    Args:
        schedule: the runs to look at.
        extra: more points that must be seen, such as those of clashes.
    """
    area = ClipWindow(0.0, FOOT, SHEET[0], SHEET[1] - HEAD)
    view = pictured_from(schedule, schedule.runs, (area.width, area.height))
    blocks = [run_extent(run) for run in schedule.runs]
    ends = [*(block.low for block in blocks), *(block.high for block in blocks), *extra]
    low, high = (tuple(pick(p[i] for p in ends) for i in range(3)) for pick in (min, max))
    pad = max(AROUND * max(b - a for a, b in zip(low, high, strict=True)), LEAST_AROUND_MM)
    flat = [view.flat(p) for run in schedule.runs for piece in run.centreline.pieces
            for p in (piece.start, piece.point_at(piece.length / 2.0), piece.finish)]  # fmt: skip
    around = ClipWindow.around([*flat, *(view.flat(p) for p in extra)], pad)
    corners = ((around.left, around.low), (around.right, around.high))
    panel = Panel.filled(Sheet(*SHEET, schedule.job.name), view, area, corners, (0.0, 0.0))
    return panel, Extent((low[0] - pad, low[1] - pad, low[2] - pad), (high[0] + pad, high[1] + pad, high[2] + pad))


def annotate(
    panel: Panel, results: Results, wrong: Sequence[Finding], things: Mapping[str, Sequence[FlatPoint]]
) -> None:
    """Write numbers, clashes, names, axes and titles over the picture.

    Args:
        panel: the view in its place.
        results: the job.
        wrong: findings with a point in the room, to be marked.
        things: of each thing to be named, the points on the sheet that its name may point to.
    """
    runs, units = results.schedule.runs, results.paper_options.reading
    for run in runs:
        keep_clear(panel, run)
    marked = [(finding, panel.at(finding.point)) for finding in wrong[:MOST_WRONG] if finding.point is not None]
    for _, at in marked:
        draw_cross(panel, at, 0.62 * _CROSS, _CROSS)
    bends = sum(len(run.table.bends) for run in runs)
    crowded = bends > MANY_BENDS
    if bends <= MOST_NUMBERED:
        for i, run in enumerate(runs):
            number_bends(panel, run, _NUMBER[crowded], _ink(i), named=len(runs) > 1 and not crowded)
    for finding, at in marked:
        spots = [LabelSpot(at, (0.0, 1.0), _CROSS)]
        bare = replace(finding, distance_mm=None)
        # Shorter, where there is no room for all of it.
        for one, longest in ((finding, LONGEST), (bare, LONGEST), (bare, SHORT)):
            label = Label(wrong_words(one, units, longest), 2.2, Role.CLASH, bold=True)
            if put_label(panel, label, spots, ANYWHERE_MM):
                break
    if len(runs) <= MOST_NAMED:
        for i, run in enumerate(runs):
            name_ends(panel, run, units, _NAME[crowded], _ink(i))
    _axes(panel, units)
    point_out(panel, things, 1.85)
    _title(panel.sheet, results, len(wrong), bends)


def number_bends(panel: Panel, run: SolvedRun, height: float, ink: Ink, named: bool = False) -> None:
    """Write the number of each bend beside it, with a line to it unless a cross lies over the bend.

    It stands in a ring, or after the name of its run where that is to be said.
    """
    for number, arc in enumerate(run.centreline.arcs, 1):
        label = Label(str(number), height, bold=True, ring=Role.PAPER, ink=ink)
        if named:
            label = Label(name_of_bend(run, number), height, bold=True, ink=ink)
        spots = [back_of(panel, arc, run)]
        if not put_label(panel, label, spots, ANYWHERE_MM, 0.0):
            put_label(panel, label, spots, ANYWHERE_MM, ANYWHERE_MM)


def name_ends(panel: Panel, run: SolvedRun, units: Units, height: float, ink: Ink) -> None:
    """Write at a run's ends whose they are, and which is the start."""
    whose = Name(shown(run.name, LONGEST), quoted=False)
    for name, point, outward in run.centreline.ends:
        label = Label(words(units, "picture.end", run=whose, end=Word(name)), height, bold=True, ink=ink)
        put_label(panel, label, [end_of(panel, run, point, outward)], ANYWHERE_MM)


def _ink(number: int) -> Ink:
    red, green, blue = run_colour(number)
    return red * DARKER, green * DARKER, blue * DARKER


def wrong_words(finding: Finding, units: Units, longest: int = LONGEST) -> str:
    """Return what is written at a place where something is wrong, with no more letters of a thing's name than some."""
    if finding.against is None:
        return named(finding.check, units)
    against, unit = Name(shown(finding.against, longest), quoted=False), Name(units.unit, quoted=False)
    if finding.distance_mm is None:
        return words(units, "picture.clash", against=against)
    measured = Name(units.reading(abs(finding.distance_mm)), quoted=False)
    if finding.distance_mm < 0.0:
        return words(units, "picture.into", against=against, deep=measured, unit=unit)
    if finding.required_mm is None:
        return words(units, "picture.too near", against=against, near=measured, unit=unit)
    asked = Size(finding.required_mm)
    return words(units, "picture.too near, asked", against=against, near=measured, unit=unit, asked=asked)


def _nearest(schedule: Schedule, report: Report) -> list[Thing]:
    """Return the things of the room, the nearest to the runs first."""
    nearest = {d.against: d.distance_mm for d in sorted(report.distances, key=lambda d: -d.distance_mm)}
    return sorted(schedule.job.shown, key=lambda thing: nearest.get(thing.name, float("inf")))


def _edges(panel: Panel, thing: Thing, camera: Camera) -> Iterator[FlatPoint]:
    """Points on the sheet that the name of a thing may point to."""
    surface = surface_of(thing.shape, camera)
    if surface is None:
        return
    area = panel.placer.window
    inside = ClipWindow(area.left + _EDGE, area.low + _EDGE, area.right - _EDGE, area.high - _EDGE)
    for x, y, z in anchors(thing.shape, surface, camera).tolist():
        at = panel.at((x, y, z))
        if inside.holds(at):
            yield at


def _axes(panel: Panel, units: Units) -> None:
    """Draw a small key of the axes in a corner that is free, the lower ones first: E, N and up."""
    area = panel.placer.window
    columns = (area.left + 17.0, area.right - 17.0, area.left + area.width / 2.0)
    rows = (area.low + 12.0, area.high - 15.0, area.low + area.height / 2.0)
    roots = [(x, y) for y in rows for x in columns]
    placed = panel.placer.place((float(rank), _key(panel, root, units)) for rank, root in enumerate(roots))
    panel.sheet.items.extend(placed or ())


def _key(panel: Panel, root: FlatPoint, units: Units) -> Choice:
    out: list[Line | Text] = []
    for axis, name in _AXES:
        x, y = panel.view.flat(axis)
        dx, dy = panel.way(axis)
        tip = (root[0] + x * _AXIS, root[1] + y * _AXIS)
        out.append(Line((root, tip), Role.RUN))
        out.append(
            Text(say(name, units), (tip[0] + dx * 3.3, tip[1] + dy * 2.3 - 0.9), 1.85, "centre", ink=BLACK, bold=True)
        )
    return tuple(out)


def _title(sheet: Sheet, results: Results, wrong: int, bends: int) -> None:
    report, units = results.report, results.paper_options.reading
    sheet.words(shown(results.schedule.job.name, 80), (3.0, SHEET[1] - 5.2), 2.9, bold=True)
    passed = report.verdict == "pass"
    verdict = Text(verdict_words(report, units), (3.0, SHEET[1] - 9.2), 2.2, role=Role.CLASH, bold=True)
    sheet.items.append(verdict._replace(ink=PASS_INK) if passed else verdict)
    numbers = message("picture.too many") if bends > MOST_NUMBERED else message("picture.numbered")
    foot = message("picture.foot", numbers=numbers)
    if wrong > MOST_WRONG:
        foot = message("picture.more places", foot=foot, n=Count(wrong - MOST_WRONG))
    for row, text in enumerate((say(foot, units), short_caution(units))):
        height = min(FOOT_MM, FOOT_MM * (SHEET[0] - 6.0) / width_of(text, FOOT_MM))
        sheet.items.append(Text(text, (3.0, FOOT - 2.4 - 2.75 * row), height, ink=FOOT_INK))
