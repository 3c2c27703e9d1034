"""What changed against an earlier pack: every figure the hands go by, the verdict, the findings, the clips."""

import copy
import json
import os
import random

import pytest
from command_line import CLASHING, LEAST, run
from wide import few_or_many

ROOM = """\
job: rise
tube: 15
former: {radius: 55, hold: 30, guide: 10}
clearance: 5
clips: {face: [north wall]}
room:
  north wall: {face: {at: [0, 0, 0], facing: south}}
  west wall:  {face: {at: [-700, 0, 0], facing: east}}
  floor:      {face: {at: [0, 0, 0], facing: up}}
  post:       {box: {from: [1000, -200, 0], to: [1100, -40, 2000]}}
runs:
  rise:
    points: [[0, -15, 500], [2400, -15, 500], [2400, -15, 1600]]
"""


EARLIER = {}
"""The records of jobs as they were, made once each: the files of the folder by name."""


@pytest.fixture
def changed(tmp_path):
    def compare(before, after, *options):
        path, earlier = tmp_path / "job.yaml", tmp_path / "a"
        if before in EARLIER:
            earlier.mkdir(exist_ok=True)
            for name, data in EARLIER[before].items():
                (earlier / name).write_bytes(data)
        else:
            path.write_text(before, encoding="utf-8")
            assert run("make", path, "--out", earlier, "--only", "json").code in (0, 1)
            EARLIER[before] = {file.name: file.read_bytes() for file in earlier.iterdir()}
        path.write_text(after, encoding="utf-8")
        against = ("--against", earlier / "schedule.json")
        said = run("make", path, "--out", tmp_path / "b", "--only", "json,txt", *against, *options)
        assert said.code in (0, 1), said.err
        record = json.loads((tmp_path / "b" / "changes.json").read_text())
        return record["changes"], " ".join((tmp_path / "b" / "changes.txt").read_text().split())

    return compare


def of(changes, what):
    return [c for c in changes if c["what"] == what]


@pytest.mark.slow
def test_nothing_changed(changed):
    changes, text = changed(ROOM, ROOM)
    assert changes == []
    assert "No changes from the earlier pack." in text


@pytest.mark.slow
def test_eight_nearer_turns_pass_into_fail(changed):
    """The post's face moves from 40 to 32 off the wall; the tube's outside is at 22.5 and 12 is asked for."""
    before = ROOM.replace("clearance: 5", "clearance: 12").replace("facing: south}}", "facing: south}, clearance: 0}")
    after = before.replace("to: [1100, -40, 2000]", "to: [1100, -32, 2000]")
    changes, text = changed(before, after)
    assert changes[0]["what"] == "verdict"
    assert (changes[0]["from"], changes[0]["to"]) == ("pass", "fail")
    assert changes[0]["text"] == "the verdict was PASS and is FAIL"
    (new,) = of(changes, "finding")
    assert (new["from"], new["to"]) == (None, "error")
    assert new["text"].startswith("new, error: run 'rise' comes within 9.5 mm of 'post'")
    (nearer,) = of(changes, "distance")
    assert (nearer["from"], nearer["to"]) == (pytest.approx(17.5), pytest.approx(9.5))
    assert nearer["text"] == "run rise: the distance to post changed from 17.5 to 9.5"
    for change in changes:
        assert " ".join(change["text"].split()) in text
    back, _ = changed(after, before)
    assert [c["text"][:11] for c in of(back, "finding")] == ["gone, error"]
    worse, _ = changed(after, after.replace("-32, 2000]", "-31, 2000]"))
    assert of(worse, "verdict") == []
    assert [c["text"].split(":")[0] for c in of(worse, "finding")] == ["otherwise than before"]


@pytest.mark.slow
def test_three_clips_lost(changed):
    block = ROOM.replace("{face: {at: [0, 0, 0], facing: south}}", "{box: {from: [-100, 0, 0], to: [4000, 50, 2400]}}")
    changes, text = changed(block, block.replace("to: [4000, 50, 2400]", "to: [700, 50, 2400]"))
    (lost,) = of(changes, "clips")
    assert lost["from"] - lost["to"] >= 2
    assert f"run rise: {lost['from']} clips became {lost['to']}" in text
    (bare,) = of(changes, "without a clip")
    assert bare["text"].startswith("run rise: without a clip was nothing along the tube, and is ")
    (verdict,) = of(changes, "verdict")
    assert (verdict["from"], verdict["to"]) == ("pass", "fail")


