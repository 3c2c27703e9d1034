"""Worked answers that others printed, as data with their sources; deviations are stated, never tuned away.

A case in `tests/worked` says what is given, what its source prints, and where. The tool has to meet the print to
half of its last digit; where it does not, the case says by how much at the most (`within`) and why (`because`).
Answers that cannot be looked up, are from memory, or only repeat a formula of the tool are tried and not counted.
"""

import json
import math
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
from worked_answers import KINDS, answers

from pipemodel.bending.bends import bend_corners

WORKED = Path(__file__).parents[1] / "worked"
SOURCES = json.loads((WORKED / "sources.json").read_text("utf-8"))["sources"]
CASES = [
    case
    for path in sorted(WORKED.glob("*.json"))
    if path.name != "sources.json"
    for case in json.loads(path.read_text("utf-8"))["cases"]
]


def rounding(printed):
    """Half of the last digit that is printed."""
    return 0.5 * 10.0 ** Decimal(printed).as_tuple().exponent


@cache
def answered(index):
    return answers(CASES[index])


def counted(case):
    return case.get("counted", True) and SOURCES[case["source"]]["where"] is not None


@pytest.mark.slow
@pytest.mark.parametrize("index", range(len(CASES)), ids=[f"{c['source']}: {c['name']}" for c in CASES])
def test_printed_answer(index):
    case = CASES[index]
    assert case["printed"]
    for quantity, printed in case["printed"].items():
        within = case.get("within", rounding(printed))
        assert answered(index)[quantity] == pytest.approx(float(printed), rel=1e-12, abs=within), quantity


def test_a_wider_limit_has_a_reason_and_is_needed():
    """What is allowed beyond the print's own rounding is stated, and no case is allowed more than it needs."""
    wider = 0
    for index, case in enumerate(CASES):
        assert ("within" in case) == ("because" in case), case["name"]
        if "within" in case:
            off = {q: abs(answered(index)[q] - float(p)) for q, p in case["printed"].items()}
            needless = all(off[q] <= rounding(p) for q, p in case["printed"].items())
            loose = case["within"] > 10.0 * max(off.values())
            assert not needless, (case["name"], off)
            assert not loose, (case["name"], off)
            assert len(case["because"]) > 15
            wider += 1
    assert 0 < wider < len(CASES) / 2


def test_every_case_says_where_it_is_printed():
    for case in CASES:
        assert case["kind"] in KINDS
        assert case["page"]
        assert case["source"] in SOURCES
        if case.get("counted") is False:
            assert case.get("why") or case["because"]
    assert {case["source"] for case in CASES} == set(SOURCES)


def test_at_least_eighty_answers_from_fifteen_sources_are_counted():
    count = sum(len(case["printed"]) for case in CASES if counted(case))
    sources = {case["source"] for case in CASES if counted(case)}
    per_source = {s: sum(len(c["printed"]) for c in CASES if counted(c) and c["source"] == s) for s in sources}
    assert count >= 80, per_source
    assert len(sources) >= 15, per_source
    # The factors of ASME B31 are worked by the formula that the tool has too: there are enough without them.
    rest = [c for c in CASES if counted(c) and c["kind"] != "thickness"]
    assert sum(len(case["printed"]) for case in rest) >= 80
    assert sum(len(case["printed"]) for case in rest if case["kind"] != "mass") >= 40


def test_vertex_lengths_are_not_straights():
    """Straight = corner to corner less both setbacks R tan(a/2): common geometry, every handbook."""
    table, *_ = bend_corners([(0.0, 0, 0), (300, 0, 0), (300, 400, 0), (700, 400, 0)], 55)
    assert table.bends[1].straight_before_mm == pytest.approx(400 - 2 * 55)
    angled, *_ = bend_corners([(0.0, 0, 0), (300, 0, 0), (400, 100, 0), (700, 100, 0)], 55)
    assert angled.bends[1].straight_before_mm == pytest.approx(
        math.hypot(100, 100) - 2 * 55 * math.tan(math.radians(22.5))
    )
