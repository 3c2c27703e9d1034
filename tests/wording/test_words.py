"""Tube, former, springback, marks, verdict and points in words: every figure where it belongs, and nothing left out."""

import pytest
from worked_job import worked

from pipemodel.checks.findings import Finding, Report
from pipemodel.messages.units import INCHES, MM
from pipemodel.messages.values import NOTHING
from pipemodel.trade.model import Former, Springback, Tube
from pipemodel.wording.phrases import former_words, mark_words, point_words, springback_words, tube_words, verdict_words
from pipemodel.wording.rounding import turn_before

NAME = "former of the job: radius 55 to the centreline"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({}, NAME),
        ({"hold_mm": 40.0}, f"{NAME}; holds 40, guides 0"),
        ({"guide_mm": 25.0}, f"{NAME}; holds 0, guides 25"),
        ({"hold_mm": 40.0, "guide_mm": 25.0}, f"{NAME}; holds 40, guides 25"),
        ({"hold_mm": 40.0, "guide_mm": 25.0, "not_given": ("hold",)}, f"{NAME}; holds 40, guides 25 (generic hold)"),
        ({"hold_mm": 40.0, "guide_mm": 25.0, "not_given": ("guide",)}, f"{NAME}; holds 40, guides 25 (generic guide)"),
        ({"hold_mm": 40.0, "guide_mm": 25.0, "not_given": ("springback", "hold", "guide")},
         f"{NAME}; holds 40, guides 25 (generic hold and guide)"),
        # A bend takes 55 x angle of the block: 28.8 at 30 degrees, 43.2 at 45, 86.4 at 90; what is left, at least 25.
        ({"hold_mm": 40.0, "guide_mm": 25.0, "guide_block_mm": 80.0},
         f"{NAME}; holds 40, guides at least 25 (block of 80: 51.2 at 30, 36.8 at 45, 25 at 90 degrees)"),
        ({"hold_mm": 40.0, "guide_mm": 25.0, "guide_travel_mm": 30.0},
         f"{NAME}; holds 40, guides 25 and 30 more as it travels in a pull of 90"),
        ({"max_angle_deg": 120.0}, f"{NAME}; up to 120 degrees"),
        ({"max_angle_deg": 200.0}, NAME),
        ({"generic": True}, f"{NAME}; generic, measure your own"),
    ],
)  # fmt: skip
def test_a_former(more, words):
    assert former_words(Former(55.0, **more)) == words


def test_a_former_in_inches():
    """55 mm are 2.165 in, 40 are 1.575, 25 are 0.984: to the sixteenth of a tape, and to the hundredth."""
    words = "former of the job: radius 2 3/16 (2.17) to the centreline; holds 1 9/16 (1.57), guides 1 (0.98)"
    assert former_words(Former(55.0, hold_mm=40.0, guide_mm=25.0), INCHES) == words


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({}, "none given: pull to the angle itself"),
        ({"springback": Springback(0.0, 1.0)}, "pull further by 1 degree"),
        ({"springback": Springback(0.0, 2.5)}, "pull further by 2.5 degrees"),
        ({"springback": Springback(0.035)}, "pull further by 3.5 % of the angle"),
        ({"springback": Springback(0.02, 1.0)}, "pull further by 1 degree and 2 % of the angle"),
        ({"springback": Springback(0.02), "not_given": ("springback",)}, "pull further by 2 % of the angle (generic)"),
        ({"springback": Springback(0.02), "not_given": ("hold", "guide")}, "pull further by 2 % of the angle"),
    ],
)
def test_springback(more, words):
    assert springback_words(Former(55.0, **more)) == words


@pytest.mark.parametrize(
    ("mark", "at", "units", "words"),
    [
        (0.0, "beginning", MM, "where the bend begins, coming from the side that is held"),
        (12.0, "offset", MM, "12 past where the bend begins, coming from the side that is held"),
        (-12.0, "offset", MM, "12 short of where the bend begins, coming from the side that is held"),
        (-25.4, "offset", INCHES, "1 short of where the bend begins, coming from the side that is held"),
        (30.0, "square", MM,
         "where a square against the former's rim meets the tube, 30 past where the bend begins"),
    ],
)  # fmt: skip
def test_marks(mark, at, units, words):
    assert mark_words(Former(55.0, mark_mm=mark, mark_at=at), units) == words


@pytest.mark.parametrize(
    ("tube", "words"),
    [
        (Tube(15.0, 0.7, ""), "15 x 0.7"),
        (Tube(15.0, 0.7, "", "copper", "half hard", "EN 1057"), "15 x 0.7, copper, half hard (EN 1057)"),
        (Tube(15.0, 0.7, "15 x 0.7 copper", "copper", "half hard", "EN 1057"), "15 x 0.7 copper, half hard (EN 1057)"),
        (Tube(15.0, 0.7, "15 x 0.7 Copper EN 1057", "copper", "", "EN 1057"), "15 x 0.7 Copper EN 1057"),
    ],
)
def test_tubes(tube, words):
    assert tube_words(tube) == words


@pytest.mark.parametrize(
    ("severities", "words"),
    [
        ("", "PASS: clear as drawn"),
        ("note", "PASS: clear as drawn"),
        ("warning", "PASS: clear as drawn; 1 thing to look at"),
        ("warning warning", "PASS: clear as drawn; 2 things to look at"),
        ("error", "FAIL: 1 thing is wrong"),
        ("error note error", "FAIL: 2 things are wrong"),
        ("error warning", "FAIL: 1 thing is wrong; 1 thing to look at"),
    ],
)
def test_verdicts(severities, words):
    assert verdict_words(Report(tuple(Finding("X", "x", s, NOTHING) for s in severities.split()))) == words


def test_points():
    assert point_words((860.24, 120.0, -95.06)) == "x 860.2, y 120, z -95.1"
    assert point_words((254.0, -25.4, 0.0), INCHES) == "x 10, y -1, z 0"


def test_several_formers_are_each_said_of_their_bends():
    """The middle one of three bends goes round another former, which is put in last of all."""
    from pipemodel.wording.phrases import former_facts

    answer = worked("""\
job: two formers
tube: 15
former: {radius: 55, springback: {fixed: 1}, mark: 10, hold: 40, guide: 25}
runs:
  rise:
    points:
      - [0, 0, 0]
      - [600, 0, 0]
      - {at: [600, 600, 0], former: {radius: 60, springback: {fixed: 3}, mark: 0, hold: 30, guide: 20}}
      - [1200, 600, 0]
      - [1200, 1200, 0]
""")
    facts = former_facts(answer.schedule.runs[0])
    assert [label for label, _ in facts] == ["Former", "Springback", "Marks"] * 2
    words = [said for _, said in facts]
    assert words[0].startswith("bends 1 and 3: former of the job: radius 55 ")
    assert words[1:3] == [
        "bends 1 and 3: pull further by 1 degree",
        "bends 1 and 3: 10 past where the bend begins, coming from the side that is held",
    ]
    assert words[3].startswith("bend 2: ")
    assert "radius 60 " in words[3]
    assert words[4:] == [
        "bend 2: pull further by 3 degrees",
        "bend 2: where the bend begins, coming from the side that is held",
    ]
    pulls = answer.plans[0].pulls
    turns = {pull.bend: str(turn_before(pull)) for pull in pulls}
    assert [pull.bend for pull in pulls] == [1, 3, 2]
    assert turns[1] == "put in the former of the job, radius 55; first pull: any side up"
    assert ";" not in turns[3]
    # Bend 2 goes the other way.
    assert turns[2] == "put in the former of radius 60 mm; 180, half a turn"
