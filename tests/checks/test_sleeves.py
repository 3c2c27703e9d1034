"""Sleeves: what they leave round a run, by a program of rims and lines; who may pass, and what rules then say."""

import random

import numpy as np
import pytest
import yaml
from command_line import run
from wide import few_or_many

from pipemodel import story
from pipemodel.checks.insulated import insulated
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.job.model import JobError

WALL = {"from": [0, 0], "to": [3000, 0], "height": 2400, "thickness": 100, "facing": "south"}


def loaded(tmp_path, room, runs, **more):
    text = yaml.safe_dump({"job": "x", "tube": 15, "clearance": 0, "room": room, "runs": runs, **more}, sort_keys=False)
    (tmp_path / "job.yaml").write_text(text)
    return story.load(tmp_path / "job.yaml")


def checked(tmp_path, room, runs, **more):
    return story.check(loaded(tmp_path, room, runs, **more))


def said(report, *codes):
    return [(f.code, f.run, f.against) for f in report.findings if f.code in codes]


def refused(tmp_path, room, runs=None):
    with pytest.raises(JobError) as error:
        loaded(tmp_path, room, runs or {"a": {"points": [[0, -900, 0], [0, -900, 500]]}})
    return "".join(error.value.lines())


def rims(middle, axis, long, bore, count=200_000):
    """Points all round both mouths of a bore."""
    axis = axis / np.linalg.norm(axis)
    one = np.cross(axis, [0.3, 0.5, 0.8])
    one /= np.linalg.norm(one)
    two = np.cross(axis, one)
    turn = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)[:, None]
    ring = bore / 2.0 * (np.cos(turn) * one + np.sin(turn) * two)
    return np.vstack([middle + sign * long / 2.0 * axis + ring for sign in (-1.0, 1.0)])


def off_line(points, a, b):
    way = (b - a) / np.linalg.norm(b - a)
    return np.linalg.norm(np.cross(points - a, way), axis=1)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10))
def test_a_straight_run_is_as_far_from_the_bore_as_its_axis_is_from_the_rims(seed, tmp_path):
    """The room in a bore is least at a mouth: how far the rims are from the axis as a line, less half the tube.

    A wall lies any way in plan; the run goes through at a slant and off the middle, insulated or not.
    """
    dice = random.Random(seed)
    turn = dice.choice([0.0, 90.0, dice.uniform(0.0, 360.0)])
    way = np.array([np.cos(np.radians(turn)), np.sin(np.radians(turn)), 0.0])
    out = np.array([way[1], -way[0], 0.0])
    start = np.array([dice.uniform(-500, 500), dice.uniform(-500, 500), 0.0])
    thick, bore = dice.uniform(40, 300), dice.uniform(30, 90)
    long = None if dice.random() < 0.5 else thick + dice.uniform(0, 100)
    end = start + 2500 * way
    wall = {"from": start[:2].tolist(), "to": end[:2].tolist(), "height": 2400, "thickness": thick}
    wall["facing"] = out.tolist()
    at = start + 1200 * way + np.array([0, 0, 900.0])
    middle = at - out * thick / 2.0
    lean = np.array([dice.uniform(-0.15, 0.15) for _ in range(3)])
    aside = np.array([dice.uniform(-0.2, 0.2) * bore for _ in range(3)])
    heading = -out + lean
    a, b = middle + aside - 900 * heading, middle + aside + 900 * heading
    sleeve = {"in": "wall", "at": {"wall": "wall", "along": 1200, "up": 900}, "diameter": bore, "for": ["a"]}
    if long is not None:
        sleeve["length"] = long
    thickness, clearance = dice.choice([0.0, 4.0]), dice.uniform(0.0, 8.0)
    report = checked(
        tmp_path,
        {"wall": {"wall": wall}, "s": {"sleeve": sleeve, "clearance": clearance}},
        {"a": {"points": [a.tolist(), b.tolist()]}},
        insulation=thickness,
    )
    left = off_line(rims(middle, out, long or thick, bore), a, b).min() - 7.5 - thickness
    (finding,) = [f for f in report.findings if f.check == "sleeves"]
    assert finding.code == ("C112" if left >= clearance else "C111")
    assert finding.required_mm == pytest.approx(clearance)
    if left + thickness > 0.01:
        assert finding.distance_mm == pytest.approx(left, abs=2e-3)
        # The sleeve speaks for the wall: nothing is said twice.
        assert said(report, "C101", "C102") == []
    else:
        assert finding.distance_mm < 0.0


