"""A jig's sheet read as a person reads it: RUN-jig.txt turned into what it claims; imports nothing of pipemodel."""

import re
from dataclasses import dataclass, field

NUMBER = r"(-?\d+(?:\.\d+)?)"


@dataclass
class Sheet:
    """What a sheet claims. Millimetres and degrees."""

    asked: dict = field(default_factory=dict)
    cradles: list = field(default_factory=list)
    limits: list = field(default_factory=list)
    readings: list = field(default_factory=list)
    distances: list = field(default_factory=list)
    swing: float = 0.0
    far: float = 0.0
    parts: dict = field(default_factory=dict)
    gauges: dict = field(default_factory=dict)
    text: str = ""


def read(text):
    """Read the sheet."""
    sheet = Sheet(text=" ".join(text.split()))
    flat = sheet.text
    found = re.search(
        rf"For a piece of {NUMBER} mm tube\. Asked: every leg within {NUMBER} mm of its place, "
        rf"every bend within {NUMBER}\u00b0, the start within {NUMBER} mm and the finish within {NUMBER} mm along",
        flat,
    )
    names = ("outside", "position", "angle", "start", "finish")
    sheet.asked = dict(zip(names, map(float, found.groups()), strict=True))
    lines = text.splitlines()
    for line in _table(lines, "What each slot accepts"):
        words = line.split()
        stop = (words[8], float(words[9])) if len(words) > 8 else None
        number, leg = int(words[0]), int(words[1])
        low, high, slot, accepts, lean = map(float, words[2:7])
        assert words[7] == "deg"
        sheet.cradles.append(
            {"number": number, "leg": leg, "low": low, "high": high, "slot": slot}
            | {"accepts": accepts, "lean": lean, "stop": stop}
        )
    for line in _table(lines, "What it passes and what it refuses"):
        row = re.match(rf"\s+(?:bend (\d+) (angle|turn)|leg (\d+) length)\s+({NUMBER}|any) (mm|deg)\s+(.*)$", line)
        bend, kind, leg, asked, _, unit, rest = row.groups()
        assert unit == ("mm" if leg else "deg")
        values = [_value(cell) for cell in re.split(r"\s{2,}", rest.strip())]
        assert len(values) == 3
        sheet.limits.append((kind or "leg", int(bend or leg), _value(asked), *values))
    for bend, said in re.findall(r"- bend (\d+), (.*?)(?= - bend \d|\s*Put it together)", flat):
        for kind, shown in re.findall(r"(angle|turn): ([^;]*)", said):
            for words, cradle in re.findall(r"((?:[\d.]+ mm \w+ ?)+|next to nothing) at cradle (\d+)", shown):
                off = {"left": 0.0, "up": 0.0}
                for mm, way in re.findall(r"([\d.]+) mm (left|right|up|down)", words):
                    key = "left" if way in ("left", "right") else "up"
                    off[key] = float(mm) * (1.0 if way in ("left", "up") else -1.0)
                sheet.readings.append((int(bend), kind, int(cradle), off["left"], off["up"]))
    sheet.distances = [(int(a), int(b), float(d)) for a, b, d in re.findall(r"- (\d+) to (\d+): ([\d.]+) mm", flat)]
    give = re.search(rf"swing by {NUMBER} degrees each, and the farthest cradle by {NUMBER} mm", flat)
    if give:
        sheet.swing, sheet.far = map(float, give.groups())
    for line in _table(lines, "To print"):
        row = re.match(rf"\s+(\S+)\s+{NUMBER} x\s+{NUMBER} x\s+{NUMBER}\s+{NUMBER} cm3\s+{NUMBER} g\s+{NUMBER} h", line)
        if row:
            sheet.parts[row[1]] = tuple(float(v) for v in row.groups()[1:])
    kinds = (
        r"(angle gauge [\d.]+ degrees|turn gauge -?[\d.]+ degrees|standoff spacer [\d.]+ mm|"
        r"fine liner for cradle \d+)"
    )
    pieces = re.split(rf"- {kinds}: ", flat)
    for name, use in zip(pieces[1::2], pieces[2::2], strict=True):
        sheet.gauges[name] = re.split(r" - | Left out| Cautions", use)[0]
    return sheet


def _value(word):
    return float("inf") if word in ("no limit", "any") else float(word)


def _table(lines, title):
    """The rows under a title and its dashed rule, up to the next blank line or line of text."""
    at = next(i for i, line in enumerate(lines) if line.startswith(title))
    while not lines[at].lstrip().startswith("---"):
        at += 1
    rows = []
    for line in lines[at + 1 :]:
        if not line.startswith("  "):
            break
        rows.append(line)
    return rows
