"""The records of the job worked by hand: each figure where it belongs; see `worked_job`."""

import copy
import json
from dataclasses import replace

import pytest
from worked_job import SHORT_STOCK, WORKED, worked

from pipemodel.lists.table import Kind, as_number, as_text
from pipemodel.messages.units import INCHES, MM
from pipemodel.results.changes import changes_between
from pipemodel.results.earlier_pack import _schedule_faults
from pipemodel.results.identity import identity
from pipemodel.results.paper_options import PaperOptions, paper_options_for
from pipemodel.results.record import clips_record, to_json
from pipemodel.wording.cautions import caution_lines

ARC = 86.39379797371932  # 55 pi / 2
LEG_2 = 555.6 + ARC + 490.0


@pytest.fixture(scope="module")
def rise():
    return worked().schedule_record["runs"][0]


@pytest.mark.slow
def test_the_record_says_whose_it_is():
    record = worked().schedule_record
    assert record["format"] == "pipemodel.schedule/1"
    assert (record["job"], record["revision"], record["clearance_mm"]) == ("worked", None, 5.0)
    assert record["units"] == {"length": "mm", "angle": "deg"}
    assert record["cautions"] == caution_lines()
    assert [run["name"] for run in record["runs"]] == ["rise", "stub"]
    assert worked(revision="D").schedule_record["revision"] == "D"


def test_lengths_ends_and_legs(rise):
    assert rise["cut_length_mm"] == pytest.approx(LEG_2 + ARC + 245.0 + 20.0)
    assert rise["centreline_mm"] == pytest.approx(LEG_2 + ARC + 245.0)
    assert rise["straight_after_mm"] == pytest.approx(245.0)
    assert (rise["start"], rise["finish"]) == (pytest.approx([-10.6, -15, 500]), pytest.approx([600, -315, 1100]))
    assert rise["corners"][1:3] == [[600.0, -15.0, 500.0], [600.0, -15.0, 1100.0]]
    legs = [(leg["number"], leg["start"], leg["finish"], leg["direction"], leg["length_mm"]) for leg in rise["legs"]]
    assert legs == [
        (1, pytest.approx([-10.6, -15, 500]), pytest.approx([545, -15, 500]), pytest.approx([1, 0, 0]),
         pytest.approx(555.6)),
        (2, pytest.approx([600, -15, 555]), pytest.approx([600, -15, 1045]), pytest.approx([0, 0, 1]),
         pytest.approx(490.0)),
        (3, pytest.approx([600, -70, 1100]), pytest.approx([600, -315, 1100]), pytest.approx([0, -1, 0]),
         pytest.approx(245.0)),
    ]  # fmt: skip
    start, finish = rise["ends"]["start"], rise["ends"]["finish"]
    assert (start["fitting"], start["joins"], start["depth_mm"]) == ("capillary", None, pytest.approx(10.6))
    assert (finish["fitting"], finish["depth_mm"]) == ("plain", 0.0)
    assert (rise["ends"]["in_fittings_mm"], rise["ends"]["trim_mm"]) == (pytest.approx(10.6), 20.0)
    assert (rise["insulation_mm"], worked().schedule_record["runs"][1]["insulation_mm"]) == (0.0, 9.0)


def test_tube_and_former(rise):
    tube, former = rise["tube"], rise["former"]
    assert (tube["outside_mm"], tube["wall_mm"], tube["material"]) == (15.0, 0.7, "copper")
    wanted = {"radius_mm": 55.0, "springback": {"per_degree": 0.02, "fixed": 1.0}, "mark_mm": 10.0, "hold_mm": 40.0,
              "guide_mm": 25.0, "max_angle_deg": 120.0, "generic": False, "guide_travel_mm": 0.0}  # fmt: skip
    assert {key: former[key] for key in wanted} == wanted
    assert [f["bends"] for f in rise["formers"]] == [[1, 2]]