def straight(x, z=300.0):
    return {"points": [[x, -400, z], [x, 600, z]]}


def sleeve(bore=40.0, x=1000.0, runs=("a",), **more):
    return {"sleeve": {"in": "wall", "at": [x, 0, 300], "diameter": bore, "for": list(runs), **more}}


@pytest.mark.slow
def test_only_the_runs_named_may_pass(tmp_path):
    room = {"wall": {"wall": WALL}, "s": sleeve(runs=["a", "b"])}
    runs = {"a": straight(990.5), "b": straight(1009.5), "c": straight(1000.0, 320.0)}
    report = checked(tmp_path, room, runs)
    assert said(report, "C112") == [("C112", "a", "s"), ("C112", "b", "s")]
    # The third overlaps wall and bore, as it would a wall without a hole.
    assert said(report, "C101", "C110") == [("C101", "c", "wall"), ("C110", "c", "s")]
    runs["c"] = straight(1000.0, 300.0)
    del runs["a"]
    room["s"] = sleeve(runs=["b"])
    runs["b"] = straight(1000.0, 700.0)
    report = checked(tmp_path, room, runs)
    # It lies in the middle of the bore, touches no wall, and still may not pass; the one meant does not come.
    assert said(report, "C110", "C113") == [("C110", "c", "s"), ("C113", "b", "s")]
    assert ("C101", "b", "wall") in said(report, "C101")


@pytest.mark.slow
def test_the_clearance_of_the_wall_counts_unless_the_sleeve_has_its_own(tmp_path):
    runs = {"a": straight(1000.0)}
    for bore, more, own, code in (
        (30.9, {}, None, "C111"),
        (31.1, {}, None, "C112"),
        (25.0, {}, 5.0, "C112"),
        (24.9, {}, 5.0, "C111"),
        (30.9, {"clearance": 7.9}, None, "C112"),
    ):
        room = {"wall": {"wall": WALL, **more}, "s": sleeve(bore)}
        if own is not None:
            room["s"]["clearance"] = own
        report = checked(tmp_path, room, runs, clearance=8)
        assert said(report, "C111", "C112") == [(code, "a", "s")], bore
        assert said(report, "C101", "C102") == []
        assert (report.verdict == "pass") == (code == "C112")


def test_near_the_wall_elsewhere_is_still_said(tmp_path):
    """A leg along the wall, 2 mm off its face, after the run came through."""
    runs = {"a": {"points": [[1000, 600, 300], [1000, -9.5, 300], [1000, -9.5, 1500]]}}
    report = checked(tmp_path, {"wall": {"wall": WALL}, "s": sleeve(200.0)}, runs, clearance=5)
    assert ("C102", "a", "wall") in said(report, "C102")


@pytest.mark.parametrize("chased", [False, True])
def test_a_wall_of_layers_is_gone_through_whole(chased, tmp_path):
    """In a chase the front layer is not there: what is left is that of the layers behind."""
    chases = [
        {"from": [1000 if chased else 2000, 100], "to": [1000 if chased else 2000, 900], "width": 60, "depth": 30}
    ]
    room = {"wall": {"wall": {**WALL, "chases": chases}}, "s": sleeve(35.0)}
    report = checked(tmp_path, room, {"a": straight(1000.0)})
    assert said(report, "C101", "C102", "C112") == [("C112", "a", "s")]
    job = loaded(tmp_path, room, {"a": straight(1000.0)})
    bore = next(thing for thing in job.things if thing.name == "s").shape
    ends = sorted((bore.start[1], bore.finish[1]))
    assert ends == pytest.approx([30.0 if chased else 0.0, 100.0])


