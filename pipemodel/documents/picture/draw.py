"""The finished picture: the rendered scene, and on it what a fitter needs to find his way round it."""

import pickle
from collections.abc import Sequence
from io import BytesIO
from typing import Any

import numpy as np

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Finding, Report
from pipemodel.documents.picture.labels import Board, Pen, Pixel
from pipemodel.documents.picture.scene import HIT_COLOUR, anchors, render, surface_of
from pipemodel.documents.picture.view import View, best_view
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Thing
from pipemodel.results.results import Results
from pipemodel.solids.colours import run_colour
from pipemodel.wording.cautions import short_caution
from pipemodel.wording.phrases import verdict_words
from pipemodel.wording.safe_text import shown
from pipemodel.wording.units import Units

SIZE = (1600, 1200)
HEAD = 84
FOOT = 50
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
LONGEST = 34
_DISC = (17.0, 11.0)
_NAME = (24, 15)
_EDGE = 12.0


def png(pickled: bytes) -> bytes:
    """Return the picture of a job, handed over pickled by our own process, as a PNG; see `draw`."""
    out = BytesIO()
    draw(pickle.loads(pickled)).save(out, "PNG", optimize=True)
    return out.getvalue()


def draw(answer: Results) -> Any:
    """Return the picture of a job as a PIL image of `SIZE`.

    Raises:
        RuntimeError: if this machine cannot render.
    """
    from PIL import Image

    schedule, report = answer.schedule, answer.report
    wrong = [f for f in report.findings if f.point is not None and f.severity == "error"]
    points = [f.point for f in wrong if f.point is not None]
    view = best_view(schedule, points, (SIZE[0], SIZE[1] - HEAD - FOOT))
    hit = frozenset(f.against for f in wrong if f.against is not None)
    things = _nearest(schedule, report)
    scene = Image.fromarray(render(schedule.runs, things[:MOST_DRAWN], view, hit)).resize(
        view.size, Image.Resampling.LANCZOS
    )
    pen = Pen(scene)
    board = Board(view.size, _run_pixels(schedule, view))
    if _bends(schedule) <= MOST_NUMBERED:
        _number_bends(pen, board, schedule, view)
    _mark_wrong(pen, board, wrong[:MOST_WRONG], view, answer.paperwork.units)
    if len(schedule.runs) <= MOST_NAMED:
        _name_ends(pen, board, schedule, view)
    _name_things(pen, board, things[:MOST_THINGS], view)
    _axes(pen, board, view)
    pen.finish()
    whole = Image.new("RGB", SIZE, "white")
    whole.paste(scene, (0, HEAD))
    _title(Pen(whole), schedule, report, len(wrong))
    return whole


def _run_ink(number: int) -> str:
    """Return a run's colour a little darker than its tube, as writing on white needs."""
    return "#" + "".join(f"{round(190.0 * part):02x}" for part in run_colour(number))


def _run_pixels(schedule: Schedule, view: View) -> Any:
    """Return points along all runs, a few pixels apart, for labels to keep off; (n, 2)."""
    step = 6.0 / view.scale
    points: list[Vec3] = []
    for solved in schedule.runs:
        line = solved.centreline
        points += [line.point_at(s) for s in np.linspace(0.0, line.length, max(int(line.length / step), 2))]
    return view.project(points)


def _one(view: View, point: Vec3) -> Pixel:
    x, y = view.project([point])[0]
    return float(x), float(y)


def _crowded(schedule: Schedule) -> bool:
    return _bends(schedule) > MANY_BENDS


def _bends(schedule: Schedule) -> int:
    return sum(len(solved.table.bends) for solved in schedule.runs)


def _number_bends(pen: Pen, board: Board, schedule: Schedule, view: View) -> None:
    radius = _DISC[_crowded(schedule)]
    for i, solved in enumerate(schedule.runs):
        for number, arc in enumerate(solved.centreline.arcs, 1):
            at = _one(view, arc.point_at(arc.length / 2.0))
            _, rect = board.place([at], 2.0 * radius, 2.0 * radius)
            pen.leader(at, rect, "black", dot=4.0)
            middle = ((rect[0] + rect[2]) / 2.0, (rect[1] + rect[3]) / 2.0)
            pen.disc(middle, radius, str(number), _run_ink(i))


def _mark_wrong(pen: Pen, board: Board, wrong: Sequence[Finding], view: View, units: Units) -> None:
    for finding in wrong:
        assert finding.point is not None
        at = _one(view, finding.point)
        board.taken.append((at[0] - 22.0, at[1] - 22.0, at[0] + 22.0, at[1] + 22.0))
        _label(pen, board, [at], _wrong_words(finding, units), 24, HIT_COLOUR, bold=True, dot=0.0)
        pen.cross(at, 20.0, HIT_COLOUR)


