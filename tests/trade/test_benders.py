"""Benders from data: those of common practice, one's own over them, and everything wrong with one listed at once."""

from dataclasses import replace

import pytest
import yaml

from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.trade.benders import (
    Bender,
    BenderError,
    BenderPart,
    bender_named,
    generic_benders,
    read_bender,
    read_benders,
)
from pipemodel.trade.formers import all_formers
from pipemodel.trade.rows import DATA


def test_every_generic_bender_is_marked_as_unmeasured_and_fits_a_former():
    formers = {f.name: f for f in all_formers()}
    for name, bender in generic_benders().items():
        assert bender.generic
        assert "common practice" in bender.source
        base = name.removesuffix(" in a vice")
        assert formers[base].radius_mm == bender.radius_mm


@pytest.mark.slow
def test_no_generic_bender_stands_in_the_way_of_straight_tube():
    """Straight tube at (x, radius, 0) must clear body, lever and guide by more than nothing but the groove's depth."""
    half = {"15": 7.5, "22": 11.0, "28": 14.0}
    for name, bender in generic_benders().items():
        r = half[name[:2]]
        for part in (*bender.body, *bender.lever, *bender.guide):
            # The stop grips the tube, and the former's hub lies in the throat of the bend.
            if part.name in ("stop", "former", "upper rim", "lower rim"):
                continue
            assert _gap(part.shape, bender.radius_mm) >= r, (name, part.name)


def _gap(shape, radius):
    best = 1e9
    for x in range(-3000, 3001, 2):
        p = (float(x), radius, 0.0)
        if isinstance(shape, Box):
            d = sum(max(lo - c, c - hi, 0.0) ** 2 for lo, c, hi in zip(shape.low, p, shape.high, strict=True)) ** 0.5
        else:
            assert isinstance(shape, Cylinder)
            ab = [b - a for a, b in zip(shape.start, shape.finish, strict=True)]
            ap = [c - a for a, c in zip(shape.start, p, strict=True)]
            t = max(0.0, min(1.0, sum(u * v for u, v in zip(ab, ap, strict=True)) / sum(u * u for u in ab)))
            d = sum((u - t * v) ** 2 for u, v in zip(ap, ab, strict=True)) ** 0.5 - shape.diameter / 2
        best = min(best, d)
    return best


def test_ones_own_bender_changes_another_part_by_part():
    own = read_bender(
        {
            "like": "15 mm hand bender",
            "radius": 57,
            "body": {"fixed handle": None, "clamp": {"box": {"from": [10, 0, -5], "to": [-10, -40, 5]}}},
            "room": {"floor": {"below": -700}},
        },
        "mine",
        generic_benders(),
    )
    names = [p.name for p in own.body]
    assert "fixed handle" not in names
    assert names[-1] == "clamp"
    assert own.body[-1].shape == Box((-10, -40, -5), (10, 0, 5))
    assert own.room[0].shape == HalfSpace((0, 0, -700), (0, 0, 1))
    assert (own.radius_mm, own.generic) == (57, False)
    assert own.lever == bender_named("15 mm hand bender").lever


def test_all_faults_of_a_bender_come_at_once_with_their_paths():
    with pytest.raises(BenderError) as caught:
        read_bender(
            {
                "like": "15 mm hand bnder",
                "radius": -5,
                "bdy": {},
                "lever": {"a": {"box": {"from": [0, 0, 0], "to": [0, 1, 1]}}, "b": 4},
                "room": {"floor": {"below": float("nan")}, "post": {"cylinder": {"from": [0, 0], "to": [1, 1, 1]}}},
            },
            "mine",
            generic_benders(),
        )
    paths = [path for path, _ in caught.value.faults]
    assert ("like",) in paths
    assert ("radius",) in paths
    assert ("bdy",) in paths
    assert ("lever", "a", "box") in paths
    assert ("lever", "b") in paths
    assert ("room", "floor", "below") in paths
    assert ("room", "post", "cylinder") in paths
    assert "15 mm hand bender" in str(caught.value)


