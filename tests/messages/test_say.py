"""Messages as sentences: the reader's unit and language, and rounding that hides no difference."""

import json
import random
import re
from fractions import Fraction

import pytest

from pipemodel.messages.say import parts_of, say
from pipemodel.messages.units import INCHES, MM, units_for
from pipemodel.messages.values import (
    Angle,
    Around,
    Count,
    Length,
    Name,
    Near,
    Number,
    Point,
    Size,
    Tape,
    Word,
    as_data,
    counts,
    from_data,
    listed,
    message,
)

GERMAN, GERMAN_INCHES = units_for("mm", "de"), units_for("in", "de")
NEAR = message("clash.near itself", run=Name("pipe 50 mm"), near=Near(4.96, 5.0), where=message("place.start"),
    asked=message("clash.asked", asked=Near(5.0, 4.96)), part=message("part.leg", leg=Count(1)),
    move=message("clash.way", far=Length(0.04, rounded="up"), way=Word("up")))  # fmt: skip


def one(value, units=MM):
    return say(message("length", mm=value), units)


@pytest.mark.parametrize(
    ("value", "mm", "inches", "german"),
    [
        (Length(17.5), "17.5 mm", "0.69 in", "17,5 mm"),
        (Length(645.0), "645 mm", "25.39 in", "645 mm"),
        (Length(-3.0), "-3 mm", "-0.12 in", "-3 mm"),
        (Length(12.34, ".1f"), "12.3 mm", "0.49 in", "12,3 mm"),
        (Length(12.31, ".1f", rounded="up"), "12.4 mm", "0.49 in", "12,4 mm"),
        (Length(0.617, ".2f", rounded="down"), "0.61 mm", "0.024 in", "0,61 mm"),
        (Near(17.04), "17 mm", "0.67 in", "17 mm"),
        (Near(0.123), "0.12 mm", "less than 0.01 in", "0,12 mm"),
        (Near(0.001), "less than 0.01 mm", "less than 0.01 in", "weniger als 0,01 mm"),
        (Tape(412.75), "413 mm", "16 1/4 (16.25) in", "413 mm"),
        (Tape(412.5, unit=False), "412.5", "16 1/4 (16.24)", "412,5"),
        (Size(57.15), "57.15", "2.25", "57,15"),
        (Point((860.24, 120.0, -95.0)), "x 860.2 mm, y 120 mm, z -95 mm", "x 33.87 in, y 4.72 in, z -3.74 in",
            "x 860,2 mm; y 120 mm; z -95 mm"),
        (Tape(55.25, exact=True), "55.25 mm", "2 3/16 (2.18) in", "55,25 mm"),
        (Tape(38.1, unit=False, exact=True), "38.1", "1 1/2", "38,1"),
        (Around(23.562, 15.0), "23.6 mm", "0.928 in (~59/64)", "23,6 mm"),
        (Around(11.781, 15.0), "11.8 mm", "0.464 in (~15/32)", "11,8 mm"),
        (Around(6.27, 8.0), "6.25 mm", "0.247 in (~1/4)", "6,25 mm"),
        (Angle(22.46), "22.5", "22.5", "22,5"),
        (Angle(120.02, beside=120.0), "120.02", "120.02", "120,02"),
        (Angle(120.0, beside=120.02), "120", "120", "120"),
        (Angle(0.999, beside=1.0), "0.999", "0.999", "0,999"),
        (Angle(93.0, beside=90.0), "93", "93", "93"),
        (Number(0.25), "0.25", "0.25", "0,25"),
        (Name("pipe 50.5 mm"), "'pipe 50.5 mm'", "'pipe 50.5 mm'", "\u201epipe 50.5 mm\u201c"),
        (counts([1, 2, 3]), "1, 2 and 3", "1, 2 and 3", "1, 2 und 3"),
        (Word("clockwise"), "clockwise", "clockwise", "im Uhrzeigersinn"),
        (Word("a word nobody knows"), "a word nobody knows", "a word nobody knows", "a word nobody knows"),
    ],
)  # fmt: skip
def test_each_kind_of_value_in_each_unit_and_language(value, mm, inches, german):
    assert (one(value), one(value, INCHES), one(value, GERMAN)) == (mm, inches, german)


def test_inches_in_german_have_a_comma_and_a_fraction():
    assert one(Tape(412.5), GERMAN_INCHES) == "16 1/4 (16,24) Zoll"
    assert one(Length(17.5), GERMAN_INCHES) == "0,69 Zoll"


def test_two_lengths_that_differ_never_read_alike():
    """4.96 mm where 5 mm is asked for: both are 0.20 in, so more digits are given."""
    assert "comes within 4.96 mm of itself, at the start end; 5 mm is asked for" in say(NEAR)
    assert "comes within 0.195 in of itself, at the start end; 0.197 in is asked for" in say(NEAR, INCHES)
    assert "bis auf 4,96 mm" in say(NEAR, GERMAN)


def test_two_lengths_beside_each_other_differ_whenever_they_do():
    """Random pairs, near to each other and not, in each way of writing a length and in both units."""
    dice, told_apart = random.Random(5), 0
    for _ in range(3000):
        a = round(dice.uniform(0.1, 300.0), dice.choice([0, 1, 2, 3]))
        b = a + dice.choice([-1, 1]) * 10.0 ** dice.uniform(-4, 1)
        form, other = dice.choice([".1f", ".0f", "g", ".4g"]), dice.choice([".1f", "g", "near"])
        for units in (MM, INCHES):
            first = one(Near(a, b) if other == "near" else Length(a, form, beside=b), units)
            second = one(Near(b, a) if other == "near" else Length(b, other, beside=a), units)
            assert first != second, (a, b, units.name, form, other)
            said = [Fraction(re.search(r"-?[\d.]+", text)[0]) for text in (first, second)]
            assert (said[0] < said[1]) == (a < b), (a, b, first, second)
            told_apart += 1
    assert told_apart == 6000


def test_what_is_rounded_up_is_never_too_little_and_down_never_too_much():
    dice = random.Random(6)
    for _ in range(1000):
        mm = dice.uniform(0.0, 200.0)
        for units, inch in ((MM, 1.0), (INCHES, 25.4)):
            up = float(one(Length(mm, ".1f", rounded="up"), units).split()[0])
            down = float(one(Length(mm, ".1f", rounded="down"), units).split()[0])
            # A thousandth of the last place is taken for noise.
            assert down * inch <= mm + 1e-6
            assert up * inch >= mm - 1e-3
            assert (up - down) * inch <= (0.1 if inch == 1.0 else 0.254) + 1e-9


def test_a_message_goes_through_json_and_comes_back():
    data = json.loads(json.dumps(as_data(NEAR)))
    assert data["template"] == "clash.near itself"
    assert data["values"]["near"] == {"kind": "near", "mm": 4.96, "beside": 5.0}
    for units in (MM, INCHES, GERMAN):
        assert say(from_data(data), units) == say(NEAR, units)
    several = message("clash.move", ways=listed([message("clash.way", far=Length(3.0), way=Word("east")), NEAR]))
    assert from_data(json.loads(json.dumps(as_data(several)))) == several


def test_a_number_chooses_its_form_of_the_word():
    more = message("verdict.look", n=Count(1)), message("verdict.look", n=Count(3))
    assert [say(m) for m in more] == ["; 1 thing to look at", "; 3 things to look at"]
    assert [say(m, GERMAN) for m in more] == ["; 1 Punkt zu prüfen", "; 3 Punkte zu prüfen"]


def test_braces_are_said_as_they_are():
    assert "".join(map(str, parts_of("write {{length: 6000}}"))) == "write {length: 6000}"
