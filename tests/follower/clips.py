"""The clip list: where clips stand along the bent tube and on the wall, held against the tube that is asked for.

Jobs for it run along one wall, among a wall at the end, a floor and a ceiling; the figures of the list are measured
from those by the names they have in the job.
"""

import random
import re
from dataclasses import dataclass
from math import radians, tan
from typing import NamedTuple

import numpy as np

from follower.figures import length

RADIUS, CLEARANCE = 55.0, 4.0


class Clip(NamedTuple):
    """A clip as the list has it: mm along the tube, the leg, the face, and two measures (mm, from what)."""

    number: int
    along: float
    leg: int
    face: str
    across: tuple[float, str]
    up: tuple[float, str]


@dataclass(frozen=True)
class ClipJob:
    """A job whose run is clipped to a wall: its points, standoff and spacings, and the planes by their names."""

    yaml: str
    points: np.ndarray
    standoff: float
    level: float
    upright: float
    planes: dict


def clip_job(seed):
    """Make a job with a run along the wall at y = 0, which looks north."""
    dice = random.Random(seed)
    standoff = dice.choice([18.0, 25.0, 40.0])
    level, upright = dice.choice([(600, 900), (450, 1200), (1200, 1800)])
    x, z = dice.uniform(300, 700), dice.uniform(400, 900)
    points, ahead = [(x, z)], 0
    for _ in range(dice.randint(1, 4)):
        way = dice.choice([1, -1]) if ahead else 1
        far = dice.uniform(420, 1500)
        x, z = (x, z + way * far) if ahead else (x + far, z)
        points.append((x, z))
        ahead = 1 - ahead
    lift = max(0.0, 300.0 - min(z for _, z in points))
    points = np.array([(x, standoff, z + lift) for x, z in points])
    high = float(points[:, 2].max()) + 400
    planes = {
        "back wall": (np.zeros(3), np.array([0, 1, 0])),
        "gable": (np.zeros(3), np.array([1, 0, 0])),
        "screed": (np.zeros(3), np.array([0, 0, 1])),
        "slab above": (np.array([0, 0, high]), np.array([0, 0, -1])),
    }
    listed = ", ".join("[" + ", ".join(f"{c:.6f}" for c in p) + "]" for p in points)
    yaml = f"""\
job: clipped {seed}
tube: 15
former: {{radius: {RADIUS:g}, hold: 60, guide: 45}}
stock: {{length: 12000}}
clearance: {CLEARANCE:g}
clips: {{face: back wall, standoff: {standoff:g}, spacing: {{level: {level}, upright: {upright}}}, near_fitting: 150}}
room:
  back wall: {{face: {{at: [0, 0, 0], facing: north}}}}
  gable: {{face: {{at: [0, 0, 0], facing: east}}}}
  screed: {{face: {{at: [0, 0, 0], facing: up}}}}
  slab above: {{face: {{at: [0, 0, {high:.6f}], facing: down}}}}
runs:
  flow:
    points: [{listed}]
"""
    return ClipJob(yaml, points, standoff, level, upright, planes)


def measure(text, unit):
    """Read "412.5 from gable"."""
    found = re.fullmatch(r"(-?[\d /.]+(?: \([\d.]+\))?) (from .+)", text)
    return length(found[1], unit).mm, found[2].removeprefix("from ")


_ROW = re.compile(r"^  +(\d+)  +(\S.*?)  +(\d+)  (\S.*(?:\n {10,}\S.*)*)$", flags=re.M)


def text_clips(text, unit):
    """Read the clips under a schedule as text, and the spacings it names: (level, upright, clips)."""
    body = text[text.index("\n  Clips for ") :]
    flat = " ".join(body.split())
    rule = re.search(r"at most ([\d./() ]+) apart on level tube and ([\d./() ]+) on upright", flat)
    clips = []
    for number, along, leg, where in _ROW.findall(body[body.index("  Clip  ") :]):
        face, rest = " ".join(where.split()).split(": ", 1)
        across, up = rest.split(", ")
        clips.append(
            Clip(int(number), length(along, unit).mm, int(leg), face, measure(across, unit), measure(up, unit))
        )
    return length(rule[1], unit).mm, length(rule[2], unit).mm, clips


