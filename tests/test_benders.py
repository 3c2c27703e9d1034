"""Benders from data: those of common practice, one's own over them, and everything wrong with one told at once."""

import pytest

from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.trade.benders import BenderError, bender_named, generic_benders, read_bender
from pipemodel.trade.formers import all_formers


def test_every_generic_bender_is_marked_as_unmeasured_and_fits_a_former():
    formers = {f.name: f for f in all_formers()}
    for name, bender in generic_benders().items():
        assert bender.generic
        assert "common practice" in bender.source
        base = name.removesuffix(" in a vice")
        assert formers[base].radius_mm == bender.radius_mm


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
