"""Benders from data: those of common practice, one's own over them, and everything wrong with one listed at once."""

from dataclasses import replace

import pytest
import yaml

from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.job.build_bender import bender_named, generic_benders, read_benders
from pipemodel.job.model import JobError
from pipemodel.job.own_file import OwnFileError
from pipemodel.job.read import job_of_text
from pipemodel.job.yaml_tree import read_tree
from pipemodel.trade.benders import Bender, BenderPart
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


def of_file(data):
    """The benders of a file that holds this."""
    return read_benders(read_tree(yaml.safe_dump(data, sort_keys=False)), "benders.yaml")


def test_ones_own_bender_changes_another_part_by_part():
    mine = {
        "like": "15 mm hand bender",
        "radius": 57,
        "body": {"fixed handle": None, "clamp": {"box": {"from": [10, 0, -5], "to": [-10, -40, 5]}}},
        "room": {"floor": {"below": -700}},
    }
    own = of_file({"mine": mine})["mine"]
    names = [p.name for p in own.body]
    assert "fixed handle" not in names
    assert names[-1] == "clamp"
    assert own.body[-1].shape == Box((-10, -40, -5), (10, 0, 5))
    assert own.room[0].shape == HalfSpace((0, 0, -700), (0, 0, 1))
    assert (own.radius_mm, own.generic) == (57, False)
    assert own.lever == bender_named("15 mm hand bender").lever


JOB = """job: test
tube: 15
former: {radius: 55}
%s
runs:
  a: {points: [[0, 0, 0], [400, 0, 0], [400, 300, 0]]}
"""


def job(line, path="job.yaml"):
    return job_of_text(JOB % line, path)


def faults_of(bender):
    """What is said of a bender written in a job, each with its column on the bender's line."""
    with pytest.raises(JobError) as caught:
        job(f"bender: {bender}")
    assert {fault.place.line for fault in caught.value.faults} == {4}
    return [(fault.place.column, fault.message) for fault in caught.value.faults]


def test_all_faults_of_a_bender_come_at_once_each_at_its_place():
    assert faults_of(
        "{radius: -5, bdy: {}, lever: {a: {box: {from: [0, 0, 0], to: [0, 1, 1]}}, b: 4}, room: {post: {below: .nan}}}"
    ) == [
        (18, "-5 must be a length of more than 0"),
        (22, "unknown key 'bdy'; did you mean 'body'?"),
        (39, NO_THICKNESS),
        (86, NO_SHAPE),
        (111, "nan is no length; write a finite number"),
    ]


def test_measures_of_a_bender_may_carry_their_units_and_stand_for_parameters():
    """An inch is 25.4 mm."""
    post = "{cylinder: {from: [1 in, 0, 0], to: ['${far}', 0, 0], diameter: 3/4 in}}"
    written = job(f"bender: {{radius: 5.5 cm, body: {{post: {post}}}}}\nparameters: {{far: 100}}")
    bender = written.runs[0].bender
    assert bender.radius_mm == 55.0
    shape = bender.body[0].shape
    assert (shape.start, shape.finish) == ((pytest.approx(25.4), 0, 0), (100, 0, 0))
    assert shape.diameter == pytest.approx(19.05)


def test_what_is_wrong_with_a_bender_is_said_in_german_too():
    with pytest.raises(JobError) as caught:
        job("bender: {radius: 55, bdy: {}}")
    assert caught.value.lines("de") == ["job.yaml:4:22: unbekannter Schlüssel „bdy“; ist „body“ gemeint?"]


def test_a_job_names_its_bender():
    assert job("bender: 15 mm hand bender").runs[0].bender.name == "15 mm hand bender"
    assert job("clearance: 1").runs[0].bender is None


def test_a_job_brings_its_bender_in_a_file(tmp_path):
    (tmp_path / "benders.yaml").write_text("mine:\n  like: 15 mm hand bender\n  room: {floor: {below: -500}}\n")
    found = job("bender: {file: benders.yaml, name: mine}", tmp_path / "job.yaml").runs[0].bender
    assert found.room[0].shape.point[2] == -500
    with pytest.raises(JobError, match=r"job.yaml:4:36: .*there is .*mine"):
        job("bender: {file: benders.yaml, name: min}", tmp_path / "job.yaml")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("bender: {file: benders.yaml}", "bender lacks 'name'"),
        ("bender: {file: b.yaml, name: m, radius: 3}", "unknown key 'radius'; the keys here are file, name"),
        ("bender: {file: 3, name: m}", "file is text, not 3"),
        ("bender: 15 mm hand bnder", "no bender is called"),
        ("bender: [1]", "a bender is the name of one"),
        ("bender: {radius: 0}", "0 must be a length of more than 0"),
        ("bender: {file: nowhere.yaml, name: mine}", "there is no file 'nowhere.yaml'; the path goes from the folder"),
        ("bender: {file: ../benders.yaml, name: mine}", "outside the job's folder"),
        ("bender: {file: broken.yaml, name: mine}", "line 2"),
        ("bender: {file: wrong.yaml, name: mine}", "line 2: mine: 'big' is no length"),
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
    [(column, said)] = faults_of("{like: 15 mm hand bendr}")
    assert column == 16
    assert said.startswith("no bender is called '15 mm hand bendr'; there is 15 mm hand bender, ")


