"""What ways are compared by: one order of criteria, which the job may change."""

import json
from types import SimpleNamespace

import pytest
from command_line import EXAMPLES, run
from finding.rooms import job_of

from pipemodel import story
from pipemodel.checks.reach import reach
from pipemodel.finding.choice import COUNTED, ranked, unbeaten
from pipemodel.finding.ways import Finder
from pipemodel.job.find import CRITERIA
from pipemodel.ways_in import bring

BATH = (EXAMPLES / "hot-and-cold-to-the-bath.yaml").read_text(encoding="utf-8")


def way(**changed):
    """A way that is all well, of two bends and a metre of tube, but for what is changed."""
    own = {
        "too_near": (), "rules_broken": 0, "plan": SimpleNamespace(possible=True), "gets_in": None, "unsupported": 0,
        "joints": 0, "bends": 2, "chance": None, "length_mm": 1000.0, "along_faces_mm": 0.0, "least": None,
        "corners": (), "cuts": (), "apart_mm": 0.0, "out_of_reach": None,
    }  # fmt: skip
    return SimpleNamespace(**(own | changed))


WORSE = {
    "clear": {"too_near": ("wall",)},
    "rules": {"rules_broken": 1},
    "pulls": {"plan": SimpleNamespace(possible=False)},
    "gets in": {"gets_in": False},
    "reach": {"out_of_reach": 1},
    "clips": {"unsupported": 1},
    "joints": {"joints": 1},
    "cuts": {"cuts": ("hole",)},
    "beside": {"apart_mm": 500.0},
    "bends": {"bends": 3},
    "fit": {"chance": -1.0},
    "length": {"length_mm": 1100.0},
    "faces": {"along_faces_mm": -500.0},
    "room": {"least": SimpleNamespace(spare_mm=-300.0)},
}


def test_everything_that_is_named_is_counted():
    assert set(COUNTED) == set(CRITERIA) == set(WORSE)


@pytest.mark.parametrize("number", range(len(CRITERIA)), ids=CRITERIA)
def test_a_criterion_outweighs_all_that_come_after_it(number):
    here, after = CRITERIA[number], CRITERIA[number + 1 :]
    bad_here = way(**WORSE[here])
    bad_after = way(**{key: value for one in after for key, value in WORSE[one].items()})
    assert ranked([bad_here, bad_after], CRITERIA) == [bad_after, bad_here]
    if after:
        turned = (*after, *(one for one in CRITERIA if one not in after))
        assert ranked([bad_here, bad_after], turned) == [bad_here, bad_after]


NEAR = {
    "beside": ({"apart_mm": 40.0}, {"apart_mm": 60.0}),
    "fit": ({"chance": 0.03}, {"chance": 0.02}),
    "length": ({"length_mm": 1004.0}, {"length_mm": 1006.0}),
    "faces": ({"along_faces_mm": 1006.0}, {"along_faces_mm": 1004.0}),
}


@pytest.mark.parametrize("one", NEAR)
def test_ways_that_are_hardly_apart_are_equal_wherever_that_lies(one):
    """3 and 2 in 100 are within 5 in 100, as 3 and 4 are: a joint decides; beyond 5 it does not."""
    better, worse = NEAR[one]
    order = (one, *(other for other in CRITERIA if other != one))
    jointed, whole = way(**better, joints=1), way(**worse)
    assert ranked([jointed, whole], order) == [whole, jointed]
    far = way(**WORSE[one])
    assert ranked([far, jointed, whole], order) == [whole, jointed, far]


@pytest.mark.slow
def test_a_job_may_put_length_first(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(BATH)
    usual = story.schedule(story.read(path)).runs[0]
    path.write_text(BATH.replace("clearance: 10\n", "clearance: 10\nchoose: [length]\n"))
    shortest = story.schedule(story.read(path)).runs[0]
    assert len(usual.bends) < len(shortest.bends)
    assert usual.cut_length_mm > shortest.cut_length_mm + 10.0


@pytest.mark.parametrize("number", range(len(CRITERIA)), ids=CRITERIA)
def test_others_are_looked_for_where_they_may_be_better_than_the_way_of_fewest_bends(number):
    """What is bad and counts before the bends may be better in another way; so may the chance to fit."""
    bad, before = way(**WORSE[CRITERIA[number]]), CRITERIA.index("bends")
    assert unbeaten(bad, CRITERIA) is (number >= before and CRITERIA[number] != "fit")
    assert not unbeaten(way(), ("length", *CRITERIA))
    assert unbeaten(way(chance=0.99), CRITERIA)


BOXES = [((300, -200, -200), (420, 150, 300))]
ROUND = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 0], "arriving": "east"}


