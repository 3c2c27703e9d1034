"""A jig's sheet in the paper pack."""

from collections.abc import Sequence
from typing import Any

from pipemodel.documents.jig.brief import HEAD, Brief
from pipemodel.documents.jig.limits import HEAD as LIMITS_HEAD
from pipemodel.documents.jig.limits import TITLE
from pipemodel.documents.pack.styles import Styles
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name

_SHARES = (9.0, 7.0, 10.0, 10.0, 10.0, 12.0, 20.0)
_LIMIT_SHARES = (22.0, 16.0, 14.0, 14.0, 24.0)


def jig_sheet(brief: Brief, styles: Styles, units: Units) -> list[Any]:
    """Return what goes on the sheet of one run's jig."""
    from reportlab.platypus import KeepTogether

    flow = [styles.words(words(units, "jig brief.title", run=Name(brief.run, quoted=False)), "title")]
    if brief.why_not:
        flow.append(styles.words(words(units, "jig brief.none"), "head"))
        flow += [styles.words(f"\u2022 {why}") for why in brief.why_not]
    if brief.picture is not None:
        flow.append(styles.drawn(brief.picture))
        flow.append(styles.words(brief.printing))
        flow += [styles.words(f"\u2022 {step}") for step in brief.steps]
        slots = words(units, "jig brief.slots", unit=Name(units.unit, quoted=False))
        flow.append(styles.words(slots, "head"))
        head, widths = [say(one, units) for one in HEAD], _shared(_SHARES, styles.width)
        flow.append(styles.table([head, *brief.rows], widths, range(6)))
    if brief.limits:
        flow.append(styles.words(say(TITLE, units), "head"))
        head, widths = [say(one, units) for one in LIMITS_HEAD], _shared(_LIMIT_SHARES, styles.width)
        flow.append(styles.table([head, *brief.limits], widths, range(1, len(LIMITS_HEAD))))
        flow += [styles.words(line) for line in brief.limits_said]
    if brief.readings:
        above = styles.words(words(units, "jig brief.miss"), "head")
        first, *others = (styles.words(f"\u2022 {line}") for line in brief.readings)
        flow += [KeepTogether([above, first]), *others]
    return flow


def _shared(shares: Sequence[float], width: float) -> list[float]:
    return [width * share / sum(shares) for share in shares]
