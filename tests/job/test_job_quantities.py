"""Lengths and angles as people write them.

The inch is the international inch of exactly 25.4 mm (ISO 80000-3 and NIST Handbook 44, appendix C; from memory).
"""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipemodel.job.quantities import parse_angle, parse_length, parse_number

INCH = Fraction(254, 10)
LENGTHS: list[tuple[str | float, Fraction | float]] = [
    (600, 600.0),
    (-3.5, -3.5),
    ("600", 600.0),
    ("600 mm", 600.0),
    ("600mm", 600.0),
    ("60 cm", 600.0),
    ("0.6 m", 600.0),
    ("1e3", 1000.0),
    (".5 m", 500.0),
    ("  12  ", 12.0),
    ("- 5", -5.0),
    ("1 in", 25.4),
    ("12 inches", 304.8),
    ("36 in", 914.4),
    ("23 5/8 in", Fraction(189, 8) * INCH),
    ("23-5/8 in", Fraction(189, 8) * INCH),
    ("3/4 in", Fraction(3, 4) * INCH),
    ("-3/4 in", Fraction(-3, 4) * INCH),
    ('23.5"', Fraction(47, 2) * INCH),
    ('1 1/2"', Fraction(3, 2) * INCH),
    ("1½ in", Fraction(3, 2) * INCH),
    ('⅝"', Fraction(5, 8) * INCH),
    ("1/16 in", Fraction(1, 16) * INCH),
    ("5 / 8 in", Fraction(5, 8) * INCH),
]


@pytest.mark.parametrize(("written", "mm"), LENGTHS, ids=str)
def test_lengths(written: str | float, mm: Fraction | float) -> None:
    # Correctly rounded, not merely near.
    assert parse_length(written) == float(mm)


# Outside diameters of ASTM B88 tube, an eighth of an inch above the nominal size (CDA Copper Tube Handbook,
# A4015, table 14.2), in mm exactly.
@pytest.mark.parametrize(("inches", "mm"), [("3/8", 9.525), ("1/2", 12.7), ("5/8", 15.875), ("7/8", 22.225)])
def test_tube_sizes_in_inches(inches: str, mm: float) -> None:
    assert parse_length(f"{inches} in") == mm


@given(st.integers(0, 5000), st.sampled_from([2, 4, 8, 16, 32, 64]), st.data())
def test_fractions_of_an_inch(whole: int, under: int, data: st.DataObject) -> None:
    over = data.draw(st.integers(1, under - 1))
    exact = (whole + Fraction(over, under)) * INCH
    assert parse_length(f"{whole} {over}/{under} in") == float(exact)


@given(st.floats(-1e9, 1e9))
def test_bare_numbers_are_millimetres(value: float) -> None:
    assert parse_length(value) == value
    assert parse_length(repr(value)) == value


@given(st.floats(-1e5, 1e5), st.sampled_from([("mm", 1), ("cm", 10), ("m", 1000)]))
def test_metric_units(value: float, unit: tuple[str, int]) -> None:
    exact = Fraction(value) * unit[1]
    assert parse_length(f"{value!r} {unit[0]}") == pytest.approx(float(exact), rel=4e-16, abs=1e-300)


@pytest.mark.parametrize(
    ("written", "part"),
    [
        ("12 ft", "'ft' is no unit of length here; use mm, cm, m or in"),
        ("12,5 mm", "use a decimal point: 12.5 mm"),
        ("1/2", "a fraction is of an inch; write 1/2 in"),
        ("23 5/8", "a fraction is of an inch; write 23 5/8 in"),
        ("1/2 cm", "a fraction is of an inch; write 1/2 in"),
        ("1/0 in", "divides by zero"),
        ("abc", "write a length such as 600, 60 cm, 0.6 m or 23 5/8 in"),
        ("", "'' is no length"),
        ("5 mm 3", "is no length"),
        ("٣ mm", "is no length"),
        ("NaN", "is no length"),
        (None, "an empty value is no length"),
        (True, "true is no length"),
        ([1], "a list is no length"),
        ({}, "a group of keys is no length"),
        (b"5", "this is no length"),
        (float("nan"), "finite"),
        (float("-inf"), "finite"),
        ("1e999", "finite"),
        (2e9, "beyond 1,000,000,000 mm"),
        ("2000000 m", "beyond 1,000,000,000 mm"),
        (10**1000, "a number of many digits is too large"),
        ("9" * 1000, "is no length"),
    ],
    ids=lambda value: repr(value)[:20],
)
def test_no_lengths(written: object, part: str) -> None:
    with pytest.raises(ValueError, match=re.escape(part)) as caught:
        parse_length(written)
    assert len(str(caught.value)) < 150


@pytest.mark.parametrize(("written", "deg"), [(30, 30.0), ("30", 30.0), ("22.5 deg", 22.5), ("-45°", -45.0)])
def test_angles(written: str | float, deg: float) -> None:
    assert parse_angle(written) == deg


@pytest.mark.parametrize("written", ["1 rad", "x", "30 mm", 361, "1e9", None, True, float("nan"), "1/2"])
def test_no_angles(written: object) -> None:
    with pytest.raises(ValueError, match=r"degrees|finite"):
        parse_angle(written)


def test_numbers() -> None:
    assert parse_number("0.05") == 0.05
    for written in ("5 mm", None, True, float("inf"), [1], "x", 1e10):
        with pytest.raises(ValueError, match="number"):
            parse_number(written)


@given(st.one_of(st.text(), st.floats(), st.integers(), st.none(), st.binary(), st.lists(st.integers())))
def test_anything_else_is_a_value_error(value: object) -> None:
    for parse in (parse_length, parse_angle, parse_number):
        try:
            assert abs(parse(value)) <= 1e9
        except ValueError as error:
            message = str(error)
        else:
            continue
        assert message.isprintable()