def test_bends_and_pulls(rise):
    one, two = rise["bends"]
    for bend, start, before, turn in ((one, 555.6, 555.6, 0.0), (two, LEG_2, 490.0, 90.0)):
        assert bend["start_mm"] == pytest.approx(start)
        assert bend["mark_mm"] == pytest.approx(start + 10.0)
        assert bend["straight_before_mm"] == pytest.approx(before)
        assert bend["turn_deg"] == pytest.approx(turn)
        assert (bend["angle_deg"], bend["pull_deg"]) == (pytest.approx(90.0), pytest.approx(92.8))
        assert (bend["radius_mm"], bend["arc_mm"]) == (55.0, pytest.approx(ARC))
        assert bend["gain_mm"] == pytest.approx(110.0 - ARC)
    first, second = rise["plan"]["pulls"]
    assert rise["plan"]["possible"]
    # The stop holds from the start to the mark's bend; the guide has what lies beyond the bend: of the first, leg 2
    # whole and all after it, straight still; of the second, leg 3 and what is trimmed off.
    assert first["hold_has_mm"] == pytest.approx(555.6)
    assert second["hold_has_mm"] == pytest.approx(490.0)
    assert second["guide_has_mm"] == pytest.approx(265.0)
    for pull, number, mark in ((first, 1, 565.6), (second, 2, LEG_2 + 10.0)):
        assert (pull["number"], pull["bend"], pull["held"]) == (number, number, "start")
        assert (pull["angle_deg"], pull["pull_deg"]) == (pytest.approx(90.0), pytest.approx(92.8))
        assert (pull["hold_needed_mm"], pull["guide_needed_mm"]) == (40.0, 25.0)
        assert pull["mark_mm"] == pytest.approx(mark)
        assert pull["turn_round"] is pull["change_former"] is False
    assert (first["roll_deg"], second["roll_deg"]) == (0.0, pytest.approx(-90.0))
    card = second["card"]
    assert card["mark_from_back"]["bend"] == 1
    assert card["mark_from_back"]["mm"] == pytest.approx(562.5)
    assert card["round_deg"] == pytest.approx(90.0)
    assert card["round_mm"] == pytest.approx(11.781, abs=1e-3)
    assert card["left_end"] == "start"
    # Nothing out of round; the start stands upright over leg 2: it leans to a side when bend 2 is twisted.
    assert sorted(m["mm"] for m in card["measures"]) == pytest.approx([0.0, 0.0, 327.5])
    values = {check["id"]: (check["kind"], check["value"], check["unit"]) for check in second["checks"]}
    # Start up, so seen from the west: leg 2 goes up, and leg 3 south, to the right.
    assert values == {
        "2a": ("angle card", pytest.approx(90.0), "deg"),
        "2b": ("end to back", pytest.approx(327.5), "mm"),
        "2c": ("aside, plumbed to a flat bench", 0.0, "mm"),
        "2d": ("hand", "right", "look"),
        "2e": ("out of round, by caliper", 0.0, "mm"),
    }
    # A leg of 555.6 and a bend of 55, 5 degrees over: 610.6 sin 5 = 53.2.
    twists = [m for m in second["mistakes"] if m["mistake"] == "twist"]
    assert [(m["out"], m["check"], m["sure"]) for m in twists] == [(5.0, "2c", True), (-5.0, "2c", True)]
    assert [m["moves"] for m in twists] == pytest.approx([53.22, 53.22], abs=0.01)


