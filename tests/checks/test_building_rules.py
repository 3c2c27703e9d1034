"""Rules of building: against the figures of the codes, worked examples, and a program that samples the tube."""

import json
import random

import numpy as np
import pytest
import yaml
from checks.ruled_jobs import HEAD, check, found

from pipemodel import story
from pipemodel.checks.joist_crossings import cuts, joist_of
from pipemodel.geometry.shapes import Box
from pipemodel.job.build_holes import with_holes
from pipemodel.job.hole_forms import HoleForm
from pipemodel.job.model import JobError, Thing
from pipemodel.trade.rules import rule_sets


@pytest.mark.parametrize(
    ("kind", "rules", "size", "least"),
    [
        # BS 6891:2005 8.16.2 as quoted; the 2015 edition as summarised; a wiring guide as quoted.
        ("meter", "BS 6891:2005", 15, 150),
        ("socket", "BS 6891:2005", 15, 150),
        ("cable", "BS 6891:2005", 15, 25),
        ("socket", "BS 6891:2015", 15, 25),
        ("board", "BS 6891:2015", 15, 150),
        ("cable", "wiring guide", 22, 25),
        ("cable", "wiring guide", 42, 50),
    ],
)
def test_distance_from_services(kind, rules, size, least, tmp_path):
    for gap, wrong in ((least - 0.5, 1), (least + 0.5, 0)):
        y = size / 2 + gap
        room = {"it": {"box": {"from": [100, y, -50], "to": [300, y + 80, 50]}, "is": kind}}
        report = check(tmp_path, room, {"gas": {"points": [[0, 0, 0], [500, 0, 0]]}}, [rules], size)
        assert len(found(report, "R101")) == wrong
        assert report.verdict == ("fail" if wrong else "pass")
        if wrong:
            (one,) = found(report, "R101")
            assert one.distance_mm == pytest.approx(gap)
            assert one.required_mm == least
            assert rules in one.message


def test_other_kinds_and_other_rules_say_nothing(tmp_path):
    room = {"it": {"box": {"from": [100, 10, -50], "to": [300, 80, 50]}, "is": "socket"}}
    runs = {"gas": {"points": [[0, 0, 0], [500, 0, 0]]}}
    report = check(tmp_path, room, runs, ["wiring guide", "NBS 670"])
    assert found(report, "R101") == []
    assert ["has nothing it names" in f.message for f in found(report, "R105")] == [True, True]
    assert [f for f in check(tmp_path, room, runs, []).findings if f.code.startswith("R")] == []


def through(x, z, size=15):
    """A tube straight through a joist of 3500 x 225, at x along it and z from its top edge's height of 0."""
    room = {"joist": {"box": {"from": [0, -25, -225], "to": [3500, 25, 0]}, "is": "joist"}}
    return room, {"r": {"points": [[x, -300, z], [x, 300, z]]}}


@pytest.mark.slow
@pytest.mark.parametrize("rules", ["NBS 670", "LABC on TRADA", "City and Guilds", "NHBC 2020"])
def test_holes_lie_between_a_quarter_and_four_tenths_of_the_span(rules, tmp_path):
    # Worked example of a plastic pipe guide: span 3.5 m, depth 225: holes from 0.875 to 1.4 m of either support.
    for x, wrong in ((874, 1), (876, 0), (1399, 0), (1401, 1), (1750, 1), (2099, 1), (2101, 0), (2624, 0), (2626, 1)):
        report = check(tmp_path, *through(x, -112.5), [rules])
        assert len(found(report, "R102")) == wrong, x
        if wrong:
            assert "875 mm to 1400 mm" in found(report, "R102")[0].message