JOB = """job: test
tube: 15
former: {radius: 55}
%s
runs:
  a: {points: [[0, 0, 0], [400, 0, 0], [400, 300, 0]]}
"""


def job(line, path="job.yaml"):
    return job_of_text(JOB % line, path)


def test_a_job_names_its_bender():
    assert job("bender: 15 mm hand bender").runs[0].bender.name == "15 mm hand bender"
    assert job("clearance: 1").runs[0].bender is None


def test_a_job_brings_its_bender_in_a_file(tmp_path):
    (tmp_path / "benders.yaml").write_text("mine:\n  like: 15 mm hand bender\n  room: {floor: {below: -500}}\n")
    found = job("bender: {file: benders.yaml, name: mine}", tmp_path / "job.yaml").runs[0].bender
    assert found.room[0].shape.point[2] == -500
    with pytest.raises(JobError, match=r"job.yaml:4:\d+: .*there is .*mine"):
        job("bender: {file: benders.yaml, name: min}", tmp_path / "job.yaml")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("bender: {file: benders.yaml}", "is {file: benders.yaml, name: mine}, and nothing else"),
        ("bender: {file: b.yaml, name: m, radius: 3}", "is {file: benders.yaml, name: mine}, and nothing else"),
        ("bender: {file: 3, name: m}", "is {file: benders.yaml, name: mine}, and nothing else"),
        ("bender: 15 mm hand bnder", "no bender is called"),
        ("bender: [1]", "a bender is the name of one"),
        ("bender: {radius: 0}", "radius"),
        ("bender: {file: nowhere.yaml, name: mine}", "no such file"),
        ("bender: {file: ../benders.yaml, name: mine}", "outside the job's folder"),
        ("bender: {file: broken.yaml, name: mine}", "line 2"),
        ("bender: {file: wrong.yaml, name: mine}", "line 2: mine: radius"),
    ],
)
def test_a_bender_that_cannot_be_read_is_a_fault_of_the_job(line, said, tmp_path):
    (tmp_path / "broken.yaml").write_text("mine:\n  radius: [55\n")
    (tmp_path / "wrong.yaml").write_text("mine:\n  radius: big\n")
    (tmp_path.parent / "benders.yaml").write_text("mine: {radius: 55}\n")
    with pytest.raises(JobError) as caught:
        job(line, tmp_path / "job.yaml")
    assert said in str(caught.value)
    assert ":4:" in str(caught.value)


def test_a_bender_like_one_that_is_not_there_is_one_fault_and_no_more():
    with pytest.raises(BenderError) as caught:
        read_bender({"like": "15 mm hand bendr"}, "mine", generic_benders())
    assert [path for path, _ in caught.value.faults] == [("like",)]


def faults_of(data, known=None):
    with pytest.raises(BenderError) as caught:
        read_bender(data, "mine", generic_benders() if known is None else known)
    return list(caught.value.faults)


NO_THICKNESS = "has no thickness one way: from and to must differ in x, y and z"
NO_SHAPE = "a part is one of box, cylinder, below (everything below that height)"


