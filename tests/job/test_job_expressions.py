"""The arithmetic of `${...}`: against Python's own, and closed to everything else."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipemodel.job.expressions import ExpressionError, evaluate

VALUES = {"drop": 350.0, "aside": 120.0, "in_2": 4.0}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("drop - 40", 310.0),
        ("-drop", -350.0),
        ("--drop", 350.0),
        ("2 * (drop + 1)", 702.0),
        ("2 + 3 * 4", 14.0),
        ("10 - 3 - 2", 5.0),
        ("16 / 4 / 2", 2.0),
        ("2 ^ 3 ^ 2", 512.0),
        ("-2 ^ 2", -4.0),
        ("2 ** -1", 0.5),
        ("1.5e2", 150.0),
        ("drop - 40 mm", 310.0),
        ("drop + 2 cm", 370.0),
        ("0.1 m", 100.0),
        ("5/8 in", 15.875),
        ("23 5/8 in", 600.075),
        ("drop - 1/2 in", 337.3),
        ('drop + 1"', 375.4),
        ("in_2 * 2", 8.0),
        ("min(drop, aside, 7)", 7.0),
        ("max(drop, aside)", 350.0),
        ("abs(-3)", 3.0),
        ("sqrt(16)", 4.0),
        ("hypot(3, 4)", 5.0),
        ("hypot(2, 3, 6)", 7.0),
        ("cos(90)", 0.0),
        ("sin(90 deg)", 1.0),
        ("tan(45)", 1.0),
        ("sin(30)", 0.5),
        ("atan2(1, 1)", 45.0),
        ("asin(1)", 90.0),
        ("acos(0)", 90.0),
        ("atan(1)", 45.0),
        ("round(2.5)", 3.0),
        ("floor(-2.5)", -3.0),
        ("ceil(2.1)", 3.0),
        ("pi", math.pi),
    ],
)
def test_values(text: str, value: float) -> None:
    assert evaluate(text, VALUES) == pytest.approx(value, rel=1e-15, abs=1e-15)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("drp", "no parameter 'drp'; did you mean 'drop'?"),
        ("quite_other", "the parameters are drop, aside, in_2"),
        ("1 / 0", "divides by zero"),
        ("1 / (drop - 350)", "divides by zero"),
        ("tan(90)", "tan(90) has no value"),
        ("sqrt(-1)", "no root of a number below zero"),
        ("asin(2)", "it takes -1 to 1"),
        ("(-8) ^ 0.5", "has no value here"),
        ("9 ^ 9 ^ 9", "has no value here"),
        ("1e300", "too large to mean anything"),
        ("1e999", "too large to mean anything"),
        ("0 ^ -1", "has no value here"),
        ("m", "the unit 'm' must follow a number"),
        ("sin", "sin is a function; write sin(...)"),
        ("sine(3)", "no function 'sine'; did you mean 'sin'?"),
        ("min(1)", "min takes 2 to 20 values; this gives it 1"),
        ("sqrt(1, 2)", "sqrt takes 1 values; this gives it 2"),
        ("", "nothing stands between"),
        ("drop -", "breaks off"),
        ("(1", "a ')' is missing"),
        ("1)", "')' is not expected"),
        ("1 2", "'2' is not expected"),
        ("* 2", "a value is expected before '*'"),
        ("drop / 2 in", "can be read two ways; put it in brackets"),
        ("(" * 40 + "1" + ")" * 40, "more than 30 deep"),
        ("-" * 40 + "1", "more than 30 deep"),
        ("1" + "+1" * 200, "an expression of 401 characters"),
        ("__import__('os')", "has no place in"),
        ("drop.real", "'.' has no place in"),
        ("drop[0]", "'[' has no place in"),
        ("lambda: 1", "':' has no place in"),
        ("1 if drop else 2", "'if' is not expected"),
    ],
)
def test_no_values(text: str, part: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        evaluate(text, VALUES)
    assert part in str(caught.value)


def sums(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.builds("({} {} {})".format, inner, st.sampled_from(["+", "-", "*", "/"]), inner) | inner.map("-{}".format)


ATOMS = st.integers(0, 99).map(str) | st.floats(0, 99).map(lambda x: f"{x:.4f}") | st.sampled_from(list(VALUES))


@given(st.recursive(ATOMS, sums, max_leaves=12))
def test_like_pythons_own_arithmetic(text: str) -> None:
    # The texts are made of numbers, names, brackets and + - * / alone, so that Python may work them out.
    try:
        expected = eval(text, {"__builtins__": {}}, dict(VALUES))
    except ZeroDivisionError:
        with pytest.raises(ExpressionError, match="divides by zero"):
            evaluate(text, VALUES)
        return
    if abs(expected) > 1e14:
        return
    try:
        assert evaluate(text, VALUES) == expected
    except ExpressionError as error:
        message = str(error)
    else:
        return
    assert "deep" in message or "too large" in message or "characters" in message


@pytest.mark.slow
@given(st.text(max_size=60))
def test_anything_else_is_an_expression_error(text: str) -> None:
    try:
        assert math.isfinite(evaluate(text, VALUES))
    except ExpressionError as error:
        message = str(error)
    else:
        return
    assert len(message) < 400
