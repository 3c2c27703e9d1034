"""What the package and its tests import is what pyproject.toml asks for, so that a fresh machine has it."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions

import pytest
from command_line import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
COMES_WITH = {"OCP": "cadquery", "pydantic_core": "pydantic", "markupsafe": "jinja2"}
"""Modules that are there because of a library that cannot be without them."""


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", re.match(r"[\w.-]+", name)[0]).lower()


def imported(folder: str) -> dict[str, str]:
    """Every third-party module imported below a folder, and a file that does."""
    files = sorted((ROOT / folder).rglob("*.py"))
    own = {"pipemodel", *(path.stem for path in files)}
    found: dict[str, str] = {}
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module] if isinstance(node, ast.ImportFrom) and node.module and not node.level else []
            for name in (name.split(".")[0] for name in names):
                if name not in sys.stdlib_module_names and name not in own:
                    found[name] = str(path.relative_to(ROOT))
    return found


@pytest.mark.parametrize(
    ("folder", "asked"),
    [
        ("pipemodel", PROJECT["dependencies"]),
        ("tests", PROJECT["dependencies"] + PROJECT["optional-dependencies"]["test"]),
    ],
)
def test_every_library_is_asked_for(folder, asked):
    known = {plain(name) for name in asked}
    of_module = packages_distributions()
    missing = {
        module: where
        for module, where in imported(folder).items()
        if not known & {plain(name) for name in [COMES_WITH.get(module, module), *of_module.get(module, ())]}
    }
    assert missing == {}