def table_clips(rows, unit):
    """Read the clips of a workbook or of Markdown."""
    return [
        Clip(
            int(row["clip"]),
            length(str(row[f"along the bent tube, {unit}"]), unit).mm,
            int(row["leg"]),
            row["on"],
            measure(f"{row[f'across, {unit}']} {row['from']}", unit),
            measure(f"{row[f'up, {unit}']} {row['measured from']}", unit),
        )
        for row in rows
    ]


def page_clips(rows, unit):
    """Read the clips of the page."""
    return [
        Clip(
            int(row["clip"]),
            length(row["along the tube"], unit).mm,
            int(row["leg"]),
            *face_and_measures(row["where on the face"], unit),
        )
        for row in rows
    ]


def face_and_measures(text, unit):
    """Read "back wall: 412.5 from gable, 1200 from screed"."""
    face, rest = " ".join(text.split()).split(": ", 1)
    return face, *(measure(part, unit) for part in rest.split(", "))


def faults(job, clips, give):
    """Return what is wrong with a clip list, in words; `give` is how far its figures may be off by rounding."""
    wrong = []
    legs = _legs(job.points)
    if [c.number for c in clips] != list(range(1, len(clips) + 1)):
        wrong.append("the clips are not numbered along the tube")
    for clip in clips:
        on = [n for n, (s, e, *_) in enumerate(legs, 1) if s - give <= clip.along <= e + give]
        if on != [clip.leg]:
            wrong.append(f"clip {clip.number} at {clip.along}: on straight {on}, not {clip.leg}")
            continue
        begins, _, at, way = legs[clip.leg - 1]
        point = at + (clip.along - begins) * way
        plane, normal = job.planes[clip.face]
        if abs((point - plane) @ normal - job.standoff) > give:
            wrong.append(f"clip {clip.number} does not hold the tube to {clip.face}")
        for value, name in (clip.across, clip.up):
            plane, normal = job.planes[name]
            if abs((point - plane) @ normal - value) > 2 * give:
                wrong.append(f"clip {clip.number} is {(point - plane) @ normal:.1f} from {name}, not {value}")
        if not abs(job.planes[clip.across[1]][1][0]) or not abs(job.planes[clip.up[1]][1][2]):
            wrong.append(f"clip {clip.number}: {clip.across[1]} is across, and {clip.up[1]} is up?")
    for one, two in zip(clips, clips[1:], strict=False):
        ways = [legs[c.leg - 1][3] for c in (one, two)]
        most = min(job.upright if abs(way[2]) > 0.9 else job.level for way in ways)
        if two.along - one.along > most + 2 * give:
            wrong.append(f"{two.along - one.along:.0f} without a clip, where {most} is allowed")
    return wrong


def _legs(points):
    """Return (from, to, where it begins, which way) of each straight; from and to along the bent tube."""
    ways = np.diff(points, axis=0)
    sizes = np.linalg.norm(ways, axis=1)
    ways = ways / sizes[:, None]
    angles = [np.degrees(np.arccos(np.clip(a @ b, -1, 1))) for a, b in zip(ways, ways[1:], strict=False)]
    backs = [0.0, *(RADIUS * tan(radians(a) / 2) for a in angles), 0.0]
    legs, s = [], 0.0
    for i, (size, way) in enumerate(zip(sizes, ways, strict=True)):
        straight = size - backs[i] - backs[i + 1]
        legs.append((s, s + straight, points[i] + way * backs[i], way))
        s += straight + (RADIUS * radians(angles[i]) if i < len(angles) else 0.0)
    return legs
