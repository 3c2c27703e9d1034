"""Where something is written in a job's files."""

from typing import NamedTuple


class Place(NamedTuple):
    """Where something is written; lines and columns count from 1. `file` is empty for the job's own file."""

    line: int = 1
    column: int = 1
    file: str = ""


BEGINNING = Place()
"""Where the job's own file begins: where what is nowhere in particular is said to stand."""
