"""The examples are what they say they are, and so is what the README and the pages show: jobs, commands, links."""

import re
import shlex
from pathlib import Path

import click
import example_pages
import pytest
import trimesh
from command_line import EXAMPLES, ROOT, run
from wide import few_or_many

from pipemodel import story
from pipemodel.cli import COMMANDS
from pipemodel.cli import pipemodel as program
from pipemodel.documents.formats import FORMATS
from pipemodel.job.read import job_of_text

EXAMPLE_JOBS = sorted(EXAMPLES.glob("*.yaml"))
CLASHING = "boxing-beside-the-chimney"
"""The one that is wrong as it stands, until its parameter `back` is changed."""
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
QUICK = [name for name in FORMATS if name not in ("png", "pdf", "html", "jig")]
"""The formats that need neither a renderer, fonts nor what few jobs ask for; those have tests of their own."""


def test_there_are_examples_of_the_everyday_cases():
    names = {path.stem for path in EXAMPLE_JOBS}
    assert {"airing-cupboard-to-panel", "set-over-the-skirting", "passover-of-the-waste", CLASHING} <= names


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLE_JOBS, ids=lambda path: path.stem)
def test_each_example_has_the_verdict_it_is_there_for(path):
    answered = example_pages.answered(path.stem)
    wrong = [(f.check, f.against) for f in answered.report.findings if f.severity == "error"]
    assert wrong == ([("clash", "boxing front")] if path.stem == CLASHING else [])
    assert (answered.report.verdict == "fail") == bool(wrong)
    assert all(plan.possible for plan in answered.plans)


def test_the_clashing_example_passes_as_its_comment_says():
    path = EXAMPLES / f"{CLASHING}.yaml"
    (command,) = re.findall(r"^# +pipemodel (check .*)$", path.read_text(), re.MULTILINE)
    name, file, *options = shlex.split(command)
    assert run(name, path.parent / file, *options).code == 0


def test_the_cupboard_example_is_a_run_in_several_planes_through_a_tight_void():
    (solved,) = story.schedule(story.read(EXAMPLES / "airing-cupboard-to-panel.yaml")).runs
    turns = [bend.turn_deg for bend in solved.bends]
    assert len(turns) == 4
    assert len({abs(turn) for turn in turns[1:]}) > 1


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("path", few_or_many(EXAMPLE_JOBS[::3], EXAMPLE_JOBS), ids=lambda path: path.stem)
def test_each_example_is_made(path, tmp_path):
    answered = example_pages.answered(path.stem)
    written = {p.name for p in story.write(answered, tmp_path / "out", QUICK)}
    assert {"schedule.json", "check.json", "schedule.csv", "job.step"} <= written
    for solved in answered.schedule.runs:
        assert {f"{solved.name}.step", f"{solved.name}.stl"} <= written
        mesh = trimesh.load(tmp_path / "out" / f"{solved.name}.stl")
        assert mesh.is_watertight
        # Pappus: the section's area times the length of the axis; flats take less than a hundredth of the wall away.
        section = 3.141592653589793 * (solved.tube.outside_mm**2 - solved.tube.bore_mm**2) / 4
        assert mesh.volume == pytest.approx(section * solved.centreline_mm, rel=0.01)


@pytest.mark.parametrize(
    ("page", "text"),
    [
        pytest.param(page.name, text, id=f"{page.stem} {n}")
        for page in PAGES
        if page.name != "job-files.md"  # has a test of its own
        for n, text in enumerate(re.findall(r"```yaml\n(job:.*?)```", page.read_text(encoding="utf-8"), re.DOTALL), 1)
    ],
)
def test_jobs_on_the_pages_are_worked_out(page, text):
    if "\nruns:" not in text:
        text += "runs: {a: {points: [[0, 0, 0], [600, 0, 0], [600, 400, 0]]}}\n"
    assert story.schedule(job_of_text(text, ROOT / "docs" / "job.yaml")).runs


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page):
    links = re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", page.read_text(encoding="utf-8"))
    assert [link for link in links if "://" not in link and not (page.parent / link).exists()] == []


def shown_commands():
    for page in PAGES:
        code = re.findall(
            r"^    .*|```(?:sh)?\n.*?```|`[^`\n]+`", page.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL
        )
        for line in (line.split("#")[0] for line in "\n".join(code).splitlines()):
            for words in re.findall(r"(?:^|[\s`/])pipemodel ([a-z]+(?: [^`]*)?)", line):
                yield page.name, words.replace("[", " ").replace("]", " ")


@pytest.mark.parametrize(("page", "words"), sorted(set(shown_commands())))
def test_commands_on_the_pages_exist_with_their_options(page, words):
    name, *rest = words.split()
    assert name in COMMANDS
    command = program.get_command(click.Context(program), name)
    if isinstance(command, click.Group) and rest and rest[0] in command.list_commands(click.Context(command)):
        command = command.get_command(click.Context(command), rest[0])
    known = {flag for parameter in command.params for flag in (*parameter.opts, *parameter.secondary_opts)}
    assert {word.split("=")[0] for word in rest if word.startswith("--")} <= known


def test_the_readme_lists_every_command():
    listed = re.findall(r"^    pipemodel (\w+)", (ROOT / "README.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert sorted(listed) == sorted(COMMANDS)


def test_the_readme_s_job_passes(tmp_path: Path):
    (text,) = re.findall(r"```yaml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    job = tmp_path / "job.yaml"
    job.write_text(text)
    assert run("check", job).code == 0
