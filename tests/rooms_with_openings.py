"""Rooms for pieces to be brought into, as jobs and as the boxes they are made of."""

import json

from command_line import run

HEAD = """\
job: in
tube: {{outside: {outside}, wall: 0.7}}
former: {{radius: {radius}, hold: 1, guide: 1, springback: {{fixed: 0}}}}
"""


def job_text(boxes, opening, runs, margin=2.0, outside=15.0, radius=55.0, more=""):
    """A job of boxes, one opening (corners, outside point) and runs by their corners."""
    lines = [HEAD.format(outside=outside, radius=radius) + "room:"]
    lines += [f"  b{i}: {{box: {{from: {list(low)}, to: {list(high)}}}}}" for i, (low, high) in enumerate(boxes)]
    corners, out = opening
    lines.append(f"openings:\n  hatch: {{corners: {[list(c) for c in corners]}, outside: {list(out)}}}")
    lines.append(f"bring in: {{through: hatch, margin: {margin}{more}}}\nruns:")
    lines += [f"  {name}: {{points: {[list(p) for p in points]}}}" for name, points in runs.items()]
    return "\n".join(lines) + "\n"


def checked(tmp_path, text, *options):
    """What `check` says of a job."""
    file = tmp_path / "job.yaml"
    file.write_text(text)
    return run("check", file, *options)


def ways(tmp_path, text):
    """What `check` says of the ways in: by run, and all findings' codes."""
    done = checked(tmp_path, text, "--format", "json")
    assert done.code in (0, 1), done.err
    record = json.loads(done.out)
    return {way["run"]: way for way in record["ways_in"]}, [finding["code"] for finding in record["findings"]]


def cupboard(width, depth, height, hatch, thick=20.0):
    """A closed cupboard from the origin, a hatch (x, z, width, height) in its south side; its boxes and the opening."""
    x, z, wide, tall = hatch
    t = thick
    boxes = [
        ((-t, -t, -t), (width + t, depth + t, 0)),
        ((-t, -t, height), (width + t, depth + t, height + t)),
        ((-t, depth, 0), (width + t, depth + t, height)),
        ((-t, -t, 0), (0, depth, height)),
        ((width, -t, 0), (width + t, depth, height)),
    ]
    boxes += in_a_wall((0, width), (0, height), (x, x + wide), (z, z + tall), (-t, 0))
    corners = [(x, 0, z), (x + wide, 0, z), (x + wide, 0, z + tall), (x, 0, z + tall)]
    return boxes, (corners, (x + wide / 2, -3.0 * depth, z + tall / 2))


def in_a_wall(wall_x, wall_z, hole_x, hole_z, y):
    """Four boxes round a hole in an upright wall."""
    (x0, x1), (z0, z1), (a, b), (c, d), (y0, y1) = wall_x, wall_z, hole_x, hole_z, y
    found = [
        ((x0, y0, z0), (x1, y1, c)),
        ((x0, y0, d), (x1, y1, z1)),
        ((x0, y0, c), (a, y1, d)),
        ((b, y0, c), (x1, y1, d)),
    ]
    return [(low, high) for low, high in found if all(p < q for p, q in zip(low, high, strict=True))]


def states_of(way):
    return [(state["position"], state["rotation"]) for state in way["states"]]
