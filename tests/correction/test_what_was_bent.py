"""What was probably bent, held against pieces that were bent and read by the tests' own bench."""

from collections import Counter

import numpy as np
import pytest
from bent_and_read import Hands, Made
from made_answers import answer, bends_of, case_of, cases, random_case, readings_after
from made_runs import SPRINGY, made_run
from scipy.optimize import least_squares
from scipy.stats import chi2
from wide import few_or_many

from pipemodel.job import model
from pipemodel.job.model import JobError


def near(value, low, high, way_round=False):
    """Whether a figure lies in an interval; an angle round the tube a whole turn on as well."""
    turns = (0, 360, -360) if way_round else (0,)
    return any(low - 1e-9 <= value + turn <= high + 1e-9 for turn in turns)


def tried(found, made, case):
    """For each bend found, whether its true start, angle and turn lie in their intervals."""
    _, run = case
    rows = sorted(found["bent"], key=lambda row: row["bend"])
    before = None
    for row in rows:
        start, angle, plane, _ = made.bends[row["bend"]]
        yield "start", near(start, row["start_low"], row["start_high"])
        yield "angle", near(angle, row["angle_low"], row["angle_high"])
        if before is not None:
            drawn = made.planes[row["bend"] - 1]
            off = plane - drawn - (made.bends[before][2] - made.planes[before - 1])
            turn = run["bends"][row["bend"] - 1]["turn_deg"] + off
            yield "turn", near(turn, row["turn_low"], row["turn_high"], way_round=True)
        before = row["bend"]


def share_within(hands, seeds, **former):
    """The share of true figures that lie in their intervals, by what they are of, and how many there were."""
    hits = {"start": [], "angle": [], "turn": []}
    for seed, case in enumerate(cases(seeds, **former)):
        solved, run = case
        random = np.random.default_rng(seed)
        pulls = run["plan"]["pulls"][: random.integers(1, len(run["plan"]["pulls"]) + 1)]
        made = Made(run)
        made.follow(pulls, Hands(random, len(run["bends"]), *hands))
        found = answer(solved, readings_after(made, pulls, random), model.Hands(*hands))
        for what, hit in tried(found, made, case):
            hits[what].append(hit)
    return {what: (np.mean(all_), len(all_)) for what, all_ in hits.items()}


@pytest.mark.slow
@pytest.mark.parametrize("hands", [(1.0, 1.0, 1.0), (2.0, 0.5, 2.0)])
@pytest.mark.parametrize("former", [{}, {"hold_mm": 200.0, "guide_mm": 0.0}])
def test_true_figures_lie_in_their_intervals_19_times_in_20(hands, former):
    pieces = few_or_many(30, 600)
    for share, n in share_within(hands, range(pieces), **former).values():
        # Three standard deviations of a share of so many pieces, for the figures of one piece are off together; a gap
        # without a side leaves more open: that is wider.
        assert 0.95 - 3.0 * np.sqrt(0.95 * 0.05 / pieces) <= share <= 1.0
        assert n > 30


@pytest.mark.slow
def test_the_estimate_is_the_least_of_the_squares_by_scipy():
    assert sum(is_by_scipy(seed) for seed in range(8)) >= 5


