"""What people read: 80 columns, figures that add up, and names that can do no harm."""

import re
import unicodedata
from math import floor

import gallery
import pytest
from command_line import CLASHING, CUPBOARD, LEAST, run, run_apart
from follower.sheets import text_runs
from hypothesis import given
from hypothesis import strategies as st
from made_runs import random_run

from pipemodel import story
from pipemodel.bending.angle_words import plane_turn, roll_turn
from pipemodel.bending.schedule import Schedule
from pipemodel.documents.text.check import check_text
from pipemodel.documents.text.parts import write_parts
from pipemodel.documents.text.schedule import schedule_text
from pipemodel.lists.table import Column, Kind, Table
from pipemodel.messages.angles import deg
from pipemodel.messages.units import MM
from pipemodel.messages.values import Name, message
from pipemodel.pulls.plan import plan_pulls
from pipemodel.results.results import Results
from pipemodel.wording.rounding import marks_to_draw, run_text
from pipemodel.wording.safe_text import columns, shown, to_ascii, wrapped
from pipemodel.wording.text_page import TextPage

JOBS = ("airing_cupboard", "clashing", "return_run", "straight", "unbendable_order", "two_runs")


def texts(job, ascii=False):
    answered = story.results(job)
    return (
        schedule_text(answered, ascii=ascii),
        check_text(answered, ascii=ascii),
    )


@pytest.mark.parametrize("name", JOBS)
def test_80_columns(name):
    for text in texts(getattr(gallery, name)()):
        assert max(len(line) for line in text.splitlines()) <= 80
        assert not any(line != line.rstrip() for line in text.splitlines())


def test_what_a_fitter_needs_is_there():
    schedule, check = texts(gallery.airing_cupboard())
    for words in ("RUN flow", "15 x 0.7 copper", "EN 1057", "radius 55", "Cut length", "2 % of the angle"):
        assert words in schedule
    (run,) = text_runs(schedule)
    planes = [row[-1] for row in run.bends]
    assert planes == ["first bend", "90 anticlockwise", "180, the other way", "90 anticlockwise"]
    # Bends 1 and 4 lie in one plane. That of bend 2 lies a quarter anticlockwise of it: to come into the bender's
    # plane, the tube rolls clockwise. Between the bends of the set, 2 and 3, it rolls half a turn.
    assert [(step.bend, step.turned.clockwise) for step in run.steps] == [(1, 0), (4, 0), (2, 90), (3, 180)]
    assert check.splitlines()[3].startswith("PASS")
    for text in (schedule, check):
        assert text.rstrip().endswith("come before anything said here.")
        for word in ("Gas", "structure", "electrics", "hot work", "Local codes"):
            assert word in text


@pytest.mark.parametrize("seed", range(60))
def test_rounded_figures_add_up_and_stay_true(seed):
    solved = random_run(seed)
    plan, step = plan_pulls(solved), 0.5
    figures, marks = run_text(solved, plan), marks_to_draw(solved, plan)
    after, cut = float(figures.straight_after.short), float(figures.cut_length.short)
    rows = [(float(row.straight_before.short), float(row.arc.short), row.bend) for row in figures.bends]
    assert sum(before + arc for before, arc, _ in rows) + after == cut
    assert abs(cut - solved.cut_length_mm) <= step / 2 + 1e-9
    assert abs(after - solved.table.straight_after_mm) <= step + 1e-9
    for row in figures.bends:
        assert abs(float(row.mark.short) - marks[row.bend.number]) <= step / 2 + 1e-9
    for before, arc, bend in rows:
        assert abs(before - bend.straight_before_mm) <= step + 1e-9
        assert abs(arc - bend.arc_mm) <= step + 1e-9


