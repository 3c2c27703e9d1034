"""What the jigs of a job take together: parts, gauges, plastic, hours, cost, and how much of it is worth printing."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.jigs.design import Jig
from pipemodel.jigs.plan import JigRefusedError
from pipemodel.jigs.printing import Plastic, total_of
from pipemodel.messages.values import NOTHING, Count, Message, Name, Number, listed, message
from pipemodel.wording.safe_text import shown


@dataclass(frozen=True)
class JigTotals:
    """Parts and gauges counted, what all take, and what is left when only what is worth printing is printed."""

    parts: int
    gauges: int
    all: Plastic
    worth: Plastic
    not_worth: tuple[str, ...]
    price_per_kg: float | None


def totals_of(jigs: Sequence[Jig | JigRefusedError]) -> JigTotals:
    """Return what some jigs take together, gauges and all."""
    made = [jig for jig in jigs if isinstance(jig, Jig)]
    worth = [jig for jig in made if jig.worth.printing]
    # A gauge that one of these needs is printed even where it goes with a run that is not worth a jig.
    needed = {(g.stem, g.fits): g for jig in worth for g in (*jig.gauges, *(g for g, _ in jig.elsewhere))}
    return JigTotals(
        sum(len(jig.parts) for jig in made),
        sum(len(jig.gauges) for jig in made),
        total_of([p.plastic for jig in made for p in (*jig.parts, *jig.gauges)]),
        total_of([p.plastic for jig in worth for p in jig.parts] + [g.plastic for g in needed.values()]),
        tuple(jig.solved.name for jig in made if not jig.worth.printing),
        made[0].settings.price_per_kg if made else None,
    )


def totals_said(totals: JigTotals) -> list[Message]:
    """Return the totals in a sentence or two."""
    said = [
        message(
            "jig totals",
            parts=Count(totals.parts),
            gauges=Count(totals.gauges),
            amount=_amount(totals.all, totals.price_per_kg),
        )
    ]
    if totals.not_worth:
        runs = listed([Name(shown(name)) for name in totals.not_worth], ",")
        said.append(message("jig totals.worth", runs=runs, amount=_amount(totals.worth, totals.price_per_kg)))
    return said


def _amount(total: Plastic, price: float | None) -> Message:
    cost = NOTHING
    if price is not None:
        cost = message("jig totals.cost", cost=Number(price * total.mass_g / 1000.0, ".2f"))
    return message(
        "jig totals.amount",
        plastic=Number(total.plastic_cm3, ".0f"),
        mass=Number(total.mass_g, ".0f"),
        hours=Number(total.hours, ".1f"),
        quick=Number(total.quick_hours, ".1f"),
        slow=Number(total.slow_hours, ".1f"),
        cost=cost,
    )
