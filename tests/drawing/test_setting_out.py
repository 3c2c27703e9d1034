"""What a job is set out by: datums against plain planes, dimensions as drawn against the places themselves."""

import random
from dataclasses import replace
from fractions import Fraction

import gallery
import numpy as np
import pytest
from shapely import STRtree
from shapely.geometry import LineString, Polygon

from pipemodel.bending.schedule import solve
from pipemodel.checks.datums import datums, places_to_set_out
from pipemodel.checks.supports import clip_plans
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.running import FIGURE_MM, STEP_MM, Mark, running, spread
from pipemodel.drawing.sheet import Circle, Line, Role, Sheet, Text
from pipemodel.geometry.shapes import Box
from pipemodel.job.read import job_of_text
from pipemodel.messages.say import say
from pipemodel.messages.units import INCHES, MM

ROOM = {
    "west wall": Box((-400.0, -900.0, 0.0), (-300.0, 900.0, 2400.0)),
    "north wall": Box((-400.0, 800.0, 0.0), (2000.0, 900.0, 2400.0)),
    "floor": Box((-400.0, -900.0, -60.0), (2000.0, 900.0, 0.0)),
    "far wall": Box((2600.0, -900.0, 0.0), (2700.0, 900.0, 2400.0)),
    "rail": Box((-100.0, 500.0, 100.0), (1500.0, 520.0, 200.0)),
}
CORNERS = ((0.0, 400.0, 150.0), (700.0, 400.0, 150.0), (700.0, 400.0, 900.0), (1200.0, 100.0, 900.0))


def schedule_of(*runs, things=ROOM):
    room = [gallery.Thing(name, shape) for name, shape in things.items()]
    job = gallery.job("cupboard", list(runs), room)
    return solve(replace(job, seen_from=(0.0, -1.0, 0.0)))


def test_places_are_measured_from_the_nearest_large_faces_with_all_runs_before_them():
    """From the west wall's face at -300, the north wall's at 800 (no rail: it is 100 high) and the floor's at 0."""
    first, second, third = datums(schedule_of(gallery.run("flow", CORNERS)))
    assert [datum.thing for datum in (first, second, third)] == ["west wall", "north wall", "floor"]
    for x, y, z in CORNERS:
        measured = [datum.measure((x, y, z)) for datum in (first, second, third)]
        assert measured == pytest.approx([x + 300.0, 800.0 - y, z])


def test_a_room_without_such_faces_is_measured_from_the_zero_of_the_job():
    for datum, k in zip(datums(schedule_of(gallery.run("flow", CORNERS), things={})), range(3), strict=True):
        assert datum.thing == ""
        assert datum.measure(CORNERS[2]) == CORNERS[2][k]


def test_a_floor_that_a_run_goes_through_is_still_measured_from():
    down = ((0.0, 400.0, -250.0), (0.0, 400.0, 900.0), (700.0, 400.0, 900.0))
    *_, height = datums(schedule_of(gallery.run("flow", down)))
    assert height.thing == "floor"
    assert [height.measure(p) for p in down] == pytest.approx([-250.0, 900.0, 900.0])


def test_a_wall_is_measured_from_before_the_front_of_a_boxing():
    """The boxing's front, 12 thick, stands nearer to the run; it is put up when the tube is in."""
    run = gallery.run("flow", ((0.0, 700.0, 50.0), (500.0, 700.0, 50.0), (500.0, 700.0, 900.0)))
    front = {"boxing front": Box((-300.0, 600.0, 0.0), (900.0, 612.0, 1500.0))}
    assert datums(schedule_of(run, things=ROOM | front))[1].thing == "north wall"
    assert datums(schedule_of(run, things=front))[1].thing == "boxing front"
    thicker = {"boxing front": Box((-300.0, 600.0, 0.0), (900.0, 650.0, 1500.0))}
    assert datums(schedule_of(run, things=ROOM | thicker))[1].thing == "boxing front"


