"""The list of ways in: the same steps in every paper, and what is said where there is none."""

import pytest
from way_jobs import results_with_way, rotation, stood

from pipemodel.lists.all_lists import listing
from pipemodel.lists.blocks import Facts, Paragraph, Picture
from pipemodel.lists.table import as_text, say
from pipemodel.messages.units import units_for


def test_the_list_has_each_step_with_the_pose_after_it() -> None:
    results = results_with_way()
    content = listing(results, "ways-in").content
    way = results.report.ways_in[0]
    heads = [column.head for column in content.table.columns]
    rows = [dict(zip(heads, row, strict=True)) for row in content.table.rows]
    assert [row["step"] for row in rows] == list(range(len(rows)))
    last = rows[-1]
    assert (last["x"], last["y"], last["z"], last["turn w"]) == (0.0, 0.0, 0.0, 1.0)
    assert "hatch" in str(rows[1]["what to do"])
    poses = [way.states[step.last] for step in results.ways_shown[0].words.steps]
    for row, pose in zip(rows, poses, strict=True):
        w = [row[f"turn {part}"] for part in "wxyz"]
        assert (row["x"], row["y"], row["z"]) == pose.position
        assert tuple(w) == pose.rotation
        assert stood(pose, (1.0, 2.0, 3.0)) is not None
        assert rotation(pose).magnitude() < 4.0


def test_programs_read_the_same_steps() -> None:
    results = results_with_way()
    (record,) = results.check_record["ways_in"]
    said = [str(step.said) for step in results.ways_shown[0].words.steps]
    assert [step["text"] for step in record["steps"]] == said
    assert [step["to"] for step in record["steps"]][-1] == len(record["states"]) - 1
    (none,) = results_with_way(found=False).check_record["ways_in"]
    assert (none["steps"], none["states"]) == ([], [])


def test_people_read_whether_it_goes_how_near_and_by_which_steps() -> None:
    content = listing(results_with_way(), "ways-in").content
    (group,) = content.to_read
    facts = next(part for part in group.parts if isinstance(part, Facts))
    said = [say(fact, units_for("mm")) for _, fact in facts.rows]
    assert said == ["yes through hatch", "18.4 mm", "2 mm"]
    assert sum(isinstance(part, Picture) for part in group.parts) == 3
    assert any("rounded" in str(part.text) for part in group.parts if isinstance(part, Paragraph))


@pytest.mark.parametrize(
    ("language", "answer"), [("en", "no: it cannot be through hatch"), ("de", "nein: es geht nicht durch hatch")]
)
def test_no_is_said_with_its_reason(language, answer) -> None:
    units = units_for("mm", language)
    content = listing(results_with_way(language, found=False), "ways-in").content
    (group,) = content.to_read
    facts = next(part for part in group.parts if isinstance(part, Facts))
    assert say(facts.rows[0][1], units) == answer
    wrong = [say(part.text, units) for part in group.parts if isinstance(part, Paragraph) and part.look == "wrong"]
    assert len(wrong) == 1
    assert "19" in wrong[0]
    (row,) = content.table.rows
    assert row[2] == "impossible"
    assert as_text(row[3], content.table.columns[3].kind, units) == wrong[0]


def test_a_job_that_asks_for_none_has_no_such_list() -> None:
    results = results_with_way()
    results.__dict__["report"] = type(results.report)(results.report.findings, results.report.distances)
    results.__dict__.pop("ways_shown", None)
    assert results.ways_shown == ()
