"""Which test runs which lines, found by running every test file once under coverage, in a process of its own.

Lines are kept for each test by itself, so that of the thousands that pass a common line those few are chosen that have
little else to do. What a fixture of a module runs counts for every test that asks for it.
"""

import ast
import json
import re
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from worker import run_tests


@dataclass
class Net:
    """All that was learnt: seconds of each test, and for each module the lines of each test, as bits."""

    seconds: dict[str, float] = field(default_factory=dict)
    total: Counter[str] = field(default_factory=Counter)
    lines: dict[str, dict[str, int]] = field(default_factory=dict)


def learn(root: Path, notes: Path, part: tuple[int, int], seconds: float) -> None:
    """Run test files of a tree under coverage and write down the lines of each test and how long it takes.

    `part` (k, n) is every n-th file from the k-th on, so that n processes share the work.
    """
    folder = notes / "net"
    folder.mkdir(exist_ok=True)
    for test in sorted(root.glob("tests/**/test_*.py"))[part[0] - 1 :: part[1]]:
        name = str(test.relative_to(root))
        into = folder / f"{name.replace('/', '-')}.json"
        if into.is_file():
            continue
        begun = time.monotonic()
        lines = root / f".lines-{part[0]}.json"
        lines.unlink(missing_ok=True)
        ended = run_tests(root, [name], seconds, cover=lines).ended
        print(f"{name}: {ended}, {time.monotonic() - begun:.0f} s", flush=True)
        if lines.is_file():
            into.write_text(lines.read_text())


def load(notes: Path) -> Net:
    """Return all that was learnt."""
    net = Net()
    for path in sorted((notes / "net").glob("*.json")):
        seen = json.loads(path.read_text())
        for test, one in seen["tests"].items():
            net.seconds[test] = one["seconds"]
            passed: dict[str, int] = {}
            for context in (test, *one["fixtures"]):
                for module, bits in seen["lines"].get(context, {}).items():
                    passed[module] = passed.get(module, 0) | int(bits, 16)
            for module, bits in passed.items():
                net.lines.setdefault(module, {})[test] = bits
                net.total[test] += bits.bit_count()
    return net


def _in_a_function(path: Path, line: int) -> bool:
    functions = (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)
    return any(
        isinstance(node, functions) and node.lineno < line <= (node.end_lineno or 0)
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    )


def guards(net: Net, root: Path, path: str, line: int, seconds: float) -> list[str]:
    """Return the tests to run for a change, within a time: of each test function one case first, and those first of
    whose work the module is the largest part.

    A line outside all functions (a table, a definition; whichever test comes first imports it) is left to the tests
    that run any line of its module and to those of its package, a line that no test is seen to run to the former, and
    a module that none is seen to run (it runs in a process that a test starts) to the test files that name it.
    """
    stem = Path(path).parent.name if path.endswith("__init__.py") else Path(path).stem
    module = net.lines.get(path, {})
    running = list(module)
    if _in_a_function(root / path, line):
        running = [test for test, bits in module.items() if bits >> line & 1] or running
    else:
        of_package = f"tests/{Path(path).parts[1]}/"
        running += [test for test in net.seconds if test.startswith(of_package) and test not in module]
    if not running:
        named = re.compile(rf"\b{stem}\b")
        files = {str(f.relative_to(root)) for f in root.glob("tests/**/test_*.py") if named.search(f.read_text())}
        running = [test for test in net.seconds if test.partition("::")[0] in files]
    share = {test: module.get(test, 0).bit_count() / max(net.total[test], 1) for test in running}
    turn: Counter[str] = Counter()
    turns = {}
    for test in sorted(running, key=lambda test: (-share[test], net.seconds[test])):
        function = test.partition("[")[0]
        turns[test] = turn[function] if stem not in function.partition("::")[0] else 0
        turn[function] += 1
    chosen, spent = [], 0.0
    for test in sorted(running, key=lambda test: (turns[test], -share[test], net.seconds[test])):
        if chosen and spent + net.seconds[test] > seconds:
            continue
        chosen.append(test)
        spent += net.seconds[test]
    return chosen
