"""Change the program in one place at a time and see whether a test notices; not part of the everyday test run.

    python tests/mutation/run.py learn                 # once: which test runs which lines (needs coverage)
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
from worker import Ending, load_heavy, run_tests

ROOT = Path(__file__).parents[2]
SHARE = {"geometry": 40, "trade": 22, "job": 45, "bending": 22, "pulls": 45, "cutting": 30, "calibration": 22,
         "checks": 40, "solids": 30, "jig": 40, "wording": 22, "drawing": 35, "results": 22, "lists": 12,
         "documents": 45, "output": 14, "live": 12, "cli": 20, "processes": 12, "messages": 24}  # fmt: skip
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


def key_of(change: Change) -> str:
    """Name a change and the state of its module."""
    return hashlib.sha256(f"{change!r}\0{(ROOT / change.path).read_text()}".encode()).hexdigest()[:16]


def state_of(tests: list[str]) -> str:
    """Name the state of the files that some tests stand in."""
    files = sorted({test.partition("::")[0] for test in tests})
    return hashlib.sha256("\0".join((ROOT / file).read_text() for file in files).encode()).hexdigest()[:16]


def settled(entry: dict | None, tests: list[str]) -> bool:
    """Whether what was found about a change still holds: the test that noticed it stands as it did, or all that ran and
    no others would.
    """
    if entry is None or (entry["ended"] == "passed" and entry["tests"] != tests):
        return False
    return entry["state"] == state_of([entry["by"]] if entry["by"] else entry["tests"])


def try_all(packages: list[str], notes: Path, seconds: float, seed: int, part: tuple[int, int]) -> None:
    """Try every change of some packages and write down how each ended."""
    load_heavy()
    net = load(notes)
    found_at = notes / f"found-{part[0]}.json"
    mine = json.loads(found_at.read_text()) if found_at.is_file() else {}
    with tempfile.TemporaryDirectory() as folder:
        copy = copied(Path(folder))
        for change in [change for package in packages for change in drawn(package, seed)][part[0] - 1 :: part[1]]:
            key = key_of(change)
            before = found(notes).get(key)
            tests = guards(net, ROOT, change.path, change.line, seconds)
            if settled(before, tests):
                continue
            if before and before["by"] in net.seconds:
                tests = [before["by"], *(test for test in tests if test != before["by"])]
            ended, by = _tried(copy, change, tests, 30 + 4 * seconds) if tests else ("passed", "")
            by = by if (ROOT / by.partition("::")[0]).is_file() else ""
            mine[key] = {
                "ended": ended,
                "by": by,
                "tests": tests,
                "state": state_of([by] if by else tests),
                **vars(change),
            }
            # The other process reads it at any moment.
            part_written = found_at.with_suffix(".part")
            part_written.write_text(json.dumps(mine, indent=1))
            part_written.replace(found_at)
            print(f"{ended:<7} {change.path}:{change.line} {change.old!r} -> {change.new!r} {by}", flush=True)


def found(notes: Path) -> dict[str, dict]:
    """Return all that was found, by the key of each change."""
    out: dict[str, dict] = {}
    for path in sorted(notes.glob("found-*.json")):
        out |= json.loads(path.read_text())
    return out


def _tried(copy: Path, change: Change, tests: list[str], seconds: float) -> Ending:
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


def report(packages: list[str], notes: Path, seed: int) -> None:
    """Print how many changes were noticed in each package, and those that were not."""
    all_found = found(notes)
    tally: dict[str, Counter[str]] = defaultdict(Counter)
    survivors = []
    for package in packages:
        for change in drawn(package, seed):
            ended = all_found.get(key_of(change), {"ended": "not tried"})["ended"]
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
    parser.add_argument("--part", type=_part, default=(1, 1), help="1/2 and 2/2: the work of two processes")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    packages = asked.package or sorted(p.name for p in (ROOT / "pipemodel").iterdir() if (p / "__init__.py").is_file())
    asked.notes.mkdir(parents=True, exist_ok=True)
    if asked.what == "learn":
        load_heavy()
        with tempfile.TemporaryDirectory() as folder:
            learn(copied(Path(folder)), asked.notes, asked.part, 10 * asked.seconds)
    elif asked.what == "try":
        try_all(packages, asked.notes, asked.seconds, asked.seed, asked.part)
    else:
        report(packages, asked.notes, asked.seed)


if __name__ == "__main__":
    main()
