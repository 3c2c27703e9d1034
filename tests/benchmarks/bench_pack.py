"""The whole pack in every format, cold: the example, and a job of forty runs in a furnished room.

    python tests/benchmarks/bench_pack.py

docs/benchmarks.md says what was found.
"""

import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from measuring import ROOT, cold_s, print_machine, print_table

from pipemodel import story
from pipemodel.documents.formats import FORMATS, write_formats

EXAMPLE = ROOT / "examples" / "airing-cupboard-to-panel.yaml"
RUNS, THINGS = 40, 50


def write_forty(path: Path, runs: int = RUNS, things: int = THINGS) -> Path:
    """Write a job of many runs side by side, eight bends each, among many boxes and pipes."""
    lines = [
        "job: forty runs in a plant room",
        "tube: 15",
        "former: {radius: 55, springback: {per_degree: 0.02}, hold: 60, guide: 45}",
    ]
    lines += ["clearance: 5", "room:"]
    for i in range(things):
        x, y = 300 * (i % 10), 400 * (i // 10)
        if i % 2:
            lines.append(f"  box {i}: {{box: {{from: [{x}, {y}, -400], to: [{x + 180}, {y + 250}, -300]}}}}")
        else:
            lines.append(
                f"  pipe {i}: {{cylinder: {{from: [{x}, {y}, -350], to: [{x + 280}, {y}, -350], diameter: 42}}}}"
            )
    lines.append("runs:")
    for i in range(runs):
        x, y, z = 0.0, 50.0 * i, 0.0
        points = [(x, y, z)]
        for step in range(9):
            dx, dz = ((320 + 3 * i, 0), (0, 220), (300, 0), (0, -220))[step % 4]
            x, z = x + dx, z + dz
            points.append((x, y, z))
        lines.append(f"  run {i + 1}: {{points: [{', '.join(f'[{a:g}, {b:g}, {c:g}]' for a, b, c in points)}]}}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def whole(folder: Path) -> list[list[str]]:
    """Time whole processes writing everything."""
    rows = []
    for name, job, tries in (("the example", EXAMPLE, 5), ("forty runs", write_forty(folder / "forty.yaml"), 1)):
        seconds, memory = cold_s(["-m", "pipemodel", "make", str(job), "--out", str(folder / f"{name} out")], tries)
        size = sum(p.stat().st_size for p in (folder / f"{name} out").iterdir()) / 1e6
        rows.append([name, f"{seconds:.1f}", f"{memory:.0f}", f"{size:.1f}"])
    return rows


def by_format(job: Path, folder: Path) -> list[list[str]]:
    """Time each format by itself in a warm process, in the order of the table."""
    answer = story.results(story.load(job))
    rows = []
    for name, format in FORMATS.items():
        if not format.wanted(answer):
            continue
        out = folder / name
        out.mkdir()
        with clock() as took:
            write_formats(answer, out, {name: format}, True, lambda _: None)
        rows.append([name, f"{took[0]:.2f}"])
    return rows


@contextmanager
def clock() -> Iterator[list[float]]:
    """Give a list that holds the seconds taken when the block ends."""
    took: list[float] = []
    begin = time.perf_counter()
    yield took
    took.append(time.perf_counter() - begin)


def main() -> None:
    """Print all of it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print_table("Everything, cold", ["job", "s", "MB", "written, MB"], whole(folder))
        for title, job in (("the example", EXAMPLE), ("forty runs", folder / "forty.yaml")):
            out = folder / f"{title} by format"
            out.mkdir()
            print_table(f"Each format, warm, {title}", ["format", "s"], by_format(job, out))


if __name__ == "__main__":
    print_machine()
    main()
