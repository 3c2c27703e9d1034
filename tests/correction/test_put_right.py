"""What to do after readings, done by the tests' own bench: the finish comes nearer to where it is drawn."""

from dataclasses import replace

import numpy as np
import pytest
from bent_and_read import Hands, Made
from made_answers import answer, bends_of, case_of, cases, readings_after
from made_runs import SPRINGY, made_run
from wide import few_or_many

from pipemodel.correction.order import plan_from_here
from pipemodel.geometry.shapes import Box
from pipemodel.job.model import JobError, Thing
from pipemodel.pulls.plan import pulls_in_order
from pipemodel.trade.fittings import Within


def drawn(run):
    """The finish as drawn, and the way it points."""
    made, none = Made(run), Hands(np.random.default_rng(0), len(run["bends"]), 0, 0, 0)
    made.follow(run["plan"]["pulls"], none)
    return made.finish()


def finished(made, table, pulls):
    """A piece whose bends to come are made just as a table has them, set out from the bend pulled last."""
    out = Made(made.run)
    out.bends = dict(made.bends)
    planes = np.cumsum([b["turn_deg"] for b in table])
    last = next(reversed(made.bends))
    by = made.bends[last][2] - planes[last - 1]
    for pull in pulls:
        k = pull["bend"] - 1
        out.pull(k + 1, pull["held"], table[k]["start_mm"], table[k]["angle_deg"], planes[k] + by)
    return out


def off(run, piece):
    """How far the finish of a piece is off, with the plane of its first bend as drawn."""
    return float(np.linalg.norm(piece.finish()[0] - drawn(run)[0]))


def corrected(seeds, hands=(1.0, 1.0, 1.0), **more):
    """For pieces part-bent by imperfect hands: how far off as planned, and as corrected; and the verdict."""
    for seed, (solved, run) in enumerate(cases(seeds, **more)):
        pulls = run["plan"]["pulls"]
        if len(pulls) < 2:
            continue
        random = np.random.default_rng(seed)
        k = int(random.integers(1, len(pulls)))
        made = Made(run)
        made.follow(pulls[:k], Hands(random, len(run["bends"]), *hands))
        blocks = [readings_after(made, pulls[:j], random) for j in range(1, k + 1)]
        found = answer(solved, blocks)
        if found["verdict"] in ("contradiction", "pull on", "recut"):
            continue
        as_planned = off(run, finished(made, run["bends"], pulls[k:]))
        yield as_planned, off(run, finished(made, found["bends"], found["pulls"])), found, run


def test_a_flattened_bend_is_cut_out_and_a_round_one_counts_for_nothing_else():
    """15 mm tube: 8 % of it is 1.2 mm. The rest as planned, or a bend that would be pulled on."""
    solved, run = case_of(made_run([300, 200, 300], [90, 60], [90], springback=SPRINGY))
    made = Made(run)
    made.follow(run["plan"]["pulls"][:1], Hands(np.random.default_rng(0), 2, 0, 0, 0))
    block = readings_after(made, run["plan"]["pulls"][:1])
    (caliper,) = [c["id"] for c in run["plan"]["pulls"][0]["checks"] if c["kind"] == "out of round, by caliper"]
    right = answer(solved, [block])
    for by, verdict in ((0.0, "go on"), (1.19, "go on"), ([1.1, 1.25], "go on"), (1.21, "recut"), (4.0, "recut")):
        found = answer(solved, [{"after": 1, "readings": {**block["readings"], caliper: by}}])
        assert found["verdict"] == verdict
        assert found["bent"] == right["bent"]
    assert "bend 1 is flattened, 4.00 mm wider one way than the other where 1.20 mm is the most" in found["message"]
    assert "the guide was not in" in found["message"]
    short = {**block["readings"], "1a": 87.5}
    assert answer(solved, [{"after": 1, "readings": short}])["verdict"] == "pull on"
    found = answer(solved, [{"after": 1, "readings": {**short, caliper: 1.3}}])
    assert (found["verdict"], found["pull_on_deg"]) == ("recut", None)
    assert answer(solved, [{"after": 1, "readings": {caliper: 0.4}}])["verdict"] == "go on"


