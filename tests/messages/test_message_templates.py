"""Every template is in every language, with the same placeholders, is used, and gets the values it asks for."""

import ast
import re
from collections import Counter
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest

import pipemodel
from pipemodel import lists
from pipemodel.cli.tables import TABLES
from pipemodel.lists.all_lists import LISTS
from pipemodel.lists.table import Column
from pipemodel.lists.table import say as said_of
from pipemodel.messages.say import Placeholder, parts_of, templates
from pipemodel.messages.units import FOLDERS, LANGUAGES, units_for

HOME = Path(pipemodel.__file__).parent
MADE_BY = {"message": 0, "words": 1}
"""Functions that take a template's name, and at which place; `words` has the units first."""
ENGLISH = templates("en")
SCRIPT_WORDS = re.compile("«([^«»|]+)([^«»]*)»")
PAGE_WORDS = re.compile(r'\b(say|named)\("([^"]+)"')


def places(template):
    return Counter(part.name for part in parts_of(template) if isinstance(part, Placeholder))


def choices(template):
    return {
        part.name: {c.split("=", 1)[0] for c in part.choices}
        for part in parts_of(template)
        if isinstance(part, Placeholder) and part.choices and "=" in part.choices[0]
    }


LANGUAGE_FOLDERS = ("english", "german")


@cache
def sources():
    """The program's modules that can make or word a message, but the tables themselves."""
    texts = {path: path.read_text(encoding="utf-8") for path in sorted(HOME.rglob("*.py"))}
    return [
        (path, ast.parse(text))
        for path, text in texts.items()
        if path.parent.name not in LANGUAGE_FOLDERS and "pipemodel.messages" in text
    ]


def in_the_page():
    """The templates that the page's HTML and scripts name, each with the names of its values."""
    for path in sorted(HOME.rglob("*.js")):
        for name, values in SCRIPT_WORDS.findall(path.read_text(encoding="utf-8")):
            yield name, {value.split("=")[0] for value in values.split("|")[1:]}
    for path in sorted(HOME.rglob("*.html")):
        for called, name in PAGE_WORDS.findall(path.read_text(encoding="utf-8")):
            yield name, {"run"} if called == "named" else set()


def scopes(tree):
    """The functions of a module, and last what stands outside all of them."""
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    inside = {id(node) for function in functions for node in ast.walk(function)}
    yield from (list(ast.walk(function)) for function in functions)
    yield [node for node in ast.walk(tree) if id(node) not in inside]


def names_in(node):
    """The templates that an expression may name: a constant, or one of two by a condition."""
    if isinstance(node, ast.Constant):
        return [node.value]
    if isinstance(node, ast.IfExp):
        return names_in(node.body) + names_in(node.orelse)
    return []


def calls():
    """Each call that makes a message: where, the templates it may name, and the names of its values."""
    for path, tree in sources():
        for scope in scopes(tree):
            named = {
                target.id: names_in(node.value)
                for node in scope
                if isinstance(node, ast.Assign)
                for target in node.targets
                if isinstance(target, ast.Name) and names_in(node.value)
            }
            for node in scope:
                if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in MADE_BY):
                    continue
                if len(node.args) <= MADE_BY[node.func.id]:
                    continue
                first = node.args[MADE_BY[node.func.id]]
                if isinstance(first, ast.JoinedStr):
                    continue  # put together: which it is cannot be read off
                if isinstance(first, ast.Name) and first.id not in named:
                    continue
                found = named[first.id] if isinstance(first, ast.Name) else names_in(first)
                yield f"{path.relative_to(HOME)}:{node.lineno}", found, {k.arg for k in node.keywords}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_template_stands_in_two_files(language):
    """The later file would win in silence."""
    folder = HOME / "messages" / FOLDERS[language]
    files = [import_module(f"pipemodel.messages.{folder.name}.{path.stem}") for path in sorted(folder.glob("[!_]*.py"))]
    names = Counter(name for file in files for name in file.TEMPLATES)
    assert [name for name, times in names.items() if times > 1] == []
    assert set(names) == set(templates(language))


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_every_language_has_every_template_with_the_same_placeholders(language):
    table = templates(language)
    own = {name for name in table if name.startswith(("word.", "column.", "sheet."))}
    assert set(table) - own == set(ENGLISH)
    # A length may be said twice in one language and once in another; none may be left out.
    odd = {name: (places(table[name]), places(ENGLISH[name])) for name in ENGLISH}
    assert {name: both for name, both in odd.items() if set(both[0]) != set(both[1])} == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_template_can_be_read(language):
    for name, template in templates(language).items():
        fixed = "".join(part for part in parts_of(template) if isinstance(part, str))
        assert fixed.count("{") == fixed.count("}") == template.count("{{"), name
        assert all(len(p.choices) != 1 for p in parts_of(template) if isinstance(p, Placeholder)), name


