"""Walls drawn in layers for their chases, and things out of the axes: by hand, and against the same room not turned."""

import json
import random
from math import cos, hypot, radians, sin

import pytest
from wide import few_or_many

from pipemodel import story
from pipemodel.checks.penetrations import penetrations
from pipemodel.geometry.shapes import Cylinder
from pipemodel.geometry.shapes.plate import Plate

HEAD = "job: x\ntube: 15\nformer: {radius: 55, springback: {fixed: 0}, hold: 0, guide: 0}\n"
WALL = {"from": [0, 0], "to": [3000, 0], "facing": "south", "thickness": 100, "height": 2400}
CHASES = [{"from": [x, 50], "to": [x, 1500], "width": 40, "depth": deep} for x, deep in ((1000, 30), (2600, 36))]


def load(tmp_path, room, runs, rules=(), more=""):
    path = tmp_path / "job.yaml"
    said = {"rules": list(rules), "room": room, "runs": {name: {"points": p} for name, p in runs.items()}}
    path.write_text(HEAD + more + "".join(f"{k}: {json.dumps(v)}\n" for k, v in said.items()), encoding="utf-8")
    return story.load(path)


def found(report, code):
    return [f for f in report.findings if f.code == code]


def turned(p, by):
    """A point turned about the upright through 0, 0; degrees."""
    c, s = cos(radians(by)), sin(radians(by))
    return [p[0] * c - p[1] * s, p[0] * s + p[1] * c, p[2]]


@pytest.mark.slow
@pytest.mark.parametrize("by", few_or_many([90, -118.5], [90, 30, -118.5]))
def test_what_is_turned_with_its_run_is_judged_alike(by, tmp_path):
    """Joists, a wall and boards of a room file; a beam is to be left alone, and the hole is near a joist's end."""
    things = {
        "joists": {"joists": {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 2,
                   "length": 3600, "size": [47, 195], "top": 0}},
        "beam": {"beam": {"from": [0, 800], "to": [3600, 800], "size": [75, 200], "top": 0}},
        "wall": {"wall": {**WALL, "from": [0, 1200], "to": [3600, 1200], "bottom": -1200}},
        "boards": {"floor": {"outline": [[0, 1400], [3600, 1400], [3000, 2500], [0, 2000]], "top": 0, "thickness": 22}},
    }  # fmt: skip
    (tmp_path / "room.yaml").write_text(json.dumps({"room": things}), encoding="utf-8")
    points = [[500, -300, -97], [500, 1500, -97], [500, 1500, 600]]
    said = []
    for angle in (0, by):
        room = {"file": {"file": "room.yaml", "turned": angle}}
        job = load(tmp_path, room, {"r": [turned(p, angle) for p in points]}, ["LABC on TRADA", "NBS 670"])
        report = story.check(job)
        rules = [(f.code, f.against, f.run, round(f.at_mm or 0, 3)) for f in report.findings if f.check == "rules"]
        holes = [(h.thing, round(h.at_mm, 3), round(h.least_mm, 3)) for h in penetrations(story.schedule(job))]
        said.append((rules, holes))
    assert said[1] == said[0]
    assert [code for code, *_ in said[0][0]].count("R102") == 2
    assert {"R104", "R108"} <= {code for code, *_ in said[0][0]}
    assert {thing for thing, *_ in said[0][1]} == {"joists 1", "joists 2", "beam", "wall", "boards"}


def test_a_wall_out_of_the_axes_is_drilled_at_a_slant(tmp_path):
    """4 to 3 in plan: the tube goes north, at 3/5 of its length along the wall and 4/5 through it."""
    room = {"w": {"wall": {**WALL, "to": [2400, 1800]}}}
    (hole,) = penetrations(story.schedule(load(tmp_path, room, {"r": [[800, -900, 500], [800, 2400, 500]]})))
    # Its face is met at y = 600; through 100 at 4/5 takes 125 of the run, the middle half way.
    assert hole.point == pytest.approx((800, 662.5, 500))
    assert hole.least_mm == pytest.approx(15 / 0.8 + 100 * 0.6 / 0.8)
    # From the wall's west end, at 0, 0.
    assert hole.along_mm == pytest.approx(800 * 0.8 + 662.5 * 0.6)
    assert hole.up_mm == pytest.approx(500)


