"""What takes long to make, made once and read by many tests: in one process, or in all processes of a test run."""

import os
import pickle
import tempfile
from contextlib import nullcontext, suppress
from functools import wraps
from hashlib import sha256
from pathlib import Path


class Unwatched:
    """Hears what tests ask for and what is made; whoever notes which test needs what puts another in its place."""

    def asked(self, name):
        """A test asked for something, made already or not."""

    def making(self, name):
        """Return a context that something is made in."""
        return nullcontext()


watcher = Unwatched()


def kept(make):
    """Keep what a function gives, by its arguments, as long as the process runs."""
    found = {}

    @wraps(make)
    def given(*values, **named):
        asked = (*values, *sorted(named.items()))
        name = f"{make.__module__}.{make.__qualname__}{asked!r}"
        watcher.asked(name)
        if asked not in found:
            with watcher.making(name):
                found[asked] = make(*values, **named)
        return found[asked]

    return given


def folder_once(name, fill):
    """Return the folder of a name; `fill` writes what lies in it, unless another test had it written before.

    It lies in the one folder of all processes of a run, which `conftest.py` makes and clears away.
    """
    home = Path(os.environ["PIPEMODEL_TEST_HOME"])
    folder = home / name
    watcher.asked(name)
    if not folder.exists():
        begun = Path(tempfile.mkdtemp(dir=home))
        with watcher.making(name):
            fill(begun)
        # Another process may have been first with the same.
        with suppress(OSError):
            begun.rename(folder)
    return folder


def value_once(name, make):
    """Return what `make` gives, as it was given to whichever test of the run asked first."""

    def fill(folder):
        (folder / "value").write_bytes(pickle.dumps(make()))

    return pickle.loads((folder_once(sha256(name.encode()).hexdigest(), fill) / "value").read_bytes())
