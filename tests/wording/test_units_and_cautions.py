"""Units, cautions and marks in words, each by itself."""

import pytest

from pipemodel.messages.say import say
from pipemodel.messages.units import INCHES, MM, to_step, units_for
from pipemodel.messages.values import Length, Name, message
from pipemodel.trade.model import Former
from pipemodel.wording.cautions import caution_lines, short_caution
from pipemodel.wording.phrases import mark_words


def test_what_every_paper_says_at_its_foot():
    assert tuple(caution_lines()) == (
        "Try one bend on an offcut first: springback and the mark differ from former to former.",
        "Check every measure on site before cutting. The figures are for tube as described, finished radius and all.",
        "Gas, structure, electrics and hot work belong to those licensed for them. Local codes, the makers' "
        "instructions and the people responsible on site come before anything said here.",
    )
    assert short_caution() == (
        "Try a bend on an offcut and check every measure on site before cutting. Gas, structure, electrics and hot "
        "work: licensed hands only; local codes come first."
    )


@pytest.mark.parametrize(("mark", "words"), [(0.5, "0.5 past"), (-0.5, "0.5 short of"), (1.0, "1 past")])
def test_a_mark_a_little_off_where_the_bend_begins(mark, words):
    assert mark_words(Former(55.0, mark_mm=mark, mark_at="offset")).startswith(f"{words} where the bend begins")


def test_columns_have_room_for_the_longest_length():
    """9999.5 mm; 118 15/16 in, and with its decimal 118 15/16 (118.94)."""
    assert (MM.column, MM.wide_column) == (7, 7)
    assert (INCHES.column, INCHES.wide_column) == (9, 18)
    assert len(INCHES.short(118.94 * 25.4)) == 9
    assert len(INCHES.length(118.94 * 25.4)) == 18


@pytest.mark.parametrize("name", ["15 mm", "short 15 mm bender"])
def test_a_name_that_holds_a_length_stays_as_it_is(name):
    said = message("tape.measure", far=Length(25.4), reference=message("tape.from", thing=Name(name, quoted=False)))
    assert say(said, units_for("in")) == f"1.00 in from {name}"
    assert units_for("mm") is MM


@pytest.mark.parametrize(
    ("mm", "short", "length", "reading", "tidy"),
    [
        (0.0, "0", "0", "0.00", "0"),
        (-25.4, "-1", "-1 (-1.00)", "-1.00", "-1"),
        (-6.35, "-1/4", "-1/4 (-0.25)", "-0.25", "-0.25"),
        (1.5875, "1/16", "1/16 (0.06)", "0.06", "0.062"),
        (38.1, "1 1/2", "1 1/2 (1.50)", "1.50", "1.5"),
        (25.0, "1", "1 (0.98)", "0.98", "0.984"),
    ],
)
def test_inches(mm, short, length, reading, tidy):
    assert (INCHES.short(mm), INCHES.length(mm), INCHES.reading(mm), INCHES.tidy(mm)) == (short, length, reading, tidy)
    assert INCHES.named(mm) == f"{length} in"


@pytest.mark.parametrize(
    ("mm", "short", "reading", "tidy"),
    [(412.24, "412", "412.2", "412.24"), (412.25, "412.5", "412.2", "412.25"), (412.76, "413", "412.8", "412.76"),
     (-0.01, "0", "0.0", "-0.01"), (-0.001, "0", "0.0", "0"), (-3.3, "-3.5", "-3.3", "-3.3"), (7.0, "7", "7.0", "7")],
)  # fmt: skip
def test_mm(mm, short, reading, tidy):
    assert (MM.short(mm), MM.length(mm), MM.reading(mm), MM.tidy(mm)) == (short, short, reading, tidy)
    assert MM.named(mm) == f"{short} mm"


def test_steps():
    assert [to_step(x, 0.5) for x in (0.24, 0.25, -0.25, -0.26, 3.0)] == [0.0, 0.5, 0.0, -0.5, 3.0]
    assert str(to_step(-0.1, 0.5)) == "0.0"