@pytest.mark.slow
@pytest.mark.parametrize("former", [{}, {"hold_mm": 200.0, "guide_mm": 0.0}, {"hold_mm": 20.0, "guide_mm": 90.0}])
def test_the_finish_lands_nearer_when_the_rest_is_bent_as_corrected(former):
    seen = [(before, after) for before, after, *_ in corrected(range(few_or_many(26, 400)), **former)]
    before, after = np.array(seen).T
    assert len(seen) >= 10
    assert np.sqrt(np.mean(after**2)) < 0.8 * np.sqrt(np.mean(before**2))


@pytest.mark.slow
def test_what_is_left_to_bend_keeps_what_the_former_needs():
    changed = 0
    for *_, found, run in corrected(range(few_or_many(26, 300)), hands=(2.0, 1.5, 1.5), legs=(70, 260)):
        changed += found["verdict"] == "change"
        done = [p["bend"] for p in run["plan"]["pulls"] if p["bend"] not in bends_of(found["pulls"])]
        ends = {b["number"]: (b["start_mm"], b["start_mm"] + b["arc_mm"]) for b in found["bends"]}
        for pull in found["pulls"]:
            start, finish = ends[pull["bend"]]
            below = max((ends[n][1] for n in done if n < pull["bend"]), default=0.0)
            above = min((ends[n][0] for n in done if n > pull["bend"]), default=run["cut_length_mm"])
            has = (start - below, above - finish)
            hold, guide = has if pull["held"] == "start" else has[::-1]
            assert hold >= 60.0 - 1e-6
            assert guide >= 45.0 - 1e-6
            done.append(pull["bend"])
    assert changed >= 8


def test_the_finish_that_is_said_is_that_of_the_bends_listed():
    for *_, found, run in corrected(range(few_or_many(15, 100))):
        piece = Made(run)
        piece.bends = {
            b["number"]: (b["start_mm"], b["angle_deg"], plane, b["radius_mm"])
            for b, plane in zip(found["bends"], np.cumsum([b["turn_deg"] for b in found["bends"]]), strict=True)
        }
        # The made runs start at the origin, go east, and their first bend turns about up: the frame of the start.
        assert np.subtract(piece.finish()[0], drawn(run)[0]) == pytest.approx(found["finish_off_mm"], abs=1e-6)


SQUARE = made_run([300, 300, 300], [90, 90], [90], springback=SPRINGY)


def test_a_bend_that_is_short_is_pulled_on_and_one_that_is_over_never_opened():
    solved, _ = case_of(SQUARE)
    once = answer(solved, {"after": 1, "readings": {"1a": 86.0}})
    assert (once["verdict"], once["again"], once["pull_on_deg"]) == ("contradiction", ["1a"], None)
    short = answer(solved, {"after": 1, "readings": {"1a": [86.0, 86.0]}})
    assert (short["verdict"], short["pull_on_deg"]) == ("pull on", 90.0)
    assert short["bends"][0]["angle_deg"] == 90.0
    over = answer(solved, {"after": 1, "readings": {"1a": 92.0}})
    assert over["verdict"] == "change"
    assert over["pull_on_deg"] is None
    assert over["bends"][0]["angle_deg"] == over["bent"][0]["angle_deg"] > 91.5


def test_a_bend_is_pulled_on_where_the_piece_is_then_slipped_along():
    """One bend, 5 degrees short and begun 5 mm too far: pulled on it is 5 mm out along its first leg.

    The ends hold 3 mm sideways and 6 mm along: slipped along, all is well.
    """
    solved = made_run([300, 300], [90], [], springback=SPRINGY)
    ends = solved.run.ends
    held = replace(ends, finish=replace(ends.finish, within=Within(3.0, 6.0)))
    solved, run = case_of(replace(solved, run=replace(solved.run, ends=held)))
    (pull,) = run["plan"]["pulls"]
    made, hands = Made(run), Hands(np.random.default_rng(0), 1, 0, 0, 0)
    hands.mark[0], hands.angle[0] = 5.0, -5.0
    made.follow([pull], hands)
    short = readings_after(made, [pull])
    found = answer(solved, {**short, "readings": {k: [v, v] for k, v in short["readings"].items()}})
    assert (found["verdict"], found["pull_on_deg"]) == ("pull on", 90.0)
    hands.angle[0] = 0.0
    made.follow([pull], hands)
    right = readings_after(made, [pull])
    found = answer(solved, {**right, "readings": {k: [v, v] for k, v in right["readings"].items()}})
    assert found["verdict"] == "change"
    assert "slip the piece 5 mm along" in found["message"]
    # Where the finish lies once slipped: as short along its last leg, and no longer out along the first.
    assert found["finish_off_unchanged_mm"] == pytest.approx([5, -5, 0], abs=0.2)
    assert found["finish_off_mm"] == pytest.approx([0, -5, 0], abs=0.2)


