"""Text made harmless, broken into lines and put into plain letters: what comes out, letter by letter."""

import pytest

from pipemodel.wording.safe_text import columns, shown, to_ascii, wrapped
from pipemodel.wording.text_page import TextPage


@pytest.mark.parametrize(
    ("text", "out"),
    [
        ("plain text", "plain text"),
        ("a\x1b[31mb", "a\\x1b[31mb"),
        ("a\nb\r", "a\\nb\\r"),
        ("a\tb", "a b"),
        ("a\u202eb", "a\\u202eb"),
        ("a\u2028b", "a\\u2028b"),
        ("caf\u00e9", "caf\u00e9"),
        ("e\u0301", "e\u0301"),
        ("e" + "\u0301" * 3 + "x", "e" + "\u0301" * 3 + "x"),
        ("e" + "\u0301" * 4 + "x" + "\u0301", "e" + "\u0301" * 3 + "x\u0301"),
        ("\ud800", "\\ud800"),
    ],
)
def test_what_is_shown(text, out):
    assert shown(text) == out


def test_long_text_is_cut():
    assert shown("abcdefghij", 10) == "abcdefghij"
    assert shown("abcdefghijk", 10) == "abcdefg..."
    assert shown("abcdefghijk", 2) == "a..."
    assert shown("abcdefghijk") == "abcdefghijk"


@pytest.mark.parametrize(
    ("text", "out"),
    [("5 × 3", "5 x 3"), ("90°", "90 deg"), ("Ø15", "O15"), ("±1", "+/-1"), ("≤ ≥", "<= >="), ("½ ¼ ¾", "1/2 1/4 3/4"),
     ("é ü Å", "e u A"), ("ß Æ Ł", "ss AE L"), ("€", "\\u20ac"), ("plain", "plain"),
     ("→←", "-><-"), ("“x”…", '"x"...')],
)  # fmt: skip
def test_in_ascii(text, out):
    assert to_ascii(text) == out


@pytest.mark.parametrize(("text", "n"), [("abc", 3), ("é", 1), ("e\u0301", 1), ("\u6f22\u5b57", 4), ("\uff21b", 3)])
def test_columns_of_a_terminal(text, n):
    assert columns(text) == n


def test_lines_are_broken_on_blanks():
    assert wrapped("one two three four", 9) == ["one two", "three", "four"]
    assert wrapped("one two", 7) == ["one two"]
    assert wrapped("one two", 6) == ["one", "two"]
    assert wrapped("one two three", 11, "  - ") == ["  - one two", "    three"]
    assert wrapped("one two three", 9, "- ", "+") == ["- one two", "+three"]
    assert wrapped("", 9, "> ") == ["> "]


def test_a_word_too_long_for_a_line_is_cut_and_nothing_of_it_is_lost():
    assert wrapped("abcdefghijklmnopqrstuvwxy", 10) == ["abcdefghij", "klmnopqrst", "uvwxy"]
    assert wrapped("no abcdefghijkl yes", 10) == ["no", "abcdefghij", "kl yes"]
    assert wrapped("abcdefghij x", 10, "- ") == ["- abcdefgh", "  ij x"]
    # A wide letter takes two columns; it is never cut in half.
    assert wrapped("\u6f22" * 5, 5) == ["\u6f22\u6f22", "\u6f22\u6f22", "\u6f22"]


def test_a_page_of_text():
    page = TextPage(width=20)
    page.heading("Title 90°")
    page.text("a text that is long enough", "- ")
    page.raw("", "  Head   ")
    page.notes("Notes", ("first", "second note that goes on"))
    page.notes("None", ())
    assert page.finished().splitlines() == [
        "Title 90°", "=========", "- a text that is", "  long enough", "", "  Head", "", "Notes", "  - first",
        "  - second note that", "    goes on",
    ]  # fmt: skip
    page = TextPage(ascii=True)
    page.heading("Title 90°")
    assert page.finished() == "Title 90 deg\n============\n"
    page = TextPage()
    page.heading("x" * 300)
    assert "".join(page.lines[:-1]) == "x" * 197 + "..."
    assert page.lines[-1] == "=" * 80
