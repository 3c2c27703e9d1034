"""What a way out says to write is written into the job, from its words alone: then the run can be pulled as said.

Jobs are random text: sets and passovers with legs measured in all the ways there are. The words are put into the
lines of that text that they name, by rules of their own; paths and values in the JSON are put into the tree of it.
"""

import math
import random
import re
from collections import Counter
from dataclasses import replace

import pytest
import yaml
from wide import few_or_many

import pipemodel
from pipemodel.bending.schedule import solve_run
from pipemodel.job.model import Route
from pipemodel.messages.say import say
from pipemodel.messages.units import units_for
from pipemodel.pulls.written_way import Wanted, as_written, to_write
from pipemodel.results.results import Results

HEAD = """job: ways
tube: 15
former: {{radius: 55, hold: {hold}, guide: {guide}}}
room:
  pipe: {{cylinder: {{from: [{at}, -300, {z}], to: [{at}, 300, {z}], diameter: {wide}}}}}
  wall: {{face: {{at: [0, 900, 0], facing: south}}}}
runs:
  cold:
"""

VALUE = r"((?:(?:point|Punkt) \d+: |[a-z][a-z ]*: )?(?:\[[\d., \[\]-]+\]|-?[\d.]+))"


def first_leg(dice, mm):
    return dice.choice([f"east: {mm}", f"east: {{to centre: {mm}}}"])


def last_leg(dice, mm):
    return dice.choice([[f"go: {mm}"], [f"go: {{from back: {mm}}}"], [f"go: {mm}", f"north: {{to back: {mm}}}"]])


def a_job(dice):
    """A job whose run may be impossible to pull, as text."""
    angle, mm = dice.choice([20, 22.5, 30, 45, 60]), dice.randrange(160, 400)
    # Between its bends a set has so much straight, often too little.
    turn = math.radians(angle)
    offset = round((dice.uniform(2, 70) + 110 * math.tan(turn / 2)) * math.sin(turn), 1)
    length = round(offset / math.tan(turn), 1)
    hold, guide, wide = dice.choice([30, 60, 75]), dice.choice([10, 45, 60]), dice.choice([12, 22, 60])
    text = HEAD.format(hold=hold, guide=guide, at=500, z=dice.choice([-15, 0, 10]), wide=wide)
    kind = dice.choice(["set", "placed", "length", "three", "four", "points", "moves", "beside", "beside"])
    if kind == "points":
        x, y = mm + length, offset
        rows = [[0, 0, 0], [mm, 0, 0], [x, y, 0], [x + mm, y, 0]]
        return kind, text + "    points:\n" + "".join(f"      - {row}\n" for row in rows)
    if kind == "beside":
        # What the other run is bent round suits it.
        way = dice.choice(["beside: {run: hot, gap: 20}", "beside: {run: hot, gap: 40}\n    route: [go: 50]"])
        hot = "former: {radius: 55, hold: 0, guide: 0}\n    start: [0, 0, 0]"
        turns = f"[{{east: {mm}}}, {{north: {round(offset) % 30 + 112}}}, {{east: {mm}}}]"
        return kind, f"{text}    {way}\n  hot:\n    {hot}\n    route: {turns}\n"
    side = dice.choice(["north", "{north: 40, down: 25}", "up"]) if kind == "set" else "north"
    sized = "" if side.startswith("{") else f"offset: {offset}, "
    place = dice.choice(["centre", "first bend", "last bend"])
    items = {
        "set": [first_leg(dice, mm), f"set: {{{sized}to: {side}, angle: {angle}}}", *last_leg(dice, mm)],
        "placed": [
            "turn: east",
            f"set: {{offset: {offset}, to: north, angle: {angle}, {place}: {mm}}}",
            *last_leg(dice, mm),
        ],
        "length": [
            first_leg(dice, mm),
            f"set: {{offset: {offset}, to: north, length: {length}}}",
            *last_leg(dice, mm),
        ],
        "three": ["east: 1000", f"pass over: {{thing: pipe, gap: 10, angle: {min(2 * angle, 120)}}}"],
        "four": ["east: 1000", f"pass over: {{thing: pipe, gap: 10, bends: 4, angle: {angle}}}", "north: 300"],
        "moves": [
            f"east: {mm}",
            f"turn: {{to: north, angle: {angle}}}",
            f"go: {round(math.hypot(length, offset), 1)}",
            "turn: east",
            f"go: {mm}",
        ],
    }[kind]
    return kind, text + "    start: [0, 0, 0]\n    route:\n" + "".join(f"      - {item}\n" for item in items)


