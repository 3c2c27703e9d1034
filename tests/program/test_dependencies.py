"""What the package and its tests import is what pyproject.toml asks for, so that a fresh machine has it."""

import ast
import re
import sys
import tomllib
from collections.abc import Callable
from functools import cache
from importlib.metadata import files, packages_distributions
from pathlib import Path

import pytest
from command_line import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
MODELS = PROJECT["optional-dependencies"]["models"]
"""What building models ask for; the rest does without."""
OF_MODULE = packages_distributions()
COMES_WITH = {"OCP": "cadquery", "pydantic_core": "pydantic"}
"""Modules that are there because of a library that cannot be without them."""


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", re.match(r"[\w.-]+", name)[0]).lower()


def imported(folder: str, changed: Callable[[str], str] = str) -> dict[str, str]:
    """Every third-party module imported below a folder, by name or by its name as text, and a file that does.

    `changed` is what the text of each file is taken to be.
    """
    files = sorted((ROOT / folder).rglob("*.py"))
    own = {"pipemodel", *(path.stem for path in files), *(path.parent.name for path in files)}
    found: dict[str, str] = {}
    for path in files:
        for name in _named(changed(path.read_text(encoding="utf-8"))):
            if name not in sys.stdlib_module_names and name not in own:
                found[name] = str(path.relative_to(ROOT))
    return found


@cache
def _named(text: str) -> frozenset[str]:
    return frozenset(name.split(".")[0] for node in ast.walk(ast.parse(text)) for name in names_in(node))


def names_in(node: ast.AST) -> list[str]:
    """The modules that a piece of code names: `import a`, `from a import b`, `find_spec("a")` and their kin."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        return [node.module] if node.module and not node.level else []
    if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if called in ("find_spec", "import_module", "importorskip", "__import__") and node.args[0].value:
            return [str(node.args[0].value)]
    return []


def brought_by(module: str) -> set[str]:
    """The packages that bring a module."""
    return {plain(name) for name in [COMES_WITH.get(module, module), *OF_MODULE.get(module, ())]}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("folder", "asked"),
    [
        ("pipemodel", PROJECT["dependencies"] + MODELS),
        ("tests", PROJECT["dependencies"] + MODELS + PROJECT["optional-dependencies"]["test"]),
    ],
)
def test_every_library_is_asked_for(folder, asked):
    known = {plain(name) for name in asked}
    modules = imported(folder)
    assert len(modules) > 10
    assert {module: where for module, where in modules.items() if not known & brought_by(module)} == {}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("folder", "asked", "unnamed"),
    [
        ("pipemodel", PROJECT["dependencies"] + MODELS, {"networkx", "lxml"}),
        ("tests", PROJECT["optional-dependencies"]["test"], {"pipemodel", "pytest-xdist", "rtree"}),
    ],
)
def test_every_library_that_is_asked_for_is_used(folder, asked, unnamed):
    """But for those that another library asks for when it is used: their names stand here."""
    # Not what merely comes with another: a library whose own name nobody imports is not used.
    used = {plain(name) for module in imported(folder) for name in (module, *OF_MODULE.get(module, ()))}
    assert {plain(name) for name in asked} - used == unnamed


@pytest.mark.slow
def test_a_library_that_is_not_used_would_be_seen():
    """With every import of CadQuery and of the fonts' package taken out, both are found to be asked for in vain."""

    def without(text: str) -> str:
        text = re.sub(r"^(\s*)import cadquery$", r"\1pass", text, flags=re.MULTILINE)
        return text.replace('find_spec("matplotlib")', "None")

    modules = imported("pipemodel", without)
    used = {plain(name) for module in modules for name in (module, *OF_MODULE.get(module, ()))}
    assert {plain(name) for name in PROJECT["dependencies"]} - used == {"networkx", "lxml", "cadquery", "matplotlib"}


def test_the_type_comes_with_a_library_that_is_asked_for():
    """The fonts lie in a package; which one, their own place says, not the code that looks for it."""
    from pipemodel.drawing.fonts import font_file

    known = {plain(name) for name in PROJECT["dependencies"]}
    for bold in (False, True):
        file = font_file(bold)
        assert file is not None
        assert {package for package in known if any(f.locate() == Path(file) for f in files(package) or ())}


def test_every_library_has_one_tested_version():
    """`.ci/setup` installs from a list of versions: it holds every library asked for, and nothing but versions."""
    lines = (ROOT / ".ci" / "constraints.txt").read_text().splitlines()
    pins = [line for line in lines if not line.startswith("#")]
    assert all(re.fullmatch(r"[\w.-]+==[\w.]+", line) for line in pins)
    pinned = {plain(line): line.partition("==")[2] for line in pins}
    assert len(pinned) == len(pins)
    extras = PROJECT["optional-dependencies"]
    asked = [*PROJECT["dependencies"], *MODELS, *extras["test"], *extras["dev"]]
    missing = {plain(name) for name in asked} - set(pinned) - {"pipemodel"}
    assert missing == set()
    assert "-c .ci/constraints.txt" in (ROOT / ".ci" / "setup").read_text()
    # What those ask for in turn is on the list as well.
    for name in ("vtk", "cadquery-ocp", "pydantic-core", "pluggy"):
        assert name in pinned


def test_the_licence_is_there_and_named():
    assert PROJECT["license"] == "MIT"
    (name,) = PROJECT["license-files"]
    assert (ROOT / name).read_text().startswith("MIT License\n")