def test_what_is_said_of_a_piece_too_long_is_where_its_finish_lies_once_cut():
    """One bend, 3 degrees over and all its tube 20 mm too long for it: cut along the leg as it was bent."""
    solved = made_run([300, 300], [90], [], springback=SPRINGY)
    held = replace(solved.run.ends, finish=replace(solved.run.ends.finish, within=Within(30.0, 4.0)))
    solved, run = case_of(replace(solved, run=replace(solved.run, ends=held)))
    made, hands = Made(run), Hands(np.random.default_rng(0), 1, 0, 0, 0)
    hands.mark[0], hands.angle[0] = -20.0, 2.0
    made.follow(run["plan"]["pulls"], hands)
    block = readings_after(made, run["plan"]["pulls"])
    found = answer(solved, {**block, "readings": {k: [v, v] for k, v in block["readings"].items()}})
    assert found["verdict"] == "trim"
    corners = made.piece().corners
    leg = (corners[-1] - corners[-2]) / np.linalg.norm(corners[-1] - corners[-2])
    drawn = solved.centreline.straights[-1].direction
    off = np.asarray(found["finish_off_unchanged_mm"])
    assert np.dot(off, drawn) > 10
    cut = off - leg * (np.dot(off, drawn) / np.dot(leg, drawn))
    assert found["finish_off_mm"] == pytest.approx(list(cut), abs=0.3)
    assert np.dot(found["finish_off_mm"], drawn) == pytest.approx(0.0, abs=1e-6)


def test_what_is_right_goes_on_as_planned():
    solved, run = case_of(SQUARE)
    for k, pull in enumerate(run["plan"]["pulls"], 1):
        right = {c["id"]: c["value"] for c in pull["checks"]}
        found = answer(solved, {"after": k, "readings": right})
        assert found["verdict"] == "go on"
        assert np.linalg.norm(found["finish_off_mm"]) < 1e-6
        assert [p["mark_mm"] for p in found["pulls"]] == [p["mark_mm"] for p in run["plan"]["pulls"][k:]]


def test_a_piece_rolled_the_wrong_way_asks_for_a_new_one():
    solved, run = case_of(SQUARE)
    read = {c["id"]: c["value"] for c in run["plan"]["pulls"][1]["checks"]}
    look = next(c for c in run["plan"]["pulls"][1]["checks"] if c["unit"] == "look")
    read[look["id"]] = {"left": "right", "right": "left"}[look["value"]]
    found = answer(solved, {"after": 2, "readings": read})
    assert found["verdict"] == "recut"
    assert found["mistakes"] == [{"bend": 2, "mistake": "wrong way"}]


def one_bend(more):
    """A run of one square bend whose tail is measured some mm longer, twice."""
    solved, run = case_of(made_run([300, 300], [90]))
    [pull] = run["plan"]["pulls"]
    read = {c["id"]: c["value"] for c in pull["checks"]}
    to = next(c for c in pull["checks"] if c["kind"] == "end to back")
    sign = 1.0 if "finish end" in to["text"] else -1.0
    read[to["id"]] = [to["value"] + sign * more] * 2
    return answer(solved, {"after": 1, "readings": read})


@pytest.mark.parametrize(("more", "verdict"), [(0.0, "go on"), (3.0, "go on"), (-60.0, "recut")])
def test_one_bend(more, verdict):
    # More tail is less of the other leg: the finish is as far aside.
    assert one_bend(more)["verdict"] == verdict


