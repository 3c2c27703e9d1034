"""The data files of the trade: comma-separated rows, each naming its source."""

import csv
from fractions import Fraction
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeAlias

MM_PER_INCH = 25.4
DATA = Path(__file__).parent / "data"

Row: TypeAlias = MappingProxyType[str, str]


@cache
def read_rows(name: str) -> tuple[Row, ...]:
    """Return the rows of a data file in order, read once.

    Raises:
        ValueError: if a row does not say where its figures come from; the table would be worth nothing.
    """
    with open(DATA / name, encoding="utf-8", newline="") as file:
        rows = tuple(MappingProxyType(row) for row in csv.DictReader(file))
    for number, row in enumerate(rows, 2):
        if not row.get("source"):
            raise ValueError(f"{name}, line {number}: a row without a source")
    return rows


def number(text: str) -> float | None:
    """Return the number in a cell, None for an empty one."""
    return float(text) if text else None


def inches(text: str) -> float:
    """Return a size written as people write inches ("3/4", "1-1/4", "1 1/4", "0.625"), in inches.

    Raises:
        ValueError: if it is not such a size.
    """
    whole, _, part = text.replace("-", " ").strip().rpartition(" ")
    try:
        return float(Fraction(whole or "0") + Fraction(part))
    except ZeroDivisionError:
        raise ValueError(f"{text!r} is not a size in inches") from None
