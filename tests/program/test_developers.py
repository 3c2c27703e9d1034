"""What DEVELOPERS.md says is done to add something, done in a copy of the program; what was added then works."""

import json
import math
import os
import re
import shutil
import subprocess
import sys

import pytest
from additions import CHECK, COMMAND, DOCUMENT, JOB, LIST, MOVE, STANDARD, TERM
from command_line import ROOT

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TABLE = dict(re.findall(r"^\| ([^|]+) \| (.+) \|$", PAGE[PAGE.index("## Where things go") :], re.MULTILINE))
IN_ONE_PROCESS = """\
import contextlib, io, json, sys
from pipemodel.cli import main
said = []
for command in json.loads(sys.argv[1]):
    sys.argv, out = ["pipemodel", *command], io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="")
    code = 0
    with contextlib.redirect_stdout(out):
        try:
            main()
        except SystemExit as end:
            code = end.code or 0
    out.flush()
    said.append((code, out.buffer.getvalue().decode()))
print(json.dumps(said))
"""
COMMANDS = (
    "hello",
    "--help",
    "schedule job.yaml",
    "schedule job.yaml --format json",
    "schedule job.yaml --language nl",
    "check job.yaml --format json",
    "tables tubes --format csv",
    "make job.yaml --only names,txt,lists --out out",
    "schema",
)


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    """The program with everything added."""
    folder = tmp_path_factory.mktemp("copy")
    shutil.copytree(ROOT / "pipemodel", folder / "pipemodel", ignore=shutil.ignore_patterns("__pycache__"))
    package = folder / "pipemodel"
    _add_to_the_tables(package / "trade")
    _add_to_the_room(package)
    _add_a_move(package / "job" / "routing")
    _add_what_is_written(package)
    # Last, so that the new language has the sentences that were added.
    _add_a_language(package / "messages")
    (folder / "job.yaml").write_text(JOB, encoding="utf-8")
    return folder


def _add_to_the_tables(trade):
    data, table = trade / "data", trade / "tube_table.py"
    _append(data / "tubes_en1057.csv", '13,0.7,R250,0.04,0.09,10,8900,yes,"a test"\n')
    _append(data / "formers.csv", "13 mm test former,hand bender,13,yes,48,0.02,0,0,30,9,80,200,a test\n")
    (data / "tubes_test.csv").write_text("outside_mm,wall_mm,source\n77,1.5,a test\n", encoding="utf-8")
    _append(table, STANDARD)
    _put_in(table, '        *(_en1057(row) for row in read_rows("tubes_en1057.csv")),\n',
            '        *(_plain(row) for row in read_rows("tubes_test.csv")),\n')  # fmt: skip
    code = (data / "rules" / "nhbc-2020.yaml").read_text(encoding="utf-8")
    code = (
        code.replace("NHBC 2020", "TEST 2026")
        .replace("NHBC Standards 2020", "a test")
        .replace("wide: 0.25", "wide: 0.02")
    )
    (data / "rules" / "test-2026.yaml").write_text(code, encoding="utf-8")


def _add_to_the_room(package):
    shapes, forms = package / "geometry" / "shapes", package / "job" / "room_forms.py"
    cone = (shapes / "cone.py").read_text(encoding="utf-8")
    (shapes / "drum.py").write_text(re.sub("Cone", "Drum", cone).replace('"cone"', '"drum"'), encoding="utf-8")
    form = re.search(r"^class ConeForm.*?(?=^class )", forms.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE)[0]
    (package / "job" / "building" / "shelves.py").write_text(TERM, encoding="utf-8")
    _put_in(forms, "from pipemodel.job.building.sleeves import SleeveForm\n",
            "from pipemodel.geometry.shapes.drum import Drum\n"
            "from pipemodel.job.building.shelves import ShelfForm\n")  # fmt: skip
    _put_in(forms, form, form.replace("Cone", "Drum"))
    _put_in(forms, "    cone: ConeForm | None = None\n", "    drum: DrumForm | None = None\n")
    _put_in(forms, "    tank: TankForm | None = None\n", "    shelf: ShelfForm | None = None\n")
    _put_in(forms, "    | TankForm\n", "    | ShelfForm\n")
    _put_in(forms, "TERMS = (\n", '    "shelf",\n')
    _put_in(package / "solids" / "room.py", "    Cone: _cone,\n", "    Drum: _cone,\n")
    _put_in(package / "solids" / "room.py", "from pipemodel.geometry.shapes.cone import Cone\n",
            "from pipemodel.geometry.shapes.drum import Drum\n")  # fmt: skip


