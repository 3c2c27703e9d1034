"""The words on the drawings of joists, bays and storeys, in English."""

TEMPLATES = {
    "joists.title": "{joists}: holes and notches",
    "joists.size": "{wide} wide, {deep} deep, {long} long; the span is taken as the joist is drawn",
    "joists.caution": (
        "Ask the engineer where a hole or notch is not in a hatched zone, near a heavy load, or in anything but solid "
        "timber."
    ),
    "joists.zones": (
        "{name}, {clause}: hatched where it lets holes be drilled (middle of the depth) and notches be cut (edges)"
    ),
    "joists.nothing allowed": "{name}, {clause}: nothing may be cut in this joist",
    "joists.no rules": "no rules are named in the job: where a hole or notch may be is not shown",
    "joists.detail": "{whose}: {what}",
    "joists.there": "there already",
    "joists.more": "and {n} more, on the whole joist only",
    "bay.title": "section between {one} and {two}",
    "bay.where": "cut at {place}",
    "bay.measured": (
        "figures: clear from the outside of the tube (bare of insulation) in the plane of the section; the findings "
        "give the least distance in the room"
    ),
    "storey.title": "plan of the storey",
    "storey.bay": "bay {n}",
}
