"""How many random cases are tried: enough for every day, or as many as there are with PIPEMODEL_WIDE set."""

import os

WIDE = bool(os.environ.get("PIPEMODEL_WIDE"))


def few_or_many(few, many):
    """Return `few` in the everyday run, `many` in the wide one; `few` are the first of `many`, edges in."""
    return many if WIDE else few