def test_boxes_outlines_and_floors_take_sleeves(tmp_path):
    runs = {"a": {"points": [[500, 500, 600], [500, 500, -600]]}}
    for thing in (
        {"box": {"from": [0, 0, -40], "to": [2000, 2000, 0]}, "is": "floor"},
        {"floor": {"outline": [[0, 0], [2000, 0], [1500, 1800], [0, 900]], "top": 0, "thickness": 40}},
        {"floor": {"from": [0, 0], "to": [2000, 2000], "bottom": -40, "thickness": 40,
                   "openings": [{"at": [900, 500], "diameter": 80}]}},
    ):  # fmt: skip
        room = {"wall": thing, "s": {"sleeve": {"in": "wall", "at": [503, 500, 9], "diameter": 31, "for": ["a"]}}}
        report = checked(tmp_path, room, runs)
        (one,) = [f for f in report.findings if f.check == "sleeves"]
        assert one.distance_mm == pytest.approx(15.5 - 7.5 - 3.0, abs=1e-6)
        assert report.verdict == "pass"
        plate = next(t.shape for t in loaded(tmp_path, room, runs).things if t.name == "wall")
        assert isinstance(plate, Plate)
        assert len(plate.rounds) == (2 if "openings" in thing.get("floor", {}) else 1)


def test_in_room_files_it_goes_where_the_file_goes(tmp_path):
    (tmp_path / "shell.yaml").write_text(yaml.safe_dump({"room": {"wall": {"wall": WALL}, "s": sleeve(31.0)}}))
    room = {"file": {"file": "shell.yaml", "at": [5000, 0, 100], "turned": 90, "called": "east"}}
    # (x, y) goes to (5000 - y, x): the sleeve at (1000, 0, 300) to (5000, 1000, 400).
    runs = {"a": {"points": [[4000, 1002, 400], [6000, 1002, 400]]}}
    report = checked(tmp_path, room, runs)
    (one,) = [f for f in report.findings if f.check == "sleeves"]
    assert (one.code, one.against) == ("C112", "east s")
    assert one.distance_mm == pytest.approx(15.5 - 7.5 - 2.0, abs=1e-6)
    assert said(report, "C101", "C110") == []
    # A sleeve of the job in a wall of a file.
    (tmp_path / "shell.yaml").write_text(yaml.safe_dump({"room": {"wall": {"wall": WALL}}}))
    room["far"] = {"sleeve": {"in": "east wall", "at": [4950, 1000, 400], "diameter": 31, "for": ["a"]}}
    assert said(checked(tmp_path, room, runs), "C101", "C112") == [("C112", "a", "far")]


@pytest.mark.slow
def test_rules_are_quiet_where_a_sleeve_is_large_enough(tmp_path):
    """EN 1057 tube of 22 has a bore of 20.2 with a wall of 0.9, the everyday one; NBS 670 asks for a size larger."""
    for bore, codes in ((20.2, []), (35.0, []), (20.1, ["R110"])):
        room = {"wall": {"wall": WALL}, "s": sleeve(bore)}
        report = checked(tmp_path, room, {"a": straight(1000.0)}, rules=["NBS 670"])
        assert [f.code for f in report.findings if f.code in ("R108", "R110")] == codes, bore
        for f in report.findings:
            if f.code == "R110":
                assert (f.severity, f.distance_mm) == ("warning", bore)
                assert f.required_mm == pytest.approx(20.2)
    # A sleeve for another run is none.
    report = checked(tmp_path, {"wall": {"wall": WALL}, "s": sleeve(40.0, 2000.0)},
                     {"a": straight(2000.0), "b": straight(1000.0)}, rules=["NBS 670"])  # fmt: skip
    assert said(report, "R108") == [("R108", "b", "wall")]


