"""The page's own answer to readings, run by node, against Python's: the same figures for the same readings."""

import json
import subprocess
from dataclasses import replace
from importlib import resources
from pathlib import Path

import numpy as np
import playwright
import pytest
import yaml
from bent_and_read import Hands, Made
from follower.body import LEG_UP
from made_answers import answer, bends_of, case_of, cases, readings_after
from made_runs import SPRINGY, made_run
from wide import few_or_many

from pipemodel.correction.estimate import estimate
from pipemodel.correction.likely import unlikely
from pipemodel.correction.made import MadePiece, planned_aims
from pipemodel.correction.observed import observations
from pipemodel.correction.readings_file import readings_of_text
from pipemodel.documents.page.corrections import answers_data, correction_data
from pipemodel.documents.page.page import ANSWERS
from pipemodel.job import model
from pipemodel.messages.say import say
from pipemodel.messages.units import MM, units_for
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.check_ids import check_id
from pipemodel.pulls.plan import plan_pulls
from pipemodel.results.pieces import Piece

NODE = Path(playwright.__file__).parent / "driver" / "node"
"""The engine of Chromium without the browser, which comes with playwright."""
SCRIPTS = tuple(name for name in ANSWERS if name != "correct.js")
RUN = """
const lines = require("fs").readFileSync(0, "utf8").trim().split("\\n").map(JSON.parse);
const checked = (run, errors) => {
  const made = new MadePiece(run, run.pulls.length, plannedAims(run));
  const pieces = made.pieces(errors, run.pulls.map((_, k) => k));
  const read = (piece, { reads }) => piece && READS[reads.kind](piece, reads);
  return run.pulls.map((pull, k) => pull.checks.map((check) => read(pieces[k], check)));
};
const card = (run, rows, k) => {
  const level = levelBefore(run, rows, k), to = rows.planes[run.pulls[k].bend] - rows.planes[run.pulls[k - 1].bend];
  return { mark: markOf(run, rows, run.pulls[k]), back: backBefore(run, rows, k), level, round: halfTurn(to) };
};
const answered = (run, blocks) => {
  const answers = [], work = answering(run, blocks, answers);
  while (!work.next().done);
  const answer = answers.at(-1), rest = run.pulls.map((_, k) => k).slice(answer.after);
  const each = (say) => rest.map((k) => say(run, answer.rows, k));
  return { ...answer, cards: each(card), otherwise: each(otherwiseAt) };
};
const out = lines.map(({ run, ask }) => ask.errors ? checked(run, ask.errors) : answered(run, ask.blocks));
process.stdout.write(JSON.stringify(out));
"""


