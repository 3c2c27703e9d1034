"""A folder written whole: what lies in it, who may read it, what is refused and in which words."""

import hashlib
import json
import os

import pytest

from pipemodel.output import exchange as exchange_module
from pipemodel.output.exchange import exchange
from pipemodel.output.file_names import is_file_name
from pipemodel.output.folder import MANIFEST, FolderError, check_free, write_whole


def fill(**files):
    def write(folder):
        for name, text in files.items():
            (folder / name).write_text(text)

    return write


def test_what_is_written_and_the_list_of_it(tmp_path):
    out = tmp_path / "new" / "out"
    written = write_whole(out, fill(b="two", a="one"))
    assert written == [out / "a", out / "b"]
    listed = json.loads((out / MANIFEST).read_text())
    assert listed == {
        "format": "pipemodel.manifest/1",
        "files": {name: hashlib.sha256(text.encode()).hexdigest() for name, text in (("a", "one"), ("b", "two"))},
    }
    assert list(listed["files"]) == ["a", "b"]
    assert sorted(os.listdir(out.parent)) == ["out"]
    assert sorted(os.listdir(out)) == [MANIFEST, "a", "b"]


@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o755), (0o077, 0o700), (0o002, 0o775)])
def test_others_may_read_it_as_far_as_the_umask_lets_them(tmp_path, mask, mode):
    before = os.umask(mask)
    try:
        write_whole(tmp_path / "out", fill(a="one"))
        assert os.umask(mask) == mask  # as it was found
    finally:
        os.umask(before)
    assert (tmp_path / "out").stat().st_mode & 0o777 == mode


def test_a_later_answer_takes_the_place_of_the_earlier_one_whole(tmp_path):
    out = tmp_path / "out"
    write_whole(out, fill(a="one", b="two"))
    assert write_whole(out, fill(b="three", c="four")) == [out / "b", out / "c"]
    assert sorted(os.listdir(out)) == [MANIFEST, "b", "c"]
    assert (out / "b").read_text() == "three"


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ("x", "x"),
        ("c b a e d", "a, b, c, d, e"),
        ("c b a e d f", "a, b, c, d, e and 1 more"),
        ("c b a e d f g", "a, b, c, d, e and 2 more"),
    ],
)
def test_what_is_in_the_way_is_named_five_at_the_most(tmp_path, names, words):
    out = tmp_path / "out"
    out.mkdir()
    for name in names.split():
        (out / name).write_text("mine")
    with pytest.raises(FolderError) as caught:
        check_free(out)
    assert str(caught.value) == (
        f"{out} holds what was not written here, or was changed since: {words}. "
        "Nothing was overwritten; name another folder with --out, or move these away"
    )


def test_only_what_was_changed_or_added_is_in_the_way(tmp_path):
    out = tmp_path / "out"
    write_whole(out, fill(a="one", b="two"))
    check_free(out)
    (out / "b").write_text("twO")
    (out / "later").mkdir()
    with pytest.raises(FolderError, match="changed since: b, later\\. "):
        check_free(out)
    (out / "later").rmdir()
    (out / "b").unlink()
    check_free(out)  # of what was written, something may be missing
    (out / "b").symlink_to(out / "a")
    with pytest.raises(FolderError, match="changed since: b\\. "):
        check_free(out)


def test_files_and_links_to_nothing_are_no_folders(tmp_path):
    there, link, empty = tmp_path / "file", tmp_path / "link", tmp_path / "empty"
    there.write_text("x")
    link.symlink_to(tmp_path / "nowhere")
    empty.mkdir()
    with pytest.raises(FolderError, match="is a file, not a folder; name another with --out"):
        check_free(there)
    with pytest.raises(FolderError, match="is a link to nothing; name a folder"):
        check_free(link)
    check_free(empty)
    check_free(tmp_path / "not there")


@pytest.mark.parametrize("one_step", [True, False])
def test_an_exchange_leaves_the_new_in_the_place_of_the_old(tmp_path, monkeypatch, one_step):
    if not one_step:
        monkeypatch.setattr(exchange_module, "_exchanged", lambda *_: False)
    new, old = tmp_path / "new", tmp_path / "old"
    new.mkdir()
    old.mkdir()
    (new / "a").write_text("new")
    (old / "a").write_text("old")
    exchange(new, old)
    assert (old / "a").read_text() == "new"
    assert not new.exists() or (new / "a").read_text() == "old"
    assert {p.name for p in tmp_path.iterdir()} <= {"new", "old"}


def test_names_of_files():
    for name in ("a.svg", "run 1-pulls.svg", "gro\u00df.txt", ".hidden", "confine.txt"):
        assert is_file_name(name)
    for name in ("", "a.", " a", "a ", "nul", "a\x00b", "a\u202eb", "a|b"):
        assert not is_file_name(name)
