"""Writing a file that is not there yet; what is there already is never touched."""

import os
from pathlib import Path

from pipemodel.cli.usage import SaidUsageError
from pipemodel.messages.values import bare, message


class ThereAlreadyError(SaidUsageError):
    """A file that would have to be overwritten; the user is informed, and nothing is written."""

    def __init__(self, path: Path) -> None:
        super().__init__(message("folder.there", file=bare(str(path))))


def must_be_new(path: Path | None) -> None:
    """See that a file to be written is not there yet.

    Raises:
        ThereAlreadyError: if it is.
    """
    if path is not None and os.path.lexists(path):
        raise ThereAlreadyError(path)


def write_new(files: dict[Path, bytes]) -> None:
    """Write files, all of them or none.

    Raises:
        ThereAlreadyError: if one is there already.
        OSError: if the disk refuses.
    """
    written: list[Path] = []
    try:
        for path, data in files.items():
            with path.open("xb") as file:
                written.append(path)
                file.write(data)
    except BaseException as error:
        for path in written:
            path.unlink(missing_ok=True)
        if isinstance(error, FileExistsError):
            raise ThereAlreadyError(Path(error.filename)) from None
        raise
