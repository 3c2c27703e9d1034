"""Readers of the schedule as text, CSV, workbook and Markdown: runs with their pulls as `steps.Step`s."""

import csv
import io
import re
from dataclasses import dataclass, field

from follower.figures import Turned, length, turned
from follower.steps import Step


@dataclass
class RunRead:
    """What a paper says of one run, or one piece of a jointed run; `cards` are the lines of each pull's card."""

    name: str
    cut: float
    steps: list = field(default_factory=list)
    cards: list = field(default_factory=list)
    bends: list = field(default_factory=list)
    facts: dict = field(default_factory=dict)
    impossible: bool = False


_ROW = re.compile(r"^  +(\d+) +(\d+)  (start|finish) +(\S.*?)  +(\d+(?:\.\d)?)  +(\S.*)$")


def text_runs(text, unit="mm"):
    """Read the schedule as text, or the pieces of a cut list: a list of runs."""
    blocks = re.split(r"^RUN ", text, flags=re.M)[1:]
    return [_text_run("RUN " + block, unit) for block in blocks]


def _text_run(block, unit):
    lines = block.splitlines()
    facts = dict(re.findall(r"^  ([A-Z][A-Za-z ]+?)  +(\S.*(?:\n {18}\S.*)*)", block, flags=re.M))
    facts = {name: " ".join(words.split()) for name, words in facts.items()}
    run = RunRead(lines[0].removeprefix("RUN ").strip(), length(facts["Cut length"].split(f" {unit}")[0], unit).mm)
    run.facts, run.impossible = facts, "CANNOT BE PULLED" in block
    heads = [i for i, line in enumerate(lines) if line.startswith("  Pull  Bend  Held by")]
    for line in lines[heads[0] + 2 :] if heads else ():
        row = _ROW.match(line)
        if row:
            run.steps.append([*row.groups()[:5], row[6]])
        elif line.strip() and run.steps:
            run.steps[-1][5] += " " + line.strip()
        else:
            break
    run.steps = [
        Step(int(number), int(bend), held, length(mark, unit).mm, float(pull), turned(words))
        for number, bend, held, mark, pull, words in run.steps
    ]
    run.cards = _text_cards(lines)
    run.bends = _text_bends(lines)
    return run


def _text_cards(lines):
    """Return (pull, bend, what to do, what must then be) of each card."""
    cards = []
    for line in lines:
        head = re.match(r"^  Pull (\d+): bend (\d+)$", line)
        if head:
            cards.append((int(head[1]), int(head[2]), [], []))
        elif cards and (do := re.match(r"^    (\d+)   (\S.*)$", line)):
            cards[-1][2].append(do[2])
        elif cards and (then := re.match(r"^    \[ \] then (\S.*)$", line)):
            cards[-1][3].append(then[1])
        elif cards and (more := re.match(r"^ {8}(\S.*)$", line)):
            (cards[-1][3] or cards[-1][2])[-1] += " " + more[1]
        elif cards and line.strip():
            break
    return cards


_BEND = re.compile(r"^  +(\d+)  +(\S.*?)  +(\S.*?)  +(\d+(?:\.\d)?)  +(first bend|0,.*|180,.*|[\d.]+ \w*clockwise)$")


def _text_bends(lines):
    """Return (number, straight before, bend takes, angle, turn of the plane) as texts."""
    heads = [i for i, line in enumerate(lines) if line.startswith("  Bend  ")]
    rows = [_BEND.match(line) for line in (lines[heads[0] + 3 :] if heads else ())]
    return [row.groups() for row in rows if row]


def csv_runs(text, unit="mm"):
    """Read the schedule as CSV: a list of runs, pulls in their order."""
    runs = {}
    scale = 25.4 if unit == "in" else 1.0
    for row in csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")):
        run = runs.setdefault(row["run"], RunRead(row["run"], float(row[f"cut_length_{unit}"]) * scale))
        if not row["pull"]:
            continue
        first = row["pull"] == "1"
        over = {"yes": True, "no": False}[row["end_for_end"]]
        run.steps.append(
            Step(
                int(row["pull"]),
                int(row["bend"]),
                row["held"],
                float(row[f"pull_mark_{unit}"]) * scale,
                float(row["pull_deg"]),
                Turned(first, over, float(row["roll_deg"])),
            )
        )
        if unit == "in":
            run.facts[f"tape {row['pull']}"] = length(row["mark_to_draw"].removeprefix("0 "), "in").mm
    for run in runs.values():
        run.steps.sort(key=lambda step: step.number)
    return list(runs.values())


def table_runs(tables, unit="mm"):
    """Read the lists of a workbook or of Markdown, given as {name: rows}: the runs with their pulls and cards."""
    runs = {}
    for row in tables["runs"]:
        runs[row["run"]] = RunRead(row["run"], _cell(row[f"cut length, {unit}"], unit))
    for row in tables.get("pulls", ()):
        run = runs[row["run"]]
        step = Step(
            int(row["pull"]),
            int(row["bend"]),
            row["held by"],
            _cell(row[f"mark, {unit}"], unit),
            float(row["pull to, degrees"]),
            turned(row["turn the tube before it"]),
        )
        over = {"yes": True, "no": False}[row["turn end for end"]]
        assert over == step.turned.end_for_end, row
        run.steps.append(step)
        run.cards.append(
            (step.number, step.bend, _sentences(row["what to do"]), _sentences(row["what must then be true"]))
        )
    return list(runs.values())


def _cell(value, unit):
    return length(str(value), unit).mm if unit == "in" else float(value)


def _sentences(text):
    """Part a cell at the semicolons between its steps; within a step they stand before "check:", "it", "the tube"."""
    return re.split(r"; (?!check: |it springs back|the tube beyond|the inside line)", text)


def workbook_tables(path):
    """Return the sheets of a workbook as {name: rows}, each row a dict by its heads."""
    import openpyxl

    tables = {}
    for sheet in openpyxl.load_workbook(path):
        heads, *body = sheet.iter_rows(values_only=True)
        tables[sheet.title] = [dict(zip(heads, row, strict=True)) for row in body]
    return tables


def markdown_tables(text):
    """Return the tables of a Markdown text as {name: rows}, by the titles over them; texts as a reader sees them."""
    from markdown_it import MarkdownIt

    tables, title, rows, heading = {}, "", [], False
    tokens = MarkdownIt().enable("table").parse(text)
    for token in tokens:
        if token.type == "heading_open":
            heading = True
        elif token.type == "inline":
            said = "".join(child.content for child in token.children)
            if heading:
                title = said.lower()
            elif rows is not None and rows:
                rows[-1].append(said)
        elif token.type == "heading_close":
            heading = False
        elif token.type == "table_open":
            rows = []
        elif token.type == "tr_open":
            rows.append([])
        elif token.type == "table_close":
            heads, *body = rows
            tables[title] = [dict(zip(heads, row, strict=True)) for row in body]
            rows = []
    return tables
