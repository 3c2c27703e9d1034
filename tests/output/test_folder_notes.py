"""What a made folder knows of its files: which are as they were made, and which somebody else changed or put there."""

import os

import pytest

from pipemodel.output.folder import FolderError, write_whole


def make(folder, **files):
    def write(into):
        for name, text in files.items():
            (into / name).write_text(text, encoding="utf-8")

    return write_whole(folder, write)


def test_a_link_in_the_place_of_a_made_file_is_not_ours_to_replace(tmp_path):
    target = tmp_path / "out"
    make(target, one="1", two="2")
    elsewhere = tmp_path / "kept"
    elsewhere.write_text("1", encoding="utf-8")
    (target / "one").unlink()
    (target / "one").symlink_to(elsewhere)
    with pytest.raises(FolderError, match="one"):
        make(target, one="new", two="new")
    assert elsewhere.read_text(encoding="utf-8") == "1"


def test_files_get_the_rights_that_new_files_of_this_user_get(tmp_path):
    before = os.umask(0o027)
    try:
        target = tmp_path / "out"
        make(target, one="1")
        assert os.umask(0o027) == 0o027, "making left another mask behind"
        plain = tmp_path / "plain"
        plain.mkdir()
        assert target.stat().st_mode == plain.stat().st_mode
        assert (target / "one").stat().st_mode & 0o777 == 0o640
    finally:
        os.umask(before)
