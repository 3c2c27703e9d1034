"""Which test files run which lines, found by running every test file once under coverage, in a process of its own.

A line that no test file is seen to run (it runs in a process that a test starts, or nowhere) is left to the test files
that name its module.
"""

import json
import re
import time
from pathlib import Path

from worker import run_tests


def learn(root: Path, notes: Path, part: tuple[int, int], seconds: float) -> None:
    """Run test files of a tree under coverage and write down the lines each runs and how long it takes.

    `part` (k, n) is every n-th file from the k-th on, so that n processes share the work.
    """
    into = notes / f"net-{part[0]}-{part[1]}.json"
    net = json.loads(into.read_text()) if into.is_file() else {}
    known = load(notes)
    for test in sorted(root.glob("tests/**/test_*.py"))[part[0] - 1 :: part[1]]:
        name = str(test.relative_to(root))
        if name in known:
            continue
        begun = time.monotonic()
        lines = root / ".lines.json"
        lines.unlink(missing_ok=True)
        ended = run_tests(root, [name], seconds, cover=lines)
        took = time.monotonic() - begun
        seen = json.loads(lines.read_text()) if lines.is_file() else {}
        net[name] = {"ended": ended, "seconds": round(took, 1), "lines": seen}
        print(f"{name}: {ended}, {took:.0f} s, {sum(map(len, seen.values()))} lines", flush=True)
        into.write_text(json.dumps(net))


def load(notes: Path) -> dict:
    """Return all that was learnt."""
    net: dict = {}
    for path in sorted(notes.glob("net-*.json")):
        net |= json.loads(path.read_text())
    return net


def guards(net: dict, root: Path, path: str, line: int, seconds: float) -> list[str]:
    """Return the test files to run for a change, within a time: those of the module's name first, then those of whose
    work the module is the largest part.
    """
    stem = Path(path).parent.name if path.endswith("__init__.py") else Path(path).stem
    named = re.compile(rf"\b{stem}\b")

    def nearness(name: str) -> tuple[bool, float]:
        lines = net[name]["lines"]
        return stem not in Path(name).stem, -len(lines.get(path, ())) / max(sum(map(len, lines.values())), 1)

    sound = [name for name, seen in net.items() if seen["ended"] == "passed"]
    running = [name for name in sound if line in net[name]["lines"].get(path, ())]
    if not running:
        running = [name for name in sound if named.search((root / name).read_text())]
    chosen, spent = [], 0.0
    for name in sorted(running, key=nearness):
        if chosen and spent + net[name]["seconds"] > seconds:
            continue
        chosen.append(name)
        spent += net[name]["seconds"]
    return chosen
