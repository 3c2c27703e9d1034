"""Rules of supports and insulation: by the figures of the codes, and spans measured from the clips that are planned."""

from itertools import pairwise

import pytest
import yaml
from test_building_rules import check, found

from pipemodel import story
from pipemodel.job.model import JobError

WALL = {"board": {"wall": {"from": [0, 30], "to": [6000, 30], "facing": "south", "thickness": 100, "height": 4000}}}
LEVEL = [[0, 0, 500], [5000, 0, 500]]
IN_ONE = "stock: {length: 6000}\n"
UPRIGHT = [[500, 0, 0], [500, 0, 3900]]


def clipped(every):
    return {"face": "board", "spacing": {"level": every, "upright": every}}


@pytest.mark.parametrize(
    ("rules", "size", "points", "most"),
    [
        # IRC 2018, table P2605.1: copper tubing of 1 1/4 in and smaller every 6 ft, upright every 10 ft.
        ("IRC 2018", 15, LEVEL, 6 * 304.8),
        ("IRC 2018", 22, UPRIGHT, 10 * 304.8),
        # Water-mist guide, table 2: 22 mm every 1.8 m, upright 2.4 m; within 300 mm of a fitting.
        ("water mist guide", 22, LEVEL, 1800),
        ("water mist guide", 22, UPRIGHT, 2400),
        # BS EN 806-4 and BS 6891, from memory.
        ("BS EN 806-4 supports", 15, LEVEL, 1200),
        ("BS 6891 supports", 22, UPRIGHT, 2500),
    ],
)
def test_clips_stand_no_farther_apart_than_each_rule_says(rules, size, points, most, tmp_path):
    whole = sum(abs(b - a) for a, b in zip(*points, strict=True))
    clips = int((whole - 600) // (most + 1)) + 1
    for every in (most, (whole - 600) / max(clips - 1, 1) + 1):
        runs = {"r": {"points": points, "clips": clipped(every)}}
        report = check(tmp_path, WALL, runs, [rules], size, IN_ONE)
        (plan,) = [f for f in report.findings if f.code == "S102"]
        assert plan
        wrong = found(report, "R111")
        assert bool(wrong) == (every > most), every
        assert report.verdict == ("fail" if wrong else "pass")
        for one in wrong:
            assert one.required_mm == pytest.approx(most)
            assert one.distance_mm > most
            assert ("from memory" in one.message) == ("6" in rules and "IRC" not in rules)


def test_a_run_without_clips_is_said_what_its_supports_are(tmp_path):
    report = check(tmp_path, {}, {"r": {"points": LEVEL}}, ["water mist guide"])
    (one,) = found(report, "R112")
    # 15 lies between the rows of 12 and 16: the row below is the safe one.
    assert "1200 mm at most" in one.message
    assert "1800 mm where it stands" in one.message
    assert report.verdict == "pass"


def lagging(tmp_path, room, runs, thick, rules=("GEG 2020",), size=15):
    return check(tmp_path, room, runs, list(rules), size, f"insulation: {thick}\n")


def test_insulation_is_as_thick_as_the_bore_asks(tmp_path):
    # GEG 2020, Anlage 8: 20 mm up to a bore of 22 mm, 30 mm up to 35 mm, the bore itself up to 100 mm.
    for size, asked in ((15, 20), (22, 20), (42, 42 - 2 * 1.2)):
        for thick, wrong in ((asked - 0.1, 1), (asked, 0)):
            report = lagging(tmp_path, {}, {"r": {"points": [[0, 0, 0], [900, 0, 0]]}}, thick, size=size)
            assert len(found(report, "R113")) == wrong, (size, thick)
    assert "0.035 W/(m K)" in found(lagging(tmp_path, {}, {"r": {"points": LEVEL}}, 0), "R113")[0].message


def wall_with_hole(diameter):
    opening = {"at": 300, "up": 500, "diameter": diameter}
    wall = {"from": [0, 300], "to": [900, 300], "facing": "south", "thickness": 100, "height": 900}
    return {"wall": {"wall": wall | {"openings": [opening]}}}


def test_half_of_it_serves_in_a_wall_and_where_runs_cross(tmp_path):
    run = {"r": {"points": [[300, 0, 500], [300, 900, 500]]}}
    for diameter, wrong in ((15 + 2 * 10 - 0.2, 1), (15 + 2 * 10, 0)):
        report = lagging(tmp_path, wall_with_hole(diameter), run, 20)
        assert len(found(report, "R114")) == wrong, diameter
    for rise, crossing in ((39.9, False), (40.1, False), (19.9, True), (20.1, True)):
        other = (
            [[0, 0, rise + 15], [900, 0, rise + 15]]
            if not crossing
            else [[450, -400, rise + 15], [450, 400, rise + 15]]
        )
        runs = {"a": {"points": [[0, 0, 0], [900, 0, 0]]}, "b": {"points": other}}
        wrong = found(lagging(tmp_path, {}, runs, 20), "R115")
        assert len(wrong) == (rise < (20 if crossing else 40)), (rise, crossing)


@pytest.mark.parametrize(("apart", "wrong"), [(39.9, 1), (40.1, 0)])
def test_runs_that_lie_side_by_side_before_they_cross_need_all_of_it_there(apart, wrong, tmp_path):
    """Where they cross, 21 mm are enough for half of 20 + 20; beside each other 40 are asked for."""
    y = 15 + apart
    runs = {
        "a": {"points": [[0, 0, 0], [2000, 0, 0]]},
        "b": {"points": [[0, y, 0], [1200, y, 0], [1200, y, 36], [1400, y, 36], [1400, -400, 36]]},
    }
    runs["b"]["former"] = {"radius": 15, "allow_tight": True, "springback": {"fixed": 0}, "hold": 0, "guide": 0}
    found_ = found(lagging(tmp_path, {}, runs, 20), "R115")
    assert [one.required_mm for one in found_] == [40.0] * wrong
    assert all(one.distance_mm == pytest.approx(apart) for one in found_)


@pytest.mark.parametrize(("gap", "wrong"), [(30, 1), (50, 0)])
def test_runs_that_end_in_line_are_as_far_apart_as_their_ends(gap, wrong, tmp_path):
    runs = {"a": {"points": [[0, 0, 0], [1000, 0, 0]]}, "b": {"points": [[1000 + gap, 0, 0], [2000, 0, 0]]}}
    found_ = found(lagging(tmp_path, {}, runs, 20), "R115")
    assert [one.distance_mm for one in found_] == [pytest.approx(gap)] * wrong


def test_insulation_that_stops_at_a_hole_is_said_to_stop(tmp_path):
    """However wide the hole, nothing is round the tube there; half of 20 mm takes a hole of 15 + 2 x 10."""
    room = wall_with_hole(90)
    room["wall"]["wall"]["openings"][0] |= {"for": ["r"], "clearance": 0, "bare": True}
    (one,) = found(lagging(tmp_path, room, {"r": {"points": [[300, 0, 500], [300, 900, 500]]}}, 20), "R114")
    assert "is to stop at the hole of 90 mm in 'wall'" in one.message
    assert "a hole of 35.0 mm" in one.message
    assert "leaves" not in one.message


def test_insulation_stops_nowhere(tmp_path):
    run = {"points": LEVEL, "clips": clipped(1500), "ends": {"finish": {"bare": 60}}}
    said = [f.message for f in found(lagging(tmp_path, WALL, {"r": run}, 20), "R114")]
    assert len(said) == 2
    assert "finish of run 'r' is bare for 60 mm" in said[0]
    assert "clips of 55 mm" in said[1]


def test_what_lies_in_an_unheated_void_is_insulated(tmp_path):
    room = {"loft": {"void": {"from": [-99, -99, -99], "to": [999, 99, 99]}, "runs": ["cold"], "is": "unheated void"}}
    runs = {"cold": {"points": [[0, 0, 0], [900, 0, 0]]}, "warm": {"points": [[0, 0, 500], [900, 0, 500]]}}
    (one,) = found(lagging(tmp_path, room, runs, 0, ["water fittings 1999"]), "R113")
    assert (one.run, one.against) == ("cold", "loft")
    assert "(from memory)" in one.message
    assert found(lagging(tmp_path, room, runs, 9, ["water fittings 1999"]), "R113") == []


def test_rules_that_count_for_some_runs_say_nothing_of_others(tmp_path):
    room = {"it": {"box": {"from": [100, 10, -50], "to": [300, 80, 50]}, "is": "cable"}}
    runs = {name: {"points": [[0, 0, z], [500, 0, z]]} for name, z in (("gas", 0), ("water", 30))}
    for chosen, wrong in (([], {"gas", "water"}), (["gas"], {"gas"})):
        rules = {"set": "BS 6891:2005", **({"runs": chosen} if chosen else {})}
        assert {f.run for f in found(check(tmp_path, room, runs, [rules]), "R101")} == wrong


@pytest.mark.parametrize(
    ("rules", "says"),
    [
        ([{"set": "GEG 2020", "runs": ["oil"]}], "there is no run called 'oil'"),
        ([{"runs": ["r"]}], "with 'set', a name, or with 'file'"),
        (["GEG 2020", {"set": "GEG 2020"}], "is there already; name it once"),
        ([7], "item 1 of rules is text, not 7"),
    ],
)
def test_faults_of_the_choice_of_rules(rules, says, tmp_path):
    with pytest.raises(JobError) as error:
        check(tmp_path, {}, {"r": {"points": [[0, 0, 0], [500, 0, 0]]}}, rules)
    (line,) = error.value.lines()
    assert says in line


def test_a_set_of_ones_own_has_supports_and_insulation(tmp_path):
    own = {
        "name": "ours", "source": "our office, 2026",
        "supports": {"clause": "4", "rows": [{"from": 10, "level": 900, "upright": 1000}]},
        "insulation": {"clause": "5", "rows": [{"thick": 13}]},
    }  # fmt: skip
    (tmp_path / "ours.yaml").write_text(yaml.safe_dump(own), encoding="utf-8")
    report = check(tmp_path, {}, {"r": {"points": [[0, 0, 0], [900, 0, 0]]}}, [{"file": "ours.yaml"}])
    assert {f.code for f in report.findings if f.code in ("R112", "R113")} == {"R112", "R113"}
    own["insulation"]["rows"] = [{"to": 13, "thick": 13}]  # tube of 15 x 0.7 has a bore of 13.6
    (tmp_path / "ours.yaml").write_text(yaml.safe_dump(own), encoding="utf-8")
    report = check(tmp_path, {}, {"r": {"points": [[0, 0, 0], [900, 0, 0]]}}, [{"file": "ours.yaml"}])
    assert {f.code for f in report.findings if f.code in ("R112", "R113")} == {"R112"}
    own["supports"]["rows"] = []
    (tmp_path / "ours.yaml").write_text(yaml.safe_dump(own), encoding="utf-8")
    with pytest.raises(JobError) as error:
        story.load(tmp_path / "job.yaml")
    assert "'ours.yaml', line 10: rows needs at least 1" in error.value.lines()[0]
    # Of two rows of one size nobody can tell which counts.
    own["supports"]["rows"] = [{"from": 10, "level": far, "upright": 1000} for far in (900, 1200)]
    own["insulation"]["rows"] = [{"to": 13, "thick": thick} for thick in (9, 13)]
    (tmp_path / "ours.yaml").write_text(yaml.safe_dump(own), encoding="utf-8")
    with pytest.raises(JobError) as error:
        story.load(tmp_path / "job.yaml")
    said = "".join(error.value.lines())
    assert "two rows are of tube from 10; write one" in said
    assert "two rows are of tube up to a bore of 13; write one" in said


def test_a_clip_too_far_from_an_end_is_said_by_what_holds_there(tmp_path):
    runs = {"r": {"points": LEVEL, "clips": clipped(1200) | {"near_fitting": 500}}}
    first, _ = found(check(tmp_path, WALL, runs, ["water mist guide"], more=IN_ONE), "R111")
    # Table 2: every 1200 mm level and 1800 mm upright for tube of 15, 300 mm from a fitting.
    assert "allows 300 mm here; tube of 15 mm is held every 1200 mm level" in first.message
    assert "1800 mm upright, and within 300 mm of each end" in first.message


@pytest.mark.parametrize("near", [300, 500])
def test_a_coupling_is_held_on_both_sides(near, tmp_path):
    """Water-mist guide, table 2: within 300 mm either side of any fitting."""
    runs = {"r": {"points": LEVEL, "clips": clipped(1200) | {"near_fitting": near}}}
    report = check(tmp_path, WALL, runs, ["water mist guide"])
    (joint,) = [f for f in report.findings if f.code == "L101"]
    (plan,) = [f for f in report.findings if f.code == "S102"]
    at = [dict(clip.values)["at"].mm for clip in dict(plan.said.values)["clips"].items]
    before = max(a for a in at if a < joint.at_mm)
    after = min(a for a in at if a > joint.at_mm)
    beside = [one for one in found(report, "R111") if one.required_mm == 300 and before < one.at_mm < after]
    # A coupling for 15 mm is at most 30 mm from mouth to mouth.
    assert before >= joint.at_mm - near - 15
    assert after <= joint.at_mm + near + 15
    assert len(beside) == (2 if near > 300 else 0)


def test_a_stretch_that_holds_a_coupling_is_said_once(tmp_path):
    """1200 mm between supports at most, and 300 mm on either side of a fitting: clips every 1900 mm keep neither."""
    runs = {"r": {"points": LEVEL, "clips": clipped(1900) | {"near_fitting": 1200}}}
    report = check(tmp_path, WALL, runs, ["water mist guide"])
    (joint,) = [f for f in report.findings if f.code == "L101"]
    said = [(one.at_mm - one.distance_mm / 2, one.at_mm + one.distance_mm / 2) for one in found(report, "R111")]
    assert sum(low < joint.at_mm < high for low, high in said) == 1
    assert all(high <= low + 1e-6 for (_, high), (low, _) in pairwise(said))


def test_a_hole_too_small_for_insulation_that_is_not_there_yet_breaks_none(tmp_path):
    report = lagging(tmp_path, wall_with_hole(30), {"r": {"points": [[300, 0, 500], [300, 900, 500]]}}, 0)
    (one,) = found(report, "R114")
    assert "leaves 7.5 mm round the tube of run 'r' for its insulation" in one.message
    assert "broken" not in one.message


def test_a_wrong_row_of_a_set_of_ones_own_is_its_only_fault(tmp_path):
    rows = [{"from": 10, "level": -9, "upright": 1000, "sideways": 1}]
    own = {"name": "ours", "source": "us", "supports": {"clause": "4", "rows": rows}, "runs": ["r"]}
    (tmp_path / "ours.yaml").write_text(yaml.safe_dump(own), encoding="utf-8")
    with pytest.raises(JobError) as error:
        check(tmp_path, {}, {"r": {"points": LEVEL}}, [{"file": "ours.yaml"}])
    said = "\n".join(error.value.lines())
    assert len(error.value.lines()) == 3
    assert "level is more than 0, not -9" in said
    assert "unknown key 'sideways'; the keys here are from, level" in said
    assert "runs is no key of a set of rules" in said


def test_each_set_of_rules_is_said_to_be_held_against_the_runs_that_it_is_asked_of(tmp_path):
    (tmp_path / "ours.yaml").write_text(
        'name: ours\nsource: office\ninsulation: {clause: "5", rows: [{thick: 13}]}\n', encoding="utf-8"
    )
    (tmp_path / "theirs.yaml").write_text(
        'name: theirs\nsource: office\nsupports: {clause: "4", rows: [{from: 10, level: 9, upright: 9}]}\n',
        encoding="utf-8",
    )
    run = {"points": [[0, 0, 0], [900, 0, 0]]}
    rules = [{"file": "ours.yaml"}, {"file": "theirs.yaml"}, "water fittings 1999", "BS 6891 supports"]
    said = found(lagging(tmp_path, {}, {"r": run, "q": {"points": LEVEL}}, 0, rules), "R105")
    right = ("2 runs, and 2 places", "2 runs, and nothing", "the room has nothing", "2 runs, and nothing")
    for one, words in zip(said, right, strict=True):
        assert words in one.message
    steel = {"r": run | {"tube": "15 x 1.0 stainless"}}
    (one,) = found(lagging(tmp_path, {}, steel, 0, ["BS 6891 supports"]), "R105")
    assert "says nothing of tube of these sizes and materials" in one.message
