"""What every paper for people says at its foot."""

CAUTIONS = (
    "Try one bend on an offcut first: springback and the mark differ from former to former.",
    "Check every measure on site before cutting. The figures are for tube as described, finished radius and all.",
    "Gas, structure, electrics and hot work belong to those licensed for them. Local codes, the makers' "
    "instructions and the people responsible on site come before anything said here.",
)
"""The trade's cautions: general, for every job and every document."""
SHORT_CAUTION = (
    "Try a bend on an offcut and check every measure on site before cutting. Gas, structure, electrics and hot work: "
    "licensed hands only; local codes come first."
)
"""The same in a line, for drawings and pictures."""