def test_holes_are_a_quarter_of_the_depth_at_most(tmp_path):
    # The same example: 56 mm (225 / 4 = 56.25). Tube of 42, and the clearance asked for all round.
    for clearance, wrong in ((7.1, 0), (7.2, 1)):
        report = check(tmp_path, *through(1000, -112.5), ["NBS 670"], 42, f"clearance: {clearance}\n")
        assert len(found(report, "R102")) == wrong
    report = check(tmp_path, *through(1000, -112.5), ["NBS 670"], 15, "insulation: 20\nclearance: 1\n")
    assert "57 mm wide, and 56 mm is the most" in found(report, "R102")[0].message


def test_holes_lie_in_the_middle_of_the_depth(tmp_path):
    for z, side in ((-106, "above"), (-119, "below")):
        (one,) = found(check(tmp_path, *through(1000, z), ["NBS 670"]), "R102")
        assert f"{side} the middle" in one.message
    assert found(check(tmp_path, *through(1000, -109), ["NBS 670"]), "R102") == []


def test_notches(tmp_path):
    # The same example: from 0.245 to 0.875 m, 28 mm deep; NHBC 2020: from 0.35 to 0.7 m, 0.15 of the depth, on top.
    for x, z, nbs, nhbc in (
        (500, -20, 0, 0),  # 27.5 deep
        (500, -21, 1, 0),  # 28.5 deep
        (500, -27, 1, 1),  # 34.5 deep: over 33.75
        (250, -10, 1, 1),  # its edge at 242.5
        (300, -10, 0, 1),
        (866, -10, 0, 1),
        (869, -10, 1, 1),
        (500, -215, 0, 1),  # in the lower edge
    ):
        assert len(found(check(tmp_path, *through(x, z), ["NBS 670"]), "R102")) == nbs, (x, z)
        assert len(found(check(tmp_path, *through(x, z), ["NHBC 2020"]), "R102")) == nhbc, (x, z)


def test_notches_at_the_top_or_at_the_bottom_and_their_limits_in_mm(tmp_path):
    # LABC on TRADA, 3.2.2: no deeper than 35 and no wider than 65, whatever the depth; top or bottom, not both.
    room = {"joist": {"box": {"from": [0, -25, -400], "to": [3500, 25, 0]}, "is": "joist"}}
    rules = ["LABC on TRADA"]
    for z, wrong in ((-13.5, 0), (-14.5, 1)):  # tube of 42: 34.5 and 35.5 deep, where 0.125 of the depth is 50
        runs = {"r": {"points": [[500, -300, z], [500, 300, z]]}}
        assert len(found(check(tmp_path, room, runs, rules, 42), "R102")) == wrong, z
    for clearance, wrong in ((11.4, 0), (11.6, 1)):  # tube of 42: 64.8 and 65.2 wide, where a quarter is 100
        runs = {"r": {"points": [[1000, -300, -200], [1000, 300, -200]]}}
        assert len(found(check(tmp_path, room, runs, rules, 42, f"clearance: {clearance}\n"), "R102")) == wrong
    runs = {n: {"points": [[x, -300, z], [x, 300, z]]} for n, x, z in (("a", 500, -10), ("b", 700, -390))}
    both = found(check(tmp_path, room, runs, rules), "R102")
    assert [f.run for f in both] == ["a", "b"]
    assert all(f.message.endswith("the top or the bottom may be notched, not both") for f in both)
    assert found(check(tmp_path, room, {"b": runs["b"]}, rules), "R102") == []
    assert found(check(tmp_path, room, runs, ["NBS 670"]), "R102") == []


def test_notches_that_are_there_are_judged_and_none_is_asked_for_a_run_in_one(tmp_path):
    joists = {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 2, "length": 3500,
              "size": [50, 225], "top": 0}  # fmt: skip
    runs = {"r": {"points": [[510, -300, -16], [510, 600, -16]]}}
    # The worked example above again: 28.125 deep, between 245 and 875 from a support.
    for at, depth, wrong in ((500, 28.1, 0), (500, 28.2, 1), (246, 28, 0), (244, 28, 1), (854, 28, 0), (856, 28, 1)):
        notches = [{"at": 500, "width": 20, "depth": 28}, {"at": at, "width": 20, "depth": depth}]
        room = {"joists": {"joists": {**joists, "notches": notches[1:] if at == 500 else notches}}}
        against = found(check(tmp_path, room, runs, ["NBS 670"]), "R102")
        assert len(against) == wrong, (at, depth)
        assert all("there is a notch" in f.message for f in against)


