"""`--language` and `language:`: German papers that are German throughout, and a plain word about those that are not."""

import json
import re

import pytest
from command_line import run

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
NOT_GERMAN = re.compile(
    r"\b(the|and|with|from|bends?|legs?|run|runs|pull|mark|tube|end|is|are|of|to|by|it|clears|asked|note|wrong)\b",
    re.IGNORECASE,
)
"""Words that no German sentence here holds; those of the command's own names come out before."""
NAMED = re.compile(r"`[^`]*`|\(pipemodel cut\)|piece \d|EN 1057")


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
    assert re.findall(r"\d\.\d", said.out) == []
    assert re.findall(r"\d,\d", said.out)
    assert "Reststück probieren" in said.out
    assert max(map(len, said.out.splitlines())) <= 80


@pytest.mark.parametrize("command", ["check", "schedule", "cut"])
def test_the_figures_are_those_of_the_english_paper(job, command):
    figures = {
        language: sorted(re.findall(r"\d+(?:[.,]\d+)?", NAMED.sub("", run(command, job, "--language", language).out)))
        for language in ("en", "de")
    }
    german = sorted(figure.replace(",", ".") for figure in figures["de"])
    assert len(german) > 20
    # A leg "between bends 1 and 2" is said with the same figures; only a list may repeat none.
    assert german == sorted(figures["en"])


def test_the_job_chooses_and_the_command_line_wins(job):
    english = run("check", job).out
    job.write_text("language: de\n" + JOB, encoding="utf-8")
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


def test_what_is_still_english_says_so(job, tmp_path):
    said = run("make", job, "--out", tmp_path / "out", "--only", "txt,md,cuts,json,csv", "--language", "de")
    assert "schedule.md: still written in English" in said.err
    assert said.err.count("still written in English") == 1
    assert "Anrisse" in (tmp_path / "out" / "schedule.txt").read_text(encoding="utf-8")
    assert "Zuschnittliste" in (tmp_path / "out" / "cuts.txt").read_text(encoding="utf-8")
    # Half of a paper in another language would be worse than none.
    english = run("make", job, "--out", tmp_path / "en", "--only", "txt,md,cuts,json,csv")
    assert "still written" not in english.err
    for name in ("schedule.md", "schedule.json", "check.json", "schedule.csv", "cuts.json"):
        assert (tmp_path / "out" / name).read_bytes() == (tmp_path / "en" / name).read_bytes()


def test_bend_answers_in_german():
    said = run("bend", "90", "--first", "300", "--second", "200", "--language", "de")
    assert "Biegung 1: Bogen 1" in said.out
    assert run("tables", "formers", "--language", "de").err == "the tables: still written in English\n"
