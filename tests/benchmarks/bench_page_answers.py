"""How long the page's script takes to answer readings, in processor time of node, and six times that for a slow phone.

Run by hand: python tests/benchmarks/bench_page_answers.py
"""

import json
import subprocess
import sys
from importlib import resources
from pathlib import Path
from statistics import median

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "correction")]

from bent_and_read import Hands, Made  # noqa: E402
from made_answers import random_case, readings_after  # noqa: E402
from test_page_twin import NODE, SCRIPTS, as_listed, data_of  # noqa: E402

RUN = """
const lines = require("fs").readFileSync(0, "utf8").trim().split("\\n").map(JSON.parse);
const spent = ({ run, blocks }) => {
  const before = process.cpuUsage().user, answer = answersTo(run, blocks).at(-1);
  return [(process.cpuUsage().user - before) / 1000, answer.verdict];
};
warmUp(lines[0].run);
process.stdout.write(JSON.stringify(lines.map(spent)));
"""
PHONE = 6
"""So many times slower a slow phone is taken to be."""
USUAL = (1.0, 1.0, 1.0)
CASES = {
    "true": (USUAL, 0.0, 0.0),
    "one bend wrong": (USUAL, 25.0, 0.0),
    "one reading in six wrong": (USUAL, 0.0, 1 / 6),
    "rough hands": ((4.0, 3.0, 3.0), 0.0, 0.0),
}
"""Hands, by how much one bend is out besides, degrees, and the part of the readings that is wrong."""


def asked(bends, hands, more, wrong, pieces=50):
    """Pieces of so many bends, all checks read; some of them wrong by 15 mm or degrees (standard deviation)."""
    found = []
    for seed in range(1000):
        if len(found) == pieces:
            break
        if (case := random_case(seed, bends=bends)) is None:
            continue
        solved, run = case
        random, pulls, made, read = np.random.default_rng(seed), run["plan"]["pulls"], Made(run), {}
        errors = Hands(random, bends, *hands)
        errors.angle[random.integers(bends)] += more
        made.follow(pulls, errors)
        for k in range(1, len(pulls) + 1):
            read |= readings_after(made, pulls[:k], random)["readings"]
        for check, value in read.items():
            if not isinstance(value, str) and random.random() < wrong:
                read[check] = abs(value + float(random.normal(0.0, 15.0)))
        found.append({"run": data_of(solved), "blocks": [{"after": len(pulls), "readings": as_listed(read)}]})
    return found


def main():
    folder = resources.files("pipemodel.documents.page")
    script = "\n".join((folder / name).read_text(encoding="utf-8") for name in SCRIPTS) + RUN
    for bends in (3, 8):
        for name, case in CASES.items():
            lines = "\n".join(map(json.dumps, asked(bends, *case)))
            done = subprocess.run([NODE, "-e", script], input=lines, capture_output=True, text=True, check=True)
            spent = [ms for ms, _ in json.loads(done.stdout)]
            p95 = sorted(spent)[int(0.95 * (len(spent) - 1))]
            row = {"median": median(spent), "95 in 100": p95, "most": max(spent), "the first": spent[0]}
            said = ", ".join(f"{word} {ms:.1f} ({PHONE * ms:.0f})" for word, ms in row.items())
            print(f"{bends} bends, {name}: {said} ms")


if __name__ == "__main__":
    main()
