"""The fast run, `pytest -m "not slow"`: it is declared, no mark is misspelt, and it looks at every package."""

import re

from command_line import ROOT


def test_a_mark_that_nobody_declared_is_an_error(pytestconfig):
    assert "slow" in {line.partition(":")[0] for line in pytestconfig.getini("markers")}
    assert "--strict-markers" in pytestconfig.getini("addopts")
    assert '-m "not slow"' in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_every_package_has_many_tests_in_it():
    fast = {}
    for package in sorted(path.name for path in (ROOT / "tests").iterdir() if any(path.glob("test_*.py"))):
        text = "\n".join(file.read_text(encoding="utf-8") for file in (ROOT / "tests" / package).glob("test_*.py"))
        tests, slow = (len(re.findall(sign, text, re.M)) for sign in (r"^def test_", r"^@pytest\.mark\.slow$"))
        fast[package] = (tests - slow) / tests
        assert slow < tests
    assert len(fast) >= 15
    assert {package: share for package, share in fast.items() if share < 0.4} == {}