def _wrong_words(finding: Finding, units: Units) -> str:
    if finding.against is None:
        return f"{finding.code}: {finding.check}"
    against = shown(finding.against, LONGEST)
    if finding.distance_mm is None:
        return f"CLASH {against}"
    if finding.distance_mm < 0.0:
        return f"CLASH {against}: {units.reading(-finding.distance_mm)} {units.name} into it"
    asked = "" if finding.required_mm is None else f", {units.tidy(finding.required_mm)} asked"
    return f"TOO NEAR {against}: {units.reading(finding.distance_mm)} {units.name} off{asked}"


def _name_ends(pen: Pen, board: Board, schedule: Schedule, view: View) -> None:
    for i, solved in enumerate(schedule.runs):
        colour = _run_ink(i)
        name = shown(solved.name, LONGEST)
        for point, words in ((solved.centreline.start, "start"), (solved.centreline.finish, "finish")):
            _label(
                pen,
                board,
                [_one(view, point)],
                f"{name}: {words}",
                _NAME[_crowded(schedule)],
                colour,
                bold=True,
                dot=5.0,
            )


def _nearest(schedule: Schedule, report: Report) -> list[Thing]:
    """Return the things of the room, the nearest to the runs first."""
    nearest = {d.against: d.distance_mm for d in sorted(report.distances, key=lambda d: -d.distance_mm)}
    return sorted(schedule.job.things, key=lambda thing: nearest.get(thing.name, np.inf))


def _name_things(pen: Pen, board: Board, things: Sequence[Thing], view: View) -> None:
    for thing in things:
        surface = surface_of(thing.shape, view)
        if surface is None:
            continue
        flat = view.project(anchors(thing.shape, surface, view))
        inside = flat[np.all((flat > _EDGE) & (flat < np.array(view.size) - _EDGE), axis=1)]
        if len(inside):
            points = [(float(x), float(y)) for x, y in inside]
            _label(pen, board, points, shown(thing.name, LONGEST), 20, "#2f3a46")


def _label(
    pen: Pen,
    board: Board,
    at: Sequence[Pixel],
    text: str,
    size: int,
    colour: str,
    bold: bool = False,
    dot: float = 3.0,
) -> None:
    """Write a label beside the best of the points it may belong to."""
    anchor, rect = board.place(at, *pen.measure(text, size, bold))
    pen.leader(anchor, rect, colour, dot)
    pen.words(text, ((rect[0] + rect[2]) / 2.0, (rect[1] + rect[3]) / 2.0), size, colour, bold)


def _axes(pen: Pen, board: Board, view: View) -> None:
    """Draw a small key of the axes in the emptiest lower corner: E, N and up."""
    reach = 62.0
    corners = [(140.0, view.size[1] - 100.0), (view.size[0] - 140.0, view.size[1] - 100.0)]
    used = np.vstack([board.runs, *([np.array([[r[0], r[1]], [r[2], r[3]]]) for r in board.taken] or [])])
    root = max(corners, key=lambda c: float(np.hypot(used[:, 0] - c[0], used[:, 1] - c[1]).min()))
    for axis, name in enumerate(("E (x)", "N (y)", "up (z)")):
        tip = (root[0] + view.right[axis] * reach, root[1] - view.up[axis] * reach)
        pen.draw.line([root, tip], fill="white", width=8)
        pen.draw.line([root, tip], fill="black", width=3)
        away = np.array([view.right[axis], -view.up[axis]])
        far = float(np.hypot(*away)) or 1.0
        at = (tip[0] + away[0] / far * 26.0, tip[1] + away[1] / far * 18.0)
        pen.words(name, at, 20, "black", bold=True)


def _title(pen: Pen, schedule: Schedule, report: Report, wrong: int) -> None:
    name = shown(schedule.job.name, 80)
    pen.draw.text((24, 16), name, fill="black", font=pen.font(32, True), anchor="la")
    verdict = verdict_words(report)
    colour = "#1b5e20" if report.verdict == "pass" else HIT_COLOUR
    pen.draw.text((24, 54), verdict, fill=colour, font=pen.font(24, True), anchor="la")
    foot = "Numbers: bends from the start end.  Seen in parallel, not to scale.  Things near the runs only."
    if _bends(schedule) > MOST_NUMBERED:
        foot = "Too many bends to number.  Seen in parallel, not to scale.  Things near the runs only."
    if wrong > MOST_WRONG:
        foot += f"  {wrong - MOST_WRONG} more places are not marked."
    pen.draw.text((24, SIZE[1] - FOOT + 4), foot, fill="#444444", font=pen.font(18), anchor="la")
    pen.draw.text((24, SIZE[1] - FOOT + 26), short_caution(), fill="#444444", font=pen.font(18), anchor="la")