def test_of_a_run_that_ends_behind_the_face_it_is_said_what_minus_is():
    """A breast at x = 500 with the start beside it, at x = 560: 60 behind its face, all else before it."""
    breast = {"breast": Box((500.0, 0.0, 0.0), (900.0, 900.0, 2400.0))}
    run = gallery.run("flow", ((560.0, -50.0, 50.0), (100.0, -50.0, 50.0), (100.0, -50.0, 900.0)))
    first, *_ = datums(schedule_of(run, things=breast))
    assert [first.measure(p) for p in ((560.0, 0.0, 0.0), (100.0, 0.0, 0.0))] == [-60.0, 400.0]
    assert say(first.said) == "the face of breast (minus: behind it)"
    before, *_ = datums(schedule_of(gallery.run("flow", ((400.0, 50.0, 50.0), (100.0, 50.0, 50.0))), things=breast))
    assert say(before.said) == "the face of breast"


BOARDS = {"boards": Box((-400.0, -900.0, -22.0), (2000.0, 900.0, 0.0))}
UNDER = ((0.0, 0.0, -100.0), (900.0, 0.0, -100.0), (900.0, 400.0, -100.0), (900.0, 400.0, 300.0))


def test_heights_of_runs_under_a_floor_are_below_0_at_its_top():
    """Most places lie under the boards, and one run comes up through them: heights are from z = 0, up."""
    *_, height = datums(schedule_of(gallery.run("flow", UNDER), things=BOARDS))
    assert height.thing == "boards"
    assert say(height.said) == "the top of boards"
    assert [height.measure(p) for p in UNDER] == pytest.approx([-100.0, -100.0, -100.0, 300.0])


def test_heights_from_a_ceiling_are_counted_upwards():
    """No run comes through it: the tape is put to its underside, z = -22; what lies under it is below 0."""
    *_, height = datums(schedule_of(gallery.run("flow", UNDER[:3]), things=BOARDS))
    assert say(height.said) == "the underside of boards (minus: below it)"
    assert [height.measure(p) for p in UNDER[:3]] == pytest.approx([-78.0] * 3)


@pytest.mark.parametrize("seed", range(8))
def test_each_figure_stands_at_the_end_of_the_line_from_its_place(seed):
    """Random places: from the figure the line is followed back; it comes from a place that measures what is written."""
    rng = random.Random(seed)
    upright = bool(seed % 2)
    values = sorted({round(rng.uniform(0.0, 1500.0) * 2.0) / 2.0 for _ in range(rng.randint(1, 24))})
    places = {f"{value:g}": (50.0 + value / 10.0, rng.uniform(60.0, 120.0)) for value in values}
    sheet = Sheet(400.0, 400.0)
    turned = (lambda p: (p[1], p[0])) if upright else (lambda p: p)
    running(sheet, [Mark(turned(p), text) for text, p in places.items()], 50.0, 50.0, 49.0, upright)
    k = int(upright)
    texts = [item for item in sheet.items if isinstance(item, Text)]
    assert {item.text for item in texts} == set(places)
    lines = [item.points for item in sheet.items if isinstance(item, Line) and len(item.points) == 4]
    for item in texts:
        seat = item.at[k] + (FIGURE_MM / 2.0 if upright else -FIGURE_MM / 2.0)
        (line,) = (points for points in lines if abs(points[-1][k] - seat) < 1e-6)
        assert line[0] == pytest.approx(turned(places[item.text]))
        assert line[1][k] == pytest.approx(line[0][k])
        assert line[-1][1 - k] > item.at[1 - k]
    seats = sorted(points[-1][k] for points in lines)
    assert np.all(np.diff(seats) >= STEP_MM - 1e-6)
    (origin,) = (item for item in sheet.items if isinstance(item, Circle))
    assert origin.centre[k] == 50.0


@pytest.mark.parametrize("seed", range(20))
def test_figures_are_spread_no_more_than_it_takes(seed):
    rng = random.Random(seed)
    values = sorted(rng.uniform(0.0, 60.0) for _ in range(rng.randint(1, 15)))
    out = spread(values, 3.4)
    assert np.all(np.diff(out) >= 3.4 - 1e-9)
    if len(values) == 1 or np.min(np.diff(values)) >= 3.4:
        assert out == pytest.approx(values)
    # Least squares with the steps as bounds, by a general solver, moves them no less.
    from scipy.optimize import minimize

    best = minimize(
        lambda x: np.sum((x - values) ** 2), out, method="SLSQP", options={"ftol": 1e-12, "maxiter": 500},
        constraints={"type": "ineq", "fun": lambda x: np.diff(x) - 3.4} if len(values) > 1 else (),
    )  # fmt: skip
    assert np.sum((np.array(out) - values) ** 2) <= best.fun + 1e-3


