"""New holes and notches in joists: as the printed rule has them, and pasted the job is the same and clean.

Outside: NHBC Standards 2020, 6.4.18, table 6 (span shares and sizes), and the three diameters between holes of NBS and
of TRADA's guide are written out here again; what is left round the tube is worked out by hand.
"""

from pathlib import Path

import numpy as np
import pytest
import yaml
from command_line import run
from wide import few_or_many

from pipemodel import story
from pipemodel.checks.joist_crossings import joist_of
from pipemodel.finding.new_cuts import MayCut
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.job.model import JobError, Thing
from pipemodel.trade.rules import rule_set_named

LONG, DEEP, TOP, WIDE = 2400.0, 200.0, -20.0, 50.0
AT = (200.0, 600.0, 1000.0)


def job_with(folder: Path, at, more, rules="NHBC 2020", **joists) -> Path:
    row = {
        "first": [200, 0], "along": "north", "row": "east", "spacing": 400, "number": 3, "length": LONG,
        "size": [WIDE, DEEP], "top": TOP, **joists,
    }  # fmt: skip
    find = {"from": [-150, *at], "heading": "east", "to": [1350, *at], "arriving": "east", **more}
    find["within"] = {"from": [-200, 0, -220], "to": [1400, LONG, -20]}
    job = {
        "job": "across", "tube": 15, "former": {"radius": 55, "hold": 60, "guide": 45}, "clearance": 5,
        "rules": [rules], "choose": ["bends"], "room": {"joists": {"joists": row}}, "runs": {"flow": {"find": find}},
    }  # fmt: skip
    path = folder / "job.yaml"
    path.write_text(yaml.safe_dump(job, sort_keys=False))
    return path


def pasted(path: Path):
    """What `route` prints put into the job, as a hand would; the cuts, and the errors that `check` then finds."""
    said = run("route", path, "--ways", "1", "--format", "yaml")
    assert said.code == 0, said.err
    found = yaml.safe_load(said.out)
    job = yaml.safe_load(path.read_text())
    for name, thing in found.get("room", {}).items():
        into, new = (job["room"][name]["joists"], thing["joists"]) if "joists" in thing else (job["room"][name], thing)
        for key, entries in new.items():
            into[key] = [*into.get(key, []), *entries]
    was = story.schedule(story.read(path)).runs
    job["runs"] = found["runs"]
    (again := path.with_name("pasted.yaml")).write_text(yaml.safe_dump(job, sort_keys=False))
    now = story.read(again)
    for one, other in zip(story.schedule(now).runs, was, strict=True):
        assert np.abs(np.array(one.run.route.corners) - np.array(other.run.route.corners)).max() < 1e-6
    return found["room"], [one for one in story.check(now).findings if one.severity == "error"], was


@pytest.mark.slow
def test_holes_as_table_6_allows_and_wide_enough(tmp_path: Path):
    path = job_with(tmp_path, (700, -122), {"holes": "new"})
    room, errors, [flow] = pasted(path)
    assert not errors
    assert not flow.bends
    [hole] = room["joists"]["joists"]["holes"]
    assert hole["of"] == [1, 2, 3]
    assert 0.25 * LONG <= hole["at"] <= 0.4 * LONG
    assert hole["diameter"] <= 0.25 * DEEP
    # Wood farther from the hole's axis than its radius; the tube's skin is 7.5 mm from its own axis.
    off = np.hypot(700 - hole["at"], -122 - (TOP - hole["down"]))
    assert hole["diameter"] / 2 - off - 7.5 >= 5.0 - 1e-9
    findings = story.check(story.read(path)).findings
    assert [one.severity for one in findings if one.code == "R116"] == ["warning"]


def test_notches_as_table_6_allows(tmp_path: Path):
    room, errors, [flow] = pasted(job_with(tmp_path, (300, -30), {"notches": "new"}))
    assert not errors
    assert not flow.bends
    [notch] = room["joists"]["joists"]["notches"]
    assert notch["at"] >= 0.1 * LONG
    assert notch["at"] + notch["width"] <= 0.2 * LONG
    assert notch["depth"] <= 0.15 * DEEP
    assert notch["at"] + 12.5 <= 300 <= notch["at"] + notch["width"] - 12.5
    assert notch["depth"] >= 10 + 7.5 + 5


