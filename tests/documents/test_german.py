"""A job made in German: no English word in what people read, but for names and sources, and the figures of the English.

The names in the job are German, so that every English word found is the program's. Sources of table figures are
quoted as they are printed.
"""

import re

import openpyxl
import pytest
from command_line import run
from german_words import NAMED, NOT_GERMAN, decimal_points, figures
from lxml import html

from pipemodel.calibration.calibrate import calibrate
from pipemodel.calibration.pieces_file import read_pieces
from pipemodel.documents.page.script import worded
from pipemodel.documents.text.calibration import calibration_text
from pipemodel.messages.units import MM, units_for
from pipemodel.trade.clips import all_spacings
from pipemodel.trade.fittings import all_fittings

GERMAN = units_for("mm", "de")
JOB = """\
job: Probe
tube: 15
former: {radius: 60}
stock: {length: 1600}
clips: {face: Wand}
clearance: 6
revision: B
room:
  Wand: {face: {at: [0, 0, 0], facing: north}}
  Pfosten: {box: {from: [150, -10, 0], to: [190, 80, 400]}}
runs:
  Vorlauf:
    points: [[0, 22, 0], [300, 22, 0], [300, 300, 0], [300, 320, 250]]
    ends: {start: {fitting: capillary, to: mouth}}
    trim: 20
    insulation: 9
  Enge:
    points: [[0, 120, 900], [300, 120, 900], [300, 240, 900], [500, 240, 900]]
  Lang:
    points: [[0, 1120, 900], [1300, 1120, 900], [1300, 2500, 900]]
"""
EARLIER = (
    JOB.replace("clearance: 6", "clearance: 5").replace("radius: 60", "radius: 57")
    .replace("[0, 22, 0], [300, 22, 0]", "[0, 19, 0], [290, 19, 0]").replace("  Lang:", "  Alt:")
)  # fmt: skip
PIECES = """\
tube: {outside: 15, wall: 0.7}
hold: 60
pieces:
  - {cut: 500, mark: 200, angle: 90.17, start to back: 224.11, finish to back: 314.73, pull: 95.35}
  - {cut: 500, mark: 200, angle: 45.18, start to back: 187.7, finish to back: 321, pull: 49.02}
  - {cut: 500, mark: 200, angle: 119.63, start to back: 268.79, finish to back: 331.11, pull: 127.8}
  - {cut: 500, mark: 200, angle: 90.45, start to back: 223.92, finish to back: 314.29, pull: 150}
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The folders of the job in both languages, compared with an earlier state of it."""
    home = tmp_path_factory.mktemp("german")
    job = home / "probe.yaml"
    job.write_text(EARLIER, encoding="utf-8")
    run("make", job, "--out", home / "earlier", "--only", "json")
    job.write_text(JOB, encoding="utf-8")
    for language in ("en", "de"):
        said = run(
            "make", job, "--out", home / language, "--only", "txt,md,xlsx,html", "--language", language,
            "--against", home / "earlier" / "schedule.json",
        )  # fmt: skip
        assert said.code == 1, said.err
        if language == "de":
            assert (
                english_in("\n".join(line for line in said.err.splitlines() if not line.startswith("schedule."))) == []
            )
    return {language: home / language for language in ("en", "de")}


SOURCES = {row.source for row in all_spacings()} | {fitting.source for _, fitting in all_fittings()}


def english_in(said):
    """The English words in what is said, each with what stands about it."""
    said = " ".join(said.split())
    for source in SOURCES - {""}:
        said = said.replace(source, "")
    said = NAMED.sub("", said)
    return [said[max(found.start() - 40, 0) : found.end() + 40] for found in NOT_GERMAN.finditer(said)]


def page_of(folder):
    """What the page says, and what those who hear it are given."""
    root = html.fromstring((folder / "job.html").read_text(encoding="utf-8"))
    for away in root.xpath("//script | //style"):
        away.drop_tree()
    heard = root.xpath("//@aria-label | //@title | //@alt | //@placeholder")
    return root, "\n".join([*(" ".join(text.split()) for text in root.itertext() if text.strip()), *heard])