@pytest.mark.slow
def test_each_message_names_a_template_and_gives_it_what_it_asks_for():
    looked_at = 0
    for where, names, given in calls():
        assert names, f"{where}: the name of its template cannot be read off"
        for name in names:
            assert name in ENGLISH, f"{where}: there is no template {name!r}"
            asked = set(places(ENGLISH[name]))
            # Values handed on together (**values) cannot be read off; what stands beside them can.
            assert given == asked or (None in given and given - {None} < asked), f"{where}: {name!r}"
            looked_at += 1
    assert looked_at > 250


def test_the_page_names_templates_and_gives_them_what_they_ask_for():
    """What a script shows stands between its quotes, so no word of it may end them."""
    named = list(in_the_page())
    assert len(named) > 40
    for name, given in named:
        assert given == set(places(ENGLISH[name])), name
        for language in LANGUAGES:
            assert not re.search(r"[\"`\\<$]", templates(language)[name]), name


@pytest.mark.slow
def test_no_template_is_left_that_nobody_uses():
    used = {name for _, names, _ in calls() for name in names}
    inside = {"list.and", "list.or", "less than"}
    texts = {node.value for _, tree in sources() for node in ast.walk(tree) if isinstance(node, ast.Constant)}
    texts |= {name for name, _ in in_the_page()}
    # Names that are put together have their first part as a text of its own.
    put_together = {name for name in ENGLISH if name.partition(".")[0] + "." in texts}
    assert {name for name in ENGLISH if name not in used | inside | put_together and name not in texts} == set()
    assert len(used) > 200


def test_a_language_with_choices_covers_the_words_that_the_program_says():
    """Where two languages both choose by the same word, they choose among the same words."""
    for name, template in ENGLISH.items():
        for language in LANGUAGES:
            both = choices(templates(language)[name])
            for place, keys in choices(template).items():
                if place in both:
                    assert both[place] == keys, name


def titled(kind, language):
    return said_of(kind.title, units_for("mm", language))


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_every_column_and_every_list_has_its_name_in_every_language(language):
    table = templates(language)
    modules = [import_module(f"pipemodel.lists.{one.name}") for one in iter_modules(lists.__path__)]
    rows = [row for module in modules for row in vars(module).values() if isinstance(row, tuple)]
    columns = [one for row in rows for one in row if isinstance(one, Column)]
    assert len(columns) > 90
    assert {one.head for one in columns if one.said is None and f"column.{one.head}" not in table} == set()
    assert {one.name for one in LISTS.values() if f"sheet.{one.name}" not in table} == set()
    assert titled(LISTS["cuts"], language) != titled(LISTS["cuts"], "en") == "Cut list"
    assert [one.name for one in LISTS.values() if not titled(one, language)] == []
    pages = {head for _, heads in TABLES.values() for head in heads.values()} | {"source"}
    assert {head for head in pages if f"column.{head}" not in table} == set()
    assert {name for name in TABLES if f"sheet.{name}" not in table} == set()
    heads = {f"column.{head}" for head in {one.head for one in columns} | pages | {"degrees"}}
    assert {name for name in table if name.startswith("column.")} - heads == set()