def _add_a_move(routing):
    (routing / "stride.py").write_text(MOVE, encoding="utf-8")
    forms, compiled = routing / "forms.py", routing / "compile.py"
    _put_in(forms, "from pipemodel.job.quantities import Angle, Length, PositiveLength\n",
            "from pipemodel.job.routing.stride import StrideForm\n")  # fmt: skip
    _put_in(forms, '        "go",\n        "turn",\n', '        "stride",\n')
    _put_in(forms, "    set: SetForm | None = None\n", "    stride: StrideForm | None = None\n")
    _put_in(compiled, "from pipemodel.job.routing.sets import advance_of, aside, set_angle\n",
            "from pipemodel.job.routing.stride import stride\n")  # fmt: skip
    _put_in(compiled, "        pen.go(_stretch(item.go, room, levels))\n",
            "    elif item.stride is not None:\n        stride(pen, item.stride)\n")  # fmt: skip


def _add_what_is_written(package):
    (package / "checks" / "long_runs.py").write_text(CHECK, encoding="utf-8")
    _put_in(package / "checks" / "table.py", '    "bender": bender,\n', '    "long": long_runs,\n')
    _put_in(package / "checks" / "table.py", "from pipemodel.checks.findings import Finding, Report\n",
            "from pipemodel.checks.long_runs import long_runs\n")  # fmt: skip
    for language in ("english", "german"):
        _put_in(
            package / "messages" / language / "findings.py", "TEMPLATES = {\n", '    "long.run": "run {run} is long",\n'
        )
    (package / "lists" / "lengths.py").write_text(LIST, encoding="utf-8")
    _put_in(package / "lists" / "all_lists.py", "LISTS: dict[str, JobList] = {\n",
            '    "lengths": JobList("lengths", titled("lengths"), lengths),\n')  # fmt: skip
    _put_in(package / "lists" / "all_lists.py", "from pipemodel.lists.jigs import jigs\n",
            "from pipemodel.lists.lengths import lengths\n")  # fmt: skip
    (package / "documents" / "names.py").write_text(DOCUMENT, encoding="utf-8")
    _put_in(package / "documents" / "formats.py", "FORMATS: dict[str, Format] = {\n",
            '    "names": Format("documents.names:write_names", "names.txt"),\n')  # fmt: skip
    (package / "cli" / "hello.py").write_text(COMMAND, encoding="utf-8")
    _put_in(package / "cli" / "__init__.py", "COMMANDS: dict[str, tuple[str, str]] = {\n",
            '    "hello": ("pipemodel.cli.hello", "Say hello."),\n')  # fmt: skip


def _add_a_language(messages):
    shutil.copytree(messages / "english", messages / "dutch", ignore=shutil.ignore_patterns("__pycache__"))
    for path in (messages / "dutch").glob("*.py"):
        text = path.read_text(encoding="utf-8")
        path.write_text(text.replace("Pull in this order,", "Buig in deze volgorde,"), encoding="utf-8")
    units = messages / "units.py"
    _put_in(units, 'Literal["en", "de"', ', "nl"')
    _put_in(units, '"de": "german"', ', "nl": "dutch"')
    _put_in(units, '"de": ","', ', "nl": ","')
    _put_in(units, '"de": "Zoll"', ', "nl": "duim"')


def _append(path, text):
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")


def _put_in(path, after, line):
    """Put a line behind one that is there once."""
    text = path.read_text(encoding="utf-8")
    assert text.count(after) == 1, (path, after)
    path.write_text(text.replace(after, after + line), encoding="utf-8")


