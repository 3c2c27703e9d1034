"""Whatever is wrong is said in German where German is asked for: no English word, no traceback, and exit code 2."""

import errno
import re

import pytest
from command_line import CUPBOARD, EXAMPLES, LEAST, run

from pipemodel.cli.said import lines_of
from pipemodel.documents.unavailable import UnavailableError
from pipemodel.messages.values import bare, message
from pipemodel.output.folder import FolderError
from pipemodel.processes.child import ChildDiedError, ChildFailedError, ChildSlowError
from pipemodel.solids.child_words import child_said
from pipemodel.solids.missing import LibraryMissingError

pytestmark = pytest.mark.slow

# "in", "an", "so", "man", "hat", "was", "die" and "not" stand in German sentences too, or in what is quoted.
_WORDS = """the is of with must has have are cannot which what there this that from give leave write needs one or and be
it than more too by for at its already nothing were could made file folder name"""
ENGLISH = set(_WORDS.split())
QUOTED = re.compile(r"„[^“]*“|'[^']*'|\"[^\"]*\"|\([^)]*\)|\[[^]]*\]|\{[^}]*\}|\S*/\S+|\S+\.\w+|--\S+")
HISTORY = "- {former: a, outside: 15, wall: 1, bend: 1, radius: 55, angle: 90, pulled: 92, mark: 100, held: start"
PIECES = "tube: 15\npieces:\n- {cut: 500, mark: 200, angle: 90, start to back: 250, finish to back: 250, pull: 95}\n"
FILES = {
    "job.yaml": LEAST,
    "empty.yaml": "",
    "binary.yaml": "\x00\x01",
    "tab.yaml": "job: x\n\troom: {}\n",
    "deep.yaml": "job: " + "[" * 3000,
    "bomb.yaml": "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\njob: *c\n",
    "twice.yaml": LEAST + "job: again\n",
    "title.yaml": LEAST.replace("job: return to the towel rail", "job: [1]"),
    "long.yaml": LEAST.replace("  return:", f"  {'r' * 100}:"),
    "device.yaml": LEAST.replace("  return:", "  con:"),
    "whole.yaml": LEAST.replace("  return:", "  job:"),
    "space.yaml": LEAST.replace("  return:", "  ' r':"),
    "kind.yaml": LEAST.replace("diameter: 50}", "diameter: 50}, is: zebra"),
    "rules.yaml": LEAST.replace("clearance: 5", "rules: [NHBC 2021]"),
    "bender.yaml": LEAST.replace("clearance: 5", "bender: zebra"),
    "benders.yaml": LEAST.replace("clearance: 5", "bender: {file: empty.yaml, name: a}"),
    "formers.yaml": LEAST.replace("{radius: 55}", "{file: list.yaml, name: a}"),
    "list.yaml": "a: {radius: -5}\nb: 7\n",
    "hole.yaml": LEAST.replace("[900, 160, 400]}", "[900, 160, 400]}, holes: [{at: [0, 0, 0], diameter: 20}]"),
    "jig.yaml": LEAST + "jig: {bed: zebra, nozzle: 99, tolerance: {position: 0.1}}\n",
    "mesh.yaml": LEAST.replace("{box: {from: [700, 100, 0], to: [900, 160, 400]}}", "{mesh: {file: empty.stl}}"),
    "ending.yaml": LEAST.replace("{box: {from: [700, 100, 0], to: [900, 160, 400]}}", "{mesh: {file: job.txt}}"),
    "empty.stl": "",
    "history.yaml": HISTORY + ", turn: 5, bend_: 3, date: yesterday, radius_got: 3}\n",
    "odd.yaml": HISTORY + ", turn: 5}\n",
    "pieces.yaml": PIECES.replace("mark: 200", "mark: 900"),
    "legs.yaml": PIECES.replace("250, finish", "25, finish"),
    "pulled.yaml": PIECES.replace("pull: 95", "pull: 9"),
    "house.ifc": "zebra",
    "part.step": "zebra",
    "read.yaml": "bends:\n- {bend: 9, angle: 90}\n- {bend: 1}\n- {bend: 1, angle: 9, roll: 1, turn: 1, start: 9000}\n",
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wrong")
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "utf-16.yaml").write_bytes(LEAST.encode("utf-16"))
    return folder


def english_in(text, known=""):
    """The English words of what was said, without what is quoted or stands in a file."""
    words = re.findall(r"[a-zäöüß]+", QUOTED.sub(" ", text))
    return sorted(ENGLISH & set(words) - set(re.findall(r"[a-z]+", known)))