@pytest.mark.slow
def test_a_wall_moved_moves_the_clips_measures(changed):
    changes, _ = changed(ROOM, ROOM.replace("at: [-700, 0, 0]", "at: [-692, 0, 0]"))
    clips = of(changes, "clip")
    assert len(clips) >= 1
    assert "700 from west wall" not in clips[0]["text"].split(" to ")[1]
    assert clips[0]["text"] == (
        "run rise: clip 1 moved from 300 along the tube on north wall (1000 from west wall, 500 from floor) "
        "to 300 along the tube on north wall (992 from west wall, 500 from floor)"
    )
    # The run starts 700 from it: too far off to be listed one by one.
    (far,) = of(changes, "distances")
    assert far["text"] == "1 distance over 100.0 changed"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("old", "new", "what", "text"),
    [
        ("clearance: 5", "clearance: 4", "clearance", "the clearance asked for changed from 5.0 to 4.0"),
        ("clearance: 5", "clearance: 4", "asked for",
         "run rise: the distance asked for to post changed from 5.0 to 4.0"),
        ("clearance: 5", "clearance: 5\ninsulation: 9", "insulation", "run rise: insulation changed from 0 to 9"),
        ("-40, 2000]}}", "-40, 2000]}, clearance: 15}", "asked for",
         "run rise: the distance asked for to post changed from 5.0 to 15.0"),
        ("tube: 15", "tube: 15 x 1.0", "tube", "run rise: tube changed from 15 x 0.7 copper to 15 x 1.0 copper"),
        ("radius: 55", "radius: 60", "former's radius", "run rise: former's radius changed from 55 to 60"),
        ("hold: 30", "hold: 80", "former's hold", "run rise: former's hold changed from 30 to 80"),
        ("guide: 10", "guide: 12.5", "former's guide", "run rise: former's guide changed from 10 to 12.5"),
        ("radius: 55", "radius: 55, mark: 20", "former's mark", "run rise: former's mark changed from 0 to 20"),
        ("  post:       {box: {from: [1000, -200, 0], to: [1100, -40, 2000]}}\n", "", "thing",
         "post is gone from the room"),
        ("  floor: ", "  cat flap: {box: {from: [9000, 0, 0], to: [9100, 10, 10]}}\n  floor: ", "thing",
         "cat flap is new in the room"),
        ("    points: ", "    ends: {start: {fitting: capillary, to: end}}\n    points: ", "fitting at the start",
         "run rise: fitting at the start changed from plain to capillary"),
        ("    points: ", "    ends: {start: {joins: post}}\n    points: ", "joins at the start",
         "run rise: joins at the start changed from nothing to post"),
        ("{face: [north wall]}", "{face: [north wall], spacing: {level: 500, upright: 700}}",
         "greatest distance of clips on level tube",
         "run rise: greatest distance of clips on level tube changed from 1200 to 500"),
        ("{face: [north wall]}", "{face: [north wall], edge: 35}", "least distance of a clip from an edge",
         "run rise: least distance of a clip from an edge changed from 20 to 35"),
        ("[2400, -15, 1600]", "[2400, -15, 1612]", "cut length", None),
        ("hold: 30", "hold: 30, springback: {fixed: 3}", "pull", "run rise: pull of bend 1 changed from 91.8° to 93°"),
        ("hold: 30", "hold: 30, mark: 40", "mark", "run rise: mark 1 moved from"),
        ("[2400, -15, 1600]]", "[2400, -15, 1600], [2800, -15, 1600]]", "bends", "run rise: 1 bends became 2"),
        ("[2400, -15, 1600]", "[2400, -15, 1612]", "finish",
         "run rise: finish end moved from 2400, -15, 1600 to 2400, -15, 1612"),
        ("[[0, -15, 500]", "[[6, -15, 500]", "start", "run rise: start end moved from 0, -15, 500 to 6, -15, 500"),
    ],
)  # fmt: skip
def test_every_figure_that_changed_is_listed(changed, old, new, what, text):
    assert old in ROOM
    changes, said = changed(ROOM, ROOM.replace(old, new))
    found = of(changes, what)
    assert found, [c["text"] for c in changes]
    assert text is None or any(c["text"].startswith(text) for c in found), [c["text"] for c in found]
    assert "No changes" not in said
    if what == "cut length":
        # 12 more leg is 12 more tube.
        assert found[0]["to"] - found[0]["from"] == pytest.approx(12.0)


def test_an_angle_a_turn_and_the_order_of_pulls(changed):
    before = LEAST.replace("radius: 55", "radius: 55, hold: 60, guide: 30")
    slanted, _ = changed(
        before, before.replace("[600, 400, 350]", "[600, 500, 350]").replace("[600, 400, 0]", "[600, 400, 0]")
    )
    (angle,) = (c for c in of(slanted, "angle") if c["bend"] == 2)
    # From square to atan(350 / 100): 74.05 degrees.
    assert (angle["from"], angle["to"]) == (pytest.approx(90.0), pytest.approx(74.0546, abs=1e-3))
    turned, _ = changed(before, before.replace("[600, 400, 350]", "[600, 400, -350]"))
    assert any("turn" in c["what"] for c in turned)
    three = before.replace("[600, 400, 350]]", "[600, 400, 350], [900, 400, 350]]")
    short = three.replace("[900, 400, 350]", "[670, 400, 350]")
    order, _ = changed(three.replace("hold: 60", "hold: 20"), short.replace("hold: 60", "hold: 20"))
    assert of(order, "order")