def test_a_tube_that_lies_on_a_joist_takes_nothing_out_of_it(tmp_path):
    report = check(tmp_path, *through(500, 7.6), ["NBS 670"])
    assert [f.code for f in report.findings if f.check == "rules"] == ["R105"]


def test_holes_and_notches_keep_apart(tmp_path):
    room, _ = through(0, 0)
    for apart, wrong in ((44, 1), (46, 0)):  # three diameters of 15
        runs = {n: {"points": [[x, -300, -112.5], [x, 300, -112.5]]} for n, x in (("a", 1000), ("b", 1000 + apart))}
        assert len(found(check(tmp_path, room, runs, ["NBS 670"]), "R103")) == wrong
    for apart, wrong in ((114, 1), (116, 0)):  # 100 between the edges of a notch and a hole
        runs = {"a": {"points": [[x := 867 - apart + 15, -300, -5], [x, 300, -5]]}}
        runs["b"] = {"points": [[882, -300, -112.5], [882, 300, -112.5]]}
        assert len(found(check(tmp_path, room, runs, ["NHBC 2020"]), "R103")) == wrong


@pytest.mark.parametrize(
    ("kind", "deep", "rules", "wrong"),
    [
        ("rafter", 200, "NBS 670", 1),
        ("truss", 200, "NBS 670", 1),
        ("engineered joist", 200, "LABC on TRADA", 1),
        ("joist", 100, "City and Guilds", 1),
        ("joist", 101, "City and Guilds", 0),
        ("rafter", 150, "City and Guilds", 1),  # page 121: no notches in rafters, struts and trusses
        ("joist", 250, "NHBC 2020", 0),
        ("joist", 251, "NHBC 2020", 1),
        ("rafter", 200, "NHBC 2020", 0),
    ],
)
def test_where_nothing_may_be_cut(kind, deep, rules, wrong, tmp_path):
    room = {"j": {"box": {"from": [0, -25, 0], "to": [3500, 25, deep]}, "is": kind}}
    runs = {"r": {"points": [[1000, -300, deep / 2], [1000, 300, deep / 2]]}}
    report = check(tmp_path, room, runs, [rules])
    assert len(found(report, "R104")) == wrong
    if wrong:
        assert "ask the engineer" in found(report, "R104")[0].message


def test_a_hole_that_is_there_is_judged_as_it_is(tmp_path):
    runs = {"r": {"points": [[1000, -300, -112.5], [1000, 300, -112.5]]}}
    for diameter, at, wrong in ((50, -112.5, 0), (60, -112.5, 1), (40, -100.5, 1)):
        hole = {"at": [1000, 0, at], "diameter": diameter}
        room = {"joist": {"box": {"from": [0, -25, -225], "to": [3500, 25, 0]}, "is": "joist", "holes": [hole]}}
        report = check(tmp_path, room, runs, ["NBS 670"])
        assert [f.code for f in report.findings if f.severity == "error"] == ["R102"] * wrong
        if wrong:
            assert "in 'joist' there is a hole that NBS 670" in found(report, "R102")[0].message


def test_a_second_hole_that_is_there_keeps_its_distance(tmp_path):
    runs = {"r": {"points": [[1000, -300, -112.5], [1000, 300, -112.5]]}}
    for x, wrong in ((1149, 1), (1151, 0)):  # three diameters of the larger, 50
        holes = [{"at": [x_, 0, -112.5], "diameter": 50} for x_ in (1000, x)]
        room = {"joist": {"box": {"from": [0, -25, -225], "to": [3500, 25, 0]}, "is": "joist", "holes": holes}}
        report = check(tmp_path, room, runs, ["NBS 670"])
        assert len(found(report, "R103")) == wrong