def run_node(asks, run=RUN):
    """What the page's scripts make of some asks, each {run, ask}."""
    folder = resources.files("pipemodel.documents.page")
    script = "\n".join((folder / name).read_text(encoding="utf-8") for name in SCRIPTS) + run
    lines = "\n".join(json.dumps(ask) for ask in asks)
    done = subprocess.run([NODE, "-e", script], input=lines, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def data_of(solved):
    return correction_data(Piece(1, solved, plan_pulls(solved), MM, ()), None)


OTHER = {"left": "right", "right": "left"}
WORDS = {"left": 1, "right": -1, "same": 1, "opposite": -1}


def as_listed(readings):
    """Readings as the page hands them on: each a list of figures, a look +1 or -1."""
    return {check: [WORDS.get(value, value)] for check, value in readings.items()}


def blocks_of(case, random, hands):
    """A piece bent by such hands to some pull, and what is read after one or two of its pulls."""
    _, run = case
    pulls = run["plan"]["pulls"]
    k = int(random.integers(1, len(pulls) + 1))
    made = Made(run)
    made.follow(pulls[:k], Hands(random, len(run["bends"]), *hands))
    return [readings_after(made, pulls[:j], random) for j in range(max(1, k - 1), k + 1)]


UNLIKELY = """
const lines = require("fs").readFileSync(0, "utf8").trim().split("\\n").map(JSON.parse);
const said = ({ words, unit }, inches, comma) => (wrong, check) => unlikelySaid(
  wrong, check, unit, inches,
  (name, values) => words[name].replace(/\\{(\\w+)\\}/g, (_, key) => values[key]),
  (text) => (comma ? text.replace(".", ",") : text));
process.stdout.write(JSON.stringify(lines.map(({ answers, inches, comma, asked }) => asked.map(([id, value]) => {
  const [run] = answers.pieces, check = run.pulls.flatMap((pull) => pull.checks).find((one) => one.id === id);
  const wrong = unlikely(run, check, value);
  return wrong && said(answers, inches, comma)(wrong, id);
}))));
"""


def test_where_no_end_is_in_reach_the_leg_beyond_says_which_way_a_bend_goes():
    """Eight bends of 45 degrees with 450 between: bend 4, pulled seventh, rolled half a turn too far and not at all."""
    solved, run = case_of(made_run([450] * 9, [45] * 8, [90] * 7))
    pulls = run["plan"]["pulls"]
    found = [(k, i) for k, p in enumerate(pulls) for i, c in enumerate(p["checks"]) if LEG_UP.fullmatch(c["text"])]
    k, place = found[0]
    pull, look = pulls[k], pulls[k]["checks"][place]
    assert {"wrong way", "not rolled", "wrong roll"} <= set(look["finds"])
    asks, wanted = [], []
    for rolled in (0.0, 5.0, 180.0, -90.0):
        errors = [0.0] * (3 * 8 - 1)
        # Its plane goes round, and that of the bends after it on the tube does not.
        for n, by in ((pull["bend"], rolled), (pull["bend"] + 1, -rolled)):
            errors[3 * n - 2] = by
        asks.append({"run": data_of(solved), "ask": {"errors": errors}})
        made = Made(run)
        made.follow(pulls, Hands(np.random.default_rng(0), 8, 0, 0, 0))
        start, angle, plane, radius = made.bends[pull["bend"]]
        made.bends[pull["bend"]] = (start, angle, plane + rolled, radius)
        wanted.append(made.read(look, bends_of(pulls[: k + 1])))
    assert wanted == [look["value"], look["value"], OTHER[look["value"]], OTHER[look["value"]]]
    assert [WORDS[value] for value in wanted] == [rows[k][place] for rows in run_node(asks)]


OVERLAPPING = """
const lines = require("fs").readFileSync(0, "utf8").trim().split("\\n").map(JSON.parse);
process.stdout.write(JSON.stringify(lines.map(({ run, later, readings }) => {
  const aims = plannedAims(run), pulls = run.pulls.length;
  aims[0].start += later;
  const work = estimateOf(new MadePiece(run, pulls, aims), observationsOf(run, readings));
  let step;
  do step = work.next(); while (!step.done);
  return step.value.bends.map(({ start, angle }) => [start[0], angle[0]]);
})));
"""


def test_bends_corrected_for_others_may_overlap_with_what_was_asked_for_there():
    """Bend 1 was to begin 100 mm further on, beyond the 80 mm before bend 2; it begins where it was planned."""
    solved, run = case_of(made_run([200, 80, 300], [90, 90], [90]))
    made, pulls, read = Made(run), run["plan"]["pulls"], {}
    made.follow(pulls, Hands(np.random.default_rng(0), 2, 0, 0, 0))
    for k in range(1, 3):
        read |= readings_after(made, pulls[:k])["readings"]
    plan = plan_pulls(solved)
    aims = planned_aims(solved)
    aims[1] = aims[1]._replace(start_mm=aims[1].start_mm + 100.0)
    piece = MadePiece.of(solved, plan.pulls, aims, model.Hands())
    text = yaml.safe_dump([{"after": 2, "readings": read}])
    (block,) = readings_of_text(text, "readings.yaml", solved, cards_of(solved, plan))
    found = estimate(piece, observations(solved, cards_of(solved, plan), block.readings))
    wanted = [[200.0, 90.0], [200.0 + 55.0 * np.pi / 2 + 80.0, 90.0]]
    for bend, want in zip(found.bends, wanted, strict=True):
        assert [bend.start_mm.value, bend.angle_deg.value] == pytest.approx(want, abs=0.5)
    (page,) = run_node([{"run": data_of(solved), "later": 100.0, "readings": as_listed(read)}], OVERLAPPING)
    mine = [[bend.start_mm.value, bend.angle_deg.value] for bend in found.bends]
    assert page == [pytest.approx(row, abs=0.01) for row in mine]


def wrong_values(right):
    """What a slip of unit, of the hand or of the eye makes of a reading, and some that are right or only far out."""
    times = [right * by for by in (0.001, 0.01, 1 / 25.4, 0.1, 0.5, 1.0, 1.02, 2.0, 10.0, 25.4, 100.0)]
    times += [(right + by) / 10.0 for by in (3.9, 4.1, 7.9, 8.1, 0.049 * right, 0.051 * right)]
    return [
        *times,
        180.0,
        180.5,
        191.9,
        192.5,
        200.0,
        180.0 - right,
        right + 24.0,
        right + 26.0,
        right + 11.0,
        -right,
        0.0,
        -4.0,
        1e5,
    ]


@pytest.mark.parametrize(("unit", "language"), [("mm", "en"), ("in", "en"), ("mm", "de"), ("in", "de")])
def test_the_page_refuses_a_reading_in_the_words_of_the_tool(unit, language):
    asks, wanted = [], []
    units = units_for(unit, language)
    for solved, _ in cases(range(4)):
        piece = Piece(1, solved, plan_pulls(solved), MM, ())
        measures = {check_id(c.pull.number, k): m for c in piece.cards for k, m in enumerate(c.measures)}
        asked = [(name, x) for name, m in measures.items() if m.unit != "look" for x in wrong_values(m.value)]
        answers = answers_data([piece], None, units)
        asks.append({"answers": answers, "inches": unit == "in", "comma": language == "de", "asked": asked})
        found = [unlikely(name, measures[name], x, solved) for name, x in asked]
        wanted.append([said and say(said, units) for said in found])
    assert run_node(asks, UNLIKELY) == wanted
    assert sum(said is None for row in wanted for said in row) > 20
    assert len({said.split(":")[1][:12] for row in wanted for said in row if said}) > 5


@pytest.mark.slow
def test_the_page_reads_each_check_as_the_tool_does():
    """On pieces bent by hands that err: by the tests' own bench."""
    asks, wanted, looked = [], [], 0
    for seed, (solved, run) in enumerate(cases(range(few_or_many(40, 400)))):
        random = np.random.default_rng(seed)
        pulls, hands, made = run["plan"]["pulls"], Hands(random, len(run["bends"]), 2, 2, 2), Made(run)
        made.follow(pulls, hands)
        bends = sorted(p["bend"] for p in pulls)
        errors = [
            x for n in bends for x in (hands.mark[n - 1], hands.angle[n - 1], *([hands.turn[n - 1]] if n > 1 else []))
        ]
        asks.append({"run": data_of(solved), "ask": {"errors": errors}})
        done = [[p["bend"] for p in pulls[: k + 1]] for k in range(len(pulls))]
        wanted.append([[made.read(c, done[k]) for c in p["checks"]] for k, p in enumerate(pulls)])
    for rows, want in zip(run_node(asks), wanted, strict=True):
        for row, own in zip(rows, want, strict=True):
            for value, right in zip(row, own, strict=True):
                looked += 1
                if isinstance(right, str):
                    assert value in (0, WORDS[right])
                else:
                    assert value == pytest.approx(right, abs=0.06)
    assert looked > 200


@pytest.mark.parametrize(("pull", "bend"), [(2, 3), (3, 2)])
def test_the_page_asks_for_the_side_of_a_gap_and_goes_by_it_as_the_tool_does(pull, bend):
    solved, run = case_of(made_run([300, 250, 300, 300], [90, 45, 45], [180, 180], springback=SPRINGY))
    pulls, made, asks, wanted = run["plan"]["pulls"][:pull], Made(run), [], []
    gap = next(check["id"] for check in pulls[-1]["checks"] if check["kind"] == "flat on the bench")
    made.follow(pulls, Hands(np.random.default_rng(0), 3, 0, 0, 0))
    start, angle, plane, radius = made.bends[bend]
    made.bends[bend] = (start, angle, plane + 4.0, radius)
    read = readings_after(made, pulls)["readings"]
    for side in ("", "left", "right", "either"):
        own = {**read, gap: f"{read[gap]} {side}"} if side else read
        wanted.append(answer(solved, {"after": pull, "readings": own}))
        sides = {gap: WORDS.get(side, 0)} if side else {}
        block = {"after": pull, "readings": as_listed(read), "sides": sides}
        asks.append({"run": data_of(solved), "ask": {"blocks": [block]}})
    found = run_node(asks)
    assert [one["verdict"] for one in found] == [one["verdict"] for one in wanted]
    assert (found[0]["verdict"], found[0]["sides"]) == ("which side", wanted[0]["again"])
    assert found[3]["noSide"] == [gap]
    for one, other in zip(found, wanted, strict=True):
        if other["verdict"] == "contradiction":
            continue
        turns = [bend["turn_deg"] for bend in other["bent"]]
        off = np.subtract([bend["turn"] for bend in one["found"]["bends"]], turns)
        assert (off + 180) % 360 - 180 == pytest.approx(np.zeros(len(off)), abs=0.1)


@pytest.mark.slow
@pytest.mark.parametrize("hands", [(1, 1, 1), (4, 3, 3)])
def test_the_page_answers_as_the_tool_does(hands):
    """Within 0.1 mm and 0.1 degrees: what was bent, and the bends to come; and the same verdict.

    Readings that contradict each other may leave two places as likely: then nothing is done by what was bent, nor by
    the bends to come of a piece that is cut out.
    """
    asks, wanted = [], []
    for seed, case in enumerate(cases(range(few_or_many(30, 2000)))):
        blocks = blocks_of(case, np.random.default_rng(seed), hands)
        listed = [{"after": b["after"], "readings": as_listed(b["readings"])} for b in blocks]
        asks.append({"run": data_of(case[0]), "ask": {"blocks": listed}})
        wanted.append(answer(case[0], blocks))
    other = 0
    for found, want in zip(run_node(asks), wanted, strict=True):
        if found["verdict"] != want["verdict"]:
            other += 1
            continue
        if want["verdict"] in ("contradiction", "recut"):
            assert (found.get("again") or []) == want["again"]
            continue
        for mine, right in zip(found["found"]["bends"], want["bent"], strict=True):
            assert mine["bend"] + 1 == right["bend"]
            for name, key in (("start", "start"), ("angle", "angle")):
                unit = "mm" if name == "start" else "deg"
                assert mine[name] == pytest.approx([right[f"{key}_{x}"] for x in (unit, "low", "high")], abs=0.1)
            assert (mine["turn"] - right["turn_deg"] + 180) % 360 - 180 == pytest.approx(0, abs=0.1)
        planes = np.cumsum([b["turn_deg"] for b in want["bends"]])
        assert found["rows"]["starts"] == pytest.approx([b["start_mm"] for b in want["bends"]], abs=0.1)
        assert found["rows"]["angles"] == pytest.approx([b["angle_deg"] for b in want["bends"]], abs=0.1)
        off = np.subtract(found["rows"]["planes"], planes)
        assert (off - off[0] + 180) % 360 - 180 == pytest.approx(np.zeros(len(off)), abs=0.1)
    assert other <= 0.002 * len(asks)


def upright(case):
    """The same case with the bender standing upright."""
    return case_of(replace(case[0], run=replace(case[0].run, stance="upright")))


@pytest.mark.slow
@pytest.mark.parametrize("stand", [lambda case: case, upright])
def test_a_corrected_card_says_what_the_tools_card_says(stand):
    """The mark and where it is from the back of a bend, the inside line, how the tube beyond a bend stands."""
    asks, wanted = [], []
    for seed, case in enumerate(cases(range(few_or_many(24, 2000)))):
        case = stand(case)
        blocks = blocks_of(case, np.random.default_rng(seed), (4, 3, 3))
        answered = answer(case[0], blocks)
        if answered["verdict"] == "change" and answered["pulls"]:
            listed = [{"after": b["after"], "readings": as_listed(b["readings"])} for b in blocks]
            asks.append({"run": data_of(case[0]), "ask": {"blocks": listed}})
            wanted.append((case, answered["pulls"]))
    looked = same = 0
    for found, ((_, run), pulls) in zip(run_node(asks), wanted, strict=True):
        order = [pull["bend"] for pull in run["plan"]["pulls"]]
        if found["verdict"] != "change" or order[-len(pulls) :] != [pull["bend"] for pull in pulls]:
            continue
        for card, otherwise, pull in zip(found["cards"], found["otherwise"], pulls, strict=True):
            right, was = pull["card"], run["plan"]["pulls"][order.index(pull["bend"])]["card"]
            assert card["mark"] == pytest.approx(pull["mark_mm"], abs=0.1)
            assert (card["round"] - right["round_deg"] + 180) % 360 - 180 == pytest.approx(0, abs=0.1)
            assert (card["back"] is None) == (right["mark_from_back"] is None)
            if card["back"]:
                assert card["back"]["bend"] + 1 == right["mark_from_back"]["bend"]
                assert card["back"]["far"] == pytest.approx(right["mark_from_back"]["mm"], abs=0.2)
                assert card["back"]["meets"] == ("meet" in right["mark_from_back"]["words"])
            assert card["level"]["bend"] + 1 == right["level"]["bend"]
            above = right["level"]["above_level_deg"]
            assert card["level"]["above"] == pytest.approx(above, abs=0.2)
            # What is plumb points nowhere, and what is nearly midway may point either way.
            if abs(above) < 80:
                looked += 1
                same += card["level"]["stands"].split(" ", 1)[1] in right["level"]["words"]
            # What the card says otherwise is said, and nothing that is as planned.
            moved = abs(pull["mark_mm"] - was_of(run, pull)["mark_mm"])
            assert ("mark" in otherwise) == (moved >= 0.375) or moved == pytest.approx(0.375, abs=0.1)
            turned = abs((right["round_deg"] - was["round_deg"] + 180) % 360 - 180)
            assert ("line" in otherwise) == (turned >= 0.5) or turned == pytest.approx(0.5, abs=0.1)
            if abs(above - was["level"]["above_level_deg"]) > 1.2:
                assert "level" in otherwise
    assert looked > 4
    assert same >= 0.97 * looked


def was_of(run, pull):
    return next(one for one in run["plan"]["pulls"] if one["bend"] == pull["bend"])
