"""Reader of the PDF pack: the text of its run sheets, cards, cut list and clip list."""

import re
from functools import cache

import pypdf

from follower.clips import Clip, face_and_measures
from follower.figures import length, turned
from follower.sheets import RunRead
from follower.steps import Step

BOX = "\u25a1"
PULLS = "Pull in this order, held by the side that is named"


@cache
def pack_lines(path):
    """Return the lines of all pages, the foot of each left out."""
    lines = []
    for sheet in pypdf.PdfReader(path).pages:
        page = [line.strip() for line in sheet.extract_text().splitlines()]
        foot = next((i for i, line in enumerate(page) if re.fullmatch(r"page \d+ of \d+", line)), None)
        # Over the page's number stands which job and revision it is.
        lines += [line for i, line in enumerate(page) if foot is None or i not in (foot - 1, foot)]
    return lines


def pack_runs(lines, unit="mm"):
    """Read the run sheets and the cards that follow each."""
    begins = [i for i, line in enumerate(lines) if line.startswith("Run: ")]
    return [_run(lines[i:k], unit) for i, k in zip(begins, [*begins[1:], len(lines)], strict=True)]


def _run(lines, unit):
    cut = next(line for line in lines if line.startswith("Cut "))
    run = RunRead(lines[0].removeprefix("Run: "), length(cut.removeprefix("Cut ").split(f" {unit}")[0], unit).mm)
    run.impossible = any(line.startswith("CANNOT BE PULLED") for line in lines)
    labels = ("Tube", "Former", "Springback", "Mark")
    for i, line in enumerate(lines[:40]):
        if line in labels and lines[i + 1] not in labels:
            run.facts.setdefault(line, lines[i + 1])
    if PULLS in lines:
        begins = lines.index(PULLS) + 1
        ends = next(i for i in range(begins, len(lines)) if lines[i].startswith("Marks from the start end"))
        run.steps = _pulls(lines[begins:ends], unit)
    run.cards, run.facts["heads"] = _cards(lines)
    return run


def _pulls(lines, unit):
    text = "\n".join(lines)
    rows = re.findall(
        r"^(\d+)\n(\d+)\n(start|finish)\n(.+)\n([\d.]+)\u00b0\n(.+(?:\n(?!\d+\n\d+\n(?:start|finish)\n).+)*)",
        text,
        flags=re.M,
    )
    return [
        Step(int(n), int(bend), held, length(mark, unit).mm, float(pull), turned(words))
        for n, bend, held, mark, pull, words in rows
    ]


def _cards(lines):
    """Return the cards, and what stands over each: (pull, bend, pulled to, mark)."""
    cards, heads, part = [], [], None
    for line in lines:
        head = re.match(rf"{BOX} Pull (\d+): bend (\d+) to ([\d.]+)\u00b0 at (.+)$", line)
        if head:
            cards.append((int(head[1]), int(head[2]), [], []))
            heads.append((int(head[1]), int(head[2]), float(head[3]), head[4]))
            part = None
        elif not cards:
            continue
        elif re.match(r"\d+\. [A-Z]", line) and not cards[-1][3]:
            part = cards[-1][2]
            part.append(line.split(". ", 1)[1])
        elif line == "Then it must be:":
            part = cards[-1][3]
        elif part is cards[-1][3] and line.startswith(BOX):
            part.append(line.removeprefix(BOX).strip())
        elif part and (part is cards[-1][2] or not part[-1].endswith(".")):
            part[-1] += " " + line
    return [(n, bend, do, [text.rstrip(".") for text in then]) for n, bend, do, then in cards], heads


def pack_bars(lines):
    """Return the cut list: (from, [(length, name)], left over) of each length of stock."""
    text = "\n".join(lines)
    return [
        (out, re.findall(rf"{BOX} (.+?)  ?([^\d(].*)\n", pieces + "\n"), left)
        for out, pieces, left in re.findall(rf"^((?:length|offcut) of .+)\n((?:{BOX} .+\n)+)(.+)$", text, flags=re.M)
    ]


def pack_clips(lines, unit="mm"):
    """Read the clip list of the pack."""
    begins = [i for i, line in enumerate(lines) if line == "Clip list"][-1]
    ends = lines.index("Findings", begins)
    text = "\n".join(lines[begins:ends])
    rows = re.findall(rf"^{BOX} (\d+)\n(.+)\n(\d+)\n(.+(?:\n(?!{BOX}|nothing).+)*)", text, flags=re.M)
    return [
        Clip(int(number), length(along, unit).mm, int(leg), *face_and_measures(where, unit))
        for number, along, leg, where in rows
    ]