@pytest.mark.parametrize("low", [[0, -25, -225], [-25, 0, -225]])
def test_a_joist_with_holes_is_the_joist_it_was(low):
    size = (3500, 50, 225) if low[0] == 0 else (50, 3500, 225)
    box = Box(tuple(low), tuple(a + b for a, b in zip(low, size, strict=True)))
    at = (1000, 0, -100) if low[0] == 0 else (0, 1000, -100)
    plate = with_holes(box, [HoleForm(at=at, diameter=40)], ("room", "j"), None)
    one, two = (joist_of(Thing("j", shape, kind="joist")) for shape in (box, plate))
    for p in ((10, 20, -30), (2, 3, 4)):
        a, b = one.place(p), two.place(p)
        assert (a[0] - b[0], a[1] - b[1]) == pytest.approx((0, 0))
        assert a[2] in (pytest.approx(b[2]), pytest.approx(50 - b[2]))
    assert (one.long_mm, one.deep_mm, one.wide_mm) == (two.long_mm, two.deep_mm, two.wide_mm)


def random_points(draw):
    points, axis = [tuple(draw.uniform(-400, 400) for _ in range(3))], draw.randrange(3)
    for _ in range(draw.randint(1, 5)):
        last = list(points[-1])
        last[axis] += draw.choice((-1, 1)) * draw.uniform(200, 900)
        axis = (axis + draw.choice((1, 2))) % 3
        points.append(tuple(last))
    return points


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20))
def test_what_is_cut_out_against_points_of_the_axis(seed, tmp_path):
    """The axis is sampled every tenth of a millimetre, and what of it has its tube in the joist is measured."""
    draw = random.Random(seed)
    points = random_points(draw)
    text = HEAD.format(size=15, radius=55) + f"runs: {json.dumps({'r': {'points': points}})}\n"
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    (solved,) = story.schedule(story.load(path)).runs
    low = [draw.uniform(-600, 200) for _ in range(3)]
    size = draw.choice(((3000, 50, 200), (50, 3000, 200)))
    joist = joist_of(Thing("j", Box(tuple(low), tuple(a + b for a, b in zip(low, size, strict=True))), kind="joist"))
    made = list(cuts(solved, joist, 5.0))
    line, radius = solved.centreline, 7.5 + 5.0
    s = np.arange(0.0, line.length, 0.1)
    p = np.array([line.point_at(x) for x in s]) - low
    if size[0] == 50:
        p = p[:, [1, 0, 2]]
    within = (
        (p[:, 0] > -radius) & (p[:, 0] < 3000 + radius) & (p[:, 1] > 0) & (p[:, 1] < 50)
        & (p[:, 2] > -radius) & (p[:, 2] < 200 + radius)
    )  # fmt: skip
    edges = np.flatnonzero(np.diff(np.r_[0, within.astype(int), 0]))
    parts = [p[a:b] for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 5]
    made = [cut for cut in made if cut.high_mm - cut.low_mm - 2 * radius > 0.5 or cut.top_mm > cut.bottom_mm]
    assert len(made) >= len(parts)
    for part in parts:
        expected = (part[:, 0].min() - radius, part[:, 0].max() + radius, part[:, 2].min() - radius,
                    part[:, 2].max() + radius)  # fmt: skip
        assert any(
            np.abs(np.subtract(expected, (c.low_mm, c.high_mm, c.bottom_mm, c.top_mm))).max() < 0.5 for c in made
        )


def test_rules_of_one_s_own(tmp_path):
    own = {"name": "ours", "source": "our own", "keep off": [{"from": ["boiler"], "least": 300, "clause": "3"}]}
    (tmp_path / "ours.yaml").write_text(yaml.safe_dump(own), encoding="utf-8")
    room = {"it": {"box": {"from": [100, 100, -50], "to": [300, 180, 50]}, "is": "boiler"}}
    runs = {"gas": {"points": [[0, 0, 0], [500, 0, 0]]}}
    (one,) = found(check(tmp_path, room, runs, [{"file": "ours.yaml"}]), "R101")
    assert "ours, 3 asks for 300 mm" in one.message