@pytest.mark.parametrize(
    ("data", "faults"),
    [
        ([1], [((), "a bender is a mapping: like, radius, body, lever, guide, room")]),
        ({}, [(("radius",), "a bender needs the radius of its former, above 0")]),
        ({"radius": 0}, [(("radius",), "a bender needs the radius of its former, above 0")]),
        ({"like": "15 mm hand bender", "radius": 0}, [(("radius",), "must be above 0")]),
        ({"radius": 55, "bdy": {}}, [(("bdy",), "unknown key; did you mean 'body'?")]),
        ({"radius": 55, "zzz": {}}, [(("zzz",), "unknown key")]),
        ({"radius": 55, "body": [1]}, [(("body",), "holds names of parts, each with a shape")]),
        ({"radius": True}, [(("radius",), "True is not a number of mm")]),
        ({"radius": float("nan")}, [(("radius",), "nan is not a number of mm")]),
        ({"radius": "55"}, [(("radius",), "'55' is not a number of mm")]),
        ({"radius": 1.1e5}, [(("radius",), "is out of a bender's reach")]),
        ({"radius": 55, "room": {"floor": {"below": -1.1e5}}},
         [(("room", "floor", "below"), "is out of a bender's reach")]),
        ({"radius": 55, "body": {"a": {}}}, [(("body", "a"), NO_SHAPE)]),
        ({"radius": 55, "body": {"a": {"below": 1, "box": 2}}}, [(("body", "a"), NO_SHAPE)]),
        ({"radius": 55, "body": {"a": {"ball": 1}}}, [(("body", "a"), NO_SHAPE)]),
        ({"radius": 55, "lever": {"a": {"box": {"from": [0, 0, 0], "to": [1, 1, 0]}}}},
         [(("lever", "a", "box"), NO_THICKNESS)]),
        ({"radius": 55, "lever": {"a": {"box": {"from": [0, 0, 0]}}}},
         [(("lever", "a", "box"), "needs from, to, and nothing else")]),
        ({"radius": 55, "lever": {"a": {"box": {"from": [0, 0, 0], "to": [1, 1, 1], "diameter": 4}}}},
         [(("lever", "a", "box"), "needs from, to, and nothing else")]),
        ({"radius": 55, "lever": {"a": {"box": 3}}}, [(("lever", "a", "box"), "needs from, to, and nothing else")]),
        ({"radius": 55, "guide": {"a": {"cylinder": {"from": [0, 0, 0], "to": [1, 1, 1]}}}},
         [(("guide", "a", "cylinder"), "needs from, to, diameter, and nothing else")]),
        ({"radius": 55, "guide": {"a": {"cylinder": {"from": [0, 0, 0], "to": [0, 0, 0], "diameter": 4}}}},
         [(("guide", "a", "cylinder"), "needs a length and a diameter above 0")]),
        ({"radius": 55, "guide": {"a": {"cylinder": {"from": [0, 0, 0], "to": [0, 0, 1], "diameter": 0}}}},
         [(("guide", "a", "cylinder"), "needs a length and a diameter above 0")]),
        ({"radius": 55, "guide": {"a": {"cylinder": {"from": [0, 0, 0], "to": [0, 0, 1], "diameter": "x"}}}},
         [(("guide", "a", "cylinder", "diameter"), "'x' is not a number of mm")]),
        ({"radius": 55, "guide": {"a": {"box": {"from": [0, 0], "to": "abc"}}}},
         [(("guide", "a", "box", "from"), "a point is three numbers, [x, y, z]"),
          (("guide", "a", "box", "to"), "a point is three numbers, [x, y, z]")]),
        ({"radius": 55, "guide": {"a": {"box": {"from": [0, "x", 0], "to": [1, 1, 1]}}}},
         [(("guide", "a", "box", "from"), "'x' is not a number of mm")]),
    ],
)  # fmt: skip
def test_each_fault_of_a_bender_in_its_words(data, faults):
    assert faults_of(data) == faults


def test_the_path_to_a_fault_stands_before_it_and_all_benders_of_a_file_are_read():
    with pytest.raises(BenderError) as caught:
        read_benders({"a": {"radius": 5, "body": {"x": 1}}, "b": {"radius": 9}, "c": 3}, {})
    assert [path for path, _ in caught.value.faults] == [("a", "body", "x"), ("c",)]
    assert (
        str(caught.value) == f"a: body: x: {NO_SHAPE}; c: a bender is a mapping: like, radius, body, lever, guide, room"
    )
    with pytest.raises(BenderError, match=r"^a file of benders holds names, each with a bender below it$"):
        read_benders([], {})


