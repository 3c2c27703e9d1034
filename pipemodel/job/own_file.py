"""A file of the user, named by a job, such as benders or formers: found, allowed, and read as a tree."""

import pathlib
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from pipemodel.job.model import Fault, JobError
from pipemodel.job.quantities import shown
from pipemodel.job.text import read_text, why_unread
from pipemodel.job.yaml_tree import YamlTree, read_tree
from pipemodel.messages.values import NOTHING, Count, Message, Name, bare, message


class OwnFileError(ValueError):
    """A file that cannot be used; one message for each thing wrong with it, with the file's name and line."""

    def __init__(self, messages: Sequence[Message]) -> None:
        super().__init__("; ".join(map(str, messages)))
        self.messages = messages


class OwnFiles(NamedTuple):
    """Where files that a job or a room file names may be: in the job's folder, or anywhere if that is allowed."""

    within: pathlib.Path
    allow_outside: bool

    def there(self, file: str, folder: pathlib.Path | None = None) -> pathlib.Path:
        """Return the whole path of a file, as written from `folder` or else the job's, which is there and may be read.

        Raises:
            OwnFileError: if it lies outside, is missing, is no plain file, or cannot be read.
        """
        named = Name(shown(file))
        try:
            base, whole = self.within.resolve(), ((folder or self.within) / file).resolve()
            if not self.allow_outside and not whole.is_relative_to(base):
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
            reason = Name(shown(why_unread(error)), quoted=False)
            raise OwnFileError([message("file.unreadable", file=named, reason=reason)]) from None

    def tree(self, file: str) -> YamlTree:
        """Return the tree of a YAML file in the job's folder.

        Raises:
            OwnFileError: as `there` does, or if it is no YAML.
        """
        try:
            tree = read_tree(read_text(self.there(file)))
        except JobError as error:
            said = error.faults[0].value
            raise OwnFileError([message("file.whole", file=Name(shown(file)), said=said)]) from None
        if tree.faults:
            raise OwnFileError(with_lines(file, tree.faults))
        return tree


def with_lines(file: str, faults: Iterable[Fault], of: str = "") -> list[Message]:
    """Return what is wrong with a file, each with the file's name, its line and what in the file it is said of."""
    return [
        message(
            "file.at line",
            file=Name(shown(file)),
            line=Count(fault.place.line),
            of=message("file.of", name=bare(shown(of))) if of else NOTHING,
            said=fault.value,
        )
        for fault in faults
    ]
