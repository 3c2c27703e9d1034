"""Where insulation lies along a run, worked by hand from the bare lengths at its ends."""

from types import SimpleNamespace

import pytest

from pipemodel.checks.joints import lagged_parts


def stand_in(insulation: float, bare_start: float, bare_finish: float) -> SimpleNamespace:
    """A run of 1000 mm with only what is asked here."""
    ends = SimpleNamespace(start=SimpleNamespace(bare_mm=bare_start), finish=SimpleNamespace(bare_mm=bare_finish))
    run = SimpleNamespace(insulation_mm=insulation, ends=ends)
    return SimpleNamespace(run=run, centreline=SimpleNamespace(length=1000.0))


@pytest.mark.parametrize(
    ("run", "low", "high", "parts"),
    [
        # Bare 100 at the start and 250 at the finish: insulated from 100 to 750.
        ((13, 100, 250), 0, 1000, [(0, 100, False), (100, 750, True), (750, 1000, False)]),
        ((13, 100, 250), 40, 900, [(40, 100, False), (100, 750, True), (750, 900, False)]),
        ((13, 100, 250), 200, 700, [(200, 700, True)]),
        ((13, 0, 250), 0, 1000, [(0, 750, True), (750, 1000, False)]),
        ((13, 100, 0), 0, 1000, [(0, 100, False), (100, 1000, True)]),
        ((13, 600, 600), 0, 1000, [(0, 1000, False)]),
        ((13, 0, 0), 0, 1000, [(0, 1000, True)]),
    ],
)
def test_insulation_ends_where_the_bare_ends_begin(run, low, high, parts):
    assert list(lagged_parts(stand_in(*run), low, high)) == parts
