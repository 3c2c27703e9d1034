"""Formers, points, long words and units in words: small cases with what is to stand there written out by hand."""

from types import SimpleNamespace

import pytest

from pipemodel.messages.units import INCHES, MM
from pipemodel.trade.model import Former, Springback
from pipemodel.wording.cautions import caution_lines, short_caution
from pipemodel.wording.phrases import mark_words, point_words, springback_words, verdict_words
from pipemodel.wording.safe_text import wrapped


def former(**figures):
    return Former(name="own", outside_mm=15.0, radius_mm=55.0, **figures)


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        (0.0, "where the bend begins, coming from the side that is held"),
        (5.0, "5 past where the bend begins, coming from the side that is held"),
        (0.5, "0.5 past where the bend begins, coming from the side that is held"),
        (-4.0, "4 short of where the bend begins, coming from the side that is held"),
    ],
)
def test_a_mark_past_is_on_and_one_short_is_back(mark, words):
    assert mark_words(former(mark_mm=mark)) == words


def test_the_law_of_springback_as_one_would_say_it():
    assert springback_words(former(springback=Springback(fixed_deg=1.0))) == "pull further by 1 degree"
    assert springback_words(former(springback=Springback(fixed_deg=1.5, per_degree=0.05))) == (
        "pull further by 1.5 degrees and 5 % of the angle"
    )
    assert springback_words(former(springback=Springback())) == "none given: pull to the angle itself"


def test_the_cautions_come_before_the_work_and_name_who_is_licensed():
    """Common practice: try a bend, measure on site, then cut; licensed work is left to those who hold the licence."""
    try_one, measure, licensed = caution_lines()
    assert "Try one bend on an offcut first" in try_one
    assert "Check every measure on site before cutting" in measure
    for what in ("Gas", "structure", "electrics", "hot work", "Local codes", "licensed"):
        assert what in licensed
    assert "before cutting" in short_caution()
    assert "local codes come first" in short_caution()


@pytest.mark.parametrize(
    ("text", "width", "lines"),
    [
        ("one two three", 7, ["one two", "three"]),
        ("abcdefghij", 4, ["abcd", "efgh", "ij"]),
        ("a bcdefghij k", 4, ["a", "bcde", "fghi", "j k"]),
        ("", 4, [""]),
    ],
)
def test_lines_are_broken_and_no_letter_is_lost(text, width, lines):
    assert wrapped(text, width) == lines
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_a_first_line_and_the_others_may_begin_differently():
    assert wrapped("one two three", 9, "- ") == ["- one two", "  three"]
    assert wrapped("one two three", 9, "- ", "+ ") == ["- one two", "+ three"]


def test_points_to_a_tenth():
    assert point_words((860.24, 120.0, -95.0)) == "x 860.2, y 120, z -95"
    assert point_words((-0.01, 25.4, 0.0), INCHES).startswith("x 0")


def test_a_column_is_as_wide_as_what_stands_in_it():
    for units, longest in ((MM, 99_999.5), (INCHES, 3000.0)):
        assert len(str(units.written(longest))) <= units.wide_column
    assert MM.wide_column == 7
    # "118 15/16" takes nine letters, and " (118.94)" nine more.
    assert INCHES.wide_column == 18


def test_a_verdict_counts_what_is_wrong():
    def report(*severities):
        findings = [SimpleNamespace(severity=one) for one in severities]
        return SimpleNamespace(findings=findings, former_measured=True)

    assert verdict_words(report()) == "PASS: clear as drawn"
    assert verdict_words(report("note")) == "PASS: clear as drawn"
    assert verdict_words(report("warning")) == "PASS: clear as drawn; 1 thing to look at"
    assert verdict_words(report("error")) == "FAIL: 1 thing is wrong"
    assert verdict_words(report("error", "error", "warning", "warning")) == (
        "FAIL: 2 things are wrong; 2 things to look at"
    )