def test_a_hole_through_a_chased_wall_is_one(tmp_path):
    """At 3 along to 4 through, worked by hand; in a chase what lies behind is drilled, elsewhere all three layers."""
    rise = [[800, -400, 700], [1400, 400, 700]]
    runs = {"r": rise, "c": [[1000, -300, 700], [1000, 300, 700]]}
    job = load(tmp_path, {"w": {"wall": {**WALL, "chases": CHASES}}}, runs)
    whole, behind = penetrations(story.schedule(job))
    assert (whole.thing, whole.parts) == ("w", ("w", "w behind", "w behind 2"))
    assert whole.point == pytest.approx((1137.5, 50, 700))
    assert whole.at_mm == pytest.approx(450 / 0.8)
    assert whole.least_mm == pytest.approx(15 / 0.8 + 100 * 0.75)
    assert (behind.thing, behind.parts) == ("w", ("w behind", "w behind 2"))
    assert behind.point == pytest.approx((1000, 65, 700))
    assert behind.least_mm == pytest.approx(15)


@pytest.mark.slow
@pytest.mark.parametrize("by", few_or_many([30], [0, 30]))
def test_a_clash_with_a_chased_wall_is_one_as_with_one_that_is_not(by, tmp_path):
    """Away from the chases the wall is as deep as without them; in one, what lies behind it is. Moved, it is clear."""
    runs = {
        "across": [[2000, -300, 700], [2000, 300, 700]], "chase": [[1000, -300, 700], [1000, 300, 700]],
        "within": [[1400, 33, 300], [1400, 33, 1000]], "front": [[1000, 10, 900], [1000, 10, 1400]],
        "seam": [[300, 36, 2300], [700, 36, 2300]],
    }  # fmt: skip
    said = []
    for chases in (CHASES, []):
        (tmp_path / "room.yaml").write_text(json.dumps({"room": {"w": {"wall": {**WALL, "chases": chases}}}}))
        room = {"file": {"file": "room.yaml", "turned": by}}
        lines = {name: [turned(p, by) for p in points] for name, points in runs.items()}
        walls = found(story.check(load(tmp_path, room, lines, more="clearance: 5\n")), "C101")
        assert {f.against for f in walls} == {"w"}
        assert len({f.run for f in walls}) == len(walls)
        said.append({f.run: f for f in walls})
        for name, f in said[-1].items():
            (contact,) = f.contacts
            moved = [[a + b for a, b in zip(p, contact.move, strict=True)] for p in lines[name]]
            report = story.check(load(tmp_path, room, {name: moved}, more="clearance: 5\n"))
            assert not found(report, "C101") + found(report, "C102")
    chased, plain = said
    for name in ("across", "within", "seam"):
        assert chased[name].distance_mm == pytest.approx(plain[name].distance_mm, abs=1e-3)
    # From the bottom of the chase, 30 deep, to the back: 70, the middle 35 from either.
    assert chased["chase"].distance_mm == pytest.approx(-35 - 7.5, abs=1e-3)
    assert chased["chase"].contacts[0].hole.length_mm == pytest.approx(70)
    assert chased["across"].contacts[0].hole.length_mm == pytest.approx(100)
    assert "front" not in chased
    assert "front" in plain


def test_the_shortest_move_past_a_chase(tmp_path):
    """Down under the foot of the wall, from 300 above it: half the tube and what is asked for more, no more."""
    runs = {"r": [[1000, -300, 300], [1000, 300, 300]]}
    report = story.check(load(tmp_path, {"w": {"wall": {**WALL, "chases": CHASES}}}, runs, more="clearance: 5\n"))
    (one,) = found(report, "C101")
    assert one.contacts[0].move == pytest.approx((0, 0, -300 - 7.5 - 5), abs=1e-3)