def test_a_run_new_and_gone(changed):
    two = LEAST + "  spare:\n    points: [[0, 900, 0], [500, 900, 0]]\n"
    new, _ = changed(LEAST, two)
    assert "run spare is new" in [c["text"] for c in new]
    gone, _ = changed(two, LEAST)
    assert "run spare is gone" in [c["text"] for c in gone]


def test_without_the_checks_beside_it_is_said_that_they_were_not_compared(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(LEAST, encoding="utf-8")
    run("make", path, "--out", tmp_path / "a", "--only", "json")
    alone = tmp_path / "alone" / "schedule.json"
    alone.parent.mkdir()
    alone.write_bytes((tmp_path / "a" / "schedule.json").read_bytes())
    path.write_text(CLASHING, encoding="utf-8")
    said = run("make", path, "--out", tmp_path / "b", "--only", "json,txt", "--against", alone)
    assert said.code == 1
    text = " ".join((tmp_path / "b" / "changes.txt").read_text().split())
    assert "Of the schedule only: there was no check.json of the same job beside the earlier schedule.json." in text


def paths_in(record, here=()):
    """Every place in a record."""
    yield here
    for key, value in (
        record.items() if isinstance(record, dict) else enumerate(record) if isinstance(record, list) else ()
    ):
        yield from paths_in(value, (*here, key))


def damaged(record, dice):
    """The record with one value gone, or another in its place."""
    record = copy.deepcopy(record)
    way = dice.choice(list(paths_in(record))[1:])
    holder = record
    for key in way[:-1]:
        holder = holder[key]
    if dice.random() < 0.4:
        del holder[way[-1]]
    else:
        holder[way[-1]] = dice.choice(
            [None, "x", -1, 3, 7.5, [], {}, [1, 2], True, float("nan"), float("inf"), 10**400]
        )
    return record


@pytest.mark.slow
def test_damaged_records_are_refused_or_compared_and_never_a_traceback(tmp_path):
    """Records with one value damaged, of schedule and of checks."""
    from pipemodel import story
    from pipemodel.documents.text.changes import changes_text
    from pipemodel.results.changes import changes_between
    from pipemodel.results.earlier_pack import EarlierError, read_earlier

    path = tmp_path / "job.yaml"
    path.write_text(ROOM + "    ends: {start: {fitting: capillary}}\n", encoding="utf-8")
    run("make", path, "--out", tmp_path / "a", "--only", "json")
    good = {name: json.loads((tmp_path / "a" / name).read_text()) for name in ("schedule.json", "check.json")}
    answered = story.results(story.load(path, {}))
    refused = 0
    for seed in range(many := few_or_many(100, 400)):
        dice = random.Random(seed)
        name = dice.choice(list(good))
        for other in good:
            text = json.dumps(damaged(good[other], dice) if other == name else good[other])
            (tmp_path / other).write_text(text, encoding="utf-8")
        try:
            earlier = read_earlier(tmp_path / "schedule.json")
        except EarlierError as error:
            refused += str(tmp_path / name) in str(error)
        else:
            changes_text(changes_between(earlier, answered.schedule_record, checks=answered.check_record))
    assert refused > many / 20


def test_a_damaged_record_is_a_clear_fault_on_the_command_line(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(LEAST, encoding="utf-8")
    run("make", path, "--out", tmp_path / "a", "--only", "json")
    earlier = tmp_path / "a" / "schedule.json"
    record = json.loads(earlier.read_text())
    record["runs"][0]["bends"][1]["number"] = 3
    earlier.write_text(json.dumps(record))
    said = run("make", path, "--out", tmp_path / "b", "--only", "json", "--against", earlier)
    assert said.code == 2
    assert "damaged: runs[0].bends[1].number is 3 and should be 2" in " ".join(said.err.replace("│", " ").split())
    assert not (tmp_path / "b").exists()


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="no such device here")
def test_what_has_no_end_is_not_read(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(LEAST, encoding="utf-8")
    fifo = tmp_path / "fifo.json"
    os.mkfifo(fifo)
    for endless in ("/dev/zero", fifo):
        said = run("make", path, "--out", tmp_path / "b", "--only", "json", "--against", endless)
        assert said.code == 2
        assert "is not a file that can be read to its end" in " ".join(said.err.split())


@pytest.mark.slow
def test_another_radius_of_a_bends_own_former_is_said_beside_that_of_the_run(changed):
    own = ROOM.replace("[2400, -15, 500],", "{at: [2400, -15, 500], former: {radius: 110, hold: 30, guide: 10}},")
    more = own.replace("points: [", "points: [[-400, 985, 500], [-400, -15, 500], ").replace("[0, -15, 500], ", "")
    changes, _ = changed(more, more.replace("radius: 55", "radius: 60").replace("radius: 110", "radius: 120"))
    radii = [(c["what"], c["from"], c["to"]) for c in changes if "radius" in c["what"]]
    assert radii == [("former's radius", 55.0, 60.0), ("radius of bend 2", 110.0, 120.0)]
