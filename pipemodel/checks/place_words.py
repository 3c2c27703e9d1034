"""Where on a run something is, and how much, in the words one would use at the bench."""

from pipemodel.bending.schedule import SolvedRun

END_MM = 0.5
"""This near an end counts as at the end."""


def where_words(solved: SolvedRun, at_mm: float) -> str:
    """Return a place on a run in words: "512 mm from the start end, between bends 2 and 3"."""
    if at_mm <= END_MM:
        return "at the start end"
    if at_mm >= solved.centreline.length - END_MM:
        return "at the finish end"
    return f"{at_mm:.0f} mm from the start end{_among_bends(solved, at_mm)}"


def _among_bends(solved: SolvedRun, at_mm: float) -> str:
    bends = solved.table.bends
    if not bends:
        return ""
    passed = 0
    for bend in bends:
        if bend.start_mm <= at_mm <= bend.finish_mm:
            return f", in bend {bend.number}"
        if at_mm > bend.finish_mm:
            passed = bend.number
    if passed == 0:
        return ", before bend 1"
    if passed == len(bends):
        return f", after bend {passed}"
    return f", between bends {passed} and {passed + 1}"


def near_words(mm: float, asked: float | None = None) -> str:
    """Return a length for a sentence: to a tenth, and smaller ones to a hundredth.

    Beside what is `asked` for it is as fine as it takes to tell the two apart.
    """
    if 0.0 < mm < 0.005:
        return "less than 0.01 mm"
    digits = 1 if mm >= 0.95 else 2
    while asked is not None and digits < 6 and round(mm, digits) == round(asked, digits):
        digits += 1
    return f"{round(mm, digits):.10g} mm"