@pytest.mark.slow
@pytest.mark.parametrize("what", ["hole", "sleeve"])
@pytest.mark.parametrize(("x", "diameter"), [(1000, 90), (1013, 64), (990, 41)])
def test_a_round_hole_wider_than_its_chase_goes_through_the_wall(what, x, diameter, tmp_path):
    """Points of the wall lie outside the circle and the chases, by their own formulas; a run in the circle is clear."""
    wall = {**WALL, "chases": CHASES}
    room = {"w": {"wall": wall}}
    if what == "hole":
        wall["openings"] = [{"at": x, "up": 700, "diameter": diameter}]
    else:
        room["s"] = {"sleeve": {"in": "w", "at": [x, 0, 700], "diameter": diameter, "for": ["r"]}}
    aside = x + (diameter - 15) / 2 - 0.05
    runs = {"r": [[aside, -300, 700], [aside, 300, 700]]}
    job = load(tmp_path, room, runs)
    layers = [thing.shape for thing in job.things if thing.role == "solid"]
    rng, solid = random.Random(1), 0
    for _ in range(3000):
        p = rng.uniform(940, 1060), rng.uniform(1, 99), rng.uniform(640, 760)
        off = hypot(p[0] - x, p[2] - 700) - diameter / 2
        if abs(off) < 0.05:
            continue
        chased = any(abs(p[0] - c["from"][0]) < c["width"] / 2 and p[1] < c["depth"] for c in CHASES[:1])
        assert (min(shape.distance(p) for shape in layers) < 0) == (off > 0 and not chased), p
        solid += off > 0 and not chased
    assert solid > 500
    report = story.check(job)
    assert not found(report, "C101")
    assert [d.against for d in report.distances if d.against.startswith("w")] == ["w"]
    assert report.distances[0].distance_mm == pytest.approx(0.05, abs=0.03)


def test_an_end_in_any_layer_of_a_chased_wall_joins_the_wall(tmp_path):
    for layer in ("w", "w behind"):
        job = load(tmp_path, {"w": {"wall": {**WALL, "chases": CHASES}}}, {"r": [[2000, -300, 700], [2000, 60, 700]]})
        assert found(story.check(job), "C101")
        path = tmp_path / "job.yaml"
        joined = f'"ends": {{"finish": {{"joins": "{layer}"}}}}, "points"'
        path.write_text(path.read_text().replace('"points"', joined))
        assert not found(story.check(story.load(path)), "C101"), layer


@pytest.mark.slow
@pytest.mark.parametrize("layer", ["w", "w behind"])
def test_a_way_is_found_to_an_end_in_any_layer_of_the_wall_that_it_joins(layer, tmp_path):
    """30 and 60 into a wall; what an end joins, it touches for certain, and no chance of that is named."""
    for deep in (30, 60):
        find = {"from": [1000, -400, 300], "heading": "east", "to": [2000, deep, 700], "arriving": "north"}
        job = {
            "job": "x", "tube": 15, "former": {"radius": 55}, "clearance": 5,
            "hands": {"mark": 1, "angle": 1, "turn": 1},
            "room": {"w": {"wall": {**WALL, "chases": CHASES}}},
            "runs": {"r": {"find": find, "ends": {"finish": {"joins": layer}}}},
        }  # fmt: skip
        path = tmp_path / "job.yaml"
        path.write_text(json.dumps(job))
        report = story.check(story.load(path))
        assert not [f.code for f in report.findings if f.severity == "error"]
        assert [touch for fit in report.fits for touch in fit.touches] == []


