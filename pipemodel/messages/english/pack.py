"""What the pack of papers and its full-size pages say around lists and drawings, in English."""

TEMPLATES = {
    "pack.measured from": "{measured_in} Marks are measured from the start end of the straight tube.",
    "pack.wrong": "What is wrong, or to be looked at",
    "pack.more findings": "and {n} more, in the list of findings",
    "pack.contents": "In this pack",
    "pack.page": "page {page} of {pages}",
    "pack.code": "code",
    "pack.found": "what was found",
    "pack.more rows": "and {n} more, all further off; the record has them",
    # Titles of its sections
    "pack.schedule of": "{run}: schedule and pulls",
    "pack.jigs": "Checking jigs",
    "pack.bends": "Bends as drawn",
    "pack.drawings": "Drawings",
    "pack.for fitter": (
        "For the fitter; drawings of each run, and what was measured and judged, "
        "are in the designer's pack, job-design.pdf."
    ),
    "pack.for designer": "For the designer; cards, cut list and templates are in the fitter's pack, job.pdf.",
    "pack.for templates": "Every template at full size; cards and cut list are in the fitter's pack, job.pdf.",
    "pack.left out": (
        "Not here: {n} of the templates, {pages} {pages|sheet|sheets}; \u201cpipemodel make --only templates\u201d "
        "writes them all, into job-templates.pdf."
    ),
    "pack.templates": "Templates, angle cards and wraps, full size",
    # The sheets of a run
    "pack.run": "Run: {run}",
    "pack.cut": "Cut {length}",
    "pack.held changes": "Mind which end is held: it changes on the way, and each card says so.",
    "pack.former changes": "The former changes on the way: each card says which goes in.",
    "pack.pull": "Pull {pull}: bend {bend} to {angle}\u00b0 at {mark}",
    "pack.must be": "Then it must be:",
    # Full-size pages
    "full size.small": "angle cards and wraps, full size",
    "full size.wraps": (
        "on wraps: printed side out, start end to the left; lines along are insides of bends; "
        "the edge above the tab goes on a line down the tube"
    ),
    "full size.of many": "sheet {n} of {all}, row {row}, column {column}",
    "full size.one": "one sheet",
    "full size.joins": "joins row {row}, column {column}",
    "full size.bars": "both bars must be 100 mm long, or print again at 100 %",
}
