"""The fittings of a job, counted against jobs that are put together from a known number of them."""

import json
import random
from collections import Counter

from pipemodel import story
from pipemodel.lists.all_lists import listing
from pipemodel.lists.table import as_text
from pipemodel.messages.units import MM
from pipemodel.results.results import Results

KINDS = ("elbow", "tee", "capillary")


def table_of(tmp_path, text):
    path = tmp_path / "job.yaml"
    path.write_text(text)
    made = listing(Results(story.schedule(story.load(path))), "fittings")
    if made is None:
        return None
    columns = made.content.table.columns
    return [[as_text(v, c.kind, MM) for v, c in zip(row, columns, strict=True)] for row in made.content.table.rows]


def chain(dice):
    """Runs of 500 one after the other, a fitting or none between each two, and how many of what that takes.

    Where two ends of one kind meet and one of them names the other's run, they are in one fitting; where neither
    does, each has its own. A third run may come out of a tee.
    """
    runs, expected = {}, Counter()
    count = dice.randint(1, 6)
    size = {f"r{n}": dice.choice([15, 22]) for n in range(count)}
    ends = {name: {} for name in size}

    def into(name, end, kind, joins=""):
        ends[name][end] = {"fitting": kind, "to": "end", **({"joins": joins} if joins else {})}

    for n in range(count + 1):
        before, after = (f"r{n - 1}" if n else None), (f"r{n}" if n < count else None)
        kind, met = dice.choice(KINDS), dice.choice(["one", "two", "other kind", "nothing"])
        met_by = [(name, end) for name, end in ((before, "finish"), (after, "start")) if name]
        if met == "nothing":
            continue
        if len(met_by) == 1 or met == "two":
            for name, end in met_by:
                into(name, end, kind)
                expected[kind, (size[name],)] += 1
        elif met == "other kind":
            into(before, "finish", "elbow", after)
            into(after, "start", "tee")
            expected["elbow", (size[before],)] += 1
            expected["tee", (size[after],)] += 1
        else:
            says = dice.choice([1, 2, 3])
            into(before, "finish", kind, after if says & 1 else "")
            into(after, "start", kind, before if says & 2 else "")
            sockets = {size[before], size[after]}
            if kind == "tee":
                branch = f"b{n}"
                size[branch] = dice.choice([15, 22])
                sockets.add(size[branch])
                ends[branch] = {}
                into(branch, "start", "tee", dice.choice([before, after]))
                runs[branch] = [[500 * n, 0, 20], [500 * n, 0, 400]]
            expected[kind, tuple(sorted(sockets))] += 1
    for n in range(count):
        runs[f"r{n}"] = [[500 * n + 5, 0, 0], [500 * n + 495, 0, 0]]
    said = {name: {"tube": size[name], "points": runs[name], "ends": ends[name]} for name in runs}
    return json.dumps({"job": "chain", "runs": said}), expected


def test_every_fitting_is_counted_once(tmp_path):
    asserted = shared = 0
    for seed in range(60):
        text, expected = chain(random.Random(seed))
        counted = Counter()
        for what, tubes, number, where in table_of(tmp_path, text) or []:
            sizes = tuple(sorted(int(float(tube.split()[0])) for tube in tubes.split("; ")))
            counted[what.removesuffix(" fitting"), sizes] += int(number)
            # Each fitting has its places in the last column, apart from the next one's.
            assert len(where.split("; ")) == int(number)
            shared += where.count(" + ")
        assert counted == expected, seed
        asserted += sum(expected.values())
    assert asserted > 120
    assert shared > 40


def test_couplings_of_jointed_runs_are_counted_where_they_are(tmp_path):
    """7,000 of tube out of lengths of 3,000 takes two couplings, and nothing says where but that no piece is longer."""
    (row,) = table_of(
        tmp_path, "job: long\ntube: 15\nstock: {length: 3000}\nruns: {a: {points: [[0,0,0], [7000,0,0]]}}"
    )
    assert row[0] == "capillary coupling"
    assert row[2] == "2"
    first, second = (float(place.removeprefix("a at ").removesuffix(" mm")) for place in row[3].split("; "))
    assert max(first, second - first, 7000.0 - second) <= 3000.0


def test_a_job_without_fittings_has_no_such_list(tmp_path):
    assert table_of(tmp_path, "job: bare\ntube: 15\nruns: {a: {points: [[0, 0, 0], [700, 0, 0]]}}") is None


def test_far_from_each_other_they_are_not_one_fitting(tmp_path):
    """That an end joins a run far off does not make one fitting of two."""
    text = "job: far\ntube: 15\nruns:\n"
    text += "  a: {points: [[0, 0, 0], [700, 0, 0]], ends: {finish: {fitting: elbow, to: end, joins: b}}}\n"
    text += "  b: {points: [[900, 0, 0], [900, 700, 0]], ends: {start: {fitting: elbow, to: end}}}\n"
    (row,) = table_of(tmp_path, text)
    assert row[0::2] == ["elbow", "2"]
    assert row[3] == "a, finish; b, start"
