"""Jobs of boxes with a run to be found."""

from collections.abc import Sequence
from pathlib import Path

import yaml

Box = tuple[tuple[float, float, float], tuple[float, float, float]]
FORMER = {"radius": 55, "springback": {"per_degree": 0.02, "fixed": 1.0}, "hold": 60, "guide": 45}


def job_of(
    folder: Path,
    boxes: Sequence[Box],
    find: dict[str, object],
    former: dict[str, object] | None = None,
    **more: object,
) -> Path:
    """Write a job with blocks in the room and one run to be found; return its file."""
    room = {f"box {i}": {"box": {"from": list(low), "to": list(high)}} for i, (low, high) in enumerate(boxes)}
    job = {
        "job": "a way among boxes",
        "tube": 15,
        "former": former or FORMER,
        "clearance": 10,
        "room": room,
        "runs": {"way": {"find": find}},
        **more,
    }
    path = folder / "job.yaml"
    path.write_text(yaml.safe_dump(job, sort_keys=False), encoding="utf-8")
    return path
