"""Change the program in one place at a time and see whether a test notices; not part of the everyday test run.

    python tests/mutation/run.py learn                 # once: which test file runs which lines (needs coverage)
    python tests/mutation/run.py try --package jig     # 400 changes over all packages, or those of one
    python tests/mutation/run.py report                # the table, and the survivors

Work is done on a copy of the tree. The changes are drawn with a fixed seed: the same code gives the same changes. What
was found is kept in the folder of --notes, so that a run goes on where it was stopped; a change is tried again only
when its module or its tests have changed.
"""

import argparse
import hashlib
import json
import random
import shutil
import tempfile
from collections import Counter, defaultdict
from itertools import zip_longest
from pathlib import Path

from changes import Change, attributes_of, changes_of, compiles
from net import guards, learn, load
from worker import load_heavy, run_tests

ROOT = Path(__file__).parents[2]
SHARE = {"geometry": 45, "trade": 25, "job": 55, "bending": 70, "checks": 45, "solids": 30, "jig": 50, "handover": 90,
         "live": 15, "cli": 25, "processes": 15}  # fmt: skip
"""How many changes each package gets; a package not named here gets 20."""
KINDS = ("name", "sign", "comparison", "word", "arithmetic", "condition", "left out", "constant")


def drawn(package: str, seed: int) -> list[Change]:
    """Draw a package's changes: of each kind in turn, the spans far apart, the same for the same code and seed."""
    attributes = set()
    for path in sorted((ROOT / "pipemodel").rglob("*.py")):
        attributes |= attributes_of(path.read_bytes())
    by_kind: dict[str, list[Change]] = defaultdict(list)
    for path in sorted((ROOT / "pipemodel" / package).rglob("*.py")):
        for change in changes_of(str(path.relative_to(ROOT)), path.read_bytes(), attributes):
            by_kind[change.kind].append(change)
    dice = random.Random(f"{package} {seed}")
    for kind in by_kind:
        dice.shuffle(by_kind[kind])
    out: list[Change] = []
    lines: set[tuple[str, int]] = set()
    for row in zip_longest(*(by_kind[kind] for kind in KINDS)):
        for change in filter(None, row):
            if (change.path, change.line) not in lines and compiles(change.applied((ROOT / change.path).read_bytes())):
                lines.add((change.path, change.line))
                out.append(change)
    return out[: SHARE.get(package, 20)]


def key_of(change: Change, tests: list[str]) -> str:
    """Name a change and the state of its module and its tests."""
    parts = [repr(change), (ROOT / change.path).read_text(), *((ROOT / test).read_text() for test in tests)]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()[:16]


def try_all(packages: list[str], notes: Path, seconds: float, seed: int) -> None:
    """Try every change of some packages and write down how each ended."""
    load_heavy()
    net = load(notes)
    with tempfile.TemporaryDirectory() as folder:
        copy = copied(Path(folder))
        for package in packages:
            found_at = notes / f"found-{package}.json"
            found = json.loads(found_at.read_text()) if found_at.is_file() else {}
            for change in drawn(package, seed):
                tests = guards(net, ROOT, change.path, change.line, seconds)
                key = key_of(change, tests)
                if key in found:
                    continue
                ended = "passed" if not tests else _tried(copy, change, tests, 4 * seconds)
                found[key] = {"ended": ended, "tests": tests, **vars(change)}
                found_at.write_text(json.dumps(found, indent=1))
                print(f"{ended:<7} {change.path}:{change.line} {change.old!r} -> {change.new!r}", flush=True)


def _tried(copy: Path, change: Change, tests: list[str], seconds: float) -> str:
    there = copy / change.path
    source = there.read_bytes()
    there.write_bytes(change.applied(source))
    try:
        return run_tests(copy, tests, seconds)
    finally:
        there.write_bytes(source)


def copied(folder: Path) -> Path:
    """Copy the tree, without what git does not track, so that the changes are made in nobody's way."""
    copy = folder / "copy"
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv*", "__pycache__", "out", ".*_cache"))
    return copy


def report(packages: list[str], notes: Path, seed: int, seconds: float) -> None:
    """Print how many changes were noticed in each package, and those that were not."""
    net = load(notes)
    found = {}
    for path in notes.glob("found-*.json"):
        found |= json.loads(path.read_text())
    tally: dict[str, Counter[str]] = defaultdict(Counter)
    survivors = []
    for package in packages:
        for change in drawn(package, seed):
            key = key_of(change, guards(net, ROOT, change.path, change.line, seconds))
            ended = found.get(key, {"ended": "not tried"})["ended"]
            tally[package][ended] += 1
            if ended == "passed":
                survivors.append(change)
    print("| package | changes | noticed | not noticed | not tried |")
    print("|---|---|---|---|---|")
    for package, ends in tally.items():
        noticed = ends["failed"] + ends["time"]
        print(f"| {package} | {ends.total()} | {noticed} | {ends['passed']} | {ends['not tried']} |")
    for change in survivors:
        print(f"{change.path}:{change.line} [{change.kind}] {change.old!r} -> {change.new!r}")


def _part(text: str) -> tuple[int, int]:
    k, n = map(int, text.split("/"))
    return k, n


def main() -> None:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=("learn", "try", "report"))
    parser.add_argument("--package", action="append", help="a package of pipemodel/; all if left out")
    parser.add_argument("--notes", type=Path, default=ROOT / "out" / "mutation", help="where what was found is kept")
    parser.add_argument("--seconds", type=float, default=60.0, help="time for the tests of one change")
    parser.add_argument("--part", type=_part, default=(1, 1), help="of learn: 1/2 and 2/2 in two processes")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    packages = asked.package or sorted(p.name for p in (ROOT / "pipemodel").iterdir() if (p / "__init__.py").is_file())
    asked.notes.mkdir(parents=True, exist_ok=True)
    if asked.what == "learn":
        load_heavy()
        with tempfile.TemporaryDirectory() as folder:
            learn(copied(Path(folder)), asked.notes, asked.part, 10 * asked.seconds)
    elif asked.what == "try":
        try_all(packages, asked.notes, asked.seconds, asked.seed)
    else:
        report(packages, asked.notes, asked.seed, asked.seconds)


if __name__ == "__main__":
    main()
