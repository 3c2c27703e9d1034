"""What is said of the room as measured with a tape, in English."""

TEMPLATES = {
    "measured.misread": (
        "the reading {reading}, {mm}, does not go with the others ({test} standard deviations off); "
        "{likely} would: measure it again"
    ),
    "measured.misread one of": (
        "the readings do not go together, and one of these is out; measure them again, and one more: {readings}"
    ),
    "measured.likely": "{reading} {mm} (or {likely})",
    "measured.unchecked": (
        "measured once and not checked by any other reading: {points}; measure one more distance to each, "
        "such as a diagonal"
    ),
    "measured.off square": "wall {wall} is {angle}° off square to {other}: {off} over its {long}",
    "measured.distance": "{a} to {b}",
    "measured.square off": "square off wall {a} {b} to {c}",
    "measured.level": "upright from {a} to {b}",
    "measured.list": "The room as measured",
    "measured.head point": "Point",
    "measured.head within": "Within",
    "measured.head reading": "Reading",
    "measured.head read": "Read",
    "measured.head fits": "Fits as",
    "measured.head checked": "Checked",
    "measured.checked yes": "yes",
    "measured.checked by none": "no",
    "measured.checked doubted": "measure again",
    "measured.about": (
        "A point lies within so much, along the axis it is least sure of, 19 times out of 20; what is known has 0. "
        "One reading has a standard deviation of {sd} where it names none of its own. Checked: whether a slip in it "
        "would show in the other readings."
    ),
}