def test_a_dozen_bends():
    solved, run = case_of(made_run([150] * 13, [90, 45, 60] * 4, [90, 0, 180, -90, 37] * 2 + [90]))
    pulls = run["plan"]["pulls"]
    made, random = Made(run), np.random.default_rng(1)
    made.follow(pulls[:6], Hands(random, 12))
    found = answer(solved, readings_after(made, pulls[:6], random))
    assert len(found["bent"]) == 6
    assert len(found["pulls"]) == 6
    assert len(found["bends"]) == 12


def test_blocks_that_went_by_corrected_cards_are_seen_from_those():
    """The second bend made just as the answer to the first said: nothing of it is out."""
    solved, run = case_of(made_run([300, 300, 300, 300], [90, 90, 90], [37, 64]))
    pulls = run["plan"]["pulls"]
    first = {"after": 1, "readings": {"1a": 92.0}}
    one = answer(solved, first)
    assert one["verdict"] == "change"
    made = Made(run)
    row, k = one["bent"][0], pulls[1]["bend"]
    made.bends = {row["bend"]: (row["start_mm"], row["angle_deg"], made.planes[row["bend"] - 1], 55.0)}
    made = finished(made, one["bends"], one["pulls"][:1])
    second = readings_after(made, pulls[:2], digits=4)
    two = answer(solved, [first, {**second, "corrected": True}])
    bent = {b["bend"]: b for b in two["bent"]}
    listed = one["bends"][k - 1]
    assert bent[k]["start_mm"] == pytest.approx(listed["start_mm"], abs=0.05)
    assert bent[k]["angle_deg"] == pytest.approx(listed["angle_deg"], abs=0.05)
    assert np.linalg.norm(two["finish_off_unchanged_mm"]) < 1.0
    as_printed = {b["bend"]: b for b in answer(solved, [first, second])["bent"]}
    off = [as_printed[k][what] - listed[what] for what in ("start_mm", "angle_deg")]
    assert np.linalg.norm(off) > 0.1


def test_a_corrected_run_must_not_touch_what_it_kept_clear_of():
    solved, _ = case_of(made_run([300, 300, 300, 300], [90, 90, 90], [0, 90]))
    # Twice, so that the reading counts.
    read = {"after": 1, "readings": {"1a": [93.0, 93.0]}}
    free = answer(solved, read)
    assert free["verdict"] == "change"
    assert free["bent"][0]["bend"] == 1
    # The second leg leans back towards the start: at its middle, some 200 from the bend, by 200 sin 3 and more.
    x = 300.0 + 55.0
    beside = Thing("post", Box((x - 40.0, 240.0, -50.0), (x - 11.0, 260.0, 50.0)))
    assert answer(solved, read, things=[beside])["verdict"] == "recut"
    beyond = Thing("post", Box((x - 120.0, 240.0, -50.0), (x - 80.0, 260.0, 50.0)))
    assert answer(solved, read, things=[beyond])["verdict"] == "change"


@pytest.mark.slow
def test_a_corrected_card_starts_from_the_pull_that_was_made():
    """The roll, the way round to draw and the checks of the first pull to come are those of a piece bent already."""
    looked = 0
    for _, _, found, run in corrected(range(few_or_many(15, 30)), bends=3):
        to_come = run["plan"]["pulls"][-len(found["pulls"]) :]
        last = run["plan"]["pulls"][-len(found["pulls"]) - 1]["bend"]
        card, planned = found["pulls"][0], to_come[0]
        assert card["card"]["last_bend"] == last
        assert "any side up" not in " ".join(card["card"]["to_do"])
        if card["bend"] == planned["bend"] and card["held"] == planned["held"]:
            looked += 1
            assert abs((card["roll_deg"] - planned["roll_deg"] + 180) % 360 - 180) < 15
            assert len(card["checks"]) >= min(len(planned["checks"]), 2)
            # What shows a roll the wrong way is asked for still.
            finds = [{what for check in pull["checks"] for what in check["finds"]} for pull in (card, planned)]
            assert "wrong roll" in finds[0] or "wrong roll" not in finds[1]
    assert looked > 5


