"""What a showing has to tell after each look at the file, asked for directly and without a server."""

import json

import pytest
from command_line import LEAST

from pipemodel.live.showing import MOST_FAULTS, Showing
from pipemodel.live.watch import files_of


@pytest.fixture
def job_file(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(LEAST, encoding="utf-8")
    return path


def test_every_look_has_the_next_number_and_only_good_ones_count_as_pages(job_file):
    """Good, wrong, failed inside, good: pages 1, 1, 1, 2, and the last good one stays while there is none."""
    pages = iter(["one", None, "two"])

    def render(answer):
        if (page := next(pages)) is None:
            raise ZeroDivisionError
        return page

    showing = Showing(job_file, render)
    assert (showing.state.number, showing.state.good, showing.state.wrong) == (0, 0, ())
    seen = []
    for text in (LEAST, LEAST.replace("clearance: 5", "clearance: five"), LEAST, LEAST):
        job_file.write_text(text, encoding="utf-8")
        showing.make()
        state = showing.state
        seen.append((state.number, state.good, state.page, [w.line for w in state.wrong]))
    assert seen == [(1, 1, "one", []), (2, 1, "one", [4]), (3, 1, "one", [1]), (4, 2, "two", [])]


def test_a_failure_inside_is_given_by_its_kind_where_it_has_no_words(job_file, capsys):
    for error, said in ((ZeroDivisionError(), "ZeroDivisionError"), (ValueError("no such luck"), "no such luck")):

        def render(answer, error=error):
            raise error

        showing = Showing(job_file, render)
        showing.make()
        (wrong,) = showing.state.wrong
        assert (wrong.line, wrong.column, wrong.text) == (1, 1, "")
        assert wrong.message == f"pipemodel itself failed: {said}"
        assert type(error).__name__ in capsys.readouterr().err
        stated = json.loads(showing.state.to_json("job.yaml"))
        assert stated == {
            "number": 1,
            "good": 0,
            "file": "job.yaml",
            "wrong": [{"file": "job.yaml", "line": 1, "column": 1, "message": wrong.message, "text": ""}],
        }


def test_a_long_line_is_cut_and_so_many_faults_are_said(job_file):
    """A line is shown to 160 characters and a sign that it goes on; a page of faults helps nobody."""
    job_file.write_text(f"job: {'x' * 100}\nwrong: {'y' * 400}\n" + "".join(f"k{i}: 1\n" for i in range(60)), "utf-8")
    showing = Showing(job_file, lambda answer: "")
    showing.make()
    assert len(showing.state.wrong) == MOST_FAULTS == 20
    lines = job_file.read_text(encoding="utf-8").splitlines()
    cut = {w.line: w.text for w in showing.state.wrong}
    assert 2 in cut
    assert all(text == lines[line - 1] for line, text in cut.items() if line > 2)
    assert cut[2].startswith("wrong: yyy")
    assert 150 <= len(cut[2]) <= 170


def test_news_is_waited_for_only_as_long_as_there_may_be_some(job_file):
    showing = Showing(job_file, lambda answer: "page")
    assert showing.after(-1, 0.0) == showing.state
    assert showing.after(0, 0.0) is None
    showing.make()
    assert showing.after(0, 0.0) == showing.state
    assert showing.after(1, 0.0) is None
    assert not showing.ended
    showing.end()
    assert showing.ended
    assert showing.after(0, 10.0) is None


def test_files_named_anywhere_in_the_job_are_watched(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: a\nbender: {file: own/benders.yaml, name: mine}\nlearned: all.yaml\n"
        "former: {name: mine, radius: 55, history: mine.yaml}\nroom:\n  a: {mesh: {file: a.stl}}\n  b:\n"
        "    - {mesh: {file: b.step}}\n  c: {mesh: {file: a.stl}}\n  d: {file: [7]}\n",
        encoding="utf-8",
    )
    named = ("own/benders.yaml", "all.yaml", "mine.yaml", "a.stl", "b.step")
    assert files_of(path) == (path, *(tmp_path / name for name in named))
    assert files_of(tmp_path / "none.yaml") == (tmp_path / "none.yaml",)


def test_the_page_is_in_the_language_chosen_or_in_that_of_the_job(job_file):
    def asked(answer):
        return answer.paper_options.language

    for text, chosen, language in (
        (LEAST, None, "en"),
        ("language: de\n" + LEAST, None, "de"),
        (LEAST, "de", "de"),
        ("language: de\n" + LEAST, "en", "en"),
    ):
        job_file.write_text(text, encoding="utf-8")
        showing = Showing(job_file, asked, language=chosen)
        waiting = showing.state.page
        assert f'<html lang="{chosen or "en"}">' in waiting
        assert ("Noch nichts zu zeigen." in waiting) == ("Die Ansicht ist beendet" in waiting) == (chosen == "de")
        showing.make()
        assert (showing.state.page, showing.language) == (language, language)
