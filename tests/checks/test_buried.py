"""Tube in walls, floors and screed: against the figures of the sheets, and places reckoned here by hand."""

import random

import pytest
from checks.ruled_jobs import check, found


def wall(thick, **more):
    return {"wall": {"box": {"from": [0, 0, 0], "to": [3000, thick, 2400]}, "is": "wall", **more}}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("upright", "share"),
    [(True, 3), (False, 6)],  # Sheet on copper gas pipework: a third of the wall upright, a sixth level.
)
def test_a_chase_is_a_third_of_the_wall_upright_and_a_sixth_level(upright, share, tmp_path):
    for thick in (90, 100, 140):
        for off, wrong in ((-0.5, 0), (0.5, 1)):
            deep = thick / share + off
            y = deep - 7.5  # the far side of a tube of 15 lies `deep` behind the face at y = 0
            points = [[1000, y, 300], [1000, y, 1500]] if upright else [[500, y, 300], [1500, y, 300]]
            report = check(tmp_path, wall(thick), {"gas": {"points": points}}, ["CDA gas sheet"])
            assert len(found(report, "R106")) == wrong, (thick, off)
            if wrong:
                (one,) = found(report, "R106")
                assert one.distance_mm == pytest.approx(deep)
                assert one.required_mm == pytest.approx(thick / share)
                assert ("upright" if upright else "level") in one.message


def test_the_nearer_face_counts_and_insulation_too(tmp_path):
    # 100 thick: level at most 16.7. From the back face at y = 100: axis at 92 is 15.5 deep; with 5 round it 20.5.
    points = [[500, 92, 300], [1500, 92, 300]]
    assert found(check(tmp_path, wall(100), {"r": {"points": points}}, ["CDA gas sheet"]), "R106") == []
    (one,) = found(
        check(tmp_path, wall(100), {"r": {"points": points}}, ["CDA gas sheet"], more="insulation: 5\n"), "R106"
    )
    assert one.distance_mm == pytest.approx(20.5)


def test_tube_on_the_face_through_the_wall_or_in_an_opening_is_in_no_chase(tmp_path):
    for points in ([[500, -8, 300], [1500, -8, 300]], [[500, -300, 300], [500, 400, 300]]):
        assert found(check(tmp_path, wall(100), {"r": {"points": points}}, ["CDA gas sheet"]), "R106") == []
    door = {"wall": {"wall": {"from": [0, 0], "to": [3000, 0], "height": 2400, "thickness": 100, "facing": "south",
            "openings": [{"at": 400, "up": 0, "width": 1200, "height": 2000}]}}}  # fmt: skip
    through = {"r": {"points": [[450, 50, 300], [1550, 50, 300]]}}
    report = check(tmp_path, door, through, ["CDA gas sheet"])
    assert found(report, "R106") == []


def test_each_pass_through_a_wall_or_floor_wants_a_sleeve_a_size_larger(tmp_path):
    room = {"wall": {"wall": {"from": [0, 0], "to": [3000, 0], "height": 2400, "thickness": 100, "facing": "south"}},
            "floor": {"floor": {"from": [0, 0], "to": [3000, 3000], "top": 0, "thickness": 20}}}  # fmt: skip
    runs = {"r": {"points": [[1000, -400, 300], [1000, 600, 300], [1000, 600, -400]]}}
    for size, larger in ((15, "22 mm"), (22, "28 mm")):
        report = check(tmp_path, room, runs, ["NBS 670"], size)
        sleeves = found(report, "R108")
        assert [f.against for f in sleeves] == ["wall", "floor"]
        assert all(larger in f.message for f in sleeves)
        # The middle of the wall, which lies behind its face at y = 0 on one side or the other.
        assert abs(abs(sleeves[0].point[1]) - 50) < 1e-6
        assert sleeves[1].point[2] == pytest.approx(-10)


def test_a_bend_through_a_floor_wants_one_too(tmp_path):
    """The run turns away at the boards: its bend of radius 55 goes through them."""
    room = {"floor": {"floor": {"from": [-900, -900], "to": [900, 900], "top": 0, "thickness": 20}}}
    runs = {"r": {"points": [[0, 0, -400], [0, 0, 15], [0, 600, 500]]}}
    (one,) = found(check(tmp_path, room, runs, ["NBS 670"]), "R108")
    assert "in bend 1" in one.message


