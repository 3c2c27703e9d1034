"""What is wrong with the readings of test pieces and finished pieces, in English."""

TEMPLATES = {
    "piece.fine": "no reading by hand is as fine as {value}; give at least {least}, mostly 0.5",
    "piece.keys of pieces": "this is a group of keys: tube, and pieces with their readings",
    "piece.keys of bends": "this is a group of keys: bends, each with its number and readings",
    "piece.impossible": "piece {piece}: {fault}{hint}",
    "piece.probably": "; probably {what}",
    "piece.angle": "a finished angle of {angle} cannot be measured to the back; use one between 0 and 180",
    "piece.mark": "the mark at {mark} is not on a tube {cut} long",
    "piece.pulled less": (
        "it was pulled to {pull} and measures {angle}: tube opens when let go, so the pull cannot be the smaller; "
        "were the two swapped?"
    ),
    "piece.legs": (
        "its legs to the back add up to {legs} for a tube cut at {cut}; a bend of {angle} {bound|least=must give "
        "at least|most=cannot give more than} {limit}"
    ),
    "piece.other run": "these are readings of the run {run}, not of {asked}",
    "piece.no bend": "the run {run} has no bend {bend}; it has {n}. Are these readings of another run?",
    "piece.bend twice": "bend {bend} is given twice; leave one out",
    "fault.piece former": (
        "a former needs a name, by which its bends are known: former: {{name: mine, radius: 55}}, or a file's name"
    ),
    "piece.no reading": "bend {bend} has no reading; give its angle, start, roll, turn or radius",
    "piece.roll or turn": "give the roll or the turn of a bend, not both: they say the same",
    "piece.no roll": "bend {bend} is pulled first, so no roll comes before it; leave it out",
    "piece.no turn": "no bend comes before bend 1, so it has no turn; leave it out",
    "piece.further": (
        "bend {bend} was pulled to {pulled} and cannot come out as {angle}; if it was pulled further, write "
        "pulled: beside the angle"
    ),
    "piece.begins": "a bend begins between 0 and {length} on this tube, not at {start}",
    "piece.another run": "is this another run? If it is as measured, say --as-measured",
    "piece.centimetres": "is {value} meant as centimetres? Write it in mm, or with its unit",
    "piece.other way": "clockwise, seen from the start end, counts above 0; write {value} if it went the other way",
    "piece.slip": (
        "the {key|angle=angle|start=start|radius=radius|roll=roll|turn=turn} of bend {bend} is {value} "
        "{unit|mm=mm|degrees=degrees}, and {asked} was asked for: {guess}"
    ),
}
