"""What is said of finished pieces and what is learned from them, in English."""

TEMPLATES = {
    # Of a former and of hands, as notes
    "learned.springback": (
        "springback {value} \u00b1 {within} degrees at a bend of 90 (from {n} {n|bend|bends} of {pieces} "
        "{pieces|piece|pieces})"
    ),
    "learned.radius": "radius {value} \u00b1 {within}",
    "learned.mark": "mark {value} \u00b1 {within} (from {n} {n|bend|bends})",
    "learned.more from": (
        "from piece {piece}{which} on the tube springs back {by} \u00b1 {within} degrees more at 90: {cause}"
    ),
    "learned.less from": (
        "from piece {piece}{which} on the tube springs back {by} \u00b1 {within} degrees less at 90: {cause}"
    ),
    "learned.which": " ({parts})",
    "learned.batch": "the tube of batch {batch} begins there{before}",
    "learned.after batch": ", after batch {batch}",
    "learned.worn": "a worn former or stop, or another batch of tube",
    "learned.scatter": "{value} (between {low} and {high}, from {n} {n|reading|readings})",
    "learned.degrees": "{value} degrees",
    "hands.learned": (
        "hands: marks scatter by {mark}, angles by {angle}, rolls by {turn}; 19 times in 20, learned from {n} "
        "{n|bend|bends} of {pieces} {pieces|piece|pieces} in {file}"
    ),
    # What the command says
    "learn.added": "{file}: {n} {n|bend|bends} of piece {piece} added",
    "learn.made": "{file}: made, with {n} {n|bend|bends} of piece {piece}",
    "learn.nothing added": "{file}: nothing added, these readings are in it already",
    "learn.merged": "{file}: {n} {n|bend|bends} of {pieces} {pieces|piece|pieces}",
    "learn.former": "Former {former}, tube {tube}; each figure so 19 times in 20:",
    "learn.from job": (
        "Begun from the job's own figures of it (springback {at} degrees at 90); without the job named, from common "
        "practice, and then it comes out otherwise while pieces are few."
    ),
    "learn.from practice": (
        "Begun from common practice (springback {at} degrees at 90), as no job is named; with the job, from its own "
        "figures, and then it comes out otherwise while pieces are few."
    ),
    "learn.tube": "{outside} x {wall}{words}",
    "learn.tube words": " {words}",
    "learn.none": "No bends yet.",
    "learn.springback": "springback",
    "learn.at": "at {angle} degrees {value} \u00b1 {within} degrees",
    "learn.rests on": "from {n} {n|bend|bends} of {pieces} {pieces|piece|pieces}",
    "learn.fixed": "fixed {fixed}, per degree {rate}",
    "learn.radius": "radius",
    "learn.mark": "mark offset",
    "learn.within": "{value} \u00b1 {within}",
    "learn.not measured": "not measured",
    "learn.changed": "changed: {change}; the bends before that count only as steady wear.",
    "learn.changes": "{changes}",
    "learn.order": (
        "Note: some pieces have the same number and no date, as files were put together; a change of springback may be "
        "named at another piece. Date the pieces to be sure."
    ),
    "learn.hands": (
        "{who}, by {n} {n|bend|bends} of {pieces} {pieces|piece|pieces}; each as a standard deviation, between the two "
        "figures 19 times in 20:"
    ),
    "learn.hands of": "The hands of {by}",
    "learn.hands of all": "The hands",
    "learn.hands unnamed": "The hands of who is not named",
    "learn.marks": "marks",
    "learn.angles": "angles",
    "learn.rolls": "rolls",
    "learn.scatter": "{value} (between {low} and {high}), from {n} {n|reading|readings}",
}