@pytest.mark.parametrize("seed", range(10))
def test_figures_stay_in_the_room_there_is(seed):
    """Heaps of places near both ends of a view."""
    rng = random.Random(seed)
    values = sorted(rng.choice((rng.uniform(0.0, 8.0), rng.uniform(50.0, 60.0))) for _ in range(12))
    out = spread(values, 3.4, -2.0, 62.0)
    assert min(out) >= -2.0 - 1e-9
    assert max(out) <= 62.0 + 1e-9
    assert np.all(np.diff(out) >= 3.4 - 1e-9)


@pytest.mark.slow
def test_the_sheet_has_every_place_in_its_table_and_every_measure_as_a_dimension():
    rise = gallery.run("rise", ((300.0, 300.0, 50.0), (300.0, 300.0, 1800.0)))
    schedule = schedule_of(gallery.run("flow", CORNERS), rise)
    sheet = Drawings(schedule).to_set_out()
    texts = [item for item in sheet.items if isinstance(item, Text)]
    said = [item.text for item in texts]
    assert {"setting out", "2 of 4", "depths from the face of north wall"} <= set(said)
    note = "across from the face of west wall, heights from the top of floor; to the axis of the tube"
    assert note in " ".join(said)
    for place in places_to_set_out(schedule):
        x, y, z = place.point
        across, deep, up = (f"{v:g}" for v in (x + 300.0, 800.0 - y, z))
        row = [item.text for item in texts if item.text in (across, deep, up)]
        assert {across, deep, up} <= set(row)
        # What goes across is written upright, the rest level.
        assert any(item.text == across and item.angle == 90.0 for item in texts)
        assert any(item.text == up and item.angle == 0.0 for item in texts)
    for item in texts:
        if item.role is not Role.PAPER:
            box = np.array(box_of(item, 0.0))
            assert box.min() > 5.0
            assert np.all(box.max(axis=0) < (sheet.width - 5.0, sheet.height - 5.0))


CLIPPED = """job: along the wall and down
tube: 15
former: {radius: 55}
seen from: south
clips: {face: north wall, standoff: 20}
room:
  north wall: {wall: {from: [0, 20], to: [3000, 20], facing: south, thickness: 100, height: 2400}}
  west wall: {wall: {from: [0, -900], to: [0, 20], facing: east, thickness: 100, height: 2400}}
  floor: {floor: {from: [0, -900], to: [3000, 20], top: 0, thickness: 22}}
runs:
  flow: {points: [[300.13, 0, 700], [1700.4, 0, 700], [1700.4, 0, -400]]}
"""


@pytest.mark.parametrize(("units", "across", "level"), [(MM, "1700.5", "-400"), (INCHES, "66 15/16", "-15 3/4")])
def test_clips_and_holes_are_dimensioned_and_figures_are_what_a_tape_shows(units, across, level):
    """1700.4 is 66.94 in: 66 15/16 on a tape; -400 is -15.75 in; the hole is half way through the floor."""
    schedule = solve(job_of_text(CLIPPED, "job.yaml"))
    clips = [clip.point for clip in clip_plans(schedule)[0].clips]
    sheet = Drawings(schedule, units).to_set_out()
    texts = [item for item in sheet.primitives() if isinstance(item, Text)]
    figures = {item.text for item in texts}
    assert {across, level} <= figures
    for x, _, z in clips:
        step = 0.5 if units is MM else 25.4 / 16
        sides = [item.text for item in texts if item.text.startswith("clip ") and item.angle == 90.0]
        ups = [item.text for item in texts if item.text.startswith("clip ") and item.angle == 0.0]
        for value, given, alike in ((x, sides, (300.13, 1700.4)), (z, ups, (700.0, -400.0))):
            shown = [mm_of(text.removeprefix("clip ")) * (1.0 if units is MM else 25.4) for text in given]
            near = [v for v in (*shown, *alike) if abs(v - value) <= step / 2 + 1e-9]
            assert near, (value, given)
    assert "hole " + ("-11" if units is MM else "-7/16") in figures
    assert "hole 1, floor" in figures
    corners = [Polygon(box_of(item, 0.0)) for item in texts]
    assert not [1 for i, p in enumerate(corners) for q in corners[:i] if p.intersection(q).area > 0.01]
    # No words lie on a dimension line either.
    lines = [LineString(i.points) for i in sheet.primitives() if isinstance(i, Line) and i.role is Role.DIMENSION]
    at = STRtree(lines)
    for item, box in zip(texts, corners, strict=True):
        if item.role is not Role.ROOM and item.at[1] > 50.0:
            hit = [k for k in at.query(box) if lines[k].intersection(box).length > 0.5]
            assert not hit, item.text