@pytest.mark.parametrize("seed", range(0, 60, 7))
def test_the_printed_table_adds_up(seed):
    solved = random_run(seed)
    schedule = Schedule(gallery.job("made"), (solved,))
    text = schedule_text(Results(schedule))
    rows = text_runs(text)[0].bends
    after = float(re.search(r"Straight after +([\d.]+) mm", text)[1])
    cut = float(re.search(r"Cut length +([\d.]+) mm", text)[1])
    assert sum(float(row[1]) + float(row[2]) for row in rows) + after == pytest.approx(cut, abs=1e-9)
    assert len(rows) == len(solved.table.bends)


def test_a_bend_has_one_mark_the_one_it_is_pulled_by():
    job = gallery.airing_cupboard()
    schedule = story.schedule(job)
    plans = story.plans(schedule)
    marks = [(pull.bend, float(MM.short(pull.mark_mm))) for pull in plans[0].pulls]
    (run,) = text_runs(schedule_text(Results(schedule)))
    assert [(step.bend, step.mark) for step in run.steps] == marks


def test_runs_that_cannot_be_pulled_say_why():
    text, _ = texts(gallery.unbendable_order())
    assert "CANNOT BE PULLED" in text


def test_a_straight_run_is_no_table_of_nothing():
    text, _ = texts(gallery.straight())
    assert "none: a straight piece" in text
    assert "Former" not in text


@pytest.mark.parametrize(
    ("turn", "words"),
    [
        (0.0, "0, the same way again"),
        (-0.0, "0, the same way again"),
        (180.0, "180, the other way"),
        (179.99, "180, the other way"),
        (-179.99, "180, the other way"),
        (90.0, "90 clockwise"),
        (-45.3, "45.3 anticlockwise"),
    ],
)
def test_turns_of_planes_in_words(turn, words):
    assert str(plane_turn(turn)) == words
    assert str(plane_turn(turn, first=True)) == "first bend"


@pytest.mark.parametrize(
    ("roll", "words"),
    [
        (0.0, "0, the same side up"),
        (-0.04, "0, the same side up"),
        (180.0, "180, half a turn"),
        (-179.96, "180, half a turn"),
        (90.0, "90 clockwise"),
        (-45.3, "45.3 anticlockwise"),
    ],
)
def test_rolls_in_words(roll, words):
    assert str(roll_turn(roll)) == words
    assert str(roll_turn(roll, end_for_end=True)) == f"end for end, {words}"
    assert str(roll_turn(roll, first=True)) == "first pull: any side up"


def test_an_angle_is_rounded_the_same_whichever_way_it_goes_and_comes_about():
    for size in (22.25, 37.05, 0.15, 112.35, 44.95):
        shown = {deg(size), deg(-size).removeprefix("-"), deg(size - 1e-12), deg(size + 1e-12)}
        assert len(shown) == 1
        shown |= {str(plane_turn(a * size)).split()[0] for a in (1, -1)} | {
            str(roll_turn(a * size)).split()[0] for a in (1, -1)
        }
        assert shown == {deg(size)}


def test_figures_are_short_and_never_minus_nothing():
    assert (MM.short(412.24), MM.short(412.26), MM.short(-0.1), MM.short(0.0)) == ("412", "412.5", "0", "0")
    assert (deg(90.0), deg(92.84), deg(0.02), deg(22.5)) == ("90", "92.8", "0.02", "22.5")
    assert (MM.tidy(-0.001), MM.tidy(55.0), MM.tidy(15.875)) == ("0", "55", "15.88")


@given(st.floats(-1e6, 1e6))
def test_lengths_are_rounded_to_the_nearest_half(value):
    assert abs(float(MM.short(value)) - value) <= 0.25 + 1e-6
    assert float(MM.short(value)) * 2 == floor(float(MM.short(value)) * 2)