@pytest.mark.slow
def test_a_schedule_looks_for_no_other_way_and_has_the_first_of_those_listed(tmp_path, monkeypatch):
    def nobody(*_):
        raise AssertionError("other ways were looked for")

    path = job_of(tmp_path, BOXES, ROUND)
    with monkeypatch.context() as patched:
        patched.setattr(Finder, "_others", nobody)
        [run] = story.schedule(story.read(path)).runs
    [three], _ = story.ways(story.read(path), 3)
    assert len(three.ways) > 1
    assert three.ways[0].corners == run.run.route.corners


# A panel with a hatch before a post; the tube ends right and left of it, in fittings.
BEHIND = {
    "room": {
        "panel": {
            "box": {"from": [-400, -12, -600], "to": [1400, 0, 1300]},
            "holes": [{"from": [-300, -12, 500], "to": [1200, 0, 1100]}],
        },
        "post": {"box": {"from": [450, 150, -300], "to": [550, 400, 300]}},
        "shelf": {"box": {"from": [-400, 0, 360], "to": [1400, 170, 380]}},
    },
    "openings": {
        "hatch": {"corners": [[0, 0, 500], [900, 0, 500], [900, 0, 1100], [0, 0, 1100]], "outside": [450, -100, 700]}
    },
}


@pytest.mark.slow
def test_what_no_hand_reaches_is_counted_of_the_ways_that_are_listed(tmp_path, monkeypatch):
    """As many as the check warns of, once the way is taken; nothing where the job has no `reach`."""
    find = {"from": [100, 250, 0], "heading": "east", "to": [900, 250, 0], "arriving": "east"}
    ends = {"start": {"fitting": "capillary"}, "finish": {"fitting": "capillary"}}
    runs = {"way": {"find": find, "ends": ends}}
    path = job_of(tmp_path, [], find, **BEHIND, runs=runs, reach={"through": "hatch", "arm": 600, "thick": 100})
    with monkeypatch.context() as patched:
        # Whether they get in is asked of each, and for that no way in is made plainer.
        patched.setattr(bring, "Refit", None)
        [one], _ = story.ways(story.read(path), 3)
    assert all(way.gets_in for way in one.ways)
    warned = [found for found in reach(story.schedule(story.read(path))) if found.code == "H101"]
    assert one.ways[0].out_of_reach == len(warned) > 0
    assert all(way.out_of_reach is not None for way in one.ways)
    # Without the opening either, for that alone has every way tried whether it gets in.
    path = job_of(tmp_path, [], find, room=BEHIND["room"], runs=runs)
    [one], _ = story.ways(story.read(path), 1)
    assert one.ways[0].out_of_reach is None


@pytest.mark.slow
def test_a_later_way_that_compares_better_than_the_first_is_named(tmp_path):
    """Two square bends are found first; with one of 45 degrees it is shorter, which counts for no more than bends."""
    find = {"from": [0, 0, 500], "heading": "down", "to": [-200, 367, 0], "arriving": "west"}
    path = job_of(tmp_path, [], find, clearance=5)
    first, *others = json.loads(run("route", path, "--format", "json").out)["runs"][0]["ways"]
    better = [n for n, one in enumerate(others, 2) if one["cut_length_mm"] < first["cut_length_mm"] - 10.0]
    assert better
    assert all(others[n - 2]["bends"] == first["bends"] for n in better)
    said = " ".join(run("route", path).out.split())
    assert f"Way {better[0]} was found later and compares better" in said
    assert "wurde später gefunden" in run("route", path, "--language", "de").out
    # Asked to compare by length first, the job takes that one.
    path = job_of(tmp_path, [], find, clearance=5, choose=["length"])
    assert "compares better" not in " ".join(run("route", path).out.split())