def test_clips_findings_and_distances(rise):
    clips = rise["clips"]
    assert (clips["service"], clips["level_mm"], clips["upright_mm"]) == ("water", 1200.0, 1800.0)
    assert clips["near_fitting_mm"] == 300.0
    first, second = clips["clips"]
    assert (first["number"], first["leg"], first["face"]) == (1, 1, "north wall")
    assert (first["at_mm"], first["point"]) == (pytest.approx(310.6), pytest.approx([300.0, -15.0, 500.0]))
    assert second["at_mm"] == pytest.approx(1109.494, abs=1e-3)
    assert second["point"] == pytest.approx([600.0, -15.0, 1022.5])
    assert first["up"] == {"distance_mm": pytest.approx(500.0), "reference": "from floor"}
    (gap,) = clips["unsupported"]
    assert (gap["from_mm"], gap["to_mm"]) == (pytest.approx(1109.494, abs=1e-3), pytest.approx(1463.388, abs=1e-3))
    check = worked().check_record
    assert (check["format"], check["job"], check["verdict"]) == ("pipemodel.check/1", "worked", "fail")
    clash = check["findings"][0]
    assert (clash["code"], clash["run"], clash["against"], clash["severity"]) == ("C102", "rise", "post", "error")
    assert (clash["distance_mm"], clash["required_mm"]) == (pytest.approx(3.0), 6.0)
    assert clash["point"] == pytest.approx([607.5, -42.5, 1092.6], abs=0.1)
    (contact,) = clash["contacts"]
    assert contact["point"] == pytest.approx(clash["point"])
    assert contact["other_point"][0] == pytest.approx(610.5)
    assert contact["move"] == pytest.approx([-3.0, 0.0, 0.0])
    asked = {(d["run"], d["against"]): d["required_mm"] for d in check["distances"]}
    assert asked == {
        ("rise", "post"): 6.0, ("rise", "north wall"): 5.0, ("rise", "floor"): 5.0, ("rise", "stub"): 14.0,
        ("stub", "post"): 15.0, ("stub", "north wall"): 14.0, ("stub", "floor"): 14.0, ("stub", "rise"): 14.0,
    }  # fmt: skip


def test_no_zero_has_a_sign():
    """Neither in the record nor in a list; other numbers are as they were."""
    assert '"mm": -0.0' not in to_json(worked().schedule_record)
    text = to_json(worked(WORKED.replace("[0, -115, 300]", "[-0.0, -115, 300]")).schedule_record)
    assert "-0.0," not in text
    assert "-0.0\n" not in text
    assert json.loads(text)["runs"][1]["start"] == [0.0, -115.0, 300.0]
    for kind in (Kind.FULL, Kind.ANGLE, Kind.SHARE, Kind.ROUNDED):
        assert str(as_number(-0.0, kind, MM)) == "0.0"
        assert as_number(-25.4, kind, MM) == -25.4


def test_a_value_in_a_list():
    assert as_number(25.4, Kind.FULL, INCHES) == 1.0
    assert as_number(25.4, Kind.ANGLE, INCHES) == 25.4
    assert as_number(0.5, Kind.SHARE, INCHES) == 0.5
    assert as_number(30.04, Kind.ROUNDED, INCHES) == 1.18
    assert as_number(30.04, Kind.ROUNDED, MM) == 30.0
    assert as_number(1.23456789, Kind.FULL, MM) == 1.234568
    assert as_number(12.4, Kind.TAPED, MM) == 12.5
    assert as_number(38.1, Kind.TAPED, INCHES) == "1 1/2 (1.50)"
    assert [as_number(v, Kind.TEXT, MM) for v in (None, "x", 3)] == [None, "x", 3]
    assert [as_text(v, Kind.ANGLE, MM) for v in (None, 92.8, "x")] == ["", "92.8", "x"]
    assert as_text(30.04, Kind.ROUNDED, INCHES) == "1.18"


def test_pieces():
    assert [(p.run, p.solved.name) for p in worked().pieces] == [(0, "rise"), (1, "stub")]
    cut = worked(SHORT_STOCK).pieces
    assert [(p.run, p.solved.name) for p in cut] == [(0, "rise piece 1"), (0, "rise piece 2"), (1, "stub")]
    assert [[pull.bend for pull in p.plan.pulls] for p in cut] == [[1], [1], []]


