"""A jig's sheet in the paper pack."""

from typing import Any

from pipemodel.documents.jig.brief import HEAD, Brief
from pipemodel.documents.jig.limits import HEAD as LIMITS_HEAD
from pipemodel.documents.jig.limits import TITLE
from pipemodel.documents.pack.styles import Styles
from pipemodel.messages.units import Units

_SHARES = (9.0, 7.0, 10.0, 10.0, 10.0, 12.0, 20.0)
_LIMIT_SHARES = (22.0, 16.0, 14.0, 14.0, 24.0)


def jig_sheet(brief: Brief, styles: Styles, units: Units) -> list[Any]:
    """Return what goes on the sheet of one run's jig."""
    from reportlab.platypus import KeepTogether

    flow = [styles.words(f"Checking jig: {brief.run}", "title")]
    if brief.why_not:
        flow.append(styles.words("It gets no jig:", "head"))
        flow += [styles.words(f"\u2022 {why}") for why in brief.why_not]
    if brief.picture is not None:
        flow.append(styles.drawn(brief.picture))
        flow.append(styles.words(brief.printing))
        flow += [styles.words(f"\u2022 {step}") for step in brief.steps]
        flow.append(styles.words(f"What each slot accepts ({units.name}, along the tube from its start)", "head"))
        total = sum(_SHARES)
        flow.append(styles.table([HEAD, *brief.rows], [styles.width * s / total for s in _SHARES], range(6)))
    if brief.limits:
        flow.append(styles.words(TITLE, "head"))
        share = styles.width / sum(_LIMIT_SHARES)
        widths = [share * s for s in _LIMIT_SHARES]
        flow.append(styles.table([LIMITS_HEAD, *brief.limits], widths, range(1, len(LIMITS_HEAD))))
        flow += [styles.words(words) for words in brief.limits_said]
    if brief.readings:
        head = styles.words("Reading a miss: a degree too much shows as", "head")
        first, *others = (styles.words(f"\u2022 {line}") for line in brief.readings)
        flow += [KeepTogether([head, first]), *others]
    return flow
