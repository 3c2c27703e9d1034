"""What a fitter reads has no codes, no keys of a file and no figure rounded in a way of its own."""

import ast
import re
from pathlib import Path

import pytest

import pipemodel
from pipemodel.messages.say import Placeholder, parts_of, templates
from pipemodel.messages.units import LANGUAGES

HOME = Path(pipemodel.__file__).parent
CODE = re.compile(r"\b[A-Z]\d{3}\b")
KEY = re.compile(r"`|\b[a-z]+_[a-z_]+\b|\{|\}")
OWN_FIGURES = {
    *("jigs/gauges.py", "jigs/layout.py", "jigs/plan.py", "jigs/printing.py", "lists/jig_limits.py"),
    *("lists/jig_worth.py", "lists/jig_bench.py"),
    *("documents/jig/text.py", "trade/formers.py", "wording/phrases.py", "correction/sentences.py"),
}
"""Where an angle is no angle of a bend or a roll: how far something may be out, how steep it is, or a former's own
figure. It is rounded as that needs."""


def fixed(template):
    return "".join(part for part in parts_of(template) if not isinstance(part, Placeholder))


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_code_and_no_key_stands_in_a_sentence(language):
    seen = {}
    for name, template in templates(language).items():
        words = re.sub(r"\w+\.(?:json|yaml|csv|md|txt|svg|html)\b", "", fixed(template))
        # A starter job is a file, with the keys of one, and a fault of a file says what to write there.
        if name.startswith(("starter.", "fault.", "formula.", "yaml.")):
            continue
        if found := CODE.search(words) or KEY.search(words):
            seen[name] = found[0]
    assert seen == {}


@pytest.mark.slow
def test_angles_are_rounded_in_one_way():
    """A format of its own for an angle stands only where it is not the angle of a bend or a roll."""
    own = set()
    for path in sorted(HOME.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if "Angle(" in text else ():
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Angle":
                forms = node.args[1:] + [k.value for k in node.keywords if k.arg == "form"]
                if any(isinstance(form, ast.Constant) and form.value for form in forms):
                    own.add(path.relative_to(HOME).as_posix())
    assert own == OWN_FIGURES
