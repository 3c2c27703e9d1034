"""Jobs of a room, runs and rules of building, checked, and what is found in them."""

import json

from pipemodel import story

HEAD = "job: x\ntube: {size}\nformer: {{radius: {radius}, springback: {{fixed: 0}}, hold: 0, guide: 0}}\n"


def check(tmp_path, room, runs, rules, size=15, more=""):
    text = HEAD.format(size=size, radius={15: 55, 22: 77, 42: 200}[size]) + more
    text += f"rules: {json.dumps(rules)}\nroom: {json.dumps(room)}\nruns: {json.dumps(runs)}\n"
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return story.check(story.load(path))


def found(report, code):
    return [f for f in report.findings if f.code == code]
