"""Every list of a job, by key.

A new one is a file beside this and a line in the table: it then stands in text, CSV, workbook, Markdown, pack and page.
"""

from weakref import WeakKeyDictionary

from pipemodel.lists.blocks import JobList, Listing, TextPageName, titled
from pipemodel.lists.changes import changes
from pipemodel.lists.clips import clips
from pipemodel.lists.corners import corners
from pipemodel.lists.cut_list import cut_list
from pipemodel.lists.distances import distances, measured_from
from pipemodel.lists.findings import findings
from pipemodel.lists.fit import fit
from pipemodel.lists.fittings import fittings
from pipemodel.lists.holes import holes
from pipemodel.lists.jigs import jigs
from pipemodel.lists.measured import measured
from pipemodel.lists.runs import runs
from pipemodel.lists.schedule import bends, pulls
from pipemodel.lists.setting_out import setting_out
from pipemodel.lists.ways import ways
from pipemodel.lists.ways_in import ways_in
from pipemodel.messages.values import message
from pipemodel.results.results import Results

LISTS: dict[str, JobList] = {
    "runs": JobList("runs", titled("runs"), runs, apart=False),
    "corners": JobList("corners", titled("corners"), corners, apart=False),
    "bends": JobList("schedule", titled("schedule"), bends, apart=False),
    "pulls": JobList("pulls", titled("pulls"), pulls, apart=False),
    "cuts": JobList("cut list", titled("cut list"), cut_list, "cuts"),
    "ways": JobList("ways", message("ways.list"), ways),
    "fittings": JobList("fittings", message("fittings.title"), fittings, "cuts"),
    "clips": JobList("clips", message("clips.list"), clips),
    "ways-in": JobList("ways in", message("way in.list"), ways_in, "check"),
    "findings": JobList("findings", titled("findings"), findings, "check"),
    "fit": JobList("fit", message("fit.list"), fit, "check", more=message("fit.more")),
    "distances": JobList("distances", message("check.distances"), distances, "check", more=measured_from),
    "measured": JobList("measured", message("measured.list"), measured, "check"),
    "holes": JobList("holes", message("holes.list"), holes),
    "setting-out": JobList("setting out", message("setting out.list"), setting_out, apart=False),
    "changes": JobList("changes", message("changes.list"), changes, "changes"),
    "jigs": JobList("jigs", message("pack.jigs"), jigs, "jig", own_sheets=True),
}
"""The lists by key: the name of their file, and of their place on the page."""

_MADE: "WeakKeyDictionary[Results, dict[str, Listing | None]]" = WeakKeyDictionary()


def listing(results: Results, key: str) -> Listing | None:
    """Return one list of a job, laid out once; None where the job has no such list."""
    made = _MADE.setdefault(results, {})
    if key not in made:
        kind = LISTS[key]
        content = kind.make(results)
        made[key] = None if content is None else Listing(key, kind, content)
    return made[key]


def listings(results: Results) -> tuple[Listing, ...]:
    """Return every list that a job has, the empty ones too."""
    return tuple(one for key in LISTS if (one := listing(results, key)) is not None)


def apart(results: Results) -> tuple[Listing, ...]:
    """Return the lists that have something to say and no other place on a paper than their own."""
    return tuple(one for one in listings(results) if one.kind.apart and one.content.to_read)


def on_text_page(results: Results, page: TextPageName) -> tuple[Listing, ...]:
    """Return the lists that stand on a page of text; no other is made."""
    keys = [key for key, kind in LISTS.items() if kind.apart and kind.text == page]
    return tuple(one for key in keys if (one := listing(results, key)) is not None and one.content.to_read)