def test_wrong_sleeves_are_refused_with_what_would_be_right(tmp_path):
    wall = {"wall": {"wall": WALL}}
    assert "there is no wall or floor 'wal'; did you mean 'wall'?" in refused(
        tmp_path, {**wall, "s": {"sleeve": {**sleeve()["sleeve"], "in": "wal"}}}
    )
    assert "lies beside 'wall', or in an opening" in refused(tmp_path, {**wall, "s": sleeve(x=-50)})
    assert "breaks through a side" in refused(tmp_path, {**wall, "s": sleeve(x=10)})
    assert "100 mm thick; leave the length" in refused(tmp_path, {**wall, "s": sleeve(length=99)})
    assert "there is no run called 'b'" in refused(tmp_path, {**wall, "s": sleeve(runs=["b"])})
    assert "runs into one before it" in refused(tmp_path, {**wall, "s": sleeve(), "t": sleeve(x=1020)})
    assert "says what goes through it with 'for'" in refused(tmp_path, {**wall, "s": {**sleeve(), "runs": ["a"]}})
    pillar = {"wall": {"cylinder": {"from": [1000, 50, 0], "to": [1000, 50, 900], "diameter": 300}}}
    assert "only a box, an extrusion or a plate" in refused(tmp_path, {**pillar, "s": sleeve()})
    assert "for" in refused(tmp_path, {**wall, "s": {"sleeve": {"in": "wall", "at": [1000, 0, 300], "diameter": 30}}})


@pytest.mark.slow
def test_the_list_of_holes_names_sleeves_only_where_there_are_any(tmp_path):
    room = {"wall": {"wall": WALL}, "s": {**sleeve(31.0), "clearance": 2}}
    runs = {"a": straight(1002.0), "b": straight(2000.0)}
    results = story.results(loaded(tmp_path, room, runs, clearance=10))
    table = results_table(results)
    heads = [column.head for column in table.columns]
    assert heads[-2:] == ["sleeve", "left"]
    rows = {row[1]: dict(zip(heads, row, strict=True)) for row in table.rows}
    assert rows["a"]["sleeve"] == "s"
    assert rows["a"]["left"] == pytest.approx(15.5 - 7.5 - 2.0, abs=1e-6)
    # The sleeve's own clearance counts where it is, the job's elsewhere.
    assert [rows[run]["hole"] for run in "ab"] == pytest.approx([15 + 2 * 2, 15 + 2 * 10])
    assert rows["a"]["drawn"] == pytest.approx(31.0)
    assert (rows["b"]["sleeve"], rows["b"]["left"]) == (None, None)
    plain = results_table(story.results(loaded(tmp_path, {"wall": {"wall": WALL}}, runs)))
    assert "sleeve" not in [column.head for column in plain.columns]


def results_table(results):
    from pipemodel.lists.holes import holes

    content = holes(results)
    assert content is not None
    return content.table


def test_german_says_it_too(tmp_path):
    report = checked(tmp_path, {"wall": {"wall": WALL}, "s": sleeve(16.0)}, {"a": straight(1000.0)}, clearance=3)
    (one,) = [f for f in report.findings if f.code == "C111"]
    assert "does not fit the sleeve 's', bore 16 mm, through 'wall'" in one.message
    assert "0.5 mm is left round it, 3 mm is asked for" in one.message
    assert "a bore of 21.0 mm would do" in one.message
    german = " ".join(run("check", tmp_path / "job.yaml", "--language", "de").out.split())
    assert "passt nicht durch das Hüllrohr" in german
    assert "21,0 mm" in german


def test_a_found_way_goes_through_its_sleeve_and_no_other_run_does(tmp_path):
    """The wall closes all the way round between both ends: the sleeve is the only way."""
    wall = {"box": {"from": [-3000, 0, -3000], "to": [3000, 100, 3000]}}
    room = {"wall": wall, "s": {"sleeve": {"in": "wall", "at": [0, 50, 0], "diameter": 40, "for": ["a"]}}}
    job = loaded(tmp_path, room, {"a": straight(0.0, 0.0), "b": straight(500.0, 0.0)})
    assert [thing.name for thing in job.things_for("a")] == ["wall"]
    assert [thing.name for thing in job.things_for("b")] == ["wall", "s"]
    find = {"from": [0, -400, 0], "heading": "north", "to": [0, 600, 0], "arriving": "north"}
    report = checked(tmp_path, room, {"a": {"find": find}})
    assert said(report, "C112") == [("C112", "a", "s")]
    assert report.verdict == "pass"