@pytest.mark.slow
def test_a_joist_of_its_own_that_lies_the_other_way(tmp_path: Path):
    path = job_with(tmp_path, (700, -120), {"holes": "new"}, along="south", first=[200, LONG])
    job = yaml.safe_load(path.read_text())
    job["room"]["lone"] = {"box": {"from": [1175, 0, -220], "to": [1225, LONG, -20]}, "is": "joist"}
    path.write_text(yaml.safe_dump(job, sort_keys=False))
    room, errors, _ = pasted(path)
    assert not errors
    assert room["joists"]["joists"]["holes"][0]["at"] == LONG - 700
    assert room["lone"]["holes"] == [{"at": [1200, 700, -120], "diameter": 25, "through": "east"}]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("rules", "times"), few_or_many([("LABC on TRADA", 3.0)], [("NBS 670", 3.0), ("LABC on TRADA", 3.0)])
)
def test_three_diameters_from_a_hole_that_is_there(rules, times, tmp_path: Path):
    there = {"at": 720, "down": 100, "diameter": 20}
    room, errors, _ = pasted(job_with(tmp_path, (720, -120), {"holes": "new"}, rules, holes=[there]))
    assert not errors
    assert room["joists"]["joists"]["holes"]
    for hole in room["joists"]["joists"]["holes"]:
        assert abs(hole["at"] - 720) >= times * 25
        assert 0.25 * LONG <= hole["at"] <= 0.4 * LONG


@pytest.mark.slow
@pytest.mark.parametrize(
    ("more", "joists"),
    [
        ({}, {}),  # not asked for
        ({"notches": "new"}, {}),  # too deep for a notch
        ({"holes": "new"}, {"size": [50, 260], "top": 10}),  # deeper than the 250 mm of the table
    ],
)
def test_none_where_none_is_allowed(more, joists, tmp_path: Path, monkeypatch):
    monkeypatch.setattr("pipemodel.finding.ways.MOST_BENDS", 0)
    with pytest.raises(JobError, match="no way was found"):
        story.schedule(story.read(job_with(tmp_path, (700, -120), more, **joists)))


@pytest.mark.slow
@pytest.mark.parametrize("side", ["top", "bottom"])
def test_new_notches_where_there_is_one_already(side, tmp_path: Path, monkeypatch):
    """LABC on TRADA, 3.2.2: notches at the top or at the bottom, not both; how far apart two are it does not say."""
    monkeypatch.setattr("pipemodel.finding.ways.MOST_BENDS", 0)
    there = {"at": 340, "width": 20, "depth": 20, "in": side}
    path = job_with(tmp_path, (300, -30), {"notches": "new"}, "LABC on TRADA", notches=[there])
    if side == "top":
        room, errors, _ = pasted(path)
        assert not errors
        assert len(room["joists"]["joists"]["notches"]) == 1
    else:
        with pytest.raises(JobError, match="no way was found"):
            story.schedule(story.read(path))


def joist(long: float, notched: float | None) -> MayCut:
    """A joist 200 deep, with a notch 20 wide and 8 deep in its underside at a fifth of the span, or none."""
    whole = ((0.0, 0.0), (long, 0.0), (long, 200.0), (0.0, 200.0))
    if notched is not None:
        a, b = notched, notched + 20.0
        whole = ((0.0, 0.0), (a, 0.0), (a, 8.0), (b, 8.0), (b, 0.0), *whole[1:])
    plate = Plate((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), 50.0, (whole,))
    thing = Thing("joist", plate, kind="joist")
    rule = rule_set_named("LABC on TRADA").joists
    return MayCut(thing, joist_of(thing), (rule,), frozenset(["hole", "notch"]), 7.5, 5.0)


def test_notches_at_the_top_or_the_bottom_and_not_both():
    """LABC on TRADA span tables, 3.2.2: never both; and 100 mm from a notch to the edge of a hole 25 wide."""
    assert joist(2400.0, None).spans("notch") == [(0.07 * 2400 + 12.5, 600 - 12.5), (1800 + 12.5, 0.93 * 2400 - 12.5)]
    assert joist(2400.0, 480.0).spans("notch") == []
    assert joist(2400.0, 480.0).spans("hole") == [(612.5, 960.0), (1440.0, 1800.0)]


@pytest.mark.parametrize(
    ("more", "said"),
    [({"holes": "new"}, "where holes may be cut in joists is said by rules"), ({"notches": "old"}, "new")],
)
def test_refused_at_its_line(more, said, tmp_path: Path):
    path = job_with(tmp_path, (700, -120), more, rules="BS 6891:2005")
    answer = run("check", path)
    line = next(i for i, text in enumerate(path.read_text().splitlines(), 1) if next(iter(more)) + ":" in text)
    assert answer.code == 2
    assert f"job.yaml:{line}:" in answer.err
    assert said in answer.err