def test_the_space_in_an_opening_and_what_is_kept_free_are_not_drilled(tmp_path):
    """A square opening for the run, in three layers, and the room in front of a valve: one hole, in the wall."""
    opening = {"at": 1970, "up": 670, "width": 60, "height": 60, "for": ["r"]}
    room = {
        "w": {"wall": {**WALL, "chases": CHASES, "openings": [opening]}},
        "valve": {"access": {"at": [2000, -300, 700], "facing": "south", "width": 300, "height": 300, "depth": 100}},
    }
    job = load(tmp_path, room, {"r": [[2000, -700, 700], [2000, 300, 700]]})
    (hole,) = penetrations(story.schedule(job))
    assert (hole.thing, hole.parts) == ("w", ("w", "w behind", "w behind 2"))
    assert (hole.opening_mm, hole.drawn_mm) == (60, None)


def test_a_chased_wall_is_one_wall_to_the_rules(tmp_path):
    """A third of 100 upright: the first chase may be, the second is cut deeper; it is the chase, not the tube."""
    runs = {"a": [[1000, 15, 100], [1000, 15, 1400]], "b": [[2600, 15, 100], [2600, 15, 1400]],
            "c": [[1800, -300, 700], [1800, 300, 700]]}  # fmt: skip
    report = story.check(
        load(tmp_path, {"w": {"wall": {**WALL, "chases": CHASES}}}, runs, ["CDA gas sheet", "NBS 670"])
    )
    (one,) = found(report, "R106")
    assert (one.run, one.against, one.distance_mm) == ("b", "w", pytest.approx(36))
    assert one.required_mm == pytest.approx(100 / 3)
    (one,) = found(report, "R108")
    assert (one.run, one.against, one.at_mm) == ("c", "w", pytest.approx(350))
    against = found(report, "R105")
    assert against
    assert all("1 × wall" in f.message for f in against)


def test_a_notch_across_the_middle_of_the_span_is_in_no_zone(tmp_path):
    """Its two ends lie where notches may be, 700 of 3600 from either support; what lies between them does not."""
    joists = {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 1, "length": 3600,
              "size": [47, 195], "top": 0, "notches": [{"at": 700, "width": 2200, "depth": 20}]}  # fmt: skip
    points = [[1800, -300, -10], [1800, 300, -10]]
    (one,) = found(story.check(load(tmp_path, {"j": {"joists": joists}}, {"r": points}, ["NBS 670"])), "R102")
    assert "252 mm to 900 mm is allowed" in one.message


def test_two_holes_alike_in_one_joist_are_both_said(tmp_path):
    """At 500 from either support of three joists, where no hole may be: two places, three joists in each."""
    joists = {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 3, "length": 3600,
              "size": [47, 195], "top": 0,
              "holes": [{"at": at, "down": 97.5, "diameter": 30} for at in (500, 3100)]}  # fmt: skip
    runs = {name: [[x, -300, -97.5], [x, 1100, -97.5]] for name, x in (("a", 500), ("b", 3100))}
    wrong = found(story.check(load(tmp_path, {"j": {"joists": joists}}, runs, ["NBS 670"])), "R102")
    assert [round(f.point[0]) for f in wrong] == [500, 3100]
    assert all("'j' 1 to 3" in f.message for f in wrong)


def test_what_cannot_be_judged_is_said(tmp_path):
    """A joist that is round, and a cable, which is measured whatever its shape."""
    room = {
        "j": {"cylinder": {"from": [0, 0, 0], "to": [3000, 0, 0], "diameter": 200}, "is": "joist"},
        "c": {"cable": {"points": [[0, 900, 0], [3000, 900, 0]]}},
    }
    runs = {"r": [[500, -300, 0], [500, 300, 0]]}
    for rules, said in (("NBS 670", True), ("BS 6891:2005", False)):
        (one,) = found(story.check(load(tmp_path, room, runs, [rules])), "R105")
        assert ("1 of them is neither block nor plate, and was not looked at" in one.message) == said


