"""The checking jig of each run: what its slots accept, how to lay the piece in, and how to read a miss."""

from pipemodel.lists.blocks import Content
from pipemodel.results.results import Results


def jigs(results: Results) -> Content | None:
    """Return what is to be known of the jigs, None where the job asks for none."""
    if results.schedule.job.jig is None:
        return None
    from pipemodel.lists.jig_brief import jig_content  # loads numpy

    return jig_content(results.jigs, results.paper_options.reading)