@pytest.mark.parametrize(
    "name", [name for name in FILES if name.endswith(".yaml") and name not in ("job.yaml", "list.yaml")]
)
def test_a_file_that_is_wrong(folder, name):
    if name in ("history.yaml", "odd.yaml"):
        said = run("learn", "--history", folder / name, "--language", "de")
    elif name in ("pieces.yaml", "legs.yaml", "pulled.yaml"):
        said = run("calibrate", folder / name, "--language", "de")
    elif name == "read.yaml":
        history = folder / "new.yaml"
        said = run("learn", CUPBOARD, "--readings", folder / name, "--history", history, "--language", "de")
    else:
        said = run("check", folder / name, "--language", "de")
    assert (said.code, said.out) == (2, ""), said
    for line in said.err.splitlines():
        assert re.match(r".*:\d+:\d+: \S", line), line
        # The keys of a job and the names of sets of rules are English in every language.
        assert english_in(line.partition(": ")[2].partition("; die Schlüssel hier")[0]) == [], line


@pytest.mark.parametrize(
    "args",
    [
        ["chek"],
        ["check"],
        ["check", "nosuch.yaml"],
        ["check", "."],
        ["check", "job.yaml", "--units", "cm"],
        ["check", "job.yaml", "--unitz", "mm"],
        ["check", "job.yaml", "--set", "x"],
        ["check", "job.yaml", "--allow-outside=3"],
        ["check", "job.yaml", "--workers", "x"],
        ["tables", "zebra"],
        ["tables", "tubes", "zebra"],
        ["make", "job.yaml", "--only", "zebra"],
        ["make", "job.yaml", "--only", ","],
        ["make", "job.yaml", "job.yaml", "--out", "o"],
        ["make", "job.yaml", "empty.yaml", "--against", "job.yaml"],
        ["make", "job.yaml", "--against", "job.yaml"],
        ["make", "job.yaml", "--against", "nosuch.json"],
        ["make", "job.yaml", "--date", "yesterday"],
        ["make", "job.yaml", "--revision", "x" * 50],
        ["make", "job.yaml", "--out", "job.yaml"],
        ["make", "job.yaml", "--out", "."],
        ["make", "job.yaml", "--out", "/proc/x/y"],
        ["jig", "job.yaml", "--run", "zebra", "--out", "o"],
        ["measured", "job.yaml", "--run", "zebra"],
        ["measured", "job.yaml", "--readings", "nosuch.yaml"],
        ["route", "job.yaml"],
        ["route", "job.yaml", "--run", "zebra"],
        ["route", "job.yaml", "--run", "return"],
        ["route", "job.yaml", "--ways", "99"],
        ["new", "job.yaml"],
        ["new", "x.yaml", "--tube", "zebra"],
        ["bend", "91"],
        ["bend", "90", "--first", "100"],
        ["bend", "90", "--first", "100", "--second", "100", "--radius", "55", "--former", "x"],
        ["bend", "90", "--first", "100", "--second", "100", "--hold", "5"],
        ["room", "house.ifc", "--out", "r.yaml"],
        ["room", "house.ifc", "--out", "r.yaml", "--within", "5"],
        ["room", "house.ifc", "--out", "r.yaml", "--within", "zebra", "--near", "job.yaml"],
        ["room", "house.ifc"],
        ["room", "part.step", "--out", "r.yaml"],
        ["room", "part.step", "--out", "r.yaml", "--storey", "x"],
        ["room", "job.yaml", "--out", "r.yaml"],
        ["room", "nosuch.ifc", "--out", "r.yaml"],
        ["room", "part.step", "--out", "job.yaml"],
        ["learn"],
        ["learn", "--merge"],
        ["learn", "--out", "x"],
        ["learn", "job.yaml", "--history", "h.yaml"],
        ["learn", "--history", "nosuch.yaml"],
        ["learn", "--date", "x", "--history", "h.yaml"],
        ["learn", "job.yaml", "--readings", "read.yaml", "--history", "h.yaml"],
        ["calibrate", "nosuch.yaml"],
        ["show", "nosuch.yaml"],
    ],
    ids=" ".join,
)
def test_a_command_line_that_is_wrong(folder, monkeypatch, args):
    monkeypatch.chdir(folder)
    before = sorted(folder.iterdir())
    said = run(*args, "--language=de")
    assert (said.code, said.out) == (2, ""), said
    assert said.err.strip()
    assert english_in(said.err, known="options command args job yaml or model") == [], said.err
    assert sorted(folder.iterdir()) == before


@pytest.mark.parametrize(
    "error",
    [
        MemoryError(),
        OSError(errno.ENOSPC, "No space left on device"),
        PermissionError(errno.EACCES, "Permission denied", "a"),
        LibraryMissingError("kernel", "libGL"),
        FolderError(message("folder.link", out=bare("a"))),
        *(
            UnavailableError(message("picture.died", how=child_said(child), driver=message("missing.needs")))
            for child in (ChildDiedError(-11), ChildDiedError(3), ChildSlowError(5.0), ChildFailedError("X", ""))
        ),
    ],
    ids=str,
)
def test_a_machine_that_refuses(error):
    (line,) = lines_of(error, "de")
    assert english_in(line) == [], line
    (line,) = lines_of(error, "en")
    assert line.startswith("pipemodel: ")


def test_the_search_for_english_finds_it():
    assert english_in("there is no such file") == ["file", "is", "there"]
    assert english_in(run("check", EXAMPLES / "nosuch.yaml").err.partition(": ")[2])