def test_what_stands_in_a_hole_for_runs_goes_through_all_layers_that_the_hole_is_in(tmp_path):
    """Round and square ones, from the face; one in the bottom of a chase begins there. They are counted as written."""
    openings = [
        {"at": 1000, "up": 500, "diameter": 36, "for": ["a"]},
        {"at": 1500, "up": 300, "diameter": 60, "for": ["a"]},
        {"at": 2000, "up": 250, "width": 60, "height": 100, "for": ["a"]},
    ]
    for facing, sign in (("south", 1), ("north", -1)):
        wall = {**WALL, "facing": facing, "chases": CHASES, "openings": openings}
        job = load(tmp_path, {"w": {"wall": wall}}, {"a": [[0, 900, 0], [90, 900, 0]]})
        bores = {thing.name: thing.shape for thing in job.things if thing.sleeve is not None}
        assert set(bores) == {"w hole 1", "w hole 2", "w opening 1"}
        deep = {name: sorted(sign * y for y in shape.reach((0.0, 1.0, 0.0))) for name, shape in bores.items()}
        assert deep == {
            "w hole 1": pytest.approx([30, 100]),
            "w hole 2": pytest.approx([0, 100]),
            "w opening 1": pytest.approx([0, 100]),
        }
        assert isinstance(bores["w hole 1"], Cylinder)
        assert isinstance(bores["w opening 1"], Plate)


def test_a_hole_that_cannot_be_is_named_at_its_own_line(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: x\ntube: 15\nroom:\n  w:\n    wall:\n      from: [0, 0]\n      to: [3000, 0]\n      facing: south\n"
        "      thickness: 100\n      height: 2400\n      openings:\n        - {at: 500, up: 300, diameter: 50}\n"
        "        - {at: 540, up: 300, diameter: 50}\nruns: {a: {points: [[0, -90, 0], [90, -90, 0]]}}\n",
        encoding="utf-8",
    )
    with pytest.raises(story.JobError) as error:
        story.load(path)
    (line,) = error.value.lines()
    assert line.startswith(f"{path}:13:")
    assert "runs into one before it by 10" in line


@pytest.mark.parametrize("way", ["opening", "notch"])
def test_insulation_may_not_stop_at_a_square_hole_either(way, tmp_path):
    """GEG 2020 asks for 20 mm, half of it in a wall: a hole of 15 + 2 x 10; in a joist the whole."""
    meant = {"for": ["r"], "clearance": 0, "bare": True}
    if way == "opening":
        room = {"it": {"wall": {**WALL, "openings": [{"at": 480, "up": 200, "width": 40, "height": 60, **meant}]}}}
        points, least = [[500, -300, 230], [500, 400, 230]], "35.0 mm"
    else:
        room = {"it": {"joists": {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 1,
                "length": 3600, "size": [47, 195], "top": 0,
                "notches": [{"at": 480, "width": 40, "depth": 24, **meant}]}}}  # fmt: skip
        points, least = [[500, -300, -12], [500, 400, -12]], "55.0 mm"
    report = story.check(load(tmp_path, room, {"r": points}, ["GEG 2020"], "insulation: 20\n"))
    (one,) = found(report, "R114")
    assert "is to stop at the hole of" in one.message
    assert least in one.message
    assert one.distance_mm == 0.0


def test_an_outline_of_screed_covers_what_lies_in_it(tmp_path):
    """No rectangle, and out of the axes: 75 of screed, 25 asked for over a tube of 15."""
    outline = [[0, 0], [3000, 500], [2800, 2000], [-200, 1500]]
    room = {"s": {"floor": {"outline": outline, "top": 0, "thickness": 75}, "is": "screed"}}
    for z, wrong in ((-32.4, 1), (-32.6, 0)):
        report = story.check(load(tmp_path, room, {"r": [[200, 800, z], [2500, 1000, z]]}, ["BS 6891 screed"]))
        assert len(found(report, "R109")) == wrong, z
