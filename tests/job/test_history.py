"""History files: read back as written, put together by lines, and never believed when something in them was lost."""

import subprocess
from dataclasses import replace

import numpy as np
import pytest
import yaml
from former_simulator import Bender, bent
from hypothesis import given
from hypothesis import strategies as st
from learning_records import records

from pipemodel.job.history import HEAD, History, history_of, line_of, with_records
from pipemodel.job.model import JobError

NONE = History("", ())
ROWS = records(bent(Bender(), 6, 3, 1, finish_held=0.4))
TEXT = with_records(NONE, ROWS)
names = st.text(
    st.characters(exclude_categories=("C", "Zl", "Zp", "Zs"), include_characters=" "), min_size=1, max_size=30
).filter(lambda text: text == text.strip())


def ids(history):
    return [record.id for record in history.records]


def faults(text):
    with pytest.raises(JobError) as caught:
        history_of(text, "bends.yaml")
    return caught.value.lines()


def test_what_was_written_is_read():
    read = history_of(TEXT, "bends.yaml")
    assert ids(read) == [row.id for row in ROWS]
    for row, again in zip(ROWS, read.records, strict=True):
        assert again.got_deg == pytest.approx(row.got_deg, abs=1e-6)
        assert (again.held, again.number, again.run) == (row.held, row.number, row.run)


@given(former=names, job=names, batch=names)
def test_any_name_comes_back_as_it_was(former, job, batch):
    """Also by another reader of YAML: yes, 1:30, 012, 'it''s' and the like are text."""
    row = replace(ROWS[0], former=former, job=job, batch=batch)
    text = with_records(NONE, [row])
    [back] = history_of(text, "bends.yaml").records
    assert (back.former, back.job, back.batch) == (former, job, batch)
    [plain] = yaml.safe_load(text)
    assert (plain["former"], plain["job"], plain["batch"]) == (former, job, batch)
    assert plain["got"] == pytest.approx(row.got_deg, abs=1e-6)


def test_a_record_that_comes_in_twice_counts_once():
    assert with_records(history_of(TEXT, ""), ROWS) == TEXT
    assert ids(history_of(TEXT + TEXT, "")) == [row.id for row in ROWS]


def test_the_order_of_the_lines_says_nothing_but_which_comes_first():
    lines = TEXT.splitlines(keepends=True)[1:]
    mixed = "".join(lines[i] for i in np.random.default_rng(2).permutation(len(lines)))
    assert set(ids(history_of(mixed, ""))) == {row.id for row in ROWS}


def test_the_place_in_the_order_of_pieces_is_no_part_of_what_a_record_says():
    assert replace(ROWS[0], number=99).id == ROWS[0].id
    for change in ({"got_deg": 1.0}, {"run": "other"}, {"mark_mm": 0.0}, {"by": "me"}, {"temper": "R220"}):
        assert replace(ROWS[0], **change).id != ROWS[0].id


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_comments_and_line_ends_stay(newline):
    text = newline.join(["# ours", "", line_of(ROWS[0]) + "  # the first", "# the end"])
    more = with_records(history_of(text, ""), ROWS[1:3])
    assert more.startswith(text)
    assert more.count(newline) == more.count("\n")
    assert ids(history_of(more, "")) == [row.id for row in ROWS[:3]]


@pytest.mark.parametrize("text", ["", HEAD, "# nothing yet\n", "---\n"])
def test_a_file_without_records_is_a_history(text):
    assert history_of(text, "").records == ()
    assert ids(history_of(with_records(History(text, ()), ROWS[:1]), "")) == [ROWS[0].id]


@pytest.mark.parametrize("text", [f"[{line_of(ROWS[0])[2:]}]\n", f"  {line_of(ROWS[0])}\n"])
def test_a_layout_without_room_for_lines_is_left_alone(text):
    with pytest.raises(ValueError, match="at the margin"):
        with_records(history_of(text, ""), ROWS[1:2])


def test_a_record_without_an_id_is_one_that_somebody_wrote():
    text = "- {former: mine, outside: 15, wall: 0.7, bend: 1, radius: 55, angle: 90, pulled: 92, got: 88, mark: 300}\n"
    [record] = history_of(text, "").records
    assert (record.got_deg, record.held, record.start_mm) == (88.0, "start", None)