def without(lines, run, keys):
    """The lines of a job without some keys of the run that begins at a line, and without what stands under them."""
    end = next((i for i in range(run + 1, len(lines)) if re.match(r" {0,2}\S", lines[i])), len(lines))
    kept, going = [], False
    for line in lines[run + 1 : end]:
        if key := re.match(r"    (\w+):", line):
            going = key[1] in keys
        kept += [] if going else [line]
    return [*lines[: run + 1], *kept, *lines[end:]]


def written(text, words):
    """The job with what the words say in the lines they name."""
    lines = text.splitlines()
    to_write = re.split("; (?:write|dafür im Auftrag schreiben:) ", words)[1]
    for said, number in re.findall(VALUE + r"[^;(]*? \((?:\w+ \w+ )?(?:line|Zeile) (\d+)\)", to_write):
        said, n = said.strip(), int(number) - 1
        key, _, value = said.rpartition(": ")
        if key.split()[-1:] == ["points"]:
            # Of the run, what goes by the words alone, and nothing else.
            gone = re.findall(
                r"['„](\w+)['“]", re.search(rf"(?:in place of|statt) (.*?) \([^()]*{number}\)", to_write)[1]
            )
            lines = without(lines, n, gone)
            lines[n + 1 : n + 1] = [f"    {said}"]
        elif key == "start":
            lines = [re.sub(r"start: \[.*\]", said, line) for line in lines]
        elif re.fullmatch(r"(point|Punkt) \d+", key):
            lines[n] = re.sub(r"\[.*\]", value, lines[n])
        elif re.search(old := rf"\b{key}: (-?[\d.]+|{{to centre: [\d.]+}})", lines[n]):
            lines[n] = re.sub(old, said, lines[n])
        else:
            lines[n] = re.sub(r"\}$", f", {said}}}", lines[n])
    return "\n".join(lines) + "\n"


def put(job, edit):
    """The tree of a job with one value of the JSON in it."""
    *path, key = edit["path"]
    at = job
    for step in path:
        at = at[step]
    if key == "points":
        for gone in ("start", "heading", "beside", "route"):
            at.pop(gone, None)
    at[key] = edit["value"]


def solved(path):
    """The results of a job, and the record of its first run."""
    results = Results(pipemodel.schedule(pipemodel.load(path)))
    return results, results.schedule_record["runs"][0]


@pytest.mark.slow
def test_what_is_said_is_what_is_to_be_written(tmp_path):
    tried, path = Counter(), tmp_path / "job.yaml"
    for seed in range(few_or_many(28, 1000)):
        kind, text = a_job(random.Random(seed))
        path.write_text(text, encoding="utf-8")
        try:
            results, run = solved(path)
        except pipemodel.JobError:
            continue
        for way, record in zip(results.runs[0].ways_out, run["plan"]["ways_out"], strict=True):
            tree = yaml.safe_load(text)
            for edit in record["write"]:
                put(tree, edit)
            assert record["write"], (seed, text)
            german = say(way.said, units_for("mm", "de"))
            for job_now in (written(text, record["message"]), written(text, german), yaml.safe_dump(tree)):
                path.write_text(job_now, encoding="utf-8")
                _, now = solved(path)
                assert now["plan"]["possible"], (seed, record["message"], job_now)
                assert [p["bend"] for p in now["plan"]["pulls"]] == [p["bend"] for p in record["pulls"]], (
                    seed,
                    job_now,
                )
                assert now["cut_length_mm"] == pytest.approx(record["cut_length_mm"], abs=1e-6)
                moved = sum((a - b) ** 2 for a, b in zip(now["finish"], run["finish"], strict=True)) ** 0.5
                if record["kind"] != "leg":
                    assert moved == pytest.approx(record["finish_moves_mm"], abs=0.02)
            tried[kind, record["kind"]] += 1
    assert sum(tried.values()) >= 20
    assert any(kind == "beside" for kind, _ in tried)


@pytest.mark.parametrize(
    ("units", "words"), [(units_for("mm"), "in place of 'find'"), (units_for("mm", "de"), "statt „find“")]
)
def test_points_written_for_a_way_that_was_found_stand_in_place_of_the_search(tmp_path, units, words):
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: x\ntube: 15\nformer: {radius: 55}\nruns:\n  a:\n"
        "    find: {from: [0, 0, 0], heading: east, to: [600, 400, 0], arriving: north}\n"
    )
    found = pipemodel.schedule(pipemodel.load(path)).runs[0]
    assert found.run.route.find
    corners = tuple((x, y, 5.0) for x, y, _ in found.run.route.corners)
    moved = solve_run(replace(found.run, route=Route(corners)))
    _, edits = as_written(found, Wanted(moved, None, 0.0, 0.0, False))
    assert words in say(to_write(edits), units)
