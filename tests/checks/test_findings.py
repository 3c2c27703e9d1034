"""The page of finding codes has those that the checks use, no more and no less, each as severe as it is."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROW = re.compile(r"^\| ([A-Z]+\d+) \| (\w+) \| .", re.MULTILINE)
CODE = re.compile(r"[A-Z]{1,2}\d{3}")


def of_the_page():
    return dict(ROW.findall((ROOT / "docs/findings.md").read_text()))


def in_the_checks(kind):
    """Every part of one kind of the checks' source, as Python itself reads it."""
    sources = [path.read_text() for path in (ROOT / "pipemodel/checks").rglob("*.py")]
    return [node for source in sources for node in ast.walk(ast.parse(source)) if isinstance(node, kind)]


def test_every_code_in_use_is_on_the_page():
    texts = [one.value for one in in_the_checks(ast.Constant) if isinstance(one.value, str)]
    used = {text for text in texts if CODE.fullmatch(text)}
    assert used == set(of_the_page())
    assert len(used) > 20


def test_a_finding_is_as_severe_as_the_page_says():
    calls = [[one.value for one in call.args if isinstance(one, ast.Constant)] for call in in_the_checks(ast.Call)]
    raised = {
        (args[0], severity)
        for args in calls
        for severity in ("error", "warning", "note")
        if args and CODE.fullmatch(str(args[0])) and severity in args
    }
    page = of_the_page()
    assert {(code, severity) for code, severity in raised if page[code] != severity} == set()
    assert len(raised) > 40


def test_no_finding_is_made_outside_the_checks():
    """So that the codes of the checks are all there are."""
    others = [
        path
        for path in (ROOT / "pipemodel").rglob("*.py")
        if "checks" not in path.parts and re.search(r"\bFinding\(", path.read_text())
    ]
    assert others == []
