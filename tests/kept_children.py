"""Children that are kept for the next request: each costs about a second of processor time to start with its libraries.

The tool starts one for every picture, and one for every model. Tests that ask for many of them share one of each kind;
a child that gave no answer is not asked again. That a fresh one answers the same is seen where the command runs as a
program of its own: `tests/documents/test_same_bytes.py`, `tests/output/test_hostile_folder.py`, `tests/cli`.
"""

import os
import pickle
import sys
import time

from pipemodel.processes import child
from pipemodel.processes.inside import IDLE_S

_RENDERER = "pipemodel.documents.picture.draw:png"
_kept = {}


class KeptChild:
    """Stands where a `Child` is used for one request: the one that is there for that function, or a new one."""

    def __init__(self, function, limits):
        self.function, self.limits = function, limits

    def __enter__(self):
        return self

    def __exit__(self, *_):
        """It goes on."""

    def ask(self, request):
        """Return the answer to one request, as `Child.ask` does."""
        key = (os.getpid(), self.function, self.limits, *_seen_from_there())
        one, asked = _kept.pop(key, (None, 0.0))
        if one is None or one._process.poll() is not None or time.monotonic() - asked > IDLE_S / 2:
            if one is not None:
                one.end()
            one = child.Child(self.function, self.limits)
        try:
            answer = one.ask(request)
        except BaseException:
            one.end()
            raise
        _kept[key] = one, time.monotonic()
        return answer


def keep_those_that_draw():
    """Have the children that `child.call` starts for the renderer kept; those that open files end as ever."""
    ended = child.call

    def call(function, argument, limits):
        if function != _RENDERER:
            return ended(function, argument, limits)
        return KeptChild(function, limits).ask(pickle.dumps(argument))

    child.call = call


def _seen_from_there():
    """What of this process a child is started with, but for the name of the test that runs."""
    about = {name: value for name, value in child._clean_environment().items() if name != "PYTEST_CURRENT_TEST"}
    return sys.executable, tuple(sorted(about.items())), tuple(child._further_paths())
