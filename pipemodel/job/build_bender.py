"""The bender a run is pulled in, from what the user wrote: a name, shapes, or a file of the user's own."""

import pathlib
from typing import Any

from pipemodel.job.faults import Faults
from pipemodel.job.own_file import OwnFileError, read_own
from pipemodel.job.quantities import shown
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.trade.benders import Bender, BenderError, bender_named, generic_benders, read_bender, read_benders

_FILE_KEYS = {"file", "name"}


class Benders:
    """Finds each bender once, however many runs share it, and notes each fault once."""

    def __init__(self, faults: Faults, folder: pathlib.Path, allow_outside: bool) -> None:
        self._faults, self._folder, self._allow_outside = faults, folder, allow_outside
        self._known: dict[YamlPath, Bender | None] = {}

    def bender(self, choice: str | dict[str, Any], path: YamlPath) -> Bender | None:
        """Return the bender chosen at a path of the job, or None with its faults noted."""
        if path not in self._known:
            self._known[path] = self._find(choice, path)
        return self._known[path]

    def _find(self, choice: str | dict[str, Any], path: YamlPath) -> Bender | None:
        try:
            if isinstance(choice, str):
                return bender_named(choice)
            if "file" in choice:
                return self._of_file(choice, path)
            return read_bender(choice, "bender of the job", generic_benders())
        except BenderError as error:
            for keys, message in error.faults:
                self._faults.at((*path, *keys), _sentence(keys, message))
        return None

    def _of_file(self, choice: dict[str, Any], path: YamlPath) -> Bender | None:
        file, name = choice["file"], choice.get("name")
        if not isinstance(file, str) or not isinstance(name, str) or set(choice) - _FILE_KEYS:
            self._faults.at(path, "a bender out of a file is {file: benders.yaml, name: mine}, and nothing else")
            return None
        here = (*path, "file")
        quoted = repr(shown(file))
        try:
            tree = read_own(file, self._folder, self._allow_outside)
        except OwnFileError as error:
            for message in error.messages:
                self._faults.at(here, message)
            return None
        try:
            own = read_benders(tree.values, generic_benders())
        except BenderError as error:
            for keys, message in error.faults:
                line = tree.spot.at(keys).place.line
                self._faults.at(here, f"{quoted}, line {line}: {_sentence(keys, message)}")
            return None
        return bender_named(name, own)


def _sentence(keys: tuple[str, ...], message: str) -> str:
    return f"{': '.join(map(shown, keys))}: {message}" if keys else message