HOLES = {
    "wall": {"wall": {**WALL, "openings": [{"at": 2000, "width": 762, "height": 1981},
                                           {"at": 600, "up": 300, "diameter": 32, "for": ["a"]}]}},
    "floor": {"floor": {"from": [0, -900], "to": [3000, 0], "top": 0, "thickness": 22,
                        "openings": [{"at": [600, -300], "diameter": 32, "for": ["a"]}]}},
    "joists": {"joists": {"first": [400, -900], "along": "east", "row": "north", "spacing": 900, "number": 1,
                          "top": 300, "length": 900, "size": [50, 200],
                          "holes": [{"at": 200, "down": 100, "diameter": 32, "for": ["a"]}],
                          "notches": [{"at": 500, "width": 30, "depth": 20, "in": "top"}]}},
    "box": {"box": {"from": [500, -950, 100], "to": [700, -900, 300]},
            "holes": [{"at": [600, -900, 200], "diameter": 32, "for": ["a"]}]},
}  # fmt: skip
THROUGH = {
    "wall": [[600, -200, 300], [600, 400, 300]], "floor": [[600, -300, -200], [600, -300, 300]],
    "joists": [[600, -1100, 200], [600, -700, 200]], "box": [[600, -1100, 200], [600, -700, 200]],
}  # fmt: skip
FAR = {"points": [[0, 9000, 0], [0, 9900, 0]]}


@pytest.mark.parametrize("term", HOLES)
def test_a_plain_hole_lets_those_through_that_it_is_for_and_says_what_it_leaves(term, tmp_path):
    room = {"it": HOLES[term]}
    named = "it 1" if term == "joists" else "it"
    report = checked(tmp_path, room, {"b": {"points": THROUGH[term]}, "a": FAR})
    assert said(report, "C110", "C113") == [("C110", "b", f"{named} hole 1"), ("C113", "a", f"{named} hole 1")]
    report = checked(tmp_path, room, {"a": {"points": THROUGH[term]}})
    assert report.verdict == "pass"
    (left,) = [f for f in report.findings if f.code == "C112"]
    assert left.distance_mm == pytest.approx((32 - 15) / 2)
    assert f"in the hole '{named} hole 1'" in left.message


def test_a_hole_for_some_runs_is_no_sleeve_to_a_rule_and_follows_its_thing(tmp_path):
    room = {"it": {**HOLES["wall"], "repeat": {"number": 2, "by": [0, 500, 0]}}}
    runs = {"a": {"points": [[600, -200, 300], [600, 900, 300]]}}
    report = checked(tmp_path, room, runs, rules=["NBS 670"])
    assert said(report, "C112") == [("C112", "a", "it 1 hole 1"), ("C112", "a", "it 2 hole 1")]
    assert [f.against for f in report.findings if f.code == "R108"] == ["it 1", "it 2"]


def test_the_pipe_of_a_sleeve_takes_more_of_the_wall_than_its_bore(tmp_path):
    sleeve = {"in": "w", "at": {"wall": "w", "along": 600, "up": 300}, "diameter": 20.2, "outside": 22, "for": ["a"]}
    room = {"w": {"wall": WALL}, "s": {"sleeve": sleeve}}
    job = loaded(tmp_path, room, {"a": {"points": [[600, -200, 300], [600, 400, 300]]}})
    (hole,) = next(thing for thing in job.things if thing.name == "w").shape.rounds
    assert 2 * hole.radius == 22
    (left,) = [f for f in story.check(job).findings if f.code in ("C111", "C112")]
    assert left.distance_mm == pytest.approx((20.2 - 15) / 2)
    # Between the bore and its outside is pipe: a run there does not fit, though it is clear of the wall.
    runs = {"a": {"points": [[603, -200, 300], [603, 400, 300]]}}
    assert said(checked(tmp_path, room, runs), "C111", "C101") == [("C111", "a", "s")]
    assert "outside it is more than its bore" in refused(tmp_path, {**room, "s": {"sleeve": {**sleeve, "outside": 20}}})


