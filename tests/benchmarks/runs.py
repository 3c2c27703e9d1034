"""The runs that the benchmarks bend: a staircase through space, as many bends as wanted, none crossing another."""

from collections.abc import Sequence
from pathlib import Path

Corner = tuple[float, float, float]

RADIUS, OUTSIDE, WALL = 55.0, 15.0, 0.7
_STEPS: tuple[Corner, ...] = ((300.0, 0.0, 0.0), (0.0, 260.0, 0.0), (0.0, 0.0, 220.0), (180.0, 140.0, 0.0))


def staircase(bends: int, shift: float = 0.0) -> list[Corner]:
    """Return start, corners and finish of a run of bends in many planes; `shift` moves it along y."""
    corners: list[Corner] = [(0.0, shift, 0.0)]
    for i in range(bends + 1):
        (x, y, z), (dx, dy, dz) = corners[-1], _STEPS[i % len(_STEPS)]
        corners.append((x + dx, y + dy, z + dz))
    return corners


def job_text(runs: int, bends: int, boxes: int = 1) -> str:
    """Return a job file of some runs beside each other and some boxes under them."""
    lines = [
        "job: staircase",
        f"tube: {{outside: {OUTSIDE:g}, wall: {WALL:g}}}",
        f"former: {{radius: {RADIUS:g}, hold: 40, guide: 30}}",
        "room:",
    ]
    for i in range(boxes):
        lines.append(f"  box {i + 1}: {{box: {{from: [{i * 50}, 0, -100], to: [{i * 50 + 40}, 40, -60]}}}}")
    lines.append("runs:")
    for i in range(runs):
        lines += [f"  run {i + 1}:", f"    points: {_flow(staircase(bends, shift=-100.0 * i))}"]
    return "\n".join(lines) + "\n"


def write_job(path: Path, runs: int, bends: int, boxes: int = 1) -> Path:
    """Write a job file and return its path."""
    path.write_text(job_text(runs, bends, boxes), encoding="utf-8")
    return path


def _flow(corners: Sequence[Corner]) -> str:
    return "[" + ", ".join(f"[{x:g}, {y:g}, {z:g}]" for x, y, z in corners) + "]"
