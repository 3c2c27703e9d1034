"""Which figures the pieces give and which they do not, and the limits of what is taken for a former."""

from dataclasses import replace

import pytest
from measured_pieces import OUTSIDE, TRUE, measured

from pipemodel.calibration.calibrate import calibrate
from pipemodel.calibration.fit import fit
from pipemodel.calibration.mistakes import refuse_impossible
from pipemodel.calibration.values import Accuracy, ContradictionError, TestPiece


def springing(angle, fixed, per_degree):
    return measured("a", angle, true=TRUE | {"fixed": fixed, "per_degree": per_degree})


@pytest.mark.parametrize("left_out", ["start_to_back_mm", "finish_to_back_mm"])
def test_one_leg_alone_gives_neither_radius_nor_mark(left_out):
    """Whatever the radius, some mark fits the one length; the springback is found all the same."""
    result = calibrate([replace(measured("a", 90), **{left_out: None})], OUTSIDE)
    assert (result.radius_mm, result.mark_mm) == (None, None)
    assert "the length of one leg alone gives neither radius nor mark: measure the other leg too" in map(
        str, result.notes
    )
    (pull,) = result.pulls
    assert (pull.angle_deg, pull.pull_deg) == (90.0, pytest.approx(96.0))
    assert result.suspicions == result.doubts == ()


def test_one_leg_of_two_pieces_gives_both():
    pieces = [replace(measured("a", 60), finish_to_back_mm=None), replace(measured("b", 120), finish_to_back_mm=None)]
    result = calibrate(pieces, OUTSIDE)
    assert result.radius_mm.value == pytest.approx(TRUE["radius"])
    assert result.mark_mm.value == pytest.approx(TRUE["mark"])
    assert not any("one leg alone" in note for note in result.notes)


@pytest.mark.parametrize(
    ("protractor", "apart", "law"),
    [(0.5, 10.0, True), (0.5, 15.0, True), (0.5, 9.9, False), (5.0, 19.0, False), (5.0, 20.0, True)],
)
def test_angles_ten_degrees_or_four_readings_apart_give_the_law(protractor, apart, law):
    found = fit([measured("a", 80), measured("b", 80 + apart)], OUTSIDE, Accuracy(0.5, protractor))
    assert ("per_degree" in found.names) == law


def test_without_the_law_it_says_where_the_springback_holds():
    notes = [str(note) for note in calibrate([measured("a", 60), measured("b", 64)], OUTSIDE).notes]
    assert (
        "the springback holds near 62 degrees: for its law bend a piece to another angle, at least 10 degrees away"
        in notes
    )


@pytest.mark.parametrize(
    ("mark", "odd"),
    [
        (-20.0, False),
        (-27.0, False),
        (-33.0, True),
        (-60.0, True),
        (0.0, False),
        (54.2, False),
        (82.0, False),
        (87.0, True),
    ],
)
def test_a_mark_lies_between_two_diameters_before_and_two_beyond_a_radius(mark, odd):
    """Of 15 mm tube on 54.2: from -30 to 84.2. The interval of the mark is about 1 mm."""
    pieces = [measured(n, a, true=TRUE | {"mark": mark}) for n, a in zip("abcd", (90, 90, 60, 120), strict=True)]
    said = [words for words in map(str, calibrate(pieces, OUTSIDE).suspicions) if "mark offset" in words]
    assert bool(said) == odd
    if odd:
        assert said[0].startswith(f"the mark offset comes out at {mark:.1f} \u00b1 ")
        assert said[0].endswith(" mm, and a former's lies between -30 and 84 mm")


@pytest.mark.parametrize(
    ("radius", "least", "said"),
    [(27.0, None, ", below the smallest published, 30 mm"), (33.0, None, ""), (50.0, 55.0, ", below the smallest "
      "published, 55 mm"), (54.5, 55.0, ""), (147.0, None, ""), (155.0, None, ", and formers have up to 150 mm")],
)  # fmt: skip
def test_a_radius_lies_between_the_smallest_published_and_ten_diameters(radius, least, said):
    pieces = [measured(n, a, true=TRUE | {"radius": radius}) for n, a in zip("abcd", (90, 90, 60, 120), strict=True)]
    suspicions = map(str, calibrate(pieces, OUTSIDE, least_mm=least).suspicions)
    found = [words for words in suspicions if words.startswith("the radius comes out at")]
    assert bool(found) == bool(said)
    if said:
        assert found[0].startswith(f"the radius comes out at {radius:.1f} \u00b1 ")
        assert found[0].endswith(f" mm{said}")


