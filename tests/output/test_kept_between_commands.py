"""What is kept from one command to the next: it comes back whole or not at all, and takes no more room than it may."""

import os

import pytest

from pipemodel.output import kept as kept_files
from pipemodel.output.kept import FOLDER, digest_of, keep, kept


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER, str(tmp_path / "a" / "b"))
    return tmp_path / "a" / "b"


def test_what_was_kept_comes_back(folder):
    assert kept("x") is None
    keep("x", b"some")
    keep("y", b"")
    assert (kept("x"), kept("y"), kept("z")) == (b"some", b"", None)


@pytest.mark.parametrize(
    "damage", [lambda d: d[:-1], lambda d: b"", lambda d: d + b"\0", lambda d: d[:40] + b"?" + d[41:]]
)
def test_what_is_damaged_is_as_if_it_were_not_there_until_it_is_kept_again(folder, damage):
    keep("x", b"a" * 100)
    (path,) = folder.iterdir()
    path.write_bytes(damage(path.read_bytes()))
    assert kept("x") is None
    keep("x", b"a" * 100)
    assert kept("x") == b"a" * 100


def test_what_was_not_asked_for_longest_goes_first(folder, monkeypatch):
    monkeypatch.setattr(kept_files, "MOST_BYTES", 500)
    folder.mkdir(parents=True)
    (folder / "somebody's own.txt").write_bytes(b"x" * 5000)
    for number, key in enumerate("abc"):
        keep(key, b"x" * 100)
        os.utime(folder / f"{key}.kept", (number, number))
    assert kept("a") is not None
    keep("d", b"x" * 100)
    assert [kept(key) is not None for key in "abcd"] == [True, False, True, True]
    keep("e", b"x" * 501)
    assert kept("e") is None
    assert (folder / "somebody's own.txt").exists()


def test_nothing_is_kept_where_it_is_switched_off_or_cannot_be(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setenv(FOLDER, "off")
    keep("x", b"some")
    assert kept("x") is None
    assert not list(tmp_path.iterdir())
    (tmp_path / "file").write_text("")
    monkeypatch.setenv(FOLDER, str(tmp_path / "file"))
    keep("x", b"some")
    assert kept("x") is None


@pytest.mark.skipif(os.name != "posix", reason="where Linux keeps such things")
def test_it_lies_in_the_users_folder_for_such_things(tmp_path, monkeypatch):
    monkeypatch.delenv(FOLDER)
    monkeypatch.setattr(kept_files.sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    keep("x", b"some")
    assert [path.name for path in (tmp_path / "pipemodel").iterdir()] == ["x.kept"]
    assert (tmp_path / "pipemodel").stat().st_mode & 0o077 == 0


def test_a_digest_is_of_what_is_in_a_file_and_of_the_words(tmp_path):
    (tmp_path / "a").write_bytes(b"one")
    (tmp_path / "b").write_bytes(b"one")
    assert digest_of(tmp_path / "a", "x") == digest_of(tmp_path / "b", "x") != digest_of(tmp_path / "a", "y")
    assert digest_of(tmp_path / "none") == ""