def is_by_scipy(seed):
    """Hold an estimate against scipy.optimize.least_squares on the tests' own bench; tell whether it could be.

    Marks, angles and turns are unknown, each with its scatter.
    """
    solved, run = random_case(seed + 20, bends=2 + seed % 2)
    pulls = run["plan"]["pulls"]
    random = np.random.default_rng(seed)
    n, made = len(run["bends"]), Made(run)
    made.follow(pulls, Hands(random, n))
    block = readings_after(made, pulls, random)
    checks = {c["id"]: c for c in pulls[-1]["checks"] if c["unit"] != "look" and c["kind"] != "flat on the bench"}
    block["readings"] = {k: v for k, v in block["readings"].items() if k in checks}

    def off(errors):
        other, hands = Made(run), Hands(random, n)
        hands.mark, hands.angle, hands.turn = errors[:n], errors[n : 2 * n], np.concatenate([[0], errors[2 * n :]])
        other.follow(pulls, hands)
        read = [other.read(checks[k], bends_of(pulls)) - v for k, v in block["readings"].items()]
        sd = [checks[k]["within"] / 2 for k in block["readings"]]
        return np.concatenate([errors, np.divide(read, sd)])

    best = least_squares(off, np.zeros(3 * n - 1), xtol=1e-12, ftol=1e-12)
    if 2.0 * best.cost > chi2.ppf(0.95, sum("caliper" not in checks[k]["kind"] for k in block["readings"])):
        # One set of readings in 20: others than small errors are then looked at as well.
        return False
    covariance = np.linalg.inv(best.jac.T @ best.jac)
    found = {row["bend"]: row for row in answer(solved, block)["bent"]}
    held = {pull["bend"]: pull["held"] for pull in pulls}
    for bend, row in found.items():
        k = bend - 1
        assert row["angle_deg"] == pytest.approx(run["bends"][k]["angle_deg"] + best.x[n + k], abs=1e-3)
        half = 1.959964 * np.sqrt(covariance[n + k, n + k])
        assert row["angle_high"] - row["angle_deg"] == pytest.approx(half, rel=1e-3)
        if held[bend] == "start":
            assert row["start_mm"] == pytest.approx(run["bends"][k]["start_mm"] + best.x[k], abs=1e-3)
            half = 1.959964 * np.sqrt(covariance[k, k])
            assert row["start_mm"] - row["start_low"] == pytest.approx(half, rel=1e-3)
        if k:
            turn = run["bends"][k]["turn_deg"] + best.x[2 * n + k - 1]
            assert (row["turn_deg"] - turn + 180) % 360 - 180 == pytest.approx(0, abs=1e-3)
    return True


MISTAKES = {
    "wrong way": {"rolled": 180.0},
    "angle": {"more": 6.0},
    "twist": {"rolled": 8.0},
}


@pytest.mark.slow
@pytest.mark.parametrize("name", MISTAKES)
def test_a_gross_mistake_is_found_and_its_figure_right(name):
    """One pull is wrong by much, all else nearly right: it is said, and the true figure lies within its interval."""
    right = said = 0
    what = {"angle": "angle"}.get(name, "turn")
    for seed, (solved, run) in enumerate(cases(range(few_or_many(18, 200)), legs=(180, 450))):
        pulls = run["plan"]["pulls"]
        if len(pulls) < 2 or not all(m["sure"] for m in pulls[1]["mistakes"] if m["mistake"] == name):
            continue
        random = np.random.default_rng(seed)
        made, pull = Made(run), pulls[1]
        made.follow(pulls[:1], Hands(random, len(run["bends"]), 0.3, 0.3, 0.3))
        row = run["bends"][pull["bend"] - 1]
        to = (row["start_mm"], row["angle_deg"], made.planes[pull["bend"] - 1])
        made.pull(pull["bend"], pull["held"], *to, **MISTAKES[name])
        found = answer(solved, readings_after(made, pulls[:2], random))
        said += 1
        within = dict(tried(found, made, (solved, run)))[what]
        right += found["verdict"] == "contradiction" or (within and bool(found["mistakes"]))
    assert said >= 15
    assert right >= 0.85 * said


NO_LENGTH = ("flat on the bench", "out of round, by caliper")


@pytest.mark.slow
def test_a_reading_far_out_is_named():
    """One reading 60 mm out, all others as well as they can be read: it is one of those to take again."""
    named = Counter()
    for seed, (solved, run) in enumerate(cases(range(few_or_many(30, 300)), legs=(180, 450))):
        pulls = run["plan"]["pulls"]
        random = np.random.default_rng(seed)
        made = Made(run)
        made.follow(pulls, Hands(random, len(run["bends"])))
        blocks = [readings_after(made, pulls[:k], random) for k in range(max(1, len(pulls) - 1), len(pulls) + 1)]
        lengths = [c["id"] for c in pulls[-1]["checks"] if c["unit"] == "mm" and c["kind"] not in NO_LENGTH]
        if lengths:
            check = random.choice(lengths)
            blocks[-1]["readings"][check] += 60.0
            named[check in answer(solved, blocks)["again"]] += 1
    assert named[True] >= 20
    assert named[False] <= 0.1 * named[True]