def test_a_run_beside_a_wall_or_past_its_end_wants_none(tmp_path):
    for points in ([[-200, -400, 300], [-200, 600, 300]], [[500, -40, 300], [2500, -40, 300]]):
        assert found(check(tmp_path, wall(100), {"r": {"points": points}}, ["NBS 670"]), "R108") == []


@pytest.mark.parametrize(("beyond", "wanted"), [(-45, 0), (-1, 0), (1, 1)])
def test_a_run_that_ends_in_a_wall_wants_none(beyond, wanted, tmp_path):
    """The wall goes 100 deep from its face at y = 0."""
    room = {"wall": {"wall": {"from": [0, 0], "to": [3000, 0], "height": 2400, "thickness": 100, "facing": "south"}}}
    runs = {"r": {"points": [[500, -400, 300], [500, 100 + beyond, 300]]}}
    assert len(found(check(tmp_path, room, runs, ["NBS 670"]), "R108")) == wanted


@pytest.mark.parametrize("round_", [True, False])
@pytest.mark.parametrize(("wide", "wanted"), [(58, 1), (62, 0)])
def test_a_run_in_the_middle_of_a_wide_hole_wants_none(wide, wanted, round_, tmp_path):
    """Wider than four tubes of 15."""
    square = {"at": 500 - wide / 2, "up": 300 - wide / 2, "width": wide, "height": wide}
    hole = {"at": 500, "up": 300, "diameter": wide} if round_ else square
    room = {"wall": {"wall": {"from": [0, 0], "to": [3000, 0], "height": 2400, "thickness": 100, "facing": "south",
            "openings": [hole]}}}  # fmt: skip
    runs = {"r": {"points": [[500, -400, 300], [500, 400, 300]]}}
    assert len(found(check(tmp_path, room, runs, ["NBS 670"]), "R108")) == wanted


@pytest.mark.slow
def test_cover_of_screed(tmp_path):
    draw = random.Random(2)
    for _ in range(12):
        thick, z = draw.uniform(50, 90), draw.uniform(9, 49)
        room = {"screed": {"box": {"from": [0, 0, 0], "to": [4000, 4000, thick]}, "is": "screed"}}
        report = check(tmp_path, room, {"r": {"points": [[100, 500, z], [3000, 500, z]]}}, ["BS 6891 screed"])
        cover = thick - z - 7.5
        assert len(found(report, "R109")) == (cover < 25)
        if cover < 25:
            (one,) = found(report, "R109")
            assert one.distance_mm == pytest.approx(cover)
            assert "from memory" in one.message


def test_a_joint_that_is_closed_in_is_named_and_one_that_is_open_is_not(tmp_path):
    # 4.2 m in a boxing that is open, or closed by a lid; tube is sold in 3 m. The boxing is wide enough for a hand.
    sides = {"floor": {"box": {"from": [-50, -250, -300], "to": [4300, 250, -250]}},
             "east": {"box": {"from": [4290, -250, -250], "to": [4300, 250, 250]}},
             "west": {"box": {"from": [-60, -250, -250], "to": [-50, 250, 250]}},
             "north": {"box": {"from": [-50, 240, -250], "to": [4300, 250, 250]}},
             "south": {"box": {"from": [-50, -250, -250], "to": [4300, -240, 250]}}}  # fmt: skip
    lid = {"lid": {"box": {"from": [-50, -250, 240], "to": [4300, 250, 250]}}}
    run = {"r": {"points": [[0, 0, 0], [4200, 0, 0]]}}
    more = "stock: {length: 3000}\n"
    # Along the run the ends of the boxing are 1.2 m or more from a joint: too far to close it in.
    assert found(check(tmp_path, {**sides, **lid}, run, ["CDA gas sheet"], more=more), "R107") == []
    ends = {"stop a": {"box": {"from": [700, 60, -200], "to": [720, 200, 200]}}}
    assert found(check(tmp_path, {**sides, **ends}, run, ["CDA gas sheet"], more=more), "R107") == []
    long = {"file": "ours.yaml"}
    (tmp_path / "ours.yaml").write_text(
        "name: ours\nsource: our own\njoints: {within: 4000, clause: all}\n", encoding="utf-8"
    )
    (one,) = found(check(tmp_path, {**sides, **lid}, run, [long], more=more), "R107")
    assert "closed in on all six sides" in one.message
    assert found(check(tmp_path, sides, run, [long], more=more), "R107") == []
