"""The page of finding codes says what the checks say, no more and no less."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
ROW = re.compile(r"^\| ([A-Z]\d{3}) \| (\w+) \| (.*?) \|", re.MULTILINE)


def told_by_the_checks():
    return {
        m[1]: (m[2], m[3]) for path in (ROOT / "pipemodel/checks").glob("*.py") for m in ROW.finditer(path.read_text())
    }


def test_every_code_is_on_the_page_with_the_same_words():
    page = {m[1]: (m[2], m[3]) for m in ROW.finditer((ROOT / "docs/findings.md").read_text())}
    assert page == told_by_the_checks()


def test_every_code_in_use_is_in_a_table():
    used = {
        code
        for path in (ROOT / "pipemodel/checks").glob("*.py")
        for code in re.findall(r'"([BCDLS]\d{3})"', path.read_text())
    }
    assert used == set(told_by_the_checks())
