"""Clocks for the benchmarks: the best of some tries here, and whole processes from start to end."""

import os
import platform
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]


def best_ms(work: Callable[[], object], tries: int = 5) -> float:
    """Return the least wall time of some tries, in ms; `work` must not keep what it made the time before."""
    times = []
    for _ in range(tries):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return 1000.0 * min(times)


def cold_s(arguments: Sequence[str], tries: int = 5) -> tuple[float, float]:
    """Run Python in processes of its own; return the least wall time in s and the largest memory in MB."""
    times, memory = [], 0.0
    for _ in range(tries):
        begin = time.perf_counter()
        child = subprocess.Popen(
            [sys.executable, *arguments], cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        _, status, used = os.wait4(child.pid, 0)
        times.append(time.perf_counter() - begin)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode not in (0, 1):
            raise RuntimeError(f"{arguments} ended with {child.returncode}")
        memory = max(memory, _megabytes(used))
    return min(times), memory


def _megabytes(used: resource.struct_rusage) -> float:
    """Peak memory: the system counts in bytes on macOS, elsewhere in kB."""
    return used.ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)


def print_table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table, the first column to the left and the others to the right."""
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    print(f"\n{title}")
    for row in (head, ["-" * width for width in widths], *rows):
        first, *others = (
            cell.ljust(w) if i == 0 else cell.rjust(w) for i, (cell, w) in enumerate(zip(row, widths, strict=True))
        )
        print("  ".join([first, *others]).rstrip())


def print_machine() -> None:
    """Print what the figures were measured on."""
    print(f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()}, Python {platform.python_version()}")