NO_THICKNESS = "a box has no thickness one way: 'from' and 'to' must differ in x, y and z"
NO_SHAPE = "a part is one of box, cylinder, below (everything below that height)"
NO_RADIUS = "a bender needs radius (that of its former) or like (another that it is like)"


@pytest.mark.parametrize(
    ("bender", "faults"),
    [
        ("{source: ours}", [(1, NO_RADIUS)]),
        ("{like: 15 mm hand bender, radius: 0}", [(43, "0 must be a length of more than 0")]),
        ("{radius: 55, zzz: {}}",
         [(22, "unknown key 'zzz'; the keys here are like, radius, source, body, lever, guide, room, file, name")]),
        ("{radius: 55, body: [1]}", [(28, "body is a group of names, each with what belongs to it, not a list")]),
        ("{radius: true}", [(18, "true is no length; write a length such as 600, 60 cm, 0.6 m or 23 5/8 in")]),
        ("{radius: 55, body: {a: {below: -1.1e5}}}", [(29, "it is out of a bender's reach")]),
        ("{radius: 55, body: {a: {cylinder: {from: [1e6, 0, 0], to: [0, 0, 0], diameter: 3}}}}",
         [(29, "it is out of a bender's reach")]),
        ("{radius: 55, body: {a: {}}}", [(29, NO_SHAPE)]),
        ("{radius: 55, body: {a: some}}", [(32, NO_SHAPE)]),
        ("{radius: 55, body: {a: {below: 1, box: {from: [0, 0, 0], to: [1, 1, 1]}}}}", [(29, NO_SHAPE)]),
        ("{radius: 55, body: {a: {ball: 1}}}", [(33, "unknown key 'ball'; the keys here are box, cylinder, below")]),
        ("{radius: 55, body: {a: {box: {from: [0, 0, 0], to: [1, 1, 0]}}}}", [(29, NO_THICKNESS)]),
        ("{radius: 55, body: {a: {box: {from: [0, 0, 0]}}}}", [(33, "box lacks 'to' (the opposite corner)")]),
        ("{radius: 55, body: {a: {box: 3}}}", [(38, "box is a group of keys, not 3; its keys are from, to")]),
        ("{radius: 55, body: {a: {cylinder: {from: [0, 0, 0], to: [0, 0, 0], diameter: 4}}}}",
         [(33, "the cylinder has no length: 'from' and 'to' are the same point")]),
        ("{radius: 55, body: {a: {cylinder: {from: [0, 0, 0], to: [0, 0, 1], diameter: 0}}}}",
         [(86, "0 must be a length of more than 0")]),
        ("{radius: 55, body: {a: {box: {from: [0, 0], to: abc}}}}",
         [(45, "a point is three lengths, [x, y, z]; this has 2"),
          (57, "a point is three lengths, [x, y, z]; this is 'abc'")]),
    ],
)  # fmt: skip
def test_each_fault_of_a_bender_in_its_words(bender, faults):
    assert faults_of(bender) == faults


def test_the_name_of_a_bender_stands_before_its_fault_and_all_benders_of_a_file_are_read():
    with pytest.raises(OwnFileError) as caught:
        of_file({"a": {"radius": 5, "body": {"x": 1}}, "b": {"radius": 9}, "c": 3, "d": {"like": "zzz"}})
    first, second, third = map(str, caught.value.messages)
    assert first == f"'benders.yaml', line 4: a: {NO_SHAPE}"
    assert second == "'benders.yaml', line 7: c: bender is a group of keys, not 3"
    assert third.startswith("'benders.yaml', line 9: d: no bender is called 'zzz'; there is ")
    with pytest.raises(OwnFileError, match=r"a file of benders holds names, each with a bender below it$"):
        of_file([])


def test_a_bender_may_be_like_one_before_it_in_its_file_and_one_elsewhere():
    post = {"cylinder": {"from": [1, 2, 3], "to": [4, 5, 6], "diameter": 7}}
    floor = {"floor": {"below": -3}}
    made = of_file(
        {
            "a": {"radius": 50, "source": "ours", "body": {"x": post}},
            "b": {"like": "a", "lever": {"y": {"box": {"from": [9, 2, 8], "to": [1, 5, 3]}}}},
            "c": {"like": "b", "radius": 60, "source": "theirs", "body": {"x": "none"}, "room": floor},
            "d": {"like": "15 mm hand bender"},
        }
    )
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
    own = of_file({common.name: {"like": common.name, "body": {part.name: {"below": -9}}}})[common.name]
    assert [p.name for p in own.body] == [p.name for p in common.body]
    assert own.body[0].shape == HalfSpace((0, 0, -9), (0, 0, 1))
    assert bender_named(common.name, {common.name: own}) is own
    with pytest.raises(LookupError, match=r"no bender is called 'zzz'; there is .*15 mm hand bender.*, "):
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
    assert fault.message == f"'b.yaml', line 4: mine: {NO_THICKNESS}"