def test_two_readings_against_each_other_are_both_named():
    """Three of one leg's length would settle it; of two, either may be the wrong one."""
    solved, run = case_of(made_run([300, 300, 300], [90, 90], [0]))
    kinds = {c["id"]: c["kind"] for c in run["plan"]["pulls"][1]["checks"]}
    assert kinds["2a"] == "open span, inside to inside"
    right = {c["id"]: c["value"] for c in run["plan"]["pulls"][1]["checks"]}
    found = answer(solved, {"after": 2, "readings": {**right, "2a": right["2a"] + 70.0}})
    assert found["verdict"] == "contradiction"
    assert "2a" in found["again"]


def test_a_reading_taken_several_times_counts_for_more():
    solved, run = case_of(made_run([300, 300, 300], [90, 90], [90]))
    once = answer(solved, {"after": 1, "readings": {"1a": 91.0}})
    often = answer(solved, {"after": 1, "readings": {"1a": [91.0, 91.2, 90.8, 91.0]}})
    assert run["plan"]["pulls"][0]["checks"][0]["kind"] == "angle card"
    narrow, wide = (f["bent"][0]["angle_high"] - f["bent"][0]["angle_low"] for f in (often, once))
    assert narrow < 0.65 * wide
    assert often["bent"][0]["angle_deg"] > once["bent"][0]["angle_deg"] > 90.8


FLAT = made_run([300, 250, 300, 300], [90, 45, 45], [180, 180], springback=SPRINGY)


@pytest.mark.parametrize(("pull", "bend"), [(2, 3), (3, 2)])
@pytest.mark.parametrize("by", [6.0, -6.0])
def test_a_gap_under_what_should_lie_flat_is_asked_for_its_side_and_then_settled(pull, bend, by):
    """Of a piece that should lie flat one bend is twisted by so much, and so are those pulled later."""
    solved, run = case_of(FLAT)
    pulls = run["plan"]["pulls"][:pull]
    assert pulls[-1]["bend"] == bend
    gap = next(check["id"] for check in pulls[-1]["checks"] if check["kind"] == "flat on the bench")
    made = Made(run)
    made.follow(pulls, Hands(np.random.default_rng(0), 3, 0, 0, 0))
    start, angle, plane, radius = made.bends[bend]
    made.bends[bend] = (start, angle, plane + by, radius)
    block = readings_after(made, pulls)
    assert block["readings"][gap] > 20
    asked = answer(solved, block)
    assert (asked["verdict"], asked["again"]) == ("which side", [gap])
    # With the bend flat on the bench, whatever else stands furthest off it up, which way does it go off from the start?
    corners = made.piece().corners
    k = sorted(made.bends).index(bend) + 1
    into, on = corners[k] - corners[k - 1], corners[k + 1] - corners[k]
    left_up = np.cross(into, on)
    far = max((float(np.dot(point - corners[k], left_up)) for point in corners), key=abs)
    sides = ("left", "right") if far > 0 else ("right", "left")
    for side, true in zip(sides, (True, False), strict=True):
        read = [f"{block['readings'][gap]} {side}"] * 2
        found = answer(solved, {"after": pull, "readings": {**block["readings"], gap: read}})
        assert found["verdict"] != "which side"
        # One gap does not tell on which side of a bend between two others the piece is twisted.
        if pull == 2:
            assert all(hit for what, hit in tried(found, made, (solved, run)) if what == "turn") == true


def test_a_side_is_refused_where_there_is_none_and_where_both_are_said():
    solved, _ = case_of(FLAT)
    with pytest.raises(JobError, match="check 2a has no side: write what it reads alone, 235"):
        answer(solved, {"after": 2, "readings": {"2a": "235 left"}})
    with pytest.raises(JobError, match="check 2b is seen both ways; look again"):
        answer(solved, {"after": 2, "readings": {"2b": ["4 left", "4 right"]}})