def test_the_identity_changes_with_what_the_hands_do_and_with_nothing_else():
    own = identity(worked().schedule)
    assert own.startswith("worked ")
    for old, new, same in (
        ("[610.5, -200, 0]", "[640.5, -200, 0]", True),
        ("insulation: 9", "insulation: 13", True),
        ("[600, -315, 1100]", "[600, -316, 1100]", False),
        ("mark: 10", "mark: 11", False),
        ("fixed: 1", "fixed: 2", False),
        ("trim: 20", "trim: 21", False),
    ):
        assert (identity(worked(WORKED.replace(old, new)).schedule) == own) is same, new
    assert len(identity(worked(WORKED.replace("job: worked", f"job: {'w' * 70}")).schedule)) == 40 + 1 + 8


def test_how_papers_are_asked_for():
    paper = PaperOptions(revision="B", date="2026-11-28", paper="Letter")
    assert (paper.state, paper.sheet_size, paper.template_size) == (
        "revision B, 2026-11-28",
        (215.9, 279.4),
        (215.9, 279.4),
    )
    assert (PaperOptions().state, PaperOptions(date="2026-11-28").state, PaperOptions(revision="B").state) == (
        "", "2026-11-28", "revision B",
    )  # fmt: skip
    assert PaperOptions(template_paper="A3").template_size == (297.0, 420.0)
    assert PaperOptions(template_paper="A3").sheet_size == (210.0, 297.0)
    job = worked(WORKED.replace("job: worked", "job: worked\nunits: in\nrevision: F")).schedule.job
    asked = paper_options_for(job)
    assert (asked.units.name, asked.revision) == ("in", "F")


def test_a_finding_is_known_by_its_code_its_run_and_what_it_is_against():
    """Where one of two that are alike goes to another thing or run, one is gone and one is new."""
    answer = worked()
    for key, value in (("against", "floor"), ("run", "stub"), ("code", "C103")):
        was, now = (copy.deepcopy(answer.check_record) for _ in range(2))
        now["findings"][0][key] = value
        schedule = answer.schedule_record
        texts = [str(change.said) for change in changes_between(schedule | {"check": was}, schedule, MM, now).changes]
        assert len(texts) == 2
        assert [t.split(":")[0] for t in texts] == ["new, error", "gone, error"]


BOARD = "  board: {box: {from: [200, -200, 200], to: [260, -40, 400]}}\nruns:\n"


def test_the_hole_that_a_run_needs_through_a_board():
    """The stub goes east through a board 60 thick: 5 of clearance and 9 of insulation all round 15 of tube are 43."""
    answer = worked(WORKED.replace("runs:\n", BOARD))
    (contact,) = next(f["contacts"] for f in answer.check_record["findings"] if f.get("against") == "board")
    hole = contact["hole"]
    assert hole["start"] == pytest.approx([200.0, -115.0, 300.0], abs=0.05)
    assert hole["finish"] == pytest.approx([260.0, -115.0, 300.0], abs=0.05)
    assert (hole["length_mm"], hole["diameter_mm"]) == (pytest.approx(60.0, abs=0.1), pytest.approx(43.0))


def test_a_record_with_two_runs_of_one_name_is_no_earlier_pack():
    record = json.loads(json.dumps(worked().schedule_record))
    assert list(map(str, _schedule_faults(record))) == []
    record["runs"].append(record["runs"][0])
    assert list(map(str, _schedule_faults(record))) == ["there are two runs 'rise'"]


def test_a_record_holds_no_figure_that_json_does_not_know():
    """RFC 8259: NaN and the infinities are no numbers of JSON."""
    for figure in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match="not JSON compliant"):
            to_json({"length_mm": figure})


def test_no_clip_stands_at_minus_nothing():
    plan = worked().clips[0]
    moved = replace(plan, clips=tuple(replace(clip, point=(-0.0, -15.0, -0.0)) for clip in plan.clips))
    points = [clip["point"] for clip in clips_record(moved)["clips"]]
    assert [str(x) for x in points[0]] == ["0.0", "-15.0", "0.0"]
