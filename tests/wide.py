"""How many cases are tried: enough for every day, or as many as a test knows with `pytest --wide`."""

import os

WIDE = bool(os.environ.get("PIPEMODEL_WIDE"))
"""Set by `--wide`, for all processes of the run."""


def few_or_many(few, many):
    """Return `few` in the everyday run, `many` in the wide one; `few` are some of `many`, edges in."""
    return many if WIDE else few