def test_a_bender_may_be_like_one_before_it_in_its_file_and_one_elsewhere():
    post = {"cylinder": {"from": [1, 2, 3], "to": [4, 5, 6], "diameter": 7}}
    floor = {"floor": {"below": -3}}
    made = read_benders(
        {
            "a": {"radius": 50, "source": "ours", "body": {"x": post}},
            "b": {"like": "a", "lever": {"y": {"box": {"from": [9, 2, 8], "to": [1, 5, 3]}}}},
            "c": {"like": "b", "radius": 60, "source": "theirs", "body": {"x": "none"}, "room": floor},
            "d": {"like": "15 mm hand bender"},
        },
        generic_benders(),
    )  # fmt: skip
    x = BenderPart("x", Cylinder((1, 2, 3), (4, 5, 6), 7))
    y = BenderPart("y", Box((1, 2, 3), (9, 5, 8)))
    below = BenderPart("floor", HalfSpace((0, 0, -3), (0, 0, 1)))
    assert made["a"] == Bender("a", 50, (x,), source="ours")
    assert made["b"] == Bender("b", 50, (x,), (y,), source="ours")
    assert made["c"] == Bender("c", 60, (), (y,), (), (below,), source="theirs")
    common = generic_benders()["15 mm hand bender"]
    assert made["d"] == replace(common, name="d", generic=False)


def test_a_replaced_part_keeps_its_place_and_ones_own_bender_comes_before_the_common_one():
    common = bender_named("15 mm hand bender")
    part = common.body[0]
    own = read_bender({"like": common.name, "body": {part.name: {"below": -9}}}, common.name, generic_benders())
    assert [p.name for p in own.body] == [p.name for p in common.body]
    assert own.body[0].shape == HalfSpace((0, 0, -9), (0, 0, 1))
    assert bender_named(common.name, {common.name: own}) is own
    with pytest.raises(BenderError, match=r"no bender is called 'zzz'; there is .*15 mm hand bender.*, "):
        bender_named("zzz")


def test_the_common_benders_are_as_their_file_says():
    """The file read here part by part, with `like` followed by hand."""
    raw = yaml.safe_load((DATA / "benders.yaml").read_text(encoding="utf-8"))
    assert list(raw) == list(generic_benders())
    compared = 0

    def merged(name):
        entry = raw[name]
        base = merged(entry["like"]) if "like" in entry else {}
        groups = {g: {**base.get(g, {}), **(entry.get(g) or {})} for g in ("body", "lever", "guide", "room")}
        return {**base, **entry, **groups}

    for name, bender in generic_benders().items():
        entry = merged(name)
        assert bender.radius_mm == entry["radius"]
        for group in ("body", "lever", "guide", "room"):
            written = {k: v for k, v in entry[group].items() if v not in (None, "none")}
            assert {p.name for p in getattr(bender, group)} == set(written)
            for part in getattr(bender, group):
                ((kind, inner),) = written[part.name].items()
                if kind == "below":
                    assert part.shape == HalfSpace((0, 0, inner), (0, 0, 1))
                elif kind == "box":
                    pairs = [sorted(pair) for pair in zip(inner["from"], inner["to"], strict=True)]
                    assert part.shape == Box(tuple(p[0] for p in pairs), tuple(p[1] for p in pairs))
                else:
                    assert part.shape == Cylinder(tuple(inner["from"]), tuple(inner["to"]), inner["diameter"])
                compared += 1
    assert compared > 20


def test_a_job_says_what_is_wrong_with_its_benders_file_and_where(tmp_path):
    (tmp_path / "b.yaml").write_text(
        "mine:\n  radius: 55\n  body:\n    a:\n      box: {from: [0, 0, 0], to: [1, 1, 0]}\n"
    )
    with pytest.raises(JobError) as caught:
        job("bender: {file: b.yaml, name: mine}", tmp_path / "job.yaml")
    (fault,) = caught.value.faults
    assert fault.place.line == 4
    assert fault.message == f"'b.yaml', line 5: mine: body: a: box: {NO_THICKNESS}"
