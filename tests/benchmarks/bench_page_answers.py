"""How long the page takes to answer readings on a slow phone: six times the processor time that Chromium's trace has.

Run by hand: python tests/benchmarks/bench_page_answers.py [pieces of each kind]

All checks but those of the last pull are read and answered; then those of the last pull are heard at once. Times are
of the page's main thread: of the task that hears the readings, of the one that draws next, of the longest task until
the answer stands, and of all tasks until then. The page's clock goes six times as fast, so that it does as much at a
time as on the phone. Other work on the machine makes it do less at a time now and then, and no task longer.
"""

import json
import sys
import tempfile
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from statistics import median

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "correction")]

from bent_and_read import Hands, Made  # noqa: E402
from browser import PHONE, chromium, opened, settle  # noqa: E402
from made_answers import random_case, readings_after  # noqa: E402
from measuring import print_machine, print_table  # noqa: E402

from pipemodel import story  # noqa: E402
from pipemodel.documents.page.page import page_html  # noqa: E402
from pipemodel.job.model import Job, Stock  # noqa: E402

SLOWER = 6
"""So many times slower a slow phone is taken to be."""
BENDS = (2, 4, 8, 12)
RUNS = 3
USUAL = (1.0, 1.0, 1.0)
CASES = {
    "true": (USUAL, 0.0, 0.0),
    "one bend wrong": (USUAL, 25.0, 0.0),
    "one reading in six wrong": (USUAL, 0.0, 1 / 6),
    "rough hands": ((4.0, 3.0, 3.0), 0.0, 0.0),
}
"""Hands, by how much one bend is out besides, degrees, and the part of the readings that is wrong."""
TRACED = ["toplevel", "blink.user_timing", "devtools.timeline", "disabled-by-default-devtools.timeline"]
HEARD = """([name, texts, last]) => {
  if (!last) {
    localStorage.clear();
    // The piece is bent as planned, whatever the page says.
    localStorage.setItem(`pipemodel/${page.data.identity}/0/as planned`, "yes");
  }
  const steps = [...page.readings.of.values()].filter((fields) => fields.length);
  for (const field of last ? steps.at(-1) : steps.flat()) page.readings.put(field, "");
  for (const field of last ? steps.at(-1) : steps.slice(0, -1).flat()) page.readings.put(field, texts[field.check.id]);
  performance.mark(name);
  steps.at(last ? -1 : -2)[0].input.dispatchEvent(new Event("change", { bubbles: true }));
}"""
"""Have the page hear what is read after the last pull, or first what is read after all others."""
FASTER = "(times) => { const now = performance.now.bind(performance); performance.now = () => times * now(); }"
SHOWN = "page.go(page.steps.findLastIndex((step) => step.querySelector('.answer')), true)"


def readings(solved, run, seed, hands, more, wrong):
    """What is read at all checks of a piece, as typed; some of it wrong by 15 mm or degrees (standard deviation)."""
    random, pulls, made, read = np.random.default_rng(seed), run["plan"]["pulls"], Made(run), {}
    errors = Hands(random, len(pulls), *hands)
    errors.angle[random.integers(len(pulls))] += more
    made.follow(pulls, errors)
    looks = {check["id"]: check["value"] for pull in pulls for check in pull["checks"]}
    for k in range(1, len(pulls) + 1):
        read |= readings_after(made, pulls[:k], random)["readings"]
    for check, value in read.items():
        if not isinstance(value, str) and random.random() < wrong:
            read[check] = round(abs(value + float(random.normal(0.0, 15.0))), 1)
    return {c: str(v) if not isinstance(v, str) else "yes" if v == looks[c] else "no" for c, v in read.items()}


def page_of(solved, folder):
    """Write the page of a run."""
    path = folder / "job.html"
    # In one piece, however long it is.
    job = Job("made", (replace(solved.run, name="made"),), (), stock=Stock(20_000.0))
    path.write_text(page_html(story.results(job)), encoding="utf-8")
    return path.as_uri()


def tasks(trace):
    """By piece, the main thread's tasks from the last pull's readings on: (ms of processor time, whether it drew)."""
    events = json.loads(trace)["traceEvents"]
    found = [e for e in events if e["name"] in ("others", "last")]
    marks, thread = sorted((e["ts"], e["name"]) for e in found), (found[0]["pid"], found[0]["tid"])
    own = [e for e in events if (e.get("pid"), e.get("tid")) == thread]
    drawn = [e["ts"] for e in own if e["name"] == "Commit"]
    run = sorted((e["ts"], e["ts"] + e.get("dur", 0), e.get("tdur", 0) / 1000) for e in own if e["name"] == "RunTask")
    for (begin, name), (end, _) in pairwise([*marks, (float("inf"), "")]):
        kept = [one for one in run if one[1] > begin and one[0] < end]
        if name == "last":
            yield [(ms, any(a <= ts <= b for ts in drawn)) for a, b, ms in kept]


def measured(browser, bends, pieces):
    """By kind of hands: first answer, drawn, longest task and whole, ms; runs of so many bends."""
    found, out = [], {name: [] for name in CASES}
    for seed in range(1000):
        if len(found) < RUNS and (case := random_case(seed, bends=bends)) is not None:
            found.append(case)
    for solved, run in found:
        with tempfile.TemporaryDirectory() as name, opened(browser, page_of(solved, Path(name)), **PHONE) as window:
            settle(window)
            window.wait_for_timeout(4000)
            window.evaluate(SHOWN)
            window.evaluate(FASTER, SLOWER)
            for kind, case in CASES.items():
                browser.start_tracing(page=window, categories=TRACED)
                for piece in range(pieces // RUNS):
                    texts = readings(solved, run, piece, *case)
                    for last in (False, True):
                        window.evaluate(HEARD, ["last" if last else "others", texts, last])
                        window.wait_for_selector(".waiting", state="detached")
                        settle(window)
                for spent in tasks(browser.stop_tracing()):
                    first, drawn = spent[0][0], next(ms for ms, draws in spent if draws)
                    assert window.said == []
                    out[kind].append((first, drawn, max(ms for ms, _ in spent), sum(ms for ms, _ in spent)))
    return out


def main():
    pieces = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    print_machine()
    rows = []
    with chromium() as browser:
        for bends in BENDS:
            for kind, spent in measured(browser, bends, pieces).items():
                columns = [sorted(SLOWER * ms for ms in column) for column in zip(*spent, strict=True)]
                said = [f"{median(c):.0f} / {c[int(0.95 * (len(c) - 1))]:.0f} / {c[-1]:.0f}" for c in columns]
                rows.append([str(bends), str(len(spent)), kind, *said])
                print(rows[-1], flush=True)
    head = ["bends", "pieces", "read", "heard", "drawn", "longest", "all"]
    print_table(f"Median / 95 in 100 / most, ms at {SLOWER} times slower", head, rows)


if __name__ == "__main__":
    main()
