"""Names in STEP: the notation of ISO 10303-21, clause on the encoding of strings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipemodel.solids.step_text import encoded, finished


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("return", "'return'"),
        ("it's", "'it''s'"),
        ("a\\b", "'a\\\\b'"),
        ("é", r"'\X2\00E9\X0\'"),
        ("aéßb", r"'a\X2\00E900DF\X0\b'"),
        ("𝒳", r"'\X4\0001D4B3\X0\'"),
        ("\n", r"'\X2\000A\X0\'"),
        ("", "''"),
    ],
)
def test_encoded(name, text):
    """By hand from the standard's rules (from memory: ISO 10303-21 edition 2, strings)."""
    assert encoded(name) == text


def decoded(text):
    """Read the notation the other way, character by character."""
    out, i, end = [], 1, len(text) - 1
    while i < end:
        for directive, digits in (("\\X2\\", 4), ("\\X4\\", 8)):
            if text.startswith(directive, i):
                close = text.index("\\X0\\", i)
                run = text[i + 4 : close]
                out += [chr(int(run[k : k + digits], 16)) for k in range(0, len(run), digits)]
                i = close + 4
                break
        else:
            out.append(text[i])
            i += 2 if text[i] in "'\\" else 1
    return "".join(out)


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_whatever_the_name_it_is_plain_text_and_reads_back(name):
    text = encoded(name)
    assert text.isascii()
    assert text.isprintable()
    assert decoded(text) == name


def test_what_is_no_step_file_is_refused():
    with pytest.raises(ValueError, match="not a STEP file"):
        finished("solid\nendsolid", ["a"], [None])