SQUARE = {
    # What it is cut in, the name of what is cut, and where that is: 40 wide, its lower left corner at x 600.
    "wall": ({"wall": {**WALL, "openings": [{"at": 600, "width": 40, "height": 30, "up": 300, "for": ["a"]}]}},
             "it opening 1"),
    "box": ({"box": {"from": [0, 0, 0], "to": [3000, 50, 2400]},
             "holes": [{"from": [600, 0, 300], "to": [640, 50, 330], "for": ["a"]}]}, "it opening 1"),
    "joists": ({"joists": {"first": [0, 25], "along": "east", "row": "north", "spacing": 400, "number": 4,
                           "length": 3000, "size": [50, 330], "top": 330,
                           "notches": [{"at": 600, "width": 40, "depth": 30, "for": ["a"]}]}}, "it 1 notch 1"),
}  # fmt: skip


def with_meant(thing, **more):
    """Return a thing's form with more said of its opening."""
    (term,) = (key for key in thing if key != "holes")
    if "holes" in thing:
        return {**thing, "holes": [{**thing["holes"][0], **more}]}
    where = "notches" if term == "joists" else "openings"
    return {term: {**thing[term], where: [{**thing[term][where][0], **more}]}}


@pytest.mark.parametrize("kind", ["joists", *(pytest.param(kind, marks=pytest.mark.slow) for kind in ("wall", "box"))])
def test_an_opening_or_a_notch_leaves_what_is_nearest_at_its_sides(kind, tmp_path):
    """By hand: a straight run square through it is as far from each side as its axis is, less half the tube.

    A notch has no upper side.
    """
    thing, named = SQUARE[kind]
    dice = random.Random(kind)
    for _ in range(few_or_many(1, 20)):
        x, z = dice.uniform(608, 632), dice.uniform(308, 322)
        sides = [x - 600, 640 - x, z - 300] + ([330 - z] if kind != "joists" else [])
        room, clearance = {"it": with_meant(thing, clearance=2.0)}, 2.0
        report = checked(tmp_path, room, {"a": {"points": [[x, -200, z], [x, 200, z]]}}, clearance=9)
        (finding,) = [f for f in report.findings if f.check == "sleeves"]
        assert finding.distance_mm == pytest.approx(min(sides) - 7.5, abs=1e-6)
        assert finding.code == ("C112" if min(sides) - 7.5 >= clearance else "C111")
        assert (finding.against, finding.required_mm) == (named, clearance)
        assert said(report, "C101", "C102") == []
    # Another may not pass, in the middle of it as it is.
    runs = {
        "a": {"points": [[2000, -200, 1000], [2000, 200, 1000]]},
        "b": {"points": [[620, -90, 315], [620, 90, 315]]},
    }
    assert ("C110", "b", named) in said(checked(tmp_path, {"it": thing}, runs), "C110")


@pytest.mark.parametrize("kind", SQUARE)
def test_insulation_may_stop_at_an_opening(kind, tmp_path):
    thing, _ = SQUARE[kind]
    runs = {"a": {"points": [[620, -200, 315], [620, 200, 315]]}}
    codes = {}
    for bare in (False, True):
        report = checked(tmp_path, {"it": with_meant(thing, clearance=2, bare=bare)}, runs, insulation=9)
        (finding,) = [f for f in report.findings if f.check == "sleeves"]
        codes[bare] = finding.code, finding.distance_mm
    # 15 to the nearest side, 7.5 of it tube.
    assert codes == {False: ("C111", pytest.approx(-1.5)), True: ("C112", pytest.approx(7.5))}


