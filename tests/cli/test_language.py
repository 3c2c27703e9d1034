"""`--language` and `language:`: German papers that are German throughout, and a plain word about those that are not."""

import json
import re

import pytest
from command_line import run
from german_words import NAMED, NOT_GERMAN, decimal_points, figures

from pipemodel.messages.say import templates

JOB = """\
job: Probe
tube: 15
former: {radius: 60}
stock: {length: 1500}
clips: {face: Wand}
clearance: 5
room:
  Wand: {face: {at: [0, 0, 0], facing: north}}
  Pfosten: {box: {from: [150, -10, 0], to: [190, 80, 400]}}
runs:
  Vorlauf:
    points: [[0, 20, 0], [300, 20, 0], [300, 300, 0], [300, 320, 250]]
    insulation: 9
  Enge:
    points: [[0, 120, 900], [300, 120, 900], [300, 240, 900], [500, 240, 900]]
  Lang:
    points: [[0, 1120, 900], [1300, 1120, 900], [1300, 1440, 900], [1300, 2500, 900]]
"""


@pytest.fixture
def job(tmp_path):
    path = tmp_path / "probe.yaml"
    path.write_text(JOB, encoding="utf-8")
    return path


@pytest.mark.slow
@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("command", ["check", "schedule", "cut"])
def test_a_german_paper_holds_no_english_word_and_no_decimal_point(job, command, units):
    said = run(command, job, "--language", "de", "--units", units)
    assert said.err == ""
    assert len(said.out) > 1000
    assert NOT_GERMAN.findall(NAMED.sub("", said.out)) == []
    assert decimal_points(said.out) == []
    assert re.findall(r"\d,\d", said.out)
    assert "Reststück probieren" in said.out
    assert max(map(len, said.out.splitlines())) <= 80


@pytest.mark.parametrize("command", ["check", "schedule", "cut"])
def test_the_figures_are_those_of_the_english_paper(job, command):
    english, german = (figures(run(command, job, "--language", language).out) for language in ("en", "de"))
    assert len(german) > 20
    # A leg "between bends 1 and 2" is said with the same figures; only a list may repeat none.
    assert german == english


def test_the_job_chooses_and_the_command_line_wins(job):
    english = run("check", job).out
    job.write_text(JOB + "language: de\n", encoding="utf-8")
    german = run("check", job).out
    assert "NICHT BESTANDEN" in german
    assert run("check", job, "--language", "en").out == english
    assert run("check", job, "--language", "de").out == german


def test_a_language_nobody_knows_is_refused(job):
    assert run("check", job, "--language", "fr").code == 2
    job.write_text("language: fr\n" + JOB, encoding="utf-8")
    said = run("check", job)
    assert said.code == 2
    assert "probe.yaml:1:" in said.err


def test_json_does_not_change_with_the_language_and_holds_the_values(job):
    english, german = (run("check", job, "--format", "json", "--language", one).out for one in ("en", "de"))
    assert english == german
    findings = json.loads(english)["findings"]
    assert len(findings) > 5
    for finding in findings:
        assert finding["template"] in templates("en")
        assert finding["values"]
        assert finding["message"]
    schedule = [run("schedule", job, "--format", "json", "--language", one).out for one in ("en", "de")]
    assert schedule[0] == schedule[1]


def test_german_on_a_plain_terminal_is_ascii(job):
    from pipemodel.wording.safe_text import to_ascii

    assert to_ascii("Überschneidung, Bögen, Maß", "de") == "Ueberschneidung, Boegen, Mass"
    assert to_ascii("Überschneidung") == "Uberschneidung"


def test_what_is_for_programs_is_the_same_in_every_language(job, tmp_path):
    formats = "txt,md,cuts,json,csv,lists"
    for language in ("en", "de"):
        run("make", job, "--out", tmp_path / language, "--only", formats, "--language", language)
    names = {path.name for path in (tmp_path / "en").iterdir() if not path.name.startswith(".")}
    for_programs = {name for name in names if name.endswith((".json", ".csv"))}
    assert {"schedule.json", "check.json", "cuts.json", "schedule.csv", "clips.csv", "findings.csv"} <= for_programs
    for name in names:
        both = [(tmp_path / language / name).read_bytes() for language in ("en", "de")]
        assert (both[0] == both[1]) == (name in for_programs), name


def test_bend_answers_in_german(tmp_path):
    """Its names are German too, and a job that it saves stays German."""
    flags = ("bend", "passover", "--over", "40", "--at", "400", "--gap", "10", "--angle", "45")
    kept = tmp_path / "job.yaml"
    said = run(*flags, "--language", "de", "--save", kept)
    assert said.code == 0
    assert "Biegung 1: Bogen 1" in said.out
    assert said.out.startswith("Überbogen\n")
    assert NOT_GERMAN.findall(NAMED.sub("", said.out)) == []
    assert run("schedule", kept).out == said.out
    english = run(*flags)
    assert english.out.startswith("passover\n")
    assert figures(said.out) == figures(english.out)


def test_the_tables_in_german():
    """Sizes are keys and sources are quoted as they are printed; all else is German, with the same figures."""
    english, german = (run("tables", "--language", language).out for language in ("en", "de"))
    assert max(map(len, german.splitlines())) <= 80
    rows = [
        re.sub(r"\b(\d-)?\d(/\d)? in\b|EN 1057", "", line)
        for line in german.splitlines()
        if not re.match(r" {0,4}\d+  \D| {5}", line)
    ]
    assert len(rows) > 80
    assert [NOT_GERMAN.findall(row) for row in rows if NOT_GERMAN.search(row)] == []
    assert figures(german) == figures(english)
    for form in ("json", "csv"):
        assert run("tables", "--format", form, "--language", "de").out == run("tables", "--format", form).out
