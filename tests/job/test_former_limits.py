"""Figures of formers and tubes: what is left out, what is as said, and what fits together at the bounds."""

import pytest
from short_jobs import faults, read

from pipemodel import story
from pipemodel.job.model import JobError


def test_what_a_former_says_comes_out_as_said():
    """Each figure another number, so that none can stand for another."""
    (run,) = read(
        former="{radius: 61, springback: {per_degree: 0.07, fixed: 1.3}, mark: 12, rim: 31, hold: 43, guide: 47, "
        "guide_block: 107, guide_travel: 3, max_angle: 171, outside: 15, radius_within: 0.9, allow_tight: true}"
    ).runs
    f = run.former
    assert (f.radius_mm, f.springback.per_degree, f.springback.fixed_deg, f.mark_mm, f.rim_mm) == (
        61,
        0.07,
        1.3,
        12,
        31,
    )
    assert (f.hold_mm, f.guide_mm, f.guide_block_mm, f.guide_travel_mm) == (43, 47, 107, 3)
    assert (f.max_angle_deg, f.outside_mm, f.radius_within_mm, f.allow_tight) == (171, 15, 0.9, True)
    assert (f.mark_at, f.not_given, f.generic) == ("offset", (), False)


@pytest.mark.parametrize(
    ("mark", "mm", "at"), [("beginning", 0, "beginning"), ("square", 31, "square"), ("-4", -4, "offset")]
)
def test_how_a_mark_is_set(mark, mm, at):
    former = read(former=f"{{radius: 55, rim: 31, mark: {mark}}}").runs[0].former
    assert (former.mark_mm, former.mark_at) == (mm, at)


@pytest.mark.parametrize(
    ("given", "missing"),
    [("", ("springback", "hold", "guide")), (", springback: {}", ("springback", "hold", "guide")),
     (", springback: {fixed: 0}", ("hold", "guide")), (", hold: 0", ("springback", "guide")),
     (", guide: 0", ("springback", "hold")), (", guide_block: 90", ("springback", "hold"))],
)  # fmt: skip
def test_which_figures_of_a_former_are_taken_as_not_given(given, missing):
    assert read(former=f"{{radius: 55{given}}}").runs[0].former.not_given == missing


def test_a_mark_by_a_square_needs_the_rim():
    ((*_, message),) = faults(former="{radius: 55, mark: square}")
    assert message == "a mark set by a square against the rim needs the rim: its distance from the former's axis"


@pytest.mark.parametrize(
    ("springback", "words"),
    [
        ("{per_degree: 1.01}", "springback of 1.01 per degree; write a share such as 0.05"),
        ("{per_degree: -0.51}", "springback of -0.51 per degree"),
        ("{fixed: 45.1}", "a fixed springback of 45.1 degrees; write a few degrees, such as 1.5"),
        ("{fixed: -45.1}", "a fixed springback of -45.1 degrees"),
    ],
)
def test_springback_beyond_reason(springback, words):
    ((*_, message),) = faults(former=f"{{radius: 55, springback: {springback}}}")
    assert words in message


@pytest.mark.parametrize(("per_degree", "fixed"), [(1, 45), (-0.5, -45), (0, 0)])
def test_springback_at_its_bounds(per_degree, fixed):
    made = read(former=f"{{radius: 55, springback: {{per_degree: {per_degree}, fixed: {fixed}}}}}").runs[0].former
    assert (made.springback.per_degree, made.springback.fixed_deg) == (per_degree, fixed)


def test_a_tube_by_its_measures():
    tube = read(tube="{outside: 14, wall: 0.9, material: copper, temper: R250}").runs[0].tube
    assert (tube.outside_mm, tube.wall_mm, tube.name, tube.material, tube.temper) == (
        14, 0.9, "14 x 0.9 copper", "copper", "R250")  # fmt: skip
    assert read(tube="{outside: 14, wall: 0.9}").runs[0].tube.name == "14 x 0.9"
    assert read(tube="{outside: 14, wall: 6.9}").runs[0].tube.wall_mm == 6.9
    ((*_, message),) = faults(tube="{outside: 14, wall: 7}")
    assert message == "a wall of 7 leaves no bore in a tube of 14; it must be less than 7"


@pytest.mark.parametrize(
    ("former", "tube", "words"),
    [
        ("{radius: 7.5}", "{outside: 15, wall: 0.7}", "7.5 mm; 0 mm is missing"),
        ("{radius: 55, outside: 22}", "15", "is for tube of 22 mm, and this is 15 x 0.7 copper; name a former of its"),
        ("{radius: 54, radius_within: 0.5}", "15", "a radius of 54 \u00b1 0.5 mm is smaller than 15 x 0.7 copper "
         "allows: it needs at least 55 mm, 0.5 mm is missing at its upper end; use a larger former, or say allow"),
        ("{radius: 54}", "15", "a radius of 54 mm is smaller than 15 x 0.7 copper allows: it needs at least 55 mm, "
         "1 mm is missing; use"),
    ],
)  # fmt: skip
def test_a_former_that_does_not_fit_its_tube(former, tube, words):
    ((*_, message),) = faults(former=former, tube=tube)
    assert words in message


@pytest.mark.parametrize(
    ("former", "tube"),
    [("{radius: 7.6}", "{outside: 15, wall: 0.7}"), ("{radius: 54, radius_within: 1}", "15"), ("{radius: 55}", "15"),
     ("{radius: 40, allow_tight: true}", "15"), ("{radius: 55, outside: 15}", "15"),
     ("{name: 15 mm hand bender, allow_tight: true}", "15")],
)  # fmt: skip
def test_a_former_that_just_fits_its_tube(former, tube):
    assert read(former=former, tube=tube).runs


def test_a_tube_that_is_none():
    for tube in ("true", "''", "[15]"):
        (found, *_) = faults(tube=tube)
        assert found[2].startswith(
            "a tube is a size such as 15 or '15 x 1.0', or its measures {outside: 15, wall: 0.7}"
        )
    (found, *_) = faults(tube="2.5")
    assert "bare numbers are mm; a size in inches is written '1/2 in type L'" in found[2]
    (found, *_) = faults(tube="3")
    assert "bare numbers" not in found[2]


@pytest.mark.parametrize(
    "broken", ["former: {radius: x}", "former: {radius: 55, hold: x}", "tube: {outside: x, wall: 1}"]
)
def test_where_a_former_or_a_tube_cannot_be_read_no_corner_is_blamed(tmp_path, broken):
    """A corner 20 from the start would be too tight for any generic former; only the figure at fault is given."""
    tube = "" if broken.startswith("tube") else "tube: 15\n"
    path = tmp_path / "job.yaml"
    path.write_text(f"job: x\n{tube}{broken}\nruns: {{a: {{points: [[0, 0, 0], [20, 0, 0], [20, 400, 0]]}}}}\n")
    with pytest.raises(JobError) as caught:
        story.read(path)
    assert ["'x' is no length" in f.message for f in caught.value.faults] == [True]