@pytest.fixture(scope="module")
def said(copy):
    """What every command of the copy says: its exit code and its words, by the command."""
    commands = json.dumps([command.split() for command in COMMANDS])
    done = subprocess.run(
        [sys.executable, "-c", IN_ONE_PROCESS, commands], cwd=copy, env={**os.environ, "PYTHONPATH": str(copy)},
        capture_output=True, text=True, timeout=100,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return dict(zip(COMMANDS, json.loads(done.stdout), strict=True))


def test_every_row_names_places_that_are_there():
    rows = {**TABLE}
    rows.pop("you want to add")
    assert len(rows) >= 9
    for row in rows.values():
        for name in re.findall(r"`((?:[\w./]|…)+(?:/|\.py|\.csv|\.yaml))`", row):
            folders = ("", "pipemodel", "pipemodel/trade/data", "pipemodel/job", "pipemodel/job/routing")
            places = [ROOT / folder / name for folder in folders]
            assert "…" in name or any(place.exists() for place in places), (name, row)


@pytest.mark.slow
def test_a_tube_a_standard_and_a_former(said):
    (run,) = json.loads(said["schedule job.yaml --format json"][1])["runs"]
    assert (run["tube"]["outside_mm"], run["tube"]["wall_mm"]) == (13, 0.7)
    assert [(b["radius_mm"], b["pull_deg"]) for b in run["bends"]] == [(48, pytest.approx(91.8))]
    assert "77 x 1.5 brass" in said["tables tubes --format csv"][1]


@pytest.mark.slow
def test_a_check_with_its_sentence_and_a_code_of_practice(said):
    found = json.loads(said["check job.yaml --format json"][1])["findings"]
    assert [(f["code"], f["message"]) for f in found if f["check"] == "long"] == [("Z901", "run 'a' is long")]
    # It allows a hole of a fiftieth of the joist's depth of 200, and none in the middle of its span.
    assert [f["code"] for f in found if "TEST 2026" in f["message"]] == ["R102", "R105"]


@pytest.mark.slow
def test_a_thing_and_a_building_term(said):
    """To the side of the drum, which leans 50 in 300; to the edge of the board, 100 south and 200 above the leg."""
    apart = {d["against"]: d["distance_mm"] for d in json.loads(said["check job.yaml --format json"][1])["distances"]}
    assert apart["keg"] == pytest.approx(500 * 300 / math.hypot(300, 50) - 6.5)
    assert apart["board"] == pytest.approx(math.hypot(100, 200) - 6.5)
    assert {"DrumForm", "ShelfForm"} <= set(json.loads(said["schema"][1])["$defs"])


@pytest.mark.slow
def test_a_move(said):
    """Two strides of 200 and a leg of 200 make 600 to the corner, of which the bend takes 48."""
    (run,) = json.loads(said["schedule job.yaml --format json"][1])["runs"]
    assert [bend["start_mm"] for bend in run["bends"]] == [pytest.approx(552)]


@pytest.mark.slow
def test_a_language(said):
    text = said["schedule job.yaml --language nl"][1]
    assert "Buig in deze volgorde" in text
    assert "91,8" in text
    assert "91.8" in said["schedule job.yaml"][1]


@pytest.mark.slow
def test_a_document_and_a_list(said, copy):
    assert "names.txt" in said["make job.yaml --only names,txt,lists --out out"][1]
    out = copy / "out"
    assert (out / "names.txt").read_text() == "a\n"
    # 552 and 352 straight, and a quarter of a circle of 48.
    assert (out / "lengths.csv").read_text(encoding="utf-8-sig").split() == ['run,"long,', 'mm"', "a,979.4"]
    assert re.search(r"^Lengths$.*979\.4 +a$", (out / "schedule.txt").read_text(), re.DOTALL | re.MULTILINE)


@pytest.mark.slow
def test_a_command(said):
    assert said["hello"] == [0, "hello\n"]
    assert "Say hello." in said["--help"][1]
