"""A file of the user, named by a job, such as benders or formers: found, allowed, and read as a tree."""

import pathlib
from collections.abc import Sequence

from pipemodel.job.model import JobError
from pipemodel.job.quantities import shown
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlTree, read_tree
from pipemodel.messages.values import Message, Name, message


class OwnFileError(ValueError):
    """A file that cannot be used; one message for each thing wrong with it, with the file's name and line."""

    def __init__(self, messages: Sequence[str | Message]) -> None:
        super().__init__("; ".join(map(str, messages)))
        self.messages = messages


def own_there(file: str, folder: pathlib.Path, within: pathlib.Path, allow_outside: bool) -> pathlib.Path:
    """Return the whole path of a file named in a job or a room file, which is there and may be read.

    Args:
        file: its path as written, from `folder`.
        folder: the folder of the file that names it.
        within: the job's folder.
        allow_outside: whether it may lie outside the job's folder.

    Raises:
        OwnFileError: if it lies outside, is missing, is no plain file, or cannot be read.
    """
    named = Name(shown(file))
    try:
        base, whole = within.resolve(), (folder / file).resolve()
        if not allow_outside and not whole.is_relative_to(base):
            raise OwnFileError([message("file.outside", file=named)])
        if not whole.is_dir() and whole.exists() and not whole.is_file():
            # A pipe may never begin, a device never end.
            raise OwnFileError([message("file.pipe", file=named)])
        with whole.open("rb"):
            return whole
    except OwnFileError:
        raise
    except FileNotFoundError:
        raise OwnFileError([message("file.none", file=named)]) from None
    except IsADirectoryError:
        raise OwnFileError([message("file.folder", file=named)]) from None
    except (OSError, ValueError, RuntimeError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise OwnFileError([message("file.unreadable", file=named, reason=Name(shown(reason), quoted=False))]) from None


def read_own(file: str, folder: pathlib.Path, allow_outside: bool) -> YamlTree:
    """Return the tree of a YAML file named in a job, in its `folder`.

    Raises:
        OwnFileError: as `own_there` does, or if it is no YAML.
    """
    quoted = repr(shown(file))
    try:
        tree = read_tree(read_text(own_there(file, folder, folder, allow_outside)))
    except JobError as error:
        raise OwnFileError([f"the file {quoted}: {shown(error.faults[0].message)}"]) from None
    if tree.faults:
        raise OwnFileError([f"{quoted}, line {fault.place.line}: {fault.message}" for fault in tree.faults])
    return tree