@pytest.mark.slow
def test_a_bend_that_was_pulled_on_is_what_is_read_then():
    """Read 4 degrees short, pulled on, and read once more, or not: the first reading holds no more."""
    seen = 0
    for solved, run in cases(range(12), bends=2):
        first, second = run["plan"]["pulls"]
        angles = [check for check in first["checks"] if check["unit"] == "deg"]
        if not angles:
            continue
        seen += 1
        bend, right = first["bend"], angles[0]["value"]
        short = {"after": 1, "readings": {angles[0]["id"]: [right - 4.0, right - 4.0]}}
        assert answer(solved, [short])["verdict"] == "pull on"
        again = {"after": 1, "corrected": True, "readings": {angles[0]["id"]: right}}
        found = answer(solved, [short, again])
        assert found["verdict"] in ("go on", "change")
        (bent,) = found["bent"]
        assert bent["bend"] == bend
        assert abs(bent["angle_deg"] - right) < 0.2
        made = Made(run)
        made.follow([first, second], Hands(np.random.default_rng(0), 2, 0.0, 0.0, 0.0))
        then = {**readings_after(made, [first, second]), "corrected": True}
        for blocks in ([short, again, then], [short, then]):
            found = answer(solved, blocks)
            assert found["verdict"] not in ("recut", "contradiction", "pull on")
            assert all(
                abs(one["angle_deg"] - run["bends"][one["bend"] - 1]["angle_deg"]) < 1.0 for one in found["bent"]
            )
    assert seen > 3


@pytest.mark.slow
def test_the_checks_to_come_are_those_of_the_printed_cards_and_read_so_on_the_corrected_piece():
    """What is typed behind 2a is what the printed card has there, whatever was corrected before."""
    looked = changed = 0
    for _, _, found, run in corrected(range(few_or_many(15, 100)), hands=(2.0, 1.5, 1.5)):
        printed = {(p["number"], p["bend"], p["held"]): p for p in run["plan"]["pulls"]}
        piece = Made(run)
        planes = np.cumsum([b["turn_deg"] for b in found["bends"]])
        piece.bends = {
            b["number"]: (b["start_mm"], b["angle_deg"], plane, b["radius_mm"])
            for b, plane in zip(found["bends"], planes, strict=True)
        }
        done = [p["bend"] for p in run["plan"]["pulls"] if p["bend"] not in bends_of(found["pulls"])]
        for pull in found["pulls"]:
            done.append(pull["bend"])
            was = printed[pull["number"], pull["bend"], pull["held"]]
            assert [(c["id"], c["kind"]) for c in pull["checks"]] == [(c["id"], c["kind"]) for c in was["checks"]]
            for now, check in zip(pull["checks"], was["checks"], strict=True):
                read = piece.read(check, done)
                looked += 1
                if check["unit"] == "look":
                    assert now["value"] == read
                elif abs(read) > check["within"] or check["value"]:
                    assert now["value"] == pytest.approx(read, abs=0.01)
                    changed += abs(read - check["value"]) > 1.0
                    assert ("on this piece" in now["text"]) == (not check["value"])
    assert looked > 40
    assert changed > 5


def test_readings_after_another_order_are_refused(monkeypatch):
    """The answer puts the pulls to come the other way round: what is then read is of other pieces than the cards'."""
    solved, run = case_of(made_run([300, 300, 300, 300], [90, 90, 90], [37, 64], springback=SPRINGY))

    def other_way_round(solved, done, planned):
        plan = plan_from_here(solved, done, planned)
        steps = [(pull.bend - 1, 0) for pull in (*done, *reversed(planned))]
        return replace(plan, pulls=pulls_in_order(solved, tuple(steps))[len(done) :])

    made = Made(run)
    made.follow(run["plan"]["pulls"], Hands(np.random.default_rng(3), 3))
    first, second = (readings_after(made, run["plan"]["pulls"][:k]) for k in (1, 2))
    assert answer(solved, [first, {**second, "corrected": True}])
    monkeypatch.setattr("pipemodel.correction.answer.plan_from_here", other_way_round)
    with pytest.raises(JobError, match="changed the order of pulls") as refused:
        answer(solved, [first, {**second, "corrected": True}])
    assert "Reihenfolge der Biegungen" in refused.value.faults[0].worded("de")
    # As printed, they are.
    assert answer(solved, [first, second])
