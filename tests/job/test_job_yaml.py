"""YAML as YAML 1.2 has it, with the place of every value."""

import math
from typing import Any

import pytest

from pipemodel.job.model import Place
from pipemodel.job.yaml_tree import read_tree

# YAML 1.2.2, section 10.3 (core schema) and its examples of what changed since 1.1.
SCALARS: list[tuple[str, Any]] = [
    ("no", "no"),
    ("yes", "yes"),
    ("on", "on"),
    ("off", "off"),
    ("n", "n"),
    ("true", True),
    ("False", False),
    ("null", None),
    ("~", None),
    ("", None),
    ("12", 12),
    ("012", 12),
    ("-7", -7),
    ("+3", 3),
    ("12e3", 12000.0),
    ("1.", 1.0),
    (".5", 0.5),
    ("-1.5E-3", -0.0015),
    ("1:30", "1:30"),
    ("190:20:30", "190:20:30"),
    ("1_000", "1_000"),
    ("0x1F", "0x1F"),
    ("2024-01-02", "2024-01-02"),
    (".inf", math.inf),
    ("-.INF", -math.inf),
    ("15 x 0.7", "15 x 0.7"),
    ('1 1/2"', '1 1/2"'),
    ("'12'", "12"),
    ('"no"', "no"),
    ("<<", "<<"),
    ("=", "="),
]


@pytest.mark.parametrize(("written", "value"), SCALARS)
def test_scalars(written: str, value: Any) -> None:
    tree = read_tree(f"key: {written}\n")
    assert tree.complete
    assert not tree.faults
    assert tree.values == {"key": value}
    assert type(tree.values["key"]) is type(value)


def test_nan() -> None:
    assert math.isnan(read_tree("a: .nan").values["a"])


def test_text_that_begins_with_very_many_digits_is_read_at_once() -> None:
    """Trying every way to divide them takes half an hour."""
    assert read_tree("a: " + "1" * 300_000 + "x").values == {"a": "1" * 300_000 + "x"}


def test_keys_are_text() -> None:
    assert read_tree("15: a\ntrue: b\n1.50: c\n").values == {"15": "a", "true": "b", "1.50": "c"}


def test_places() -> None:
    tree = read_tree("job: é x\nruns:\n  'a b': {points: [[1, 2],\n     [3, 4]]}\n  c:\n  - d: &e 5\n    f: *e\n")
    assert tree.complete
    for path, place, key in [
        (("job",), (1, 6), (1, 1)),
        (("runs",), (3, 3), (2, 1)),
        (("runs", "a b"), (3, 10), (3, 3)),
        (("runs", "a b", "points", 0, 1), (3, 24), (3, 24)),
        (("runs", "a b", "points", 1, 0), (4, 7), (4, 7)),
        (("runs", "c", 0), (6, 5), (6, 5)),
        (("runs", "c", 0, "d"), (6, 8), (6, 5)),
        (("runs", "c", 0, "f"), (7, 8), (7, 5)),
        # Steps that the file does not have are left out.
        (("runs", "form", "a b", "nowhere"), (3, 10), (3, 3)),
    ]:
        spot = tree.spot.at(path)
        assert (spot.place, spot.key) == (Place(*place), Place(*key)), path


def test_aliases() -> None:
    tree = read_tree("a: &a {x: 1}\nb: *a\nc: [*a, *a]\n")
    assert tree.values == {"a": {"x": 1}, "b": {"x": 1}, "c": [{"x": 1}, {"x": 1}]}


def test_an_expression_repeated_by_an_alias_is_filled_in_both_places() -> None:
    tree = read_tree("a: &a ${x}\nb: *a\nc: &c [ '${y}' ]\nd: *c\n")
    for holder, key, text, _ in tree.formulas:
        holder[key] = text.upper()
    assert tree.values == {"a": "${X}", "b": "${X}", "c": ["${Y}"], "d": ["${Y}"]}


def test_first_of_two_equal_keys_stands() -> None:
    tree = read_tree("a: 1\nb: {x: 1, x: 2}\na: 3\n")
    assert tree.values == {"a": 1, "b": {"x": 1}}
    assert [(f.place.line, f.place.column) for f in tree.faults] == [(2, 11), (3, 1)]