@pytest.mark.parametrize(
    ("old", "new"),
    [("got: ", "got: 1"), ('former: "mine"', 'former: "other"'), ("pulled: ", "pulled: 1"), ('run: "', 'run: "x')],
)
def test_a_record_that_was_changed_is_named(old, new):
    [line] = faults(TEXT.replace(old, new, 1))
    assert line.startswith("bends.yaml:2:")
    assert "does not go with its id" in line
    with pytest.raises(JobError) as caught:
        history_of(TEXT.replace(old, new, 1), "bends.yaml")
    assert "der Eintrag passt nicht zu seiner id" in caught.value.lines("de")[0]


@pytest.mark.parametrize("at", range(0, len(line_of(ROWS[0])), 7))
def test_a_file_cut_off_anywhere_in_a_line_is_named(at):
    whole = "".join(line_of(row) + "\n" for row in ROWS[:2])
    cut = whole + line_of(ROWS[2])[:at]
    if at == 0:
        assert len(history_of(cut, "").records) == 2
    else:
        assert all(line.startswith(("bends.yaml:3:", "bends.yaml:4:")) for line in faults(cut))


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("<<<<<<< ours\n" + TEXT + "=======\n>>>>>>> theirs\n", "1:1", "keep the records of both sides"),
        ("job: a\nruns: {}\n", "1:1", "a list of records"),
        ("- 3\n", "1:3", "a record is a group of keys, not 3"),
        ("- {former: mine}\n", "1:3", "a record lacks 'outside' (the tube's outside diameter)"),
        (TEXT.replace("held", "hold", 1), "2:", "did you mean 'held'"),
        (TEXT.replace("bend: 1", "bend: 0", 1), "2:", "bend is 1 or more, not 0"),
        (TEXT.replace("number: 1", "number: -1", 1), "2:", "whole number"),
        (TEXT.replace("number: 1", "number: 1.5", 1), "2:", "whole number"),
        (TEXT.replace("got: ", "got: 9", 1).replace("number: 1", "number: yes", 1), "2:", "whole number"),
        (TEXT.replace("outside: 15", "outside: .nan", 1), "2:", "finite"),
        (TEXT.replace("mark: 150", "mark: 1e400", 1), "2:", "finite"),
        (TEXT.replace('run: "piece 1"', 'date: "1 March"', 1), "2:", "year, month and day"),
        (TEXT.replace('"start"', '"middle"', 1), "2:", "start"),
        ('- {<<: *a}\n', "1:", "stands for nothing"),
        ("- &a [*a]\n", "1:", "without end"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_named_at_its_place(text, place, words):
    assert any(line.startswith(f"bends.yaml:{place}") and words in line for line in faults(text)), faults(text)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_files_that_were_spoilt_at_random_never_give_other_figures(seed):
    """A byte changed anywhere: either it is named, or the records are what they were (a comment, a blank, a number)."""
    random = np.random.default_rng(seed)
    data = TEXT.encode()
    right = {row.id for row in ROWS}
    for _ in range(150):
        at = int(random.integers(len(data)))
        spoilt = data[:at] + bytes([random.integers(32, 127)]) + data[at + 1 :]
        # A '#' may hide a record; an 'id' that is gone leaves a record that says what it said.
        assert _ids_or_named(spoilt.decode()) <= right


def _ids_or_named(text):
    try:
        return set(ids(history_of(text, "bends.yaml")))
    except JobError as error:
        return set() if all(line.startswith("bends.yaml:") for line in error.lines()) else {"a fault without a place"}


def test_git_puts_two_histories_together(tmp_path):
    """With the union driver of git, as docs/learning.md says; the two sides share a piece and have one each."""

    def git(*arguments):
        identity = ("-c", "user.name=a", "-c", "user.email=a@example.org", "-c", "init.defaultBranch=one")
        subprocess.run(["git", *identity, *arguments], cwd=tmp_path, check=True, capture_output=True)

    path = tmp_path / "bends.yaml"
    git("init")
    (tmp_path / ".gitattributes").write_text("bends.yaml merge=union\n")
    path.write_text(with_records(NONE, ROWS[:3]))
    git("add", ".")
    git("commit", "-m", "shared")
    git("checkout", "-b", "two")
    path.write_text(with_records(history_of(path.read_text(), ""), ROWS[3:9]))
    git("commit", "-am", "two")
    git("checkout", "one")
    path.write_text(with_records(history_of(path.read_text(), ""), (*ROWS[9:12], *ROWS[3:6])))
    git("commit", "-am", "one")
    git("merge", "two")
    assert set(ids(history_of(path.read_text(), ""))) == {row.id for row in ROWS[:12]}
