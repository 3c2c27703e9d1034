"""From a job file to a job."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from command_line import LEAST
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, MeshFile
from pipemodel.job.build_room import rotation_of
from pipemodel.job.model import Job, JobError, Place
from pipemodel.job.outline import counter_clockwise, outline_fault
from pipemodel.job.read import read_job
from pipemodel.job.room_forms import TurnForm
from pipemodel.trade.formers import find_former, generic_former
from pipemodel.trade.tubes import find_tube

LEAST = LEAST.replace("from: [700, 100, 0], to: [900, 160, 400]", "from: [500, 100, 400], to: [900, 160, 0]")
"""One corner of the boxing is above the other the wrong way about."""


def read(folder: Path, text: str, **more: Any) -> Job:
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    return read_job(folder / "job.yaml", **more)


def test_least_form(tmp_path: Path) -> None:
    job = read(tmp_path, LEAST)
    assert job.name == "return to the towel rail"
    assert job.clearance_mm == 5.0
    assert [str(note).partition(" not given")[0] for note in job.notes] == [
        "former of the job: springback (2 % of the angle), hold (30 mm) and guide (10 mm, with a block of 95 mm) are"
    ]
    assert job.path == tmp_path / "job.yaml"
    waste, boxing = job.things
    assert waste.shape == Cylinder((300, -200, 80), (300, 800, 80), 50)
    assert boxing.shape == Box((500, 100, 0), (900, 160, 400))
    assert (waste.name, waste.clearance_mm, waste.place) == ("waste pipe", None, Place(6, 3))
    (run,) = job.runs
    assert run.name == "return"
    assert (run.tube.outside_mm, run.tube.wall_mm, run.tube.name) == (15.0, 0.7, "15 x 0.7")
    assert (run.former.radius_mm, run.former.hold_mm, run.former.generic) == (55.0, 30.0, False)
    assert run.route.corners == ((0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350))
    assert run.route.places == (Place(10, 14), Place(10, 25), Place(10, 38), Place(10, 53))
    assert run.place == Place(9, 3)


def test_units_change_nothing(tmp_path: Path) -> None:
    text = LEAST.replace("[600, 0, 0]", '["23 5/8 in", 0 m, 0 cm]').replace("radius: 55", "radius: 5.5 cm")
    job = read(tmp_path, text.replace("clearance: 5", 'clearance: 1/4"'))
    assert job.clearance_mm == 6.35
    assert job.runs[0].former.radius_mm == 55.0
    assert job.runs[0].route.corners[1] == (600.075, 0.0, 0.0)


def test_sizes_out_of_the_tables(tmp_path: Path) -> None:
    text = "job: x\ntube: 15\nformer: 15 mm hand bender\nruns:\n  a: {points: [[0, 0, 0], [1, 0, 0]]}\n"
    (run,) = read(tmp_path, text).runs
    assert run.tube == find_tube(15)
    assert run.former == find_former("15 mm hand bender")


def test_generic_former_and_its_note(tmp_path: Path) -> None:
    text = "job: x\ntube: 22\nruns:\n  a: {points: [[0, 0, 0], [1, 0, 0]]}\n  b: {points: [[0, 0, 0], [1, 0, 0]]}\n"
    job = read(tmp_path, text)
    assert [run.former for run in job.runs] == [generic_former(find_tube(22))] * 2
    (note,) = job.notes
    assert "no former is given for 22 x 0.9 copper" in note
    assert "measure your own former" in note


def test_a_run_may_have_its_own_tube_and_former(tmp_path: Path) -> None:
    text = LEAST + "  feed: {points: [[0, 0, 50], [9, 0, 50]], tube: 22, former: {radius: 77, hold: 8 cm}}\n"
    own = read(tmp_path, text).runs[1]
    assert (own.tube.outside_mm, own.former.radius_mm, own.former.hold_mm) == (22.0, 77.0, 80.0)


def test_former_of_another_size_is_refused(tmp_path: Path) -> None:
    text = "job: x\ntube: 22\nformer: 15 mm hand bender\nruns:\n  a: {points: [[0, 0, 0], [1, 0, 0]]}\n"
    with pytest.raises(
        JobError, match=r":3:9: the 15 mm hand bender is for tube of 15 mm, and this is 22 x 0.9 copper"
    ):
        read(tmp_path, text)


def test_everything_a_former_says(tmp_path: Path) -> None:
    former = "{radius: 55, springback: {per_degree: 0.05, fixed: 1.5}, mark: 40, hold: 60, guide: 45, max_angle: 120}"
    had = read(tmp_path, LEAST.replace("{radius: 55}", former)).runs[0].former
    assert (had.mark_mm, had.hold_mm, had.guide_mm, had.max_angle_deg) == (40.0, 60.0, 45.0, 120.0)
    # Worked example A13: 1.5 degrees fixed and 0.05 a degree make a 90 into a pull of 96.
    assert had.springback.pull_deg(90.0) == pytest.approx(96.0, abs=1e-12)


class TestRadius:
    """EN 1057 R250 tube of 15 mm: 55 mm to the neutral axis (IKZ-Praxis 2/2000, p. 8, table 1)."""

    def job(self, former: str) -> str:
        return f"job: x\ntube: 15\nformer: {former}\nruns:\n  a: {{points: [[0, 0, 0], [1, 0, 0]]}}\n"

    def test_as_published(self, tmp_path: Path) -> None:
        assert read(tmp_path, self.job("{radius: 55}")).runs[0].former.radius_mm == 55.0

    def test_below(self, tmp_path: Path) -> None:
        with pytest.raises(JobError, match=r":3:18: .* needs at least 55 mm, 1 mm is missing"):
            read(tmp_path, self.job("{radius: 54}"))

    def test_below_on_purpose(self, tmp_path: Path) -> None:
        assert read(tmp_path, self.job("{radius: 54, allow_tight: true}")).runs[0].former.radius_mm == 54.0

    def test_impossible_on_purpose(self, tmp_path: Path) -> None:
        with pytest.raises(JobError, match=r":3:18: a radius of 7.5 mm is impossible"):
            read(tmp_path, self.job("{radius: 7.5, allow_tight: true}"))


def test_shapes(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "duct.stl").write_text("")
    text = LEAST.replace(
        "runs:",
        """\
  wall: {face: {at: [0, 9, 0], facing: south}, clearance: 20}
  roof: {face: {at: [0, 0, 9], facing: [0, 3, -4]}}
  duct: {extrusion: {outline: [[0, 0], [0, 9], [9, 9], [9, 0], [0, 0]], from: 5, to: -5}}
  beam: {mesh: {file: parts/duct.stl, at: [1, 2, 3], turn: {about: z, by: 90}, unit: in}}
