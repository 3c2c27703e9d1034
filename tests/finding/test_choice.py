"""What ways are compared by: one order of criteria, which the job may change."""

from types import SimpleNamespace

import pytest
from command_line import EXAMPLES

from pipemodel import story
from pipemodel.finding.choice import COUNTED, ranked
from pipemodel.job.find import CRITERIA

BATH = (EXAMPLES / "hot-and-cold-to-the-bath.yaml").read_text(encoding="utf-8")


def way(**changed):
    """A way that is all well, of two bends and a metre of tube, but for what is changed."""
    own = {
        "too_near": (), "rules_broken": 0, "plan": SimpleNamespace(possible=True), "gets_in": None, "unsupported": 0,
        "joints": 0, "bends": 2, "chance": None, "length_mm": 1000.0, "along_faces_mm": 0.0, "least": None,
        "corners": (),
    }  # fmt: skip
    return SimpleNamespace(**(own | changed))


WORSE = {
    "clear": {"too_near": ("wall",)},
    "rules": {"rules_broken": 1},
    "pulls": {"plan": SimpleNamespace(possible=False)},
    "gets in": {"gets_in": False},
    "clips": {"unsupported": 1},
    "joints": {"joints": 1},
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


@pytest.mark.slow
def test_a_job_may_put_length_first(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(BATH)
    usual = story.schedule(story.read(path)).runs[0]
    path.write_text(BATH.replace("clearance: 10\n", "clearance: 10\nchoose: [length]\n"))
    shortest = story.schedule(story.read(path)).runs[0]
    assert len(usual.bends) < len(shortest.bends)
    assert usual.cut_length_mm > shortest.cut_length_mm + 10.0