def mm_of(text):
    """What a figure says: 950.5, or 37 7/16."""
    sign = -1.0 if text.startswith("-") else 1.0
    return sign * float(sum(Fraction(part) for part in text.lstrip("-").split()))


TURNED = """
job: turned
tube: 15
former: {{radius: 55}}
room:
  file: {{file: room.yaml, at: [120, -80, 0], turned: {deg}}}
runs: {{flow: {{points: {points}}}}}
"""
TURNED_ROOM = """
room:
  back wall: {wall: {from: [0, 2000], to: [3000, 2000], facing: south, thickness: 100, height: 2400}}
  end wall: {wall: {from: [0, 0], to: [0, 2000], facing: east, thickness: 100, height: 2400}}
  floor: {floor: {outline: [[0, 0], [3000, 0], [3000, 2000], [0, 2000]], top: 0, thickness: 22}}
"""


@pytest.mark.parametrize("degrees", [0.0, 12.5, 40.0, 70.0, 160.0, 301.0])
def test_a_room_that_was_turned_is_measured_from_its_own_walls(degrees, tmp_path):
    """However it is turned, a tape reads the same off its walls; elevation and plan are square to them and to scale."""
    inner = [(300.0, 1980.0, 150.0), (1400.0, 1980.0, 150.0), (1400.0, 1980.0, 900.0)]
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    points = [[float(120.0 + c * x - s * y), float(-80.0 + s * x + c * y), z] for x, y, z in inner]
    (tmp_path / "room.yaml").write_text(TURNED_ROOM)
    path = tmp_path / "job.yaml"
    path.write_text(TURNED.format(deg=degrees, points=points))
    schedule = solve(job_of_text(path.read_text(), path=path))
    read = {datum.thing: [datum.measure(p) for p in points] for datum in datums(schedule)}
    assert read == {
        "end wall": pytest.approx([300.0, 1400.0, 1400.0], abs=1e-6),
        "back wall": pytest.approx([20.0, 20.0, 20.0], abs=1e-6),
        "floor": pytest.approx([150.0, 150.0, 900.0], abs=1e-6),
    }
    drawn = Drawings(schedule)._setting_out([(420.0, 297.0)], 1)
    for seen in drawn.views:
        # Where a leg along a wall ends on the paper is as far from where it starts as the tape says.
        flat = [seen.view.flat(p) for p in points[:2]]
        assert abs(flat[1][0] - flat[0][0]) + abs(flat[1][1] - flat[0][1]) == pytest.approx(1100.0, abs=1e-3)


def test_along_a_single_wall_that_stands_aslant_places_are_counted_from_the_zero_of_the_job():
    things = "room: {wall: {wall: {from: [0, 0], to: [2400, 1800], facing: south, thickness: 100, height: 2400}}}"
    points = [[412.0, 284.0, 100.0], [1212.0, 884.0, 100.0]]
    job = f"job: one\ntube: 15\nformer: {{radius: 55}}\n{things}\nruns: {{flow: {{points: {points}}}}}\n"
    along, off, height = datums(solve(job_of_text(job, "job.yaml")))
    # The wall goes 4 to 3: 20 off it, and 500 and 1500 from its foot.
    assert [off.measure(p) for p in points] == pytest.approx([20.0, 20.0], abs=1e-6)
    assert [along.measure(p) for p in points] == pytest.approx([500.0, 1500.0], abs=1e-6)
    assert (say(along.said), say(off.said)) == ("the zero of the job, along wall", "the face of wall")
    assert say(height.said) == "the zero of the job"