runs:""",
    )
    wall, roof, duct, beam = read(tmp_path, text).things[2:]
    assert wall.shape == HalfSpace((0, 9, 0), (0, -1, 0))
    assert wall.clearance_mm == 20.0
    assert isinstance(roof.shape, HalfSpace)
    assert roof.shape.normal == pytest.approx((0.0, 0.6, -0.8))
    # Counter-clockwise from above, not closed by a repeated point, bottom first.
    assert duct.shape == Extrusion(((9, 0), (9, 9), (0, 9), (0, 0)), -5, 5)
    file = str((tmp_path / "parts" / "duct.stl").resolve())
    assert beam.shape == MeshFile(file, ((0, -1, 0), (1, 0, 0), (0, 0, 1)), (1, 2, 3), 25.4)


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("ft", 304.8)])
def test_the_unit_of_a_mesh_file(tmp_path, unit, mm):
    (tmp_path / "duct.obj").write_text("")
    text = LEAST.replace("runs:", f"  duct: {{mesh: {{file: duct.obj, unit: {unit}}}}}\nruns:")
    assert read(tmp_path, text).things[-1].shape.scale == mm


@given(st.lists(st.tuples(st.sampled_from("xyz"), st.floats(-360, 360)), max_size=4))
def test_turns_against_scipy(turns: list[tuple[str, float]]) -> None:
    ours = np.array(rotation_of([TurnForm(about=about, by=by) for about, by in turns]))
    theirs = Rotation.identity()
    for about, by in turns:
        theirs = Rotation.from_euler(about, by, degrees=True) * theirs
    np.testing.assert_allclose(ours, theirs.as_matrix(), atol=1e-14)


def test_parameters(tmp_path: Path) -> None:
    text = LEAST.replace("clearance: 5", "parameters: {drop: 35 cm, half: '${drop / 2}', in: 1}").replace(
        "[600, 400, 350]", "['${half + 1 in}', '${drop} mm', '${-drop}']"
    )
    with pytest.raises(JobError, match="'in' means something in expressions already"):
        read(tmp_path, text)
    text = text.replace(", in: 1", "")
    job = read(tmp_path, text)
    assert job.parameters == {"drop": 350.0, "half": 175.0}
    assert job.runs[0].route.corners[-1] == (200.4, 350.0, -350.0)
    assert read(tmp_path, text, parameters={"drop": "1 m"}).runs[0].route.corners[-1] == (525.4, 1000.0, -1000.0)
    assert read(tmp_path, text, parameters={"drop": 2, "half": "${drop * 2}"}).parameters == {"drop": 2.0, "half": 4.0}


def test_a_route_is_compiled(tmp_path: Path) -> None:
    text = LEAST + "  riser:\n    start: [0, 0, 0]\n    heading: east\n    route:\n      - go: 600\n      - up: 40 cm\n"
    run = read(tmp_path, text).runs[1]
    assert run.route.corners == ((0, 0, 0), (600, 0, 0), (600, 0, 400))
    assert {place.line for place in run.route.places} == {15, 16}


@pytest.mark.parametrize(
    ("heading", "direction"),
    [
        ("north", (0, 1, 0)),
        ("South-West", (-(0.5**0.5), -(0.5**0.5), 0)),
        ("up", (0, 0, 1)),
        ("90", (1, 0, 0)),
        ("'225°'", (-(0.5**0.5), -(0.5**0.5), 0)),
        ("[0, 0, -3]", (0, 0, -1)),
    ],
)
def test_headings(tmp_path: Path, heading: str, direction: tuple[float, float, float]) -> None:
    text = LEAST + f"  riser: {{start: [0, 0, 0], heading: {heading}, route: [{{go: 500}}]}}\n"
    finish = read(tmp_path, text).runs[1].route.corners[-1]
    assert finish == pytest.approx(tuple(500 * c for c in direction), abs=1e-9)


def test_faults_of_routes_stand_at_their_items(tmp_path: Path) -> None:
    text = LEAST + (
        "  riser:\n    start: [0, 0, 0]\n    heading: est\n    route:\n      - go: 600\n      - upp: 400\n"
        "      - north: 3 ells\n  other:\n    start: [0, 0, 0]\n    heading: east\n    route:\n"
        "      - go: {to face of: boxng, gap: 5}\n      - up: 300\n"
    )
    with pytest.raises(JobError) as caught:
        read(tmp_path, text)
    said = [(f.place.line, f.place.column, f.message) for f in caught.value.faults]
    assert [(line, column) for line, column, _ in said[:3]] == [(13, 14), (16, 9), (17, 16)]
    assert "did you mean 'up'?" in said[1][2]
    assert said[3][0] == 22
    assert "boxing" in said[3][2]
    assert len(said) == 4


def test_a_run_past_a_thing_with_a_fault_is_not_blamed(tmp_path: Path) -> None:
    text = LEAST.replace("diameter: 50", "diameter: x") + (
        "  other: {start: [0, 0, 0], heading: east, route: [{go: {to face of: waste pipe, gap: 5}}]}\n"
    )
    with pytest.raises(JobError) as caught:
        read(tmp_path, text)
    assert [f.place.line for f in caught.value.faults] == [6]


OUTLINES: list[tuple[list[tuple[float, float]], bool]] = [
    ([(0, 0), (4, 0), (4, 3)], True),
    ([(0, 0), (4, 0), (4, 3), (0, 0)], True),
    ([(0, 0), (4, 0), (4, 4), (2, 1), (0, 4)], True),
    ([(0, 0), (2, 0), (4, 0), (4, 3)], True),
    ([(0, 0), (4, 4), (4, 0), (0, 4)], False),
    ([(0, 0), (4, 0), (8, 0)], False),
    ([(0, 0), (4, 0), (4, 4), (2, 0), (0, 4)], False),
    ([(0, 0), (4, 0), (4, 0), (4, 3)], False),
    ([(0, 0), (4, 0), (2, 0), (2, 3)], False),
    ([(0, 0), (4, 0), (0, 0)], False),
    ([(0, 0), (6, 0), (6, 6), (3, 6), (3, 0), (2, 0), (2, 6), (0, 6)], False),
]


@pytest.mark.parametrize(("outline", "sound"), OUTLINES)
def test_outlines(outline: list[tuple[float, float]], sound: bool) -> None:
    assert (outline_fault(outline) is None) == sound
    assert (outline_fault(outline[::-1]) is None) == sound


@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=9))
def test_outlines_against_every_pair_of_sides(points: list[tuple[int, int]]) -> None:
    """Against the plain definition: no two sides share a point but neighbours their corner, in whole numbers."""
    n = len(points)
    if len(set(points)) < n:
        return
    sides = [(points[i], points[(i + 1) % n]) for i in range(n)]
    sound = True
    for i in range(n):
        for j in range(i + 1, n):
            shared = set(sides[i]) & set(sides[j])
            touch = [p for p in (*sides[i], *sides[j]) if on(p, sides[i]) and on(p, sides[j])]
            sound &= set(touch) <= shared and len(shared) < 2 and not cross(sides[i], sides[j])
    assert (outline_fault([(float(x), float(y)) for x, y in points]) is None) == sound


def turn(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int]) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def on(p: tuple[int, int], side: Any) -> bool:
    (ax, ay), (bx, by) = side
    return turn(*side, p) == 0 and min(ax, bx) <= p[0] <= max(ax, bx) and min(ay, by) <= p[1] <= max(ay, by)


def cross(a: Any, b: Any) -> bool:
    return turn(*a, b[0]) * turn(*a, b[1]) < 0 and turn(*b, a[0]) * turn(*b, a[1]) < 0


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=3, max_size=7, unique=True))
def test_counter_clockwise(points: list[tuple[int, int]]) -> None:
    outline = [(float(x), float(y)) for x, y in points]
    if outline_fault(outline):
        return
    turned = counter_clockwise(outline)
    xs, ys = np.array(turned).T
    assert np.dot(xs, np.roll(ys, -1)) - np.dot(ys, np.roll(xs, -1)) > 0.0
    assert set(turned) == set(outline)
