"""Telling whether a paper is German throughout, and whether it has the figures of another."""

import re

NOT_GERMAN = re.compile(
    r"\b(the|and|with|from|bends?|legs?|run|runs|pull|mark|tube|end|is|are|of|to|by|it|clears|asked|note|wrong)\b",
    re.IGNORECASE,
)
"""Words that no German sentence here holds; those of the command's own names come out before."""
NAMED = re.compile(r"`[^`]*`|\(pipemodel cut\)|piece \d|EN 1057")
POINT = re.compile(r"\[[-\d.,\s]+\\?\]")
"""A point as it is to be written into a job, with a job's decimal sign in every language."""


def decimal_points(said):
    """Figures with a decimal point, but for what is to be written into a job."""
    return re.findall(r"\d\.\d", POINT.sub("", said))


def figures(said):
    """The figures of a paper, in order of size, whatever its decimal sign."""
    return sorted(re.findall(r"\d+(?:\.\d+)?", re.sub(r"(?<=\d),(?=\d)", ".", NAMED.sub("", said))))
