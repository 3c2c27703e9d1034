"""`python -m pipemodel`, and what the command `pipemodel` starts."""

import os
import sys


def _forget_current_folder() -> None:
    """Import nothing more from the current folder: `python -m` puts it first, and it may hold anybody's files.

    Unless this package lies in it: then it is where everything comes from.
    """
    try:
        here = os.path.realpath(os.getcwd())
    except OSError:
        return
    if here != os.path.dirname(os.path.dirname(os.path.realpath(__file__))):
        sys.path[:] = [path for path in sys.path if os.path.realpath(path or here) != here]


_forget_current_folder()

from pipemodel.cli import main  # noqa: E402

if __name__ == "__main__":
    main()