@pytest.mark.slow
def test_text_and_markdown(made):
    for name in ("changes.txt", "schedule.txt", "check.txt", "schedule.md"):
        english, german = ((made[language] / name).read_text(encoding="utf-8") for language in ("en", "de"))
        assert english_in(german) == [], name
        assert len(english_in(english)) > 20, name
        assert figures(german) == figures(english), name
        assert decimal_points(german) == [], name
    changes = " ".join((made["de"] / "changes.txt").read_text(encoding="utf-8").split())
    for said in (
        "gegenüber Revision B, jetzt Revision B.",
        "Leitung Alt ist entfallen",
        "Leitung Lang ist neu",
        "Leitung Vorlauf: Radius der Biegematrize geändert von 57 auf 60",
        "Leitung Vorlauf: Schelle 1 verschoben",
    ):
        assert said in changes


def test_the_workbook(made):
    english, german = (openpyxl.load_workbook(made[language] / "schedule.xlsx") for language in ("en", "de"))
    assert german.sheetnames == [
        "Auftrag", "Leitungen", "Ecken", "Bögen", "Biegungen", "Zuschnittliste", "Fittings", "Schellen", "Befunde",
        "Abstände", "Bohrungen", "Anreißen", "Änderungen",
    ]  # fmt: skip
    texts = 0
    for ours, theirs in zip(german.worksheets, english.worksheets, strict=True):
        assert ours.dimensions == theirs.dimensions
        for row, other in zip(ours.iter_rows(values_only=True), theirs.iter_rows(values_only=True), strict=True):
            for cell, same in zip(row, other, strict=True):
                if not isinstance(cell, str):
                    assert cell == same
                    continue
                texts += 1
                assert english_in(cell) == [], ours.title
                assert figures(cell) == figures(same), (cell, same)
    assert texts > 250


def test_the_page(made):
    (root, german), (_, english) = (page_of(made[language]) for language in ("de", "en"))
    assert root.get("lang") == "de"
    assert english_in(german) == []
    assert len(english_in(english)) > 100
    assert figures(german) == figures(english)
    assert re.findall(r"\d\.\d", re.sub(r"\d+\.\w+|EN \d+", "", german)) == []


def test_the_words_in_the_page_s_script(made):
    pages = {language: (folder / "job.html").read_text(encoding="utf-8") for language, folder in made.items()}
    scripts = {
        language: html.fromstring(page).xpath("//script[not(@type)]/text()")[0] for language, page in pages.items()
    }
    assert scripts["de"] != scripts["en"]
    for language, words in {
        "en": ("once pulled", "mark ${bend.mark}", "Step ${this.here + 1} of ${this.steps.length}", "length} ticked"),
        "de": ("nach dem Biegen", "Anriss ${bend.mark}", "Schritt ${this.here + 1} von ${this", "length} abgehakt"),
    }.items():  # fmt: skip
        assert all(word in scripts[language] for word in words)
        assert "«" not in scripts[language]
    assert worded("`«page.ticked|n=a.b|all=c»` // rest", GERMAN) == "`${a.b} von ${c} abgehakt` // rest"


@pytest.mark.parametrize("wrong", [False, True])
def test_a_calibration(tmp_path, wrong):
    """With the last pull as it stands the springback is no tube's; without that piece nothing is wrong."""
    path = tmp_path / "pieces.yaml"
    path.write_text(PIECES if wrong else PIECES[: PIECES.rindex("  - {")], encoding="utf-8")
    read = read_pieces(path)
    found = calibrate(read.pieces, read.outside_mm, read.tape_mm, read.protractor_deg, 0.0, read.least_mm)
    assert found.usable != wrong
    english, german = (calibration_text(found, read, units=units) for units in (MM, GERMAN))
    keys = re.sub(r"„[^“]*“|\(angle und pull\)", "", german)
    assert english_in(keys) == []
    assert figures(german) == figures(english)
    assert re.findall(r"\d\.\d", german) == []
    assert len(figures(german)) > 12