@pytest.mark.parametrize(
    ("rules", "room", "where", "why"),
    [
        (["NHBC 2002"], {}, "job.yaml:4:9", "NHBC 2020"),
        ([], {"a": {"box": {"from": [0, 0, 0], "to": [1, 1, 1]}, "is": "cabel"}}, "job.yaml:5:", "may be cable"),
        ([{"file": "none.yaml"}], {}, "job.yaml:4:9", "none.yaml"),
        ([{"file": "bad.yaml"}], {}, "job.yaml:4:9", "line 5: least is more than 0, not -1"),
        ([{"file": "../x.yaml"}], {}, "job.yaml:4:9", "outside"),
        ([7], {}, "job.yaml:4:9", ""),
    ],
)
def test_bad_rules_are_faults_at_their_place(rules, room, where, why, tmp_path):
    bad = {"name": "x", "source": "y", "keep off": [{"from": ["a"], "least": -1, "clause": "c"}]}
    (tmp_path / "bad.yaml").write_text(yaml.safe_dump(bad), encoding="utf-8")
    with pytest.raises(JobError) as caught:
        check(tmp_path, room, {"r": {"points": [[0, 0, 0], [500, 0, 0]]}}, rules)
    assert where in str(caught.value)
    assert why in str(caught.value)


def test_every_set_of_rules_says_where_its_figures_were_read():
    assert len(rule_sets()) >= 7
    for rules in rule_sets().values():
        assert rules.source
        assert rules.kinds or rules.supports or rules.insulation


def test_a_row_of_joists_is_of_joists(tmp_path):
    row = {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 3, "length": 3500,
           "size": [50, 225], "top": 0, "holes": [{"at": 1700, "down": 112.5, "diameter": 30}]}  # fmt: skip
    room = {"floor joists": {"joists": row}, "trimmer": {"beam": {"from": [0, 1200], "to": [3500, 1200],
            "size": [75, 225], "top": 0}}}  # fmt: skip
    runs = {"r": {"points": [[1700, -100, -112.5], [1700, 900, -112.5]]}}
    wrong = found(check(tmp_path, room, runs, ["NBS 670"]), "R102")
    # One finding, which names all three, and three places in the note of what was looked at.
    assert [f.against for f in wrong] == ["floor joists 1"]
    assert wrong[0].message.startswith("in 'floor joists' 1 to 3 there is a hole")
    assert "1700 mm from the nearer support" in wrong[0].message
    runs = {"r": {"points": [[1700, 1100, -112.5], [1700, 1300, -112.5]]}}
    assert [f.against for f in found(check(tmp_path, room, runs, ["LABC on TRADA"]), "R104")] == ["trimmer"]


@pytest.mark.slow
def test_joists_that_are_not_alike_are_not_taken_together(tmp_path):
    row = {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 9, "length": 3500,
           "size": [50, 225], "top": 0}  # fmt: skip
    runs = {"r": {"points": [[1320, -100, -112.5], [1320 + 10 * 40, 3900, -112.5]]}}
    report = check(tmp_path, {"floor": {"joists": row}}, runs, ["NBS 670"])
    wrong = found(report, "R102")
    joists = {f.against for f in wrong}
    # Independently: a tube from (1320, -100) that goes 0.1 east for 1 north meets joist k at 1330 + 40 (k - 1).
    out = [k for k in range(1, 10) if not 875 <= 1330 + 40 * (k - 1) <= 1400]
    assert 7 <= len(out) < 9
    assert joists == {f"floor {k}" for k in out}
    (note,) = found(report, "R105")
    assert f"{len(out)} places" in note.message