def test_a_hole_through_a_wall_with_chases_is_said_once_where_it_is_tightest(tmp_path):
    """By hand: 15 in a bore of 60 leaves 22.5; at a slant the least is at a mouth, here that of the far side."""
    chases = [{"from": [x, 200], "to": [x, 900], "width": 30, "depth": deep} for x, deep in ((100, 20), (300, 40))]
    hole = {"at": 600, "up": 300, "diameter": 60, "for": ["a"], "clearance": 2}
    room = {"w": {"wall": {**WALL, "chases": chases, "openings": [hole]}}}
    report = checked(tmp_path, room, {"a": {"points": [[600, -500, 300], [600, 600, 300]]}})
    (one,) = [f for f in report.findings if f.check == "sleeves"]
    assert (one.code, one.against, one.distance_mm) == ("C112", "w hole 1", pytest.approx(22.5))
    # The middle of the far face is off by 10, so that 20 is left beside the axis, square to it by the cosine.
    report = checked(tmp_path, room, {"a": {"points": [[600, -900, 300], [600, 1100, 320]]}})
    (one,) = [f for f in report.findings if f.check == "sleeves"]
    assert one.distance_mm == pytest.approx(20 * np.cos(np.arctan(0.01)) - 7.5, abs=1e-3)
    assert (one.code, one.against) == ("C112", "w hole 1")


def test_insulation_is_round_a_run_but_for_its_bare_end_and_hole(tmp_path):
    """At a slant of 3 along to 4 through, a wall 100 thick takes 125 of the run; by hand from where it goes in."""
    hole = {"at": 1037.5, "up": 500, "diameter": 60, "for": ["a"], "clearance": 0, "bare": True}
    runs = {"a": {"points": [[700, -400, 500], [1300, 400, 500]], "ends": {"start": {"bare": 40}}}}
    for bare, parts in ((True, [(40, 500), (625, 1000)]), (False, [(40, 1000)])):
        wall = {**WALL, "openings": [{**hole, "bare": bare}]}
        schedule = story.schedule(loaded(tmp_path, {"w": {"wall": wall}}, runs, insulation=9))
        (solved,) = schedule.runs
        assert [x for part in insulated(schedule, solved) for x in part] == pytest.approx([x for p in parts for x in p])


def test_a_hole_of_a_row_is_missed_once_and_only_where_none_is_gone_through(tmp_path):
    joists = {**SQUARE["joists"][0]["joists"], "holes": [{"at": 1500, "down": 150, "diameter": 30, "for": ["a", "b"]}]}
    # One goes through two of the four and ends in the bay, the other through none.
    runs = {
        "a": {"points": [[1500, -200, 180], [1500, 600, 180]]},
        "b": {"points": [[300, -200, 500], [900, -200, 500]]},
    }
    report = checked(tmp_path, {"it": {"joists": {**joists, "notches": []}}}, runs)
    assert said(report, "C112") == [("C112", "a", "it 1 hole 1"), ("C112", "a", "it 2 hole 1")]
    (missed,) = [f for f in report.findings if f.code == "C113"]
    assert (missed.run, "'it hole 1'" in missed.message) == ("b", True)


def test_a_run_that_a_hole_is_for_and_that_is_not_there_is_named_at_its_word(tmp_path):
    holes = [{"at": 600, "up": 300, "diameter": 32, "for": ["a", "z"]}]
    text = refused(tmp_path, {"w": {"wall": {**WALL, "openings": holes}}})
    lines = (tmp_path / "job.yaml").read_text().splitlines()
    row = next(n for n, line in enumerate(lines, 1) if line.strip() == "- z")
    assert f":{row}:{lines[row - 1].index('z') + 1}: there is no run called 'z'" in text
    for wrong in ({"clearance": 1}, {"bare": True}):
        hole = {"at": 600, "up": 300, "diameter": 32, **wrong}
        assert "name them: for: [...]" in refused(tmp_path, {"w": {"wall": {**WALL, "openings": [hole]}}})