@pytest.mark.parametrize(
    ("fixed", "per_degree", "said"),
    [(1.0, 0.05, ""), (15.0, 0.2, ""), (20.0, 0.25, "and no tube by more than 38"), (-0.8, 0.0, ""),
     (-1.9, 0.0, "and tube opens when let go")],
)  # fmt: skip
def test_springback_lies_between_none_and_fifteen_and_a_quarter(fixed, per_degree, said):
    """At 90: 15 + 22.5. A pull is compared with an angle to about 1.4 for one piece read to half a degree."""
    suspicions = map(str, calibrate([springing(90, fixed, per_degree)], OUTSIDE).suspicions)
    found = [words for words in suspicions if "springs back" in words]
    assert bool(found) == bool(said)
    if said:
        back = fixed + per_degree * 90
        assert found[0].startswith(f"at 90 degrees the tube springs back by {back:.1f} \u00b1 1.4 degrees, ")
        assert found[0].endswith(said)


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"angle_deg": 180.0},
         "piece a: a finished angle of 180 cannot be measured to the back; use one between 0 and 180"),
        ({"angle_deg": 0.0},
         "piece a: a finished angle of 0 cannot be measured to the back; use one between 0 and 180"),
        ({"mark_mm": 501.0}, "piece a: the mark at 501 is not on a tube 500 long"),
        ({"mark_mm": -1.0}, "piece a: the mark at -1 is not on a tube 500 long"),
        ({"pull_deg": 87.9}, "piece a: it was pulled to 87.9 and measures 90: tube opens when let go, so the pull "
                             "cannot be the smaller; were the two swapped?"),
        # 500 + 15 tan 45 + 7.5 (2 - pi/2) less 6 x 0.5 mm and 6 x 0.5 degrees of 30: 513.6. A radius of 300: 648.3.
        ({"start_to_back_mm": 200.0, "finish_to_back_mm": 300.0}, "piece a: its legs to the back add up to 500 for a "
         "tube cut at 500; a bend of 90 must give at least 513.6"),
        ({"start_to_back_mm": 350.0, "finish_to_back_mm": 310.0}, "piece a: its legs to the back add up to 660 for a "
         "tube cut at 500; a bend of 90 cannot give more than 648.3"),
    ],
)  # fmt: skip
def test_a_piece_impossible_in_itself_is_refused(other, said):
    with pytest.raises(ContradictionError) as caught:
        calibrate([replace(measured("a", 90), **other)], OUTSIDE)
    assert str(caught.value).startswith(said)


def test_pull_and_angle_may_differ_by_four_readings_the_wrong_way():
    near = TestPiece("a", 500.0, 200.0, 90.0, pull_deg=88.1)
    assert calibrate([near], OUTSIDE).pulls[0].pull_deg == pytest.approx(88.1)


@pytest.mark.parametrize(
    ("mistake", "what"),
    [
        ({"line": "centre"}, "the legs were measured to the centre of the tube, not to its back"),
        ({"line": "inside"}, "the legs were measured to the inside of the bend, not to its back"),
    ],
)
def test_legs_measured_to_another_line_are_named(mistake, what):
    pieces = [measured(n, a, **mistake) for n, a in zip("abcd", (90, 90, 45, 120), strict=True)]
    try:
        result = calibrate(pieces, OUTSIDE, least_mm=55.0)
        named = [str(m.what) for m in result.mistakes]
    except ContradictionError as error:
        named = str(error).partition("probably ")[2].split(" or ")
    assert what in named


@pytest.mark.parametrize(
    ("angle", "pull", "refused"),
    [(60.0, 66.0, True), (60.0, 59.5, True), (60.0, None, True), (59.0, 65.0, False), (59.0, None, False)],
)
def test_legs_too_long_are_refused_on_bends_of_sixty_degrees_or_more_by_the_finished_angle(angle, pull, refused):
    """A radius of 300, twice the largest former's, adds 65 at 60 degrees; on less the radius hardly shows."""
    piece = TestPiece("a", 500.0, 200.0, angle, 350.0, 310.0, pull)
    if not refused:
        refuse_impossible(piece, OUTSIDE, Accuracy(0.5, 0.5))
        return
    with pytest.raises(ContradictionError, match="add up to 660 for a tube cut at 500; a bend of 60 cannot give more"):
        refuse_impossible(piece, OUTSIDE, Accuracy(0.5, 0.5))
