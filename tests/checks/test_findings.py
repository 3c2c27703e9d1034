"""The page of finding codes says what the checks say, no more and no less."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROW = re.compile(r"^\| ([A-Z]+\d+) \| (\w+) \| (.*?) \|", re.MULTILINE)


def raised_by_the_checks():
    return {
        m[1]: (m[2], m[3]) for path in (ROOT / "pipemodel/checks").rglob("*.py") for m in ROW.finditer(path.read_text())
    }


def test_every_code_is_on_the_page_with_the_same_words():
    page = {m[1]: (m[2], m[3]) for m in ROW.finditer((ROOT / "docs/findings.md").read_text())}
    assert page == raised_by_the_checks()


def texts_in(path):
    """Every piece of text in a program's source, as Python itself reads it."""
    return [
        n.value
        for n in ast.walk(ast.parse(path.read_text()))
        if isinstance(n, ast.Constant) and isinstance(n.value, str)
    ]


def test_every_code_in_use_is_in_a_table():
    used = {
        text
        for path in (ROOT / "pipemodel").glob("checks/**/*.py")
        for text in texts_in(path)
        if re.fullmatch(r"[A-Z]{1,2}\d{3}", text)
    }
    assert used == set(raised_by_the_checks())
    assert len(used) > 20


def test_no_finding_is_made_outside_the_checks():
    """So that the tables of the checks are all there are."""
    others = [
        path
        for path in (ROOT / "pipemodel").rglob("*.py")
        if "checks" not in path.parts and re.search(r"\bFinding\(", path.read_text())
    ]
    assert others == []