@pytest.mark.slow
@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES)
@pytest.mark.parametrize("ascii", [False, True])
def test_hostile_names_are_shown_harmlessly(name, ascii):
    job = gallery.job(
        name,
        [gallery.run(name)],
        [gallery.Thing(name, gallery.NOGGING.shape)],
        notes=(message("tube.name", name=Name(name, quoted=False)),),
    )
    for text in texts(job, ascii):
        hidden = {c for c in text if c != "\n" and unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp")}
        assert not hidden
        assert max(columns(line) for line in text.splitlines()) <= 80
        if ascii:
            assert text.isascii()
        text.encode("utf-8")


@pytest.mark.slow
@given(st.text(max_size=60))
def test_whatever_is_shown_fits_and_can_be_printed(text):
    line = shown(text)
    assert "\n" not in line
    line.encode("utf-8")
    assert to_ascii(line).isascii()
    assert all(columns(part) <= 20 for part in wrapped(line, 20, "  - "))


def test_plain_ascii_keeps_the_sense():
    assert to_ascii("línea 15 × 0.7 – 90° → ½ Ø22 ±1") == "linea 15 x 0.7 - 90 deg -> 1/2 O22 +/-1"
    assert to_ascii("管") == "\\u7ba1"


def test_wrapping_keeps_every_word():
    words = "the quick brown fox jumps over the lazy dog " * 5
    assert " ".join(wrapped(words, 23)).split() == words.split()
    assert wrapped("", 20, "x ") == ["x "]


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1", "utf-8", "cp437"])
@pytest.mark.parametrize("command", ["schedule", "check"])
def test_no_terminal_makes_it_crash(tmp_path, encoding, command):
    path = tmp_path / "job.yaml"
    path.write_text(CLASHING.replace("return", "zurück → 管 ½").replace("boxing", "Kästchen ≤ 3"), encoding="utf-8")
    said = run(command, path, encoding=encoding)
    assert said.code == (1 if command == "check" else 0)
    assert said.err == ""
    assert ("zurück" in said.out) == (encoding == "utf-8")
    assert ("zuruck -> \\u7ba1 1/2" in said.out) == (encoding != "utf-8")
    if (command, encoding) == ("schedule", "cp437"):
        apart = run_apart(command, path, PYTHONIOENCODING=encoding, PYTHONUTF8="0", NO_COLOR="1")
        assert apart.stdout.decode(encoding) == said.out


@pytest.mark.slow
def test_nothing_is_coloured():
    assert b"\x1b" not in run_apart("schedule", CUPBOARD, FORCE_COLOR="1").stdout


@pytest.mark.slow
def test_messages_about_bad_input_survive_any_terminal(tmp_path):
    path = tmp_path / "jöb.yaml"
    path.write_text(LEAST.replace("radius:", "rädius:"), encoding="utf-8")
    said = run_apart("schedule", path, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert said.returncode == 2
    assert b"Traceback" not in said.stderr
    assert b"dius" in said.stderr


def test_columns_of_words_are_made_narrower_until_the_last_has_room():
    """Of two columns of 28 letters before the last, 34 are left on a page of 80 with 20 for the last: 80 - 2 - 20, and
    two blanks between each; of a narrow page none gets fewer than 8.
    """
    long = "abcdefg " * 5
    heads = (Column("one"), Column("figure", Kind.COUNT), Column("two"), Column("last"))
    rows = ((long, 12, long, long),)
    for width, widest in ((80, 28), (60, 28), (24, 28)):
        page = TextPage(width=width)
        write_parts(page, [Table(heads, rows)], MM)
        rule = next(line for line in page.lines if set(line.strip()) == {"-", " "})
        one, figure, two, last = map(len, rule.split())
        assert max(one, two) <= widest
        assert abs(one - two) <= 1
        assert figure == 6
        if width > 40:
            assert 2 + one + 2 + figure + 2 + two + 2 + 20 <= width
            assert max(columns(line) for line in page.lines if "-" not in line) <= width
        else:
            assert (one, two) == (8, 8)
        assert last >= 8
        said = "".join(page.lines).replace(" ", "")
        assert said.count("abcdefg") == 15  # no letter is lost
