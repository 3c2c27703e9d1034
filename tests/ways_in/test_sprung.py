"""A splayed U, wider than the passage it must come through: it goes in sprung, by as much as a beam says."""

import json

from math import cos, radians, sin
import pytest
from command_line import run
from rooms_with_openings import in_a_wall

LEG, BACK, SPLAY, DEEP, R, TUBE, MARGIN = 400.0, 200.0, 1.0, 300.0, 55.0, 15.0, 2.0
TIPS = BACK + 2.0 * LEG * sin(radians(SPLAY))
"""Between the ends of the legs, which lie by so many degrees out of parallel."""


def room(wide):
    """A flat chamber, and a passage into it that is as deep as the piece cannot turn in; nothing but flat goes in."""
    half, tall = wide / 2.0, TUBE / 2.0 + MARGIN + 3.0
    boxes = in_a_wall((-900, 900), (-300, 300), (-half, half), (-tall, tall), (-DEEP, 0))
    boxes += [((-900, 0, -300), (900, 900, -tall)), ((-900, 0, tall), (900, 900, 300))]
    boxes += [((-900, 0, -tall), (-260, 900, tall)), ((260, 0, -tall), (900, 900, tall)), ((-900, 800, -300), (900, 900, 300))]
    corners = [(-half, -DEEP, -tall), (half, -DEEP, -tall), (half, -DEEP, tall), (-half, -DEEP, tall)]
    return boxes, corners


def job(wide, spread, tube="15", effort=4000):
    boxes, corners = room(wide)
    x = BACK / 2.0
    out = x + LEG * sin(radians(SPLAY))
    y = 700.0 - LEG * cos(radians(SPLAY))
    lines = [f"job: in\ntube: {tube}\nformer: {{radius: {R}, hold: 1, guide: 1, springback: {{fixed: 0}}}}\nroom:"]
    lines += [f"  b{i}: {{box: {{from: {list(low)}, to: {list(high)}}}}}" for i, (low, high) in enumerate(boxes)]
    lines.append(f"openings: {{hatch: {{corners: {[list(c) for c in corners]}, outside: [0, -2000, 0]}}}}")
    lines.append(f"bring in: {{through: hatch, margin: {MARGIN}, effort: {effort}, spread: {spread}}}")
    lines.append(f"runs: {{u: {{points: [[{-out}, {y}, 0], [{-x}, 700, 0], [{x}, 700, 0], [{out}, {y}, 0]]}}}}")
    return "\n".join(lines) + "\n"


def checked(tmp_path, *args, **kw):
    file = tmp_path / "job.yaml"
    file.write_text(job(*args, **kw))
    done = run("check", file, "--format", "json")
    assert done.code in (0, 1), done.err
    return json.loads(done.out)
